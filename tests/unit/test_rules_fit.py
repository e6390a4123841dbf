"""Fit rules at their limits: clamps, stretch, looseness, largest bore, bead, engagement."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.knowledge.load import limit
from hoseselect.rules.fit import end_note

LEFT_OUT = "left out"
COOLANT = {"service": "coolant-heater"}


def bore(size: float, **cells: Any) -> dict[str, Any]:
    """A hose of a bore, with the tolerance of the made hose."""
    tolerance = {"bore_mm": size, "bore_min_mm": size - 0.2, "bore_max_mm": size + 0.2}
    return {**tolerance, "outside_diameter_mm": size + 8, **cells}


def nipples(a: Any, b: Any = None, **more: Any) -> dict[str, Any]:
    """Two nipples without a bead, so that only the plain part counts."""
    both = {
        "nipples.bead": "no",
        "nipples.bead_diameter": LEFT_OUT,
        "nipple_a.outside_diameter": a,
        "nipple_b.outside_diameter": a if b is None else b,
    }
    return {**both, **more}


@pytest.mark.parametrize(
    ("made", "verdict", "limit_there"),
    [("yes", "accept", 1), ("", "conditional", 0), ("no", "reject", 0)],
)
def test_hose_made_for_clamps(bench: Any, made: str, verdict: str, limit_there: float) -> None:
    found = bench.finding("fit-clamps", {"made_for_clamps": made}, COOLANT)
    assert found.verdict.word == verdict
    assert math.isnan(found.margin)
    bench.worded(found)


@pytest.mark.parametrize("service", ["washer", "vacuum-control", "vacuum-fuel-wetted"])
def test_clamps_do_not_matter_on_pushed_on_lines(bench: Any, service: str) -> None:
    found = bench.finding("fit-clamps", {"made_for_clamps": "no"}, {"service": service})
    assert (found.verdict.word, found.reason) == ("accept", "does not matter for this job")


@pytest.mark.parametrize(
    ("reinforcement", "nipple", "verdict", "shown"),
    [
        ("textile", 10.49, "accept", 5),
        ("textile", 10.5, "accept", 5),
        ("textile", 10.51, "conditional", 10),
        ("textile", 11.0, "conditional", 10),
        ("textile", 11.01, "reject", 10),
        ("", 10.5, "accept", 5),
        ("", 11.01, "reject", 10),
        ("wire", 10.1, "conditional", 2),
        ("wire", 10.2, "conditional", 2),
        ("textile-and-wire", 10.21, "reject", 2),
        ("none", 11.99, "accept", 20),
        ("none", 12.0, "accept", 20),
        ("none", 12.01, "conditional", 25),
        ("none", 12.5, "conditional", 25),
        ("none", 12.51, "reject", 25),
    ],
)
def test_stretch_at_its_limits(
    bench: Any, reinforcement: str, nipple: float, verdict: str, shown: float
) -> None:
    stretch = (nipple / 10 - 1) * 100
    found = bench.finding("fit-stretch", {"reinforcement": reinforcement}, nipples(nipple))
    bench.limited("fit-stretch", found, verdict, stretch, shown, (shown - stretch) / shown)


def test_stretch_typed_in_decimals_compares_as_typed(bench: Any) -> None:
    """4.2 mm on 3.5 mm is 20 %, not a hair more; 9.45 on 9.0 is 5 %."""
    assert bench.word("fit-stretch", bore(3.5, reinforcement="none"), nipples(4.2)) == "accept"
    assert bench.word("fit-stretch", bore(9.0), nipples(9.45)) == "accept"


def test_the_larger_nipple_is_stretched_over_and_named(bench: Any) -> None:
    found = bench.finding("fit-stretch", {}, nipples(10, 10.4))
    assert found.demand == pytest.approx(4)
    assert "end B" in found.reason
    found = bench.finding("fit-stretch", {}, nipples(10.4, 10))
    assert "end A" in found.reason
    assert "both ends" in bench.finding("fit-stretch", {}, nipples(10.4)).reason


@pytest.mark.parametrize(
    ("nipple", "verdict", "shown"),
    [
        (10, "accept", 1),
        (9.91, "accept", 1),
        (9.9, "accept", 1),
        (9.89, "conditional", 2),
        (9.8, "conditional", 2),
        (9.79, "reject", 2),
    ],
)
def test_looseness_at_its_limits(bench: Any, nipple: float, verdict: str, shown: float) -> None:
    loose = (1 - nipple / 10) * 100
    found = bench.finding("fit-loose", {}, nipples(nipple))
    bench.limited("fit-loose", found, verdict, loose, shown, (shown - loose) / shown)


def test_the_smaller_nipple_is_loose_and_named(bench: Any) -> None:
    found = bench.finding("fit-loose", {}, nipples(10, 9.7))
    assert found.verdict.word == "reject"
    assert "end B" in found.reason
    assert "end A" in bench.finding("fit-loose", {}, nipples(9.7, 10)).reason


def test_a_snug_bore_has_no_negative_zero(bench: Any) -> None:
    found = bench.finding("fit-loose", {}, nipples(10))
    assert math.copysign(1, found.demand) == 1
    assert "-0" not in found.reason


@pytest.mark.parametrize(
    ("code", "check"),
    [
        ("fit-stretch", "no nipple more than 10.5 mm across, behind the bead"),
        ("fit-loose", "no nipple less than 9.9 mm across, behind the bead"),
        ("fit-bead-stretch", "no bead more than 12.5 mm across"),
    ],
)
@pytest.mark.parametrize("ends", [(10, "unknown"), ("unknown", 10)])
def test_a_nipple_that_is_not_measured_is_seen_to_by_the_limits_of_the_hose(
    bench: Any, code: str, check: str, ends: tuple[Any, Any]
) -> None:
    found = bench.finding(code, {}, nipples(*ends))
    assert (found.verdict.word, found.check, found.look) == ("conditional", check, "ends")
    bench.worded(found)


@pytest.mark.parametrize("ends", [("unknown", "unknown"), (10, "unknown"), ("unknown", 10)])
def test_the_roll_is_measured_where_a_nipple_is_not(bench: Any, ends: tuple[Any, Any]) -> None:
    found = bench.finding("fit-largest-bore", {}, nipples(*ends))
    assert found.verdict.word == "conditional"
    assert "drill shank" in found.check
    bench.worded(found)


@pytest.mark.parametrize(
    ("old", "verdict"),
    [("unknown", "unknown"), (9.5, "unknown"), (9.6, "conditional"), (10.5, "conditional")],
)
def test_hose_of_the_old_bore_is_taken_along_where_no_nipple_is_measured(
    bench: Any, old: Any, verdict: str
) -> None:
    """10 mm hose for an old bore within 5 %; any other could be any size."""
    found = bench.finding("fit-stretch", {}, {**nipples("unknown"), "original_bore": old})
    assert found.verdict.word == verdict
    assert bool(found.check) == (verdict == "conditional")
    bench.worded(found)


@pytest.mark.parametrize(
    ("code", "known"), [("fit-stretch", 11.1), ("fit-loose", 9.7), ("fit-bead-stretch", 12.6)]
)
@pytest.mark.parametrize("end", ["A", "B"])
def test_one_end_that_is_known_and_beyond_refuses_whatever_the_other_is(
    bench: Any, code: str, known: float, end: str
) -> None:
    """Knowing less of the other end never makes a hose suit that does not fit this one."""
    ends = (known, "unknown") if end == "A" else ("unknown", known)
    found = bench.finding(code, {}, nipples(*ends))
    assert found.verdict.word == "reject"
    assert not math.isnan(found.demand)
    assert code == "fit-bead-stretch" or f"end {end}" in found.reason
    bench.worded(found)


@pytest.mark.parametrize(
    ("nipple", "largest", "verdict", "allowed"),
    [
        (8.0, 8.50, "accept", 0.51),
        (8.0, 8.51, "accept", 0.51),
        (8.0, 8.52, "conditional", 0.51),
        (9.524, 10.034, "accept", 0.51),
        (9.525, 10.415, "accept", 0.89),
        (9.525, 10.425, "conditional", 0.89),
        (25.4, 26.29, "accept", 0.89),
        (25.5, 27.15, "accept", 1.65),
        (25.5, 27.17, "conditional", 1.65),
    ],
)
def test_largest_bore_by_table_8(
    bench: Any, nipple: float, largest: float, verdict: str, allowed: float
) -> None:
    """33 CFR 183.558(d), Table 8: 0.51 mm under 3/8 in, 0.89 mm to 1 in, 1.65 mm above."""
    hose = bore(nipple, bore_max_mm=largest)
    found = bench.finding("fit-largest-bore", hose, nipples(nipple))
    excess = largest - nipple
    margin = (allowed - excess) / allowed
    assert found.verdict.word == verdict
    assert (found.demand, found.limit) == (pytest.approx(excess), allowed)
    assert found.margin == pytest.approx(margin, abs=1e-9)
    bench.worded(found)


def test_not_knowing_the_tolerance_is_no_worse_than_a_loose_end(bench: Any) -> None:
    found = bench.finding("fit-largest-bore", bore(10, bore_max_mm="", bore_min_mm=""), nipples(10))
    assert found.verdict.word == "conditional"
    assert "drill shank" in found.check


def beaded(plain: float, over: Any) -> dict[str, Any]:
    return {"nipples.outside_diameter": plain, "nipples.bead": "yes", "nipples.bead_diameter": over}


@pytest.mark.parametrize(
    ("reinforcement", "bead", "verdict", "shown"),
    [
        ("textile", 12.49, "accept", 25),
        ("textile", 12.5, "accept", 25),
        ("textile", 12.51, "reject", 25),
        ("none", 12.5, "accept", 25),
        ("none", 12.51, "conditional", 40),
        ("none", 14.0, "conditional", 40),
        ("none", 14.01, "reject", 40),
    ],
)
def test_stretch_over_the_bead(
    bench: Any, reinforcement: str, bead: float, verdict: str, shown: float
) -> None:
    stretch = (bead / 10 - 1) * 100
    found = bench.finding("fit-bead-stretch", {"reinforcement": reinforcement}, beaded(10, bead))
    bench.limited("fit-bead-stretch", found, verdict, stretch, shown, (shown - stretch) / shown)


def test_without_a_bead_the_plain_part_counts(bench: Any) -> None:
    assert bench.finding("fit-bead-stretch", {}, nipples(10.5)).demand == pytest.approx(5)


@pytest.mark.parametrize(
    ("plain", "verdict"),
    [(10.0, "conditional"), (9.5, "conditional"), (9.4, "conditional"), (11.6, "reject")],
)
def test_an_unmeasured_bead_is_assumed_a_little_larger(
    bench: Any, plain: float, verdict: str
) -> None:
    """Beads are 1 to 3 mm over the plain part: 30 % on 10 mm is too much, 10 % is not."""
    assert (limit("bead-over-nipple-min"), limit("bead-over-nipple-max")) == (1, 3)
    found = bench.finding("fit-bead-stretch", {}, beaded(plain, LEFT_OUT))
    assert found.verdict.word == verdict
    if verdict == "conditional":
        assert found.check == "no bead more than 12.5 mm across"
    else:
        assert "assumption" in found.reason


def test_a_possible_bead_is_seen_to(bench: Any) -> None:
    """Bead unknown: what decides is the stretch over the bead that may be there."""
    changes = nipples(10) | {"nipples.bead": "unknown", "service": "washer"}
    found = bench.finding("fit-bead-stretch", {}, changes)
    assert found.verdict.word == "conditional"
    assert found.demand == pytest.approx(30)
    assert found.check == "no bead more than 12.5 mm across"


def test_the_bead_of_an_unmeasured_nipple_is_seen_to(bench: Any) -> None:
    found = bench.finding("fit-bead-stretch", {}, nipples("unknown"))
    assert found.verdict.word == "conditional"
    assert found.check == "no bead more than 12.5 mm across"
    bench.worded(found)


@pytest.mark.parametrize(
    ("a", "b", "verdict", "found_there"),
    [
        ("yes", "yes", "accept", 1),
        ("yes", "no", "reject", 0),
        ("no", "yes", "reject", 0),
        ("no", "unknown", "reject", 0),
        ("yes", "unknown", "conditional", 0),
        ("unknown", "yes", "conditional", 0),
        ("unknown", "unknown", "conditional", 0),
    ],
)
def test_a_bead_at_both_ends(bench: Any, a: str, b: str, verdict: str, found_there: float) -> None:
    changes = {"nipples.bead": LEFT_OUT, "nipples.bead_diameter": LEFT_OUT, **COOLANT}
    changes |= {"nipple_a.bead": a, "nipple_b.bead": b}
    found = bench.finding("fit-bead", {}, changes)
    bench.limited("fit-bead", found, verdict, found_there, 1.0, None)


@pytest.mark.parametrize("service", ["washer", "crankcase-suction", "drain"])
def test_a_bead_does_not_matter_where_none_is_demanded(bench: Any, service: str) -> None:
    changes = {"service": service, "duty.pressure_max": 0, "duty.pressure_spike": 0}
    found = bench.finding("fit-bead", {}, nipples(10) | changes)
    assert found.reason == "does not matter for this job"


@pytest.mark.parametrize(
    ("service", "usable", "verdict", "need"),
    [
        ("coolant-heater", 11.5, "accept", 11),
        ("coolant-heater", 11, "accept", 11),
        ("coolant-heater", 10.5, "reject", 11),
        ("washer", 10, "accept", 10),
        ("washer", 9.5, "reject", 10),
    ],
)
def test_engagement_at_its_limit(
    bench: Any, service: str, usable: float, verdict: str, need: float
) -> None:
    changes = {"service": service, "nipples.usable_length": usable, "nipples.engagement": LEFT_OUT}
    found = bench.finding("fit-engagement", {}, changes)
    bench.limited("fit-engagement", found, verdict, usable, need, (usable - need) / need)


def test_the_shorter_nipple_and_the_smaller_figure_count(bench: Any) -> None:
    changes = {**COOLANT, "nipple_b.usable_length": 9, "nipple_b.engagement": 9}
    assert bench.finding("fit-engagement", {}, changes).demand == 9
    changes = {**COOLANT, "nipple_a.usable_length": 30, "nipple_a.engagement": 4}
    assert bench.finding("fit-engagement", {}, changes).demand == 4


def test_an_unknown_length_of_nipple_makes_conditional(bench: Any) -> None:
    changes = {**COOLANT, "nipples.usable_length": "unknown", "nipples.engagement": "unknown"}
    found = bench.finding("fit-engagement", {}, changes)
    assert found.verdict.word == "conditional"
    assert found.check == "at least 11 mm of straight nipple to push on"
    bench.worded(found)


@pytest.mark.parametrize("bead", ["unknown", "yes"])
def test_a_nipple_measured_on_the_bead_is_smaller_behind_it(bench: Any, bead: str) -> None:
    """The hose is as wide as the bump: on the plain part it is 5 to 15 % loose."""
    changes = {
        "service": "crankcase-suction",
        "nipples.outside_diameter": 20,
        "nipples.bead": bead,
        "nipples.bead_diameter": LEFT_OUT,
        "nipples.measured_on": "bead",
    }
    assert bench.word("fit-loose", bore(20), changes) == "reject"


@pytest.mark.parametrize("bead", ["no", "diameter"])
def test_measured_on_a_bead_that_is_not_or_that_has_its_own_figure_is_refused(
    bench: Any, bead: str
) -> None:
    from hoseselect.knowledge.errors import InputError

    changes = {"nipples.measured_on": "bead"}
    if bead == "no":
        changes |= {"nipples.bead": "no", "nipples.bead_diameter": LEFT_OUT}
    with pytest.raises(InputError):
        bench.job(changes)


@pytest.mark.parametrize(
    ("size", "verdict"), [(18, {"reject"}), (20, {"accept"}), (16, {"reject"})]
)
def test_a_nipple_measured_nobody_knows_where(bench: Any, size: float, verdict: set[str]) -> None:
    """The figure that was asked for is that of the plain part: it counts, once somebody looks."""
    changes = {
        "nipples.outside_diameter": 20,
        "nipples.bead_diameter": LEFT_OUT,
        "nipples.measured_on": "unknown",
    }
    codes = ("fit-stretch", "fit-loose")
    words = {bench.word(code, bore(size), changes) for code in codes}
    assert verdict <= words
    assert bench.word("fit-measured", bore(size), changes) == "conditional"


@pytest.mark.parametrize(
    ("code", "name", "other", "changes"),
    [
        ("fit-stretch", "stretch-textile-reject", 7, nipples(10.8)),
        ("fit-stretch", "stretch-textile-accept", 9, nipples(10.8)),
        ("fit-loose", "stretch-textile-loose-reject", -1.2, nipples(9.85)),
        ("fit-loose", "stretch-textile-loose-accept", -1.8, nipples(9.85)),
        ("fit-bead-stretch", "stretch-bead-reinforced", 15, beaded(10, 12)),
        ("fit-engagement", "band-width-least", 22, COOLANT),
        ("fit-engagement", "tail-beyond-band", 22, COOLANT),
        ("fit-engagement", "engagement-least-unclamped", 40, {}),
    ],
)
def test_the_limits_come_from_the_table(
    bench: Any,
    change_limit: Callable[[str, float], None],
    code: str,
    name: str,
    other: float,
    changes: dict[str, Any],
) -> None:
    before = bench.word(code, {}, changes)
    change_limit(name, other)
    assert bench.word(code, {}, changes) != before


@pytest.mark.parametrize(
    ("name", "other", "nipple"),
    [("stretch-unreinforced-accept", 23, 12.2), ("stretch-unreinforced-reject", 21, 12.2)],
)
def test_the_limits_of_plain_tube_come_from_the_table(
    bench: Any, change_limit: Callable[[str, float], None], name: str, other: float, nipple: float
) -> None:
    hose = {"reinforcement": "none"}
    before = bench.word("fit-stretch", hose, nipples(nipple))
    change_limit(name, other)
    assert bench.word("fit-stretch", hose, nipples(nipple)) != before


def test_which_end_a_figure_belongs_to() -> None:
    assert [end_note(-1.0), end_note(1.0), end_note(0.0)] == ["end B", "end A", "both ends"]


def test_fit_ends_refuses_threads(bench: Any) -> None:
    """Rule fit-ends: bulk hose is pushed on nipples, threaded ends have none."""
    plain = bench.finding("fit-ends", {}, {"features.end_fitting": "plain"})
    threaded = bench.finding("fit-ends", {}, {"features.end_fitting": "threaded"})
    assert (plain.verdict.word, threaded.verdict.word) == ("accept", "reject")
    assert threaded.remedy
