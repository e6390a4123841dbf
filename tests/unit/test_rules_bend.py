"""Bend rules at their limits: tightest radius stated or estimated, straight lead, free routes."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.report import finding
from hoseselect.judging.assume import assume
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import run_rule
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.kink import kink_estimate
from hoseselect.rules.manual import all_rules


def bent(radius: Any, lead: float = 100) -> dict[str, Any]:
    return {"route.run": [lead, {"bend": 60, "radius": radius}, 100]}


@pytest.mark.parametrize(
    ("radius", "verdict"), [(60.5, "accept"), (60, "accept"), (59.5, "reject")]
)
def test_tightest_bend_at_the_stated_radius(bench: Any, radius: float, verdict: str) -> None:
    found = bench.finding("bend-radius", {}, bent(radius))
    bench.limited("bend-radius", found, verdict, radius, 60, (radius - 60) / 60)


def test_the_tightest_of_all_bends_counts(bench: Any) -> None:
    run = [50, {"bend": 90, "radius": 90}, 50, {"bend": 90, "radius": 70}, 50]
    assert bench.finding("bend-radius", {}, {"route.run": run}).demand == 70


def test_a_straight_route_bends_nowhere(bench: Any) -> None:
    found = bench.finding("bend-radius", {}, {"route.run": [100]})
    assert found.verdict.word == "accept"
    assert "unlimited" not in found.reason


def test_the_estimated_radius_has_three_parts(bench: Any) -> None:
    """Above the sure end conditional, below the other end refused, between them unknown."""
    hose = {"least_bend_radius_mm": "", "outside_diameter_mm": 12, "reinforcement": "none"}
    estimate = kink_estimate(10, 12, limit("inside-radius-per-bore"))
    sure, least = float(estimate.sure), float(estimate.lower_bound)
    assert least < sure
    for radius, verdict, shown in (
        (sure * 1.001, "conditional", sure),
        (sure, "conditional", sure),
        (sure * 0.999, "unknown", sure),
        (least, "unknown", sure),
        (least * 0.999, "reject", least),
    ):
        found = bench.finding("bend-radius", hose, bent(radius))
        bench.limited("bend-radius", found, verdict, radius, shown, (radius - shown) / shown)


def test_the_kink_of_a_plain_tube_refuses_no_wire_supported_hose(bench: Any) -> None:
    hose = {"least_bend_radius_mm": "", "outside_diameter_mm": 12, "reinforcement": "wire"}
    assert bench.word("bend-radius", hose, bent(30)) == "unknown"


@pytest.mark.parametrize("stated", [60, ""])
def test_an_unknown_bend_is_seen_to_by_the_radius_of_the_hose(bench: Any, stated: Any) -> None:
    """The radius is what the hose states, else where its estimate is sure."""
    changes = {"route.run": [], "route.measured": 300, "route.tightest_radius": "unknown"}
    found = bench.finding("bend-radius", {"least_bend_radius_mm": stated}, changes)
    assert (found.verdict.word, found.look) == ("conditional", "way")
    least = 60 if stated else 69
    assert found.check == f"no bend tighter than R {least} mm (a saucer is R 75 mm)"
    at_that = {**changes, "route.tightest_radius": f"{least} mm"}
    assert bench.word("bend-radius", {"least_bend_radius_mm": stated}, at_that) == (
        "accept" if stated else "conditional"
    )
    assert math.isnan(found.demand)
    bench.worded(found)


def test_a_measured_route_states_its_tightest_bend(bench: Any) -> None:
    changes = {"route.run": [], "route.measured": 300, "route.tightest_radius": 59}
    assert bench.word("bend-radius", {}, changes) == "reject"
    assert bench.word("bend-radius", {}, {**changes, "route.tightest_radius": 61}) == "accept"


def test_the_rule_of_thumb_comes_from_the_table(
    bench: Any, change_limit: Callable[[str, float], None]
) -> None:
    hose = {"least_bend_radius_mm": "", "remark": "as it is"}
    before = bench.finding("bend-radius", hose, bent(200)).limit
    change_limit("inside-radius-per-bore", 7)
    hose["remark"] = "changed"
    assert bench.finding("bend-radius", hose, bent(200)).limit == pytest.approx(before + 10)


@pytest.mark.parametrize(
    ("lead", "verdict"), [(27.5, "accept"), (27, "accept"), (26.5, "conditional")]
)
def test_straight_lead_at_its_limit(bench: Any, lead: float, verdict: str) -> None:
    """1.5 outside diameters of 18 mm are 27 mm."""
    found = bench.finding("bend-lead", {}, bent(200, lead))
    assert found.verdict.word == verdict
    assert (found.demand, found.unit) == (lead, "mm")
    assert "27 mm" in found.reason
    bench.worded(found)


def test_the_shorter_lead_counts(bench: Any) -> None:
    run = [100, {"bend": 60, "radius": 200}, 5]
    assert bench.finding("bend-lead", {}, {"route.run": run}).demand == 5


@pytest.mark.parametrize(
    "changes",
    [
        {"route.run": [100]},
        {"route.run": [], "route.measured": 300, "route.tightest_radius": 100},
        {"route.run": []},
    ],
)
def test_a_lead_does_not_matter_without_a_run_of_bends(bench: Any, changes: dict[str, Any]) -> None:
    assert bench.finding("bend-lead", {}, changes).reason == "does not matter for this job"


def test_the_lead_comes_from_the_table(
    bench: Any, change_limit: Callable[[str, float], None]
) -> None:
    assert bench.word("bend-lead", {}, bent(200, 30)) == "accept"
    change_limit("lead-per-outside-diameter", 2)
    assert bench.word("bend-lead", {}, bent(200, 30)) == "conditional"


def solved(bench: Any, code: str, **figures: float) -> Any:
    """What a rule says where the figures of a solved free route are the given ones."""
    rule = next(rule for rule in all_rules() if rule.code == code)
    _, hoses = bench.shop({})
    columns = {name: np.array([[value]]) for name, value in figures.items()}
    result = run_rule(rule, DistinctJobs(assume(bench.columns().change(**columns))), hoses)
    return finding(result, hoses, 0, 0)


@pytest.mark.parametrize(("width", "verdict"), [(9.5, "accept"), (9, "accept"), (8.5, "reject")])
def test_the_window_of_lengths_holds_the_tolerance(bench: Any, width: float, verdict: str) -> None:
    found = solved(bench, "bend-window", window_width=width, window_needed=9.0)
    assert (found.verdict.word, found.demand, found.limit) == (verdict, width, 9)
    bench.worded(found)


@pytest.mark.parametrize(("other", "verdict"), [(61, "accept"), (60, "accept"), (59, "reject")])
def test_a_second_shape_must_be_wide_enough_too(bench: Any, other: float, verdict: str) -> None:
    found = solved(bench, "bend-second-shape", other_radius=other)
    assert (found.verdict.word, found.demand, found.limit) == (verdict, other, 60)
    bench.worded(found)


@pytest.mark.parametrize(
    ("over", "verdict"), [(-0.1, "accept"), (0, "accept"), (0.1, "conditional")]
)
def test_a_heavy_soft_hose_wants_a_clip(bench: Any, over: float, verdict: str) -> None:
    number = limit("gravity-number-count") + over
    found = solved(bench, "bend-weight", weight_number=number)
    assert (found.verdict.word, found.demand) == (verdict, number)
    bench.worded(found)


@pytest.mark.parametrize(
    ("radius", "verdict"),
    [(63.1, "accept"), (63, "accept"), (62.9, "conditional"), (60, "conditional")],
)
def test_a_solved_bend_is_wanted_wider_by_its_margin(
    bench: Any, radius: float, verdict: str
) -> None:
    """5 % over the 60 mm of the hose; what is tighter than 60 mm is refused by its radius."""
    found = solved(bench, "bend-margin", tightest_radius=radius, margin_wanted=0.05)
    assert (found.verdict.word, found.demand) == (verdict, radius)
    bench.worded(found)


def test_a_bend_that_is_not_solved_has_no_margin(bench: Any) -> None:
    found = solved(bench, "bend-margin", tightest_radius=math.nan, margin_wanted=0.05)
    assert found.verdict.word == "unknown"


@pytest.mark.parametrize(
    ("stood", "told", "verdict"),
    [(5.0, 5.0, "accept"), (4.9, 5.0, "conditional"), (2.0, 5.0, "conditional"),
     (1.9, 5.0, "reject"), (0.0, 5.0, "reject"), (1.0, 1.0, "accept"), (0.0, 1.0, "reject"),
     (0.0, 0.0, "accept"), (math.nan, 5.0, "unknown")],
)  # fmt: skip
def test_a_cut_stands_the_errors_told_or_is_measured_again(
    bench: Any, stood: float, told: float, verdict: str
) -> None:
    """2 mm is what a careful tape reaches; what was told to be less is not measured again."""
    found = solved(bench, "bend-measuring", error_stood=stood, error_told=told)
    assert found.verdict.word == verdict
    bench.worded(found)


@pytest.mark.parametrize(
    ("side", "verdict"), [(1.0, "accept"), (0.0, "conditional"), (math.nan, "unknown")]
)
def test_a_set_that_must_lie_in_the_bend_is_a_condition(
    bench: Any, side: float, verdict: str
) -> None:
    found = solved(bench, "bend-set", set_any_side=side, error_told=5.0)
    assert found.verdict.word == verdict
    assert "set of its roll" in found.reason or verdict == "unknown"
    bench.worded(found)


FREE_RULES = (
    "bend-window",
    "bend-margin",
    "bend-measuring",
    "bend-set",
    "bend-second-shape",
    "bend-weight",
)


@pytest.mark.parametrize("code", FREE_RULES)
def test_free_shapes_do_not_matter_on_other_routes(bench: Any, code: str) -> None:
    assert bench.finding(code, {}, {}).reason == "does not matter for this job"
