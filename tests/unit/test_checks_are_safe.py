"""What a clerk is told to measure: rounded to the safe side, nothing left out, no hunch."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.judged import judged_columns
from hoseselect.answer.looks import LOOKS, looks
from hoseselect.answer.ranking import own_conditions
from hoseselect.judging.assume import Assumed, Filling
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import RuleResult, alike, run_rule
from hoseselect.knowledge.load import table
from hoseselect.quantities.shown import AT_LEAST, AT_MOST, shown
from hoseselect.rules.manual import all_rules

SMALL = {"bore_mm": 7.9, "bore_min_mm": 7.7, "bore_max_mm": 8.1, "outside_diameter_mm": 14}
ONE_END = {
    "nipples.outside_diameter": "left out",
    "nipple_a.outside_diameter": 8.0,
    "nipple_b.outside_diameter": "unknown",
    "nipples.bead_diameter": "left out",
}
ONE_BELOW = {**ONE_END, "nipple_a.outside_diameter": 7.85}


@pytest.mark.parametrize(
    ("code", "hose", "changes", "words"),
    [
        ("fit-stretch", SMALL, ONE_END, "more than 8.2 mm"),  # 8.295 mm
        ("fit-loose", SMALL, ONE_BELOW, "less than 7.9 mm"),  # 7.821 mm
        ("fit-bead-stretch", SMALL, ONE_END, "more than 9.8 mm"),  # 9.875 mm
        ("fit-largest-bore", SMALL, ONE_END, "at most 0.5 mm"),  # 0.51 mm
        ("bend-radius", {"least_bend_radius_mm": 60.4}, {"route.run": []}, "tighter than R 61 mm"),
    ],
)
def test_a_limit_to_measure_is_rounded_to_the_safe_side(
    bench: Any, code: str, hose: dict[str, Any], changes: dict[str, Any], words: str
) -> None:
    assert words in bench.finding(code, hose, changes).check


def test_tenths_of_small_figures_and_whole_large_ones() -> None:
    sides = (AT_MOST, AT_LEAST)
    assert [shown(8.69, "mm", side=side) for side in sides] == ["8.6 mm", "8.7 mm"]
    assert [shown(60.4, "mm", side=side) for side in sides] == ["60 mm", "61 mm"]
    assert [shown(8.6, "mm", side=side) for side in sides] == ["8.6 mm", "8.6 mm"]
    assert [shown(60.4, "mm", "in", side) for side in sides] == ["2 3/8 in", "2 7/16 in"]
    assert [shown(8.69, "mm", "in", side) for side in sides] == ["0.34 in", "0.35 in"]


def test_a_doubt_that_nobody_can_see_to_is_no_check(bench: Any) -> None:
    """How deep the suction gets cannot be seen, so that clips are no answer to it."""
    changes = {
        "service": "fuel-vapour-purge",
        "route.supports": 1000,
        "route.run": [1000],
        "duty.pressure_min": "unknown",
    }
    found = bench.finding("pressure-unsupported", {}, changes)
    assert found.verdict.word == "conditional"
    assert not found.check
    told = bench.finding("pressure-unsupported", {}, changes | {"duty.pressure_min": -60})
    assert told.verdict.word == "conditional"


def test_every_check_stands_in_the_place_where_one_looks() -> None:
    rows = [row for row in table("rules") if row["check"]]
    assert {row["look"] for row in rows} == set(LOOKS)
    findings = [
        SimpleNamespace(check=f"see to {row['code']}", look=row["look"], code=row["code"])
        for row in rows
    ]
    told = looks([*findings, *findings])  # type: ignore[list-item]
    assert [look.place for look in told] == list(LOOKS)
    assert sorted(point for look in told for point in look.points) == sorted(
        finding.check for finding in findings
    )


@pytest.mark.parametrize(
    ("hose", "changes", "count"),
    [
        ({}, {}, 0),
        ({}, {"nipples.outside_diameter": 10.7, "nipples.bead_diameter": 11.5}, 1),
        ({}, {"route.movement": "unknown", "route.run": [100]}, 0),
        ({}, {"route.movement": 38, "route.run": [100]}, 1),
        ({}, {"route.run": []}, 0),
    ],
)
def test_a_condition_of_its_own_stays_when_all_is_found_out(
    bench: Any, hose: dict[str, Any], changes: dict[str, Any], count: int
) -> None:
    _, hoses = bench.shop(hose)
    said = judged_columns(bench.columns(changes), hoses)
    codes = ("fit-stretch", "route-movement", "bend-radius")
    said = replace(said, results=tuple(r for r in said.results if r.rule.code in codes))
    nought = np.zeros(1, dtype=int)
    assert own_conditions(said, nought, nought)[0] == count


def test_an_assumption_that_changes_a_figure_but_no_verdict_is_no_plain_accept(bench: Any) -> None:
    cool = {"duty.fluid_steady": "unknown", "duty.fluid_peak": "unknown"}
    assert bench.word("heat-fluid-steady", {}, cool) == "conditional"


def test_a_rule_that_applies_at_one_end_only_is_in_doubt(bench: Any) -> None:
    """A line that is cut with a low spot, in a winter that is frosty at one end only."""
    jobs = bench.columns({"service": "crankcase-suction", "route.low_spot": "yes"})
    rule = next(rule for rule in all_rules() if rule.code == "route-low-spot")
    _, hoses = bench.shop({})
    one = np.ones((1, 1), dtype=bool)
    filled = Assumed(
        jobs.change(coldest_start=one * -10.0),
        jobs.change(coldest_start=one * 10.0),
        (Filling("coldest_start", "coldest_start", one, ~one),),
    )
    found = run_rule(rule, DistinctJobs(filled), hoses)
    assert found.codes[found.kind[0], 0] == 1


@pytest.mark.parametrize("name", ["demand", "limit", "caution", "applies"])
def test_figures_that_differ_in_anything_are_not_alike(name: str) -> None:
    figures: dict[str, Any] = {
        key: np.full((3, 2), 4.0) for key in ("demand", "limit", "caution", "applies")
    }
    figures["applies"] = np.ones((3, 2), dtype=bool)
    figures[name][1, 1] = 0
    comparison = Comparison(**figures)
    nought, one, two = (np.array([place]) for place in range(3))
    assert alike(comparison, nought, one, 2).tolist() == [[True, False]]
    assert alike(comparison, nought, two, 2).tolist() == [[True, True]]


@pytest.mark.parametrize(("codes", "told"), [((0, 3), 1), ((3, 0), 0), ((2, 2), 0)])
def test_the_end_that_says_the_worse_tells(codes: tuple[int, int], told: int) -> None:
    result = RuleResult(
        all_rules()[0],
        Comparison(np.array([[1.0], [2.0]]), np.ones((2, 1))),
        place=np.array([0]),
        other_place=np.array([1]),
        end_codes=np.array(codes)[:, None],
        codes=np.array([[max(codes)]]),
        kind=np.array([0]),
        open_ended=np.array([False]),
        gentle=np.array([False]),
    )
    assert result.telling(0, 0) == (told, True)
