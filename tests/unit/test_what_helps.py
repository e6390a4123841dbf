"""What helps where no length works: every advice is a changed route that suits, and said so."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from hoseselect.cutplan.bench_words import place_words, rounded_direction, rounded_place
from hoseselect.cutplan.best_on_route import largest_radius_with_room
from hoseselect.cutplan.changed_route import Advice, Need, may_be_cut, passes
from hoseselect.cutplan.clip_search import clip_advice
from hoseselect.cutplan.elbow_search import elbow_advice
from hoseselect.cutplan.free_plan import FreePlan, plan_free_radius
from hoseselect.cutplan.nipple_turn import turn_advice
from hoseselect.cutplan.what_helps import best_lie, what_helps
from hoseselect.domain.free_route import FreeRoute, KeepOut, Vector
from hoseselect.domain.job import Job
from hoseselect.intake.directions import read_direction
from hoseselect.intake.offsets import read_offset
from hoseselect.intake.read_job import read_job
from hoseselect.mechanics.rod import Pose, solve
from hoseselect.mechanics.rod.pose import across

ELBOW = {"offset": "forward 120 mm; up 80 mm", "nipple_a_points": "up", "nipple_b_points": "back"}
LARGE = {"offset": "forward 220 mm; up 200 mm", "nipple_a_points": "up", "nipple_b_points": "back"}
APART = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "down"}
U_TURN = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "up"}
OUTSIDE = 16.0


def job_on(free: dict[str, Any]) -> Job:
    nipples = {"outside_diameter": 13, "engagement": 25}
    return read_job({"service": "washer", "nipples": nipples, "route": {"free": free}})


def with_route(job: Job, route: FreeRoute) -> Job:
    return replace(job, route=replace(job.route, free=route))


def refused(job: Job, radius: float) -> tuple[FreePlan, Need]:
    """The plan of a hose that its route does not suit, and what the hose needs."""
    plan = plan_free_radius(job, radius, outside=OUTSIDE)
    assert not suits(plan.route, radius)
    return plan, Need(job, radius, OUTSIDE, plan.engagements, 5.0)


def suits(route: FreeRoute, radius: float) -> bool:
    return passes(route, radius, OUTSIDE, 50.0, 5.0) is not None


def works(advice: Advice, job: Job, radius: float) -> bool:
    """Whether every advised route may be cut, planned from scratch."""
    plans = [plan_free_radius(with_route(job, one), radius, outside=OUTSIDE)
             for one in advice.routes]  # fmt: skip
    return all(may_be_cut(plan.sizes[0], plan.route) for plan in plans)


def unit(*parts: float) -> Vector:
    x, y, z = (part / math.hypot(*parts) for part in parts)
    return (x, y, z)


def ball(x: float, y: float, z: float, size: float) -> KeepOut:
    return KeepOut("exhaust", "ball", ((x, y, z),), (size, 0.0, 0.0), 10.0)


CROWDED = FreeRoute((251.0, -56.0, 151.0), unit(-0.7, -0.45, 0.56), unit(-0.23, 0.97, 0.04),
                    keep_outs=(ball(95.0, 130.0, 234.0, 23.0),), lead=10.0)  # fmt: skip
SKEW = FreeRoute((96.0, -3.0, 83.0), unit(-0.43, 0.16, 0.89), unit(0.53, 0.84, -0.15), lead=10.0)
MOVING = FreeRoute((-75.0, -215.0, 108.0), unit(-0.41, -0.9, -0.16), unit(-0.45, 0.23, 0.86),
                   movement=(3.0, 3.0, 9.0), lead=10.0)  # fmt: skip
LIKE_B = FreeRoute((65.0, 40.0, -191.0), unit(0.3, 0.94, -0.18), unit(-0.25, -0.47, 0.85),
                   movement=(14.0, 10.0, 12.0), keep_outs=(ball(99.0, 35.0, -40.0, 50.0),),
                   lead=10.0)  # fmt: skip
CLIPPED = [(CROWDED, 140.0, ""), (SKEW, 70.0, ""), (MOVING, 86.0, "A"), (LIKE_B, 52.0, "B")]


@pytest.mark.parametrize(
    ("free", "radius"), [(APART, 50.0), ({**APART, "movement": "up 2 mm"}, 47.0)]
)
def test_a_turn_that_is_advised_suits(free: dict[str, Any], radius: float) -> None:
    job = job_on(free)
    plan, need = refused(job, radius)
    advice = turn_advice(plan.route, need, plan.best_radius)
    assert advice is not None
    assert advice.words.startswith("turn nipple ")
    assert works(advice, job, radius)


@pytest.mark.parametrize(("route", "radius", "body"), CLIPPED)
def test_a_clip_that_is_advised_suits_where_its_words_say(
    route: FreeRoute, radius: float, body: str
) -> None:
    job = with_route(job_on(LARGE), route)
    plan, need = refused(job, radius)
    advice = clip_advice(plan.route, best_lie(plan, plan.sizes[0]), need)
    assert advice is not None
    (changed,) = advice.routes
    (clip,) = changed.clips
    said = advice.words.removeprefix("a clip that holds the hose ")
    place, rest = said.split(" of nipple A's mouth")
    assert read_offset(place) == clip.place
    runs = rest.split("the hose running ")[1].removesuffix(" there")
    assert clip.along == pytest.approx(read_direction(runs))
    assert bool(clip.moves) == (body == "B")
    assert (f"fixed to what nipple {body} sits on" in rest) == bool(body)
    assert works(advice, job, radius)


def test_no_clip_where_up_is_not_known_or_no_shape_is() -> None:
    job = with_route(job_on(LARGE), SKEW)
    plan, need = refused(job, 70.0)
    lie = best_lie(plan, plan.sizes[0])
    assert clip_advice(replace(plan.route, oriented=False), lie, need) is None
    assert clip_advice(plan.route, None, need) is None


def test_two_straight_pieces_and_an_elbow_are_both_solved() -> None:
    job = job_on(LARGE)
    assert job.route.free is not None
    need = Need(job, 60.0, OUTSIDE, (25.0, 25.0), 5.0)
    advice = elbow_advice(job.route.free, need, [45.0, 90.0])
    assert advice is not None
    assert "elbow of 90 deg" in advice.words
    first, second = advice.routes
    assert np.allclose(first.mouth_b, (0.0, 0.0, 200.0 - 26.0))
    assert np.allclose(second.mouth_b, (220.0 - 26.0, 0.0, 0.0))
    assert all(least_radius_with_errors(piece) >= 60.0 for piece in advice.routes)
    assert elbow_advice(job.route.free, replace(need, radius=5_000.0), [90.0]) is None


def least_radius_with_errors(piece: FreeRoute) -> float:
    """Tightest bend of a piece to an elbow that the other piece of 3 mm and 2 mm put aside.

    Solved as a rod, the nipple turned by 2 deg, at the length at which no force pushes it along.
    """
    mouth, lead, radii = np.array(piece.mouth_b), piece.lead, []
    along = mouth / np.linalg.norm(mouth)
    first = across(along)
    for side in (first, -first, np.cross(along, first), -np.cross(along, first)):
        for tilt in (-1.0, 1.0):
            leaves = np.array(piece.points_a) + tilt * math.tan(math.radians(2.0)) * side
            leaves /= np.linalg.norm(leaves)
            arrives = -np.array(piece.points_b)
            pose = Pose(lead * leaves, leaves, mouth + 5.0 * side - lead * arrives, arrives)

            def pushed(slack: float, pose: Pose = pose) -> float:
                return float(solve(pose, pose.distance * (1 + slack)).end_force @ pose.chord)

            slack = brentq(pushed, 1e-5, 3e-2, xtol=1e-7)
            radii.append(solve(pose, pose.distance * (1 + slack)).tightest_radius)
    return min(radii)


def test_the_tightest_hose_for_an_elbow_lies_just_inside_what_a_rod_allows() -> None:
    """The closed form is as strict as the rod, and not much stricter."""
    job = job_on(LARGE)
    assert job.route.free is not None

    def found(radius: float) -> Advice | None:
        need = Need(job, radius, OUTSIDE, (25.0, 25.0), 5.0)
        return elbow_advice(job.route.free, need, [90.0]) if job.route.free else None

    advice = found(60.0)
    assert advice is not None
    allowed = min(least_radius_with_errors(piece) for piece in advice.routes)
    assert found(0.85 * allowed) is not None
    assert found(1.01 * allowed) is None


def test_an_elbow_on_a_route_that_moves_is_held_and_its_second_piece_is_planned() -> None:
    job = job_on({**LARGE, "movement": "up 1 mm"})
    assert job.route.free is not None
    need = Need(job, 25.0, OUTSIDE, (25.0, 25.0), 5.0)
    advice = elbow_advice(job.route.free, need, [90.0])
    assert advice is not None
    assert "held on what nipple A sits on" in advice.words
    assert need.met(advice.routes[1])
    assert elbow_advice(job.route.free, replace(need, radius=150.0), [90.0]) is None


def test_no_elbow_where_a_straight_piece_would_touch() -> None:
    job = job_on(LARGE)
    assert job.route.free is not None
    need = Need(job, 60.0, OUTSIDE, (25.0, 25.0), 5.0)
    told = []
    for away in (20.0, 60.0):
        route = replace(job.route.free, keep_outs=(ball(100.0, away, 200.0, 20.0),))
        told.append(elbow_advice(route, need, [90.0]) is None)
    assert told == [True, False]


@pytest.mark.parametrize(
    ("free", "angles"),
    [
        (LARGE, [45.0]),  # no elbow of the angle
        (LARGE, []),
        (U_TURN, [90.0, 180.0]),  # parallel lines never meet
        ({**LARGE, "offset": "forward 220 mm; left 30 mm; up 200 mm"}, [90.0]),  # they pass
        ({**LARGE, "offset": "back 220 mm; up 200 mm"}, [90.0]),  # they meet behind nipple B
        ({**LARGE, "offset": "forward 40 mm; up 40 mm"}, [90.0]),  # no room for both legs
    ],
)
def test_no_elbow_where_the_lines_do_not_meet_at_its_angle(
    free: dict[str, Any], angles: list[float]
) -> None:
    job = job_on(free)
    assert job.route.free is not None
    need = Need(job, 60.0, OUTSIDE, (25.0, 25.0), 5.0)
    assert elbow_advice(job.route.free, need, angles) is None


def test_no_advice_where_nothing_helps() -> None:
    plan, need = refused(job_on(ELBOW), 5_000.0)
    assert what_helps(plan, plan.sizes[0], need, [90.0]) == []


def test_two_things_at_most_the_cheapest_first() -> None:
    order = ["turn", "clip", "elbow"]
    for route, radius in ((CROWDED, 140.0), (SKEW, 70.0)):
        job = with_route(job_on(LARGE), route)
        plan, need = refused(job, radius)
        found = what_helps(plan, plan.sizes[0], need, [90.0])
        kinds = [one.kind for one in found]
        assert 1 <= len(kinds) <= 2
        assert kinds == sorted(kinds, key=order.index)
        assert all(works(one, job, radius) for one in found)


def test_the_largest_radius_counts_what_is_near() -> None:
    free = job_on(LARGE)
    bare_plan = plan_free_radius(free, 40.0, outside=OUTSIDE)
    bare = largest_radius_with_room(bare_plan, OUTSIDE)
    lie = bare_plan.solution.lie(bare_plan.solution.best_spans)
    assert lie is not None
    x, y, z = (float(part) for part in lie.centreline[len(lie.centreline) // 2])
    told = []
    for away in (30.0, 2_000.0):
        route = replace(bare_plan.route, keep_outs=(ball(x, y + away, z, 40.0),))
        plan = plan_free_radius(with_route(free, route), 40.0, outside=OUTSIDE)
        assert math.isnan(largest_radius_with_room(plan))
        told.append(largest_radius_with_room(plan, OUTSIDE))
    assert told[0] < 0.9 * bare
    assert told[1] == pytest.approx(bare, rel=0.05)


@pytest.mark.parametrize("seed", range(20))
def test_rounded_words_are_read_as_the_same_place_and_direction(seed: int) -> None:
    rng = np.random.default_rng(seed)
    place = rounded_place(rng.uniform(-300, 300, 3))
    assert read_offset(place_words(place, "mm")) == place
    way = rng.normal(size=3)
    way /= np.linalg.norm(way)
    direction, words = rounded_direction(way)
    assert read_direction(words) == pytest.approx(direction)
    assert np.degrees(np.arccos(np.clip(way @ direction, -1, 1))) < 4.0
