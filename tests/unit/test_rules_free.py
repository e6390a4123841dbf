"""Rules of free routes on solved shapes: inside, at the edge, outside; on other routes not at all.

The rules alone, at their limits, are tried with the other rules of bend and route; here the
figures come from a route that is solved.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.report import finding
from hoseselect.cutplan.free_columns import with_free
from hoseselect.cutplan.free_lie import least_distance
from hoseselect.cutplan.free_plan import FreePlan, plan_free
from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.plan_cut import job_lengths
from hoseselect.domain.finding import Finding
from hoseselect.domain.free_route import KeepOut
from hoseselect.judging.assume import assume
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import run_rule
from hoseselect.judging.job_columns import job_columns
from hoseselect.mechanics.rod import Pose, Profile, others_many, solve
from hoseselect.rules.manual import all_rules

NO_LEAD = {"lead": "0 mm"}
UP = (0.0, 0.0, 1.0)
U_TURN = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "up", **NO_LEAD}
S_BEND = {"offset": "forward 200 mm; left 60 mm", "nipple_a_points": "forward",
          "nipple_b_points": "back", **NO_LEAD}  # fmt: skip
CODES = ("bend-window", "bend-margin", "bend-measuring", "bend-set", "bend-second-shape",
         "bend-weight", "route-clearance", "route-measuring")  # fmt: skip


def planned(bench: Any, free: dict[str, Any], **cells: Any) -> FreePlan:
    """Return the plan of a free route for one made hose."""
    _, columns = bench.shop(cells)
    plan = plan_free(bench.job({"route": {"free": free}}), columns)
    assert plan is not None
    return plan


def said(bench: Any, code: str, free: dict[str, Any], **cells: Any) -> Finding:
    """Return what a rule says of one made hose on a free route."""
    _, columns = bench.shop(cells)
    job = bench.job({"route": {"free": free}})
    plan = planned(bench, free, **cells)
    jobs = with_free(job_columns([job], job_lengths([job])), plan, job, columns)
    rule = next(rule for rule in all_rules() if rule.code == code)
    return finding(run_rule(rule, DistinctJobs(assume(jobs)), columns), columns, 0, 0)


@pytest.mark.parametrize(
    ("radius", "verdict"), [(60, "accept"), (90, "accept"), (95, "accept"), (99, "reject"),
                            (101, "reject"), (140, "reject")],
)  # fmt: skip
def test_window_of_a_u_turn_against_the_tolerance(bench: Any, radius: float, verdict: str) -> None:
    """Best radius 100 mm; the nearer to it, the narrower the window."""
    found = said(bench, "bend-window", U_TURN, least_bend_radius_mm=radius)
    assert found.verdict.word == verdict
    bench.worded(found)


def test_the_window_at_the_width_needed(bench: Any) -> None:
    """Two hoses a hair apart, one on each side of the width that 4.5 mm either way need."""
    job = bench.job({"route": {"free": U_TURN}})
    assert job.route.free is not None
    profile = Profile([FreeSolution(job.route.free, 90.0).pose], 90.0)
    radii = np.linspace(95.0, 99.0, 81)
    widths = np.array([window.width for window in profile.windows(radii)])
    last = int(np.flatnonzero(widths >= 2 * 4.5 + 1)[-1])
    for radius, verdict in ((radii[last], "accept"), (radii[last + 1], "reject")):
        found = said(bench, "bend-window", U_TURN, least_bend_radius_mm=float(radius))
        assert found.verdict.word == verdict
        assert found.limit == pytest.approx(10)
        assert found.demand == pytest.approx(np.interp(radius, radii, widths), abs=0.1)


def test_a_hose_is_refused_without_a_window_even_if_nothing_else_is_wrong(bench: Any) -> None:
    answer = bench.answer(
        {"least_bend_radius_mm": 60}, {"least_bend_radius_mm": 99}, {"least_bend_radius_mm": 140},
        changes={"route": {"free": U_TURN}},
    )  # fmt: skip
    words = {hose.hose: hose.verdict.word for hose in answer.hoses}
    assert words["H1-1"] != "reject"
    assert (words["H2-1"], words["H3-1"]) == ("reject", "reject")
    for hose in answer.hoses:
        assert (hose.cut is None) == (words[hose.hose] == "reject")


def test_a_second_shape_is_found_and_judged(bench: Any) -> None:
    """The second radius of the rule is the one that the solver finds at the cut length."""
    found = said(bench, "bend-second-shape", S_BEND, least_bend_radius_mm=40)
    job = bench.job({"route": {"free": S_BEND}})
    _, columns = bench.shop({"least_bend_radius_mm": 40})
    plan = plan_free(job, columns)
    assert plan is not None
    case = plan.solution.pose, plan.sizes[0].tip
    first = solve(*case)
    both = [first, *others_many([case], [first])[0]]
    assert len(both) == 2
    assert found.demand == pytest.approx(both[1].tightest_radius, rel=1e-6)
    assert found.verdict.word == "accept"
    bench.worded(found)


def test_one_way_to_lie_is_no_question(bench: Any) -> None:
    found = said(bench, "bend-second-shape", U_TURN, least_bend_radius_mm=60)
    assert found.reason == "does not matter for this job"


@pytest.mark.parametrize(
    ("width", "hardness", "verdict"),
    [(300, 85, "accept"), (1200, 85, "accept"), (1200, 30, "conditional")],
)
def test_a_soft_long_hose_sags(bench: Any, width: int, hardness: float, verdict: str) -> None:
    long = {**U_TURN, "offset": f"forward {width} mm"}
    cells = {"least_bend_radius_mm": 0.3 * width, "hardness_shore_a": hardness}
    found = said(bench, "bend-weight", long, **cells)
    assert (found.verdict.word, found.demand > found.limit) == (verdict, verdict != "accept")
    bench.worded(found)


def test_weight_grows_with_the_third_power_of_the_length(bench: Any) -> None:
    tips, numbers = [], []
    for width in (200, 400):
        free, cells = {**U_TURN, "offset": f"forward {width} mm"}, {"least_bend_radius_mm": 60}
        tips.append(planned(bench, free, **cells).sizes[0].tip)
        numbers.append(said(bench, "bend-weight", free, **cells).demand)
    assert tips[1] > 1.5 * tips[0]
    assert numbers[1] / numbers[0] == pytest.approx((tips[1] / tips[0]) ** 3)


def under(height: float, **stated: Any) -> dict[str, Any]:
    """A U-turn under a ceiling, so high that no hose goes round it."""
    box = {"box": f"forward 100 mm; up {height + 1000} mm",
           "size": "forward 1000 mm; left 1000 mm; up 2000 mm"}  # fmt: skip
    return {**U_TURN, "keep_out": [{"name": "ceiling", **box, **stated}]}


def crown(length: float) -> float:
    """Height of a U-turn of some length."""
    pose = Pose(np.zeros(3), np.array(UP), np.array([200.0, 0.0, 0.0]), -np.array(UP))
    return float(solve(pose, length).centreline(2001)[:, 2].max())


def hose(outside: float = 18) -> dict[str, float]:
    return {"least_bend_radius_mm": 60, "outside_diameter_mm": outside}


@pytest.mark.parametrize(("extra", "verdict"), [(1.0, "accept"), (-1.0, "reject"), (-18, "reject")])
def test_clearance_at_the_lowest_line_that_bends_no_tighter(
    bench: Any, extra: float, verdict: str
) -> None:
    """Half of 18 mm hose and 10 mm of air above the shortest cut, long by its tolerance: with a
    millimetre more that one is cut, with a millimetre less none is.
    """
    bare = planned(bench, U_TURN, **hose()).sizes[0]
    lowest = crown(bare.shortest + 2 * bare.tolerance)
    found = said(bench, "route-clearance", under(lowest + 9 + 10 + extra), **hose())
    assert found.verdict.word == verdict
    assert found.demand == pytest.approx(extra, abs=1.0)
    bench.worded(found)


@pytest.mark.parametrize(("extra", "verdict"), [(40.0, "accept"), (1.0, "conditional")])
def test_a_gap_that_errors_may_close_is_a_condition(bench: Any, extra: float, verdict: str) -> None:
    """A millimetre more than is wanted is less than a tape within 5 mm tells."""
    bare = planned(bench, U_TURN, **hose()).sizes[0]
    free = under(crown(bare.shortest + 2 * bare.tolerance) + 9 + 10 + extra)
    assert said(bench, "route-clearance", free, **hose()).verdict.word == "accept"
    found = said(bench, "route-measuring", free, **hose())
    assert found.verdict.word == verdict
    assert (found.demand, found.limit) == (5.0 if verdict == "accept" else 0.0, 5.0)
    bench.worded(found)


@pytest.mark.parametrize("height", [105.0, 112.0, 130.0])
def test_the_room_is_that_within_the_tolerance_of_the_cut(bench: Any, height: float) -> None:
    """It wants 12 mm of air, 3 for growth and 4 for shake."""
    free = under(height + 28, clearance=12, growth=3, shake=4)
    own = planned(bench, free, **hose()).sizes[0]
    found = said(bench, "route-clearance", free, **hose())
    left = height - crown(own.tip + own.tolerance)
    assert left >= 0
    assert found.demand == pytest.approx(left, abs=0.3)
    assert found.demand <= height - crown(own.tip) + 0.01


def test_a_thicker_hose_comes_nearer(bench: Any) -> None:
    """Where neither keeps clear, both are told of the line with most room."""
    thin, thick = (
        said(bench, "route-clearance", under(90.0), **hose(outside)) for outside in (18.0, 24.0)
    )
    assert thin.demand < 0
    assert thin.demand - thick.demand == pytest.approx(3, abs=0.01)


def test_a_hot_part_wants_more(bench: Any) -> None:
    for more, verdict in ({}, "accept"), ({"hot": "yes"}, "reject"):
        found = said(bench, "route-clearance", under(150.0, **more), **hose())
        assert found.verdict.word == verdict


def test_a_hose_of_unknown_diameter_has_an_unknown_clearance(bench: Any) -> None:
    pipe = {"name": "pipe", "ball": "forward 100 mm; up 300 mm", "diameter": 20}
    found = said(
        bench, "route-clearance", {**U_TURN, "keep_out": [pipe]},
        least_bend_radius_mm=60, outside_diameter_mm="",
    )  # fmt: skip
    assert found.verdict.word == "unknown"


def test_the_other_way_to_lie_is_looked_at(bench: Any) -> None:
    """A slack S-bend may bow up or down: a part on either side is in the way."""
    job = bench.job({"route": {"free": S_BEND}})
    _, columns = bench.shop({"least_bend_radius_mm": 40})
    plan = plan_free(job, columns)
    assert plan is not None
    lie = plan.sizes[0].lie
    assert lie is not None
    x, y, z = lie.centreline[100]
    for side in (1, -1):
        part = KeepOut("part", "ball", ((float(x), float(y), side * float(z)),), (10, 0, 0), 0.0)
        assert least_distance(replace(lie), part) < 0.5


@pytest.mark.parametrize("code", CODES)
def test_other_routes_are_not_asked(bench: Any, code: str) -> None:
    for route in ({"run": [100, {"bend": 60, "radius": 200}]}, {"measured": 300}, {}):
        found = bench.finding(code, {}, {"route": route})
        assert found.reason == "does not matter for this job"
        assert found.verdict.word == "accept"


@pytest.mark.parametrize("code", CODES)
def test_the_rules_are_asked_on_a_free_route(bench: Any, code: str) -> None:
    free = {**S_BEND, "keep_out": [{"name": "x", "ball": "down 90 mm", "diameter": 9}]}
    found = said(bench, code, free, least_bend_radius_mm=40)
    assert found.reason != "does not matter for this job"


def test_a_clearance_that_is_missed_is_said_as_too_near(bench: Any) -> None:
    """1.8 mm too near is a length that people can see, -1.8 mm left is none."""
    found = said(bench, "route-clearance", under(90.0), **hose())
    assert found.demand < -1
    assert "mm too near" in found.reason
    assert "-" not in found.reason
