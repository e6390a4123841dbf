"""A cut that can be believed: one assumption for judging and cutting, no headline on a guess."""

from __future__ import annotations

from typing import Any

import pytest

from hoseselect.application.pick import pick_hose
from hoseselect.cutplan.lengths import engagement, least_engagement
from hoseselect.cutplan.plan_cut import plan_cut
from hoseselect.domain.job import Nipple
from hoseselect.judging.assume import assume
from hoseselect.judging.job_columns import job_columns
from hoseselect.knowledge.load import limit, table

LEFT_OUT = "left out"
NO_LENGTHS = {"nipples.engagement": LEFT_OUT, "nipples.usable_length": LEFT_OUT}
MOVES = {"route.movement": "unknown"}


def test_a_nipple_of_unknown_length_is_judged_and_cut_by_the_same_row(bench: Any) -> None:
    """The shortest of the cut is what the rules take at the adverse end, never another."""
    job = bench.job(NO_LENGTHS)
    filled = assume(job_columns([job]))
    assert least_engagement(job.nipple_a) == filled.adverse.usable_a[0, 0]
    most, _ = engagement(job.nipple_a)
    assert most <= filled.favourable.usable_a[0, 0]
    large = Nipple(outside_diameter=30)
    assert engagement(large)[0] <= filled.favourable.usable_a[0, 0]
    assert table("questions").row(input="nipple_a.usable_length").number("adverse") == (
        table("questions").row(input="nipple_b.usable_length").number("adverse")
    )


@pytest.mark.parametrize("told", ["engagement", "usable_length"])
def test_a_nipple_whose_length_is_told_leaves_no_range(told: str) -> None:
    nipple = Nipple(outside_diameter=10, **{told: 12.0})
    assert least_engagement(nipple) == engagement(nipple)[0] == 12


def test_what_is_known_gives_one_length(bench: Any) -> None:
    plan = plan_cut(bench.job({}))
    assert plan.believed
    assert plan.range == (plan.cut, plan.cut)
    assert (plan.others, plan.measure) == ((), ())
    assert plan.as_json()["cut_mm"] == plan.cut


@pytest.mark.parametrize(
    ("changes", "asked"), [(NO_LENGTHS, "How long is each nipple"), (MOVES, "Do both ends sit")]
)
def test_a_guess_beyond_the_tolerance_gives_a_range(
    bench: Any, changes: dict[str, Any], asked: str
) -> None:
    plan = plan_cut(bench.job(changes))
    least, most = plan.range
    assert most - least > plan.tolerance
    assert not plan.believed
    assert plan.as_json()["cut_mm"] is None
    assert plan.as_json()["range_mm"] == [pytest.approx(least), pytest.approx(most)]
    assert any(words.startswith(asked) for words in plan.measure)


def test_one_question_decides_between_two_lengths(bench: Any) -> None:
    plan = plan_cut(bench.job(MOVES))
    (other,) = plan.others
    assert other.circumstance == "if both ends sit on the engine"
    still = plan_cut(bench.job({"nipples.fixed_to": "engine", "route.movement": "unknown"}))
    assert still.parts[3].length == 0
    assert other.length == still.cut == plan.range[0]
    assert plan.cut - other.length >= limit("movement-unknown") - limit("workshop-step")


def test_ends_on_different_parts_have_no_length_without_movement(bench: Any) -> None:
    ends = {"nipple_a.fixed_to": "engine", "nipple_b.fixed_to": "body"}
    plan = plan_cut(bench.job({**MOVES, **ends}))
    assert plan.others == ()
    assert not plan.believed


def test_the_summary_has_no_headline_on_a_guess(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    known = pick_hose(bench.job({}), catalogue).summary
    guessed = pick_hose(bench.job(MOVES), catalogue).summary
    assert known.cut > 0
    assert not guessed.cut > 0
    assert guessed.cut_least < guessed.cut_most
    assert guessed.measure
    assert guessed.other_cuts


@pytest.mark.parametrize(
    ("tip", "word"), [(40, "conditional"), (60, "conditional"), (90, "accept")]
)
def test_a_window_narrower_than_the_tolerance_is_never_plain_use(
    bench: Any, tip: int, word: str
) -> None:
    changes = {"route.run": LEFT_OUT, "route.measured": tip, "route.tightest_radius": 200}
    found = bench.finding("bend-window", {}, changes)
    assert found.verdict.word == word
    assert pick_hose(bench.job(changes), bench.shop({})[0]).lead.verdict.word == word
