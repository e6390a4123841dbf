"""Route rules at their limits: length, excess, low spot, fall, insert, movement, clearance."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.report import finding
from hoseselect.cutplan.plan_cut import plan_cut
from hoseselect.judging.assume import assume
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import run_rule
from hoseselect.rules.manual import all_rules

ROUTE = {"route.run": [350], "route.movement": 10}  # 350 + 2 x 25 + 10 = 410 needed
PCV = {"service": "crankcase-suction", "duty.pressure_min": -50}


@pytest.mark.parametrize(("given", "verdict"), [(411, "accept"), (410, "accept"), (409, "reject")])
def test_a_piece_at_the_length_needed(bench: Any, given: float, verdict: str) -> None:
    found = bench.finding("route-length", {}, {**ROUTE, "piece": given})
    bench.limited("route-length", found, verdict, given, 410, (given - 410) / 410)


def test_length_does_not_matter_where_nothing_is_cut_yet(bench: Any) -> None:
    for code in ("route-length", "route-excess"):
        assert bench.finding(code, {}, ROUTE).reason == "does not matter for this job"


@pytest.mark.parametrize("code", ["route-length", "route-excess"])
def test_a_piece_for_an_unknown_route_is_unknown(bench: Any, code: str) -> None:
    changes = {"route.run": [], "route.tightest_radius": 100, "piece": 400}
    found = bench.finding(code, {}, changes)
    assert found.verdict.word == "unknown"
    assert "unknown mm" not in found.remedy
    bench.worded(found)


@pytest.mark.parametrize(
    ("given", "verdict"),
    [(438, "conditional"), (437, "conditional"), (401, "conditional"), (399, "reject")],
)
def test_a_piece_where_the_movement_is_not_known(bench: Any, given: float, verdict: str) -> None:
    """400 mm without movement, 438 mm with the 38 mm that are assumed."""
    changes = {**ROUTE, "route.movement": "unknown", "piece": given}
    found = bench.finding("route-length", {}, changes)
    assert found.verdict.word == verdict
    assert "assumption" in found.reason


def test_ends_on_one_body_do_not_move(bench: Any) -> None:
    changes = {**ROUTE, "route.movement": "unknown", "nipples.fixed_to": "engine"}
    assert bench.word("route-length", {}, {**changes, "piece": 400}) == "accept"


@pytest.mark.parametrize(
    ("over", "verdict"), [(-0.5, "accept"), (0, "accept"), (0.5, "conditional")]
)
def test_a_piece_at_the_longest_that_works(bench: Any, over: float, verdict: str) -> None:
    """Slack of 8 % of the free length: 360 / 0.92 + 50 mm on the nipples."""
    longest = 360 / 0.92 + 50
    found = bench.finding("route-excess", {}, {**ROUTE, "piece": longest + over})
    assert found.verdict.word == verdict
    assert found.demand == pytest.approx(longest + over)
    assert found.limit == pytest.approx(longest)
    bench.worded(found)


@pytest.mark.parametrize("tip", [5, 21, 31, 41, 52, 100, 333])
def test_the_piece_that_the_plan_orders_is_neither_too_short_nor_too_long(
    bench: Any, tip: float
) -> None:
    plan = plan_cut(bench.job({"route.run": [tip]}))
    changes = {"route.run": [tip], "piece": plan.cut}
    assert plan.window[0] <= plan.cut <= plan.window[1]
    assert bench.word("route-length", {}, changes) == "accept"
    assert bench.word("route-excess", {}, changes) == "accept"


def test_the_slack_comes_from_the_table(
    bench: Any, change_limit: Callable[[str, float], None]
) -> None:
    changes = {**ROUTE, "piece": 450}
    assert bench.word("route-excess", {}, changes) == "conditional"
    change_limit("slack-max-share", 0.2)
    assert bench.word("route-excess", {}, changes) == "accept"


@pytest.mark.parametrize(
    ("service", "low", "start", "verdict"),
    [
        ("crankcase-suction", "yes", -0.5, "conditional"),
        ("crankcase-suction", "yes", 0, "accept"),
        ("crankcase-suction", "yes", 0.5, "accept"),
        ("crankcase-suction", "no", -20, "accept"),
        ("crankcase-suction", "unknown", -20, "conditional"),
        ("crankcase-suction", "unknown", 5, "accept"),
        ("crankcase-suction", "yes", "unknown", "conditional"),
        ("turbo-oil-drain", "yes", 5, "conditional"),
        ("coolant-heater", "yes", -20, "accept"),
        ("washer", "unknown", -20, "accept"),
    ],
)
def test_low_spot(bench: Any, service: str, low: str, start: Any, verdict: str) -> None:
    changes = {"service": service, "route.low_spot": low, "duty.coldest_start": start}
    found = bench.finding("route-low-spot", {}, {**changes, "duty.pressure_min": 0})
    assert found.verdict.word == verdict
    assert math.isnan(found.margin)
    bench.worded(found)


def test_a_low_spot_that_does_not_matter_says_so(bench: Any) -> None:
    found = bench.finding("route-low-spot", {}, {"route.low_spot": "yes"})
    assert found.reason == "does not matter for this job"


@pytest.mark.parametrize(
    ("service", "fall", "verdict"),
    [
        ("turbo-oil-drain", "yes", "accept"),
        ("turbo-oil-drain", "no", "reject"),
        ("turbo-oil-drain", "unknown", "conditional"),
        ("drain", "no", "reject"),
        ("washer", "no", "accept"),
        ("crankcase-suction", "unknown", "accept"),
    ],
)
def test_fall(bench: Any, service: str, fall: str, verdict: str) -> None:
    found = bench.finding("route-fall", {}, {"service": service, "route.fall": fall})
    assert found.verdict.word == verdict
    bench.worded(found)


@pytest.mark.parametrize(
    ("service", "insert", "verdict"),
    [
        ("crankcase-suction", "none", "accept"),
        ("crankcase-suction", "check-valve", "accept"),
        ("crankcase-suction", "something", "unknown"),
        ("crankcase-suction", "unknown", "conditional"),
        ("coolant-heater", "unknown", "conditional"),
        ("coolant-bypass", "unknown", "accept"),
        ("fuel-return", "unknown", "accept"),
    ],
)
def test_insert(bench: Any, service: str, insert: str, verdict: str) -> None:
    found = bench.finding("route-insert", {}, {"service": service, "features.insert": insert})
    assert found.verdict.word == verdict
    assert "assumption" not in found.reason
    bench.worded(found)


@pytest.mark.parametrize(
    ("movement", "verdict"), [(34, "accept"), (35, "accept"), (36, "conditional")]
)
def test_movement_at_its_share(bench: Any, movement: float, verdict: str) -> None:
    found = bench.finding("route-movement", {}, {**ROUTE, "route.movement": movement})
    share = movement / 350
    assert found.verdict.word == verdict
    assert (found.demand, found.limit) == (pytest.approx(share), pytest.approx(0.1))
    assert found.margin == pytest.approx(1 - share / 0.1, abs=1e-9)
    bench.worded(found)


@pytest.mark.parametrize(("tip", "most"), [(1000, 100), (379, 37), (30, 3)])
def test_movement_that_is_not_known(bench: Any, tip: float, most: float) -> None:
    """38 mm are assumed; at the other end nothing moves."""
    changes = {"route.run": [tip], "route.movement": "unknown"}
    found = bench.finding("route-movement", {}, changes)
    assert found.verdict.word == "conditional"
    assert found.demand == pytest.approx(38 / tip)
    assert found.check == f"both ends on the engine, or moving by at most {most} mm"


def test_movement_over_an_unknown_length_is_seen_to_by_its_share(bench: Any) -> None:
    found = bench.finding("route-movement", {}, {"route.run": [], "route.movement": 10})
    assert found.verdict.word == "conditional"
    assert math.isnan(found.demand)
    assert found.check == "both ends on the engine, or moving by at most 10 % of its free length"
    bench.worded(found)


def test_the_share_of_movement_comes_from_the_table(
    bench: Any, change_limit: Callable[[str, float], None]
) -> None:
    changes = {**ROUTE, "route.movement": 36}
    assert bench.word("route-movement", {}, changes) == "conditional"
    change_limit("movement-share-careful", 0.2)
    assert bench.word("route-movement", {}, changes) == "accept"


@pytest.mark.parametrize(("left", "verdict"), [(0.5, "accept"), (0.0, "accept"), (-0.5, "reject")])
def test_clearance_of_a_solved_route(bench: Any, left: float, verdict: str) -> None:
    rule = next(rule for rule in all_rules() if rule.code == "route-clearance")
    _, hoses = bench.shop({})
    jobs = bench.columns().change(clearance_left=np.array([[left]]), keep_outs=np.array([[1]]))
    found = finding(run_rule(rule, DistinctJobs(assume(jobs)), hoses), hoses, 0, 0)
    assert (found.verdict.word, found.demand, found.limit) == (verdict, left, 0)
    bench.worded(found)


def test_clearance_does_not_matter_without_keep_outs(bench: Any) -> None:
    assert bench.finding("route-clearance", {}, {}).reason == "does not matter for this job"
