"""The cut of a hose size: where the worst of bend and room is best, and what it stands."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from hoseselect.cutplan.free_gap import along_hose, least_gap_of
from hoseselect.cutplan.free_lie import Lie, least_distance
from hoseselect.cutplan.free_plan import FreePlan, plan_free_radius
from hoseselect.cutplan.length_curve import curve_of
from hoseselect.cutplan.own_weight import DOWN, with_weight
from hoseselect.cutplan.span_scan import kept
from hoseselect.domain.free_route import Clip, FreeRoute, KeepOut, Rocking, Vector
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import solve

UP, FORWARD, BACK = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0)
ELBOW = FreeRoute((120.0, 0.0, 80.0), UP, BACK)
U_TURN = FreeRoute((200.0, 0.0, 0.0), UP, UP)
HALFWAY = (math.sqrt(0.5), 0.0, math.sqrt(0.5))
ENDS = 50.0


def ceiling(height: float, **more: Any) -> KeepOut:
    place = (100.0, 0.0, height + 1000.0)
    return KeepOut("ceiling", "box", (place,), (3000.0, 3000.0, 2000.0), 10.0, **more)


def job_on(route: FreeRoute) -> Job:
    nipples = {"outside_diameter": 10, "engagement": ENDS / 2}
    plain = read_job({
        "service": "washer", "nipples": nipples, "route": {"free": {"wire": ["100 mm"]}},
    })  # fmt: skip
    return replace(plain, route=replace(plain.route, free=route))


def planned(route: FreeRoute, radius: float = 50.0, outside: float = 18.0) -> FreePlan:
    return plan_free_radius(job_on(route), radius, outside)


def margin(plan: FreePlan, length: float) -> float:
    """Worst margin that all but a few of the draws keep at a tip length, none beyond enough."""
    own = plan.sizes[0]
    assert plan.scan is not None
    as_told = plan.scan.told if own.any_side else plan.scan.set_laid
    (scan,) = as_told if own.stood == plan.route.tape_error else plan.scan.measured_again
    half = own.outside / 2 if plan.route.keep_outs else 0.0
    each, *_ = scan.margins(np.array([length]), own.radius, half, limit("error-chance"))
    return min(float(each[0]), limit("margin-enough"))


@pytest.mark.parametrize(
    ("route", "radius"),
    [(ELBOW, 40.0), (ELBOW, 48.0), (U_TURN, 80.0),
     (replace(U_TURN, keep_outs=(ceiling(140.0),)), 60.0),
     (replace(ELBOW, movement=(4.0, 0.0, 4.0)), 40.0)],
)  # fmt: skip
def test_no_neighbour_on_the_step_is_better(route: FreeRoute, radius: float) -> None:
    plan = planned(route, radius)
    own = plan.sizes[0]
    assert own.lie is not None
    assert own.cut % 5 == pytest.approx(0, abs=1e-6)
    here = margin(plan, own.tip)
    assert here >= 0
    assert own.shortest + own.tolerance <= own.tip + 0.05
    assert own.tip <= own.longest - own.tolerance + 0.05
    assert margin(plan, own.tip - 5) < here
    assert margin(plan, own.tip + 5) <= here + 2e-3
    assert own.lie.tightest_radius >= radius


def test_a_wider_hose_has_less_room_and_an_unknown_one_is_unknown() -> None:
    route = replace(U_TURN, keep_outs=(ceiling(160.0),))
    thin, thick, unknown = (
        planned(route, 60.0, outside=d).sizes[0] for d in (10.0, 20.0, math.nan)
    )
    assert 0 <= thick.room < thin.room
    assert unknown.lie is not None
    assert math.isnan(unknown.room)
    assert math.isnan(planned(U_TURN, 60.0).sizes[0].room)


def test_the_window_is_what_the_bend_and_the_ceiling_leave() -> None:
    free, low = (
        planned(replace(U_TURN, keep_outs=parts), 60.0).sizes[0]
        for parts in ((), (ceiling(130.0),))
    )
    assert math.isinf(free.longest)
    assert low.longest < 400
    assert low.shortest == pytest.approx(free.shortest, abs=0.1)
    plan = planned(replace(U_TURN, keep_outs=(ceiling(130.0),)), 60.0)
    inside, outside = (plan.solution.lie((low.longest + by,)) for by in (-3.0, 3.0))
    assert inside is not None
    assert outside is not None
    assert least_distance(inside, ceiling(130.0)) > 19 > least_distance(outside, ceiling(130.0))


def test_a_crowded_hose_has_no_cut_but_the_roomiest_length() -> None:
    part = ceiling(90.0)
    plan = planned(replace(U_TURN, keep_outs=(part,)), 60.0)
    own = plan.sizes[0]
    assert (own.spans, own.lie) == ((), None)
    assert own.width >= own.needed
    assert own.room < 0
    lie = plan.solution.lie(own.roomiest)
    assert lie is not None
    longer = plan.solution.lie((own.roomiest[0] + 10,))
    assert longer is not None
    assert least_distance(longer, part) < least_distance(lie, part)


def test_the_cut_lies_off_the_step_where_it_must() -> None:
    cuts = [planned(replace(U_TURN, mouth_b=(w, 0.0, 0.0)), 0.4905 * w).sizes[0].cut
            for w in np.linspace(200.0, 240.0, 9)]  # fmt: skip
    known = [cut for cut in cuts if not math.isnan(cut)]
    assert all(cut == pytest.approx(round(cut)) for cut in known)


def test_what_a_tape_leaves_is_measured_again_and_less_than_that_is_nothing() -> None:
    stood = [
        planned(replace(U_TURN, tape_error=7.0, angle_error=7.0), radius).sizes[0].stood
        for radius in (60.0, 92.0, 95.5)
    ]
    assert stood == [7.0, limit("careful-tape-error"), 0.0]


def test_a_long_bend_wants_its_set_laid_in_it_and_a_short_one_does_not() -> None:
    """The set is an arc of 400 mm: as wide as the bend of a U of a metre, far wider than 200 mm."""
    long = planned(replace(U_TURN, mouth_b=(1000.0, 0.0, 0.0)), 420.0).sizes[0]
    short = planned(U_TURN, 60.0).sizes[0]
    assert not long.any_side
    assert long.stood == 5.0
    assert short.any_side


def test_lines_come_before_loops() -> None:
    """A U-turn under a low ceiling might go round it on a hose three times as long."""
    pipe = KeepOut("pipe", "rod", ((100.0, -300.0, 150.0), (100.0, 300.0, 150.0)),
                   (20.0, 0.0, 0.0), 10.0)  # fmt: skip
    own = planned(replace(U_TURN, keep_outs=(pipe,)), 60.0).sizes[0]
    assert own.lie is not None
    assert own.lie.centreline[:, 2].max() < 150


def test_two_spans_share_the_tolerance() -> None:
    clip = Clip((50.0, 0.0, 70.0), HALFWAY)
    plan = planned(replace(ELBOW, clips=(clip,)), 25.0)
    own = plan.sizes[0]
    assert len(own.spans) == 2
    assert sum(own.spans) == pytest.approx(own.cut - ENDS)
    for k, windows in enumerate(plan.solution.windows(np.array([25.0]))):
        assert windows[0].shortest + own.tolerance / 2 <= own.spans[k] + 0.05
        assert own.spans[k] <= windows[0].longest - own.tolerance / 2 + 0.05


def test_a_lead_at_the_nipples_is_held_straight() -> None:
    plan = planned(replace(ELBOW, lead=10.0), 40.0)
    own = plan.sizes[0]
    assert own.lie is not None
    line = own.lie.centreline
    held = line[line[:, 2] <= 10.0]
    assert held[:, :2] == pytest.approx(0.0, abs=1e-9)
    assert line[-1] == pytest.approx((120, 0, 80))
    assert own.lie.at_rest[0].length == pytest.approx(own.tip - 20)
    assert planned(replace(ELBOW, lead=10.0), 40.0).best_radius < planned(ELBOW, 40.0).best_radius


def test_the_margin_leaves_out_the_worst_of_the_draws() -> None:
    radii = np.array([[40.0, 60.0, 60.0, 60.0]])
    rooms = np.array([[30.0, 30.0, 10.0, 30.0]])
    assert kept(radii, rooms, 50.0, 9.0, 0.0)[0] == pytest.approx([-0.2])
    assert kept(radii, rooms, 50.0, 9.0, 0.25)[0] == pytest.approx([1.0 / limit("room-per-margin")])
    assert kept(radii, rooms, 50.0, 9.0, 0.5)[0] == pytest.approx([0.2])


def test_a_length_reads_the_same_whichever_were_drawn_before_it() -> None:
    """Draws are made where they are asked for: between two lengths they are interpolated."""
    scan = planned(U_TURN, 60.0).scan
    other = planned(replace(U_TURN, mouth_b=(200.0, 0.0, 1e-9)), 60.0).scan
    assert scan is not None
    assert other is not None
    (one,), (two,) = scan.told, other.told
    lengths = np.linspace(one.length[0] - 5, one.length[-1] + 5, 40)
    whole = one.margins(lengths, 60.0, 0.0, 0.05)[1]
    each = [float(two.margins(lengths[k : k + 1], 60.0, 0.0, 0.05)[1][0]) for k in range(40)]
    assert each == pytest.approx(whole.tolist(), abs=1e-6)


def test_a_keep_out_moves_with_its_body() -> None:
    """Beside nipple A the hose hardly moves: a part of the engine comes nearer there.

    Where nobody knows what it sits on, it counts as either.
    """
    part = KeepOut("pump", "ball", ((-40.0, 0.0, 30.0),), (20.0, 0.0, 0.0), 10.0)
    lie = lie_of(replace(U_TURN, movement=(8.0, 0.0, 0.0)), 300.0)
    still, moved, either = (
        least_distance(lie, replace(part, moves=state)) for state in (False, True, None)
    )
    assert moved < still - 5
    assert either == pytest.approx(min(still, moved))


@pytest.mark.parametrize(("moves", "room"), [(False, True), (True, False), (None, False)])
def test_the_lengths_are_those_that_clear_a_part_wherever_it_may_be(
    moves: bool | None, room: bool
) -> None:
    part = KeepOut("pump", "ball", ((-25.0, 0.0, 10.0),), (20.0, 0.0, 0.0), 3.0, moves=moves)
    route = replace(U_TURN, movement=(8.0, 0.0, 0.0), keep_outs=(part,))
    own = planned(route, 40.0).sizes[0]
    assert (own.room >= 0) is room
    assert (own.lie is not None) is room


def test_weight_is_that_of_the_solver() -> None:
    plan = planned(U_TURN, 60.0)
    spans = plan.sizes[0].spans
    radius, room = with_weight(plan.solution, spans, np.array([0.0, 5.0, 20.0]))
    for number, found in zip((0.0, 5.0, 20.0), radius, strict=True):
        shape = solve(plan.solution.pose, spans[0], weight_number=number, down=DOWN)
        assert found == pytest.approx(shape.tightest_radius, rel=3e-3)
    assert radius[2] != pytest.approx(radius[0], rel=0.01)
    assert np.isinf(room).all()


def test_the_curve_holds_the_cut_and_what_it_stands() -> None:
    plan = planned(replace(U_TURN, keep_outs=(ceiling(150.0),)), 70.0)
    own = plan.sizes[0]
    curve = curve_of(plan, own)
    assert curve is not None
    assert curve.window[0] <= curve.stood[0] <= own.cut <= curve.stood[1] <= curve.window[1]
    assert curve.chosen == own.cut
    here = int(np.abs(curve.cut - own.cut).argmin())
    assert own.lie is not None
    assert curve.radius[here] == pytest.approx(own.lie.tightest_radius, rel=0.02)
    assert (curve.radius_low <= curve.radius + 1e-9)[here]
    assert np.isfinite(curve.room).all()


def test_a_curve_without_a_cut_has_no_window_of_its_own() -> None:
    plan = planned(replace(U_TURN, keep_outs=(ceiling(90.0),)), 60.0)
    curve = curve_of(plan, plan.sizes[0])
    assert curve is not None
    assert math.isnan(curve.chosen)
    assert all(math.isnan(end) for end in (*curve.window, *curve.stood))
    none = planned(U_TURN, 130.0)
    assert curve_of(none, none.sizes[0]) is None


def lie_of(route: FreeRoute, length: float) -> Lie:
    lie = planned(route).solution.lie((length,))
    assert lie is not None
    return lie


@pytest.mark.parametrize(
    ("part", "on_cover", "on_surface", "left"),
    [
        (KeepOut("x", "ball", ((100.0, 0.0, 50.0),), (20.0, 0, 0), 1.0),
         (100, 0, 9), (100, 0, 40), 31),
        (KeepOut("x", "rod", ((100.0, -9.0, -30.0), (100.0, 9.0, -30.0)), (16.0, 0, 0), 1.0),
         (100, 0, -9), (100, 0, -22), 13),
        (KeepOut("x", "box", ((100.0, 60.0, 0.0),), (1.0, 80.0, 8.0), 1.0),
         (100, 9, 0), (100, 20, 0), 11),
        (KeepOut("x", "ball", ((100.0, 0.0, 12.0),), (20.0, 0, 0), 1.0),
         (100, 0, 9), (100, 0, 2), -7),
    ],
)  # fmt: skip
def test_the_least_gap_lies_between_cover_and_surface(
    part: KeepOut, on_cover: Vector, on_surface: Vector, left: float
) -> None:
    """A straight hose of 18 mm along x."""
    route = replace(FreeRoute((200.0, 0.0, 0.0), FORWARD, BACK), keep_outs=(part,))
    lie = lie_of(route, 200.0)
    gap = least_gap_of(route, lie, 18.0)
    assert gap is not None
    assert gap.left == pytest.approx(left, abs=0.02)
    assert gap.at[0] == pytest.approx(on_cover, abs=1.5)
    assert gap.at[1] == pytest.approx(on_surface, abs=1.5)
    assert along_hose(gap, lie) == pytest.approx(100.0, abs=1.5)
    said = gap.words("{:.0f} mm".format)
    assert said == ("touches x" if left < 0 else f"{left:.0f} mm to x") + ", 1 mm wanted"


def test_no_keep_outs_no_gap() -> None:
    assert least_gap_of(U_TURN, lie_of(U_TURN, 320.0), 18.0) is None


def test_a_route_that_rocks_lies_otherwise_at_its_extremes() -> None:
    rocks = Rocking((120.0, 0.0, -200.0), (0.0, 1.0, 0.0), 2.0)
    still, rocking = (lie_of(replace(ELBOW, rocking=one), 170.0) for one in (None, rocks))
    assert still.moved == ()
    assert len(rocking.moved) == 2
    for shapes, placed in zip(rocking.moved, rocking.placements[1:], strict=True):
        assert shapes[-1].pose.end == pytest.approx(placed.point(np.array(ELBOW.mouth_b)))
        assert shapes[-1].pose.end_direction == pytest.approx(placed.direction(np.array(FORWARD)))
    assert rocking.tightest_radius < still.tightest_radius


def test_a_part_on_the_body_moves_against_a_hose_on_the_engine() -> None:
    """Both nipples on the engine: the hose keeps its shape, and the body comes nearer."""
    part = KeepOut("wall", "ball", ((-60.0, 0.0, 60.0),), (20.0, 0.0, 0.0), 10.0, moves=True)
    rocks = Rocking((120.0, 0.0, -200.0), (0.0, 1.0, 0.0), 3.0)
    route = replace(ELBOW, mouth_moves=False, rocking=rocks, keep_outs=(part,))
    lie = lie_of(route, 170.0)
    assert lie.tightest_position == 0
    assert least_distance(lie, part) < least_distance(lie, replace(part, moves=False)) - 1
