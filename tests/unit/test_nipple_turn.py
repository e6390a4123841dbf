"""How far a nipple must be turned: the turn makes the radius fit, and less does not."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from hoseselect.cutplan.changed_route import Need, passes
from hoseselect.cutplan.free_plan import plan_free_radius
from hoseselect.cutplan.free_spans import turned
from hoseselect.cutplan.nipple_turn import Turn, least_turn
from hoseselect.domain.free_route import FreeRoute, Vector
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job

NO_LEAD = {"lead": "0 mm"}
U_TURN = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "up", **NO_LEAD}
UP_AND_BACK = {"nipple_a_points": "up", "nipple_b_points": "back"}
ELBOW = {"offset": "forward 120 mm; up 80 mm", **UP_AND_BACK, **NO_LEAD}
ENGAGED = 50.0
APART = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "down"}
HIGHER = {"offset": "forward 150 mm; up 100 mm", "nipple_a_points": "up", "nipple_b_points": "up"}
CASES: list[tuple[dict[str, Any], float]] = [
    (ELBOW, 64.0),
    (ELBOW, 66.0),
    (APART, 50.0),
    (HIGHER, 75.0),
]


def job_on(free: dict[str, Any]) -> Job:
    nipples = {"outside_diameter": 13, "engagement": 25}
    return read_job({"service": "washer", "nipples": nipples, "route": {"free": free}})


def with_turn(job: Job, end: str, angle: float) -> Job:
    """The job with one nipple turned towards the other mouth."""
    route = job.route.free
    assert route is not None
    chord = np.array(route.mouth_b) / np.linalg.norm(route.mouth_b)

    def swing(points: Vector, towards: Any) -> Vector:
        x, y, z = turned(points, towards, np.radians(angle))
        return float(x), float(y), float(z)

    if end == "A":
        new: FreeRoute = replace(route, points_a=swing(route.points_a, chord))
    else:
        new = replace(route, points_b=swing(route.points_b, -chord))
    return replace(job, route=replace(job.route, free=new))


def fits(job: Job, radius: float) -> bool:
    route = job.route.free
    assert route is not None
    return passes(route, radius, float("nan"), ENGAGED, 5.0) is not None


def turn_of(job: Job, radius: float) -> Turn | None:
    plan = plan_free_radius(job, radius)
    need = Need(job, radius, float("nan"), plan.engagements, 5.0)
    return least_turn(plan.route, need, plan.best_radius)


@pytest.mark.parametrize(("free", "radius"), CASES)
def test_the_turn_makes_the_radius_fit_and_a_step_less_does_not(
    free: dict[str, Any], radius: float
) -> None:
    job = job_on(free)
    assert not fits(job, radius)
    turn = turn_of(job, radius)
    assert turn is not None
    assert 0 < turn.angle <= 60
    assert fits(replace(job, route=replace(job.route, free=turn.route)), radius)
    if turn.name.startswith("towards"):
        assert turn.angle % 5 == 0
        own = with_turn(job, turn.end, turn.angle).route.free
        assert own is not None
        for name in ("points_a", "points_b"):
            assert getattr(turn.route, name) == pytest.approx(getattr(own, name))
        if turn.angle > 5 and not any(turn.route.movement):
            assert not fits(with_turn(job, turn.end, turn.angle - 5), radius)


@pytest.mark.parametrize(("free", "radius"), [(U_TURN, 150.0), (ELBOW, 5_000.0)])
def test_where_no_turn_helps_none_is_named(free: dict[str, Any], radius: float) -> None:
    job = job_on(free)
    assert turn_of(job, radius) is None
    for end in "AB":
        for angle in (5.0, 30.0):
            assert not fits(with_turn(job, end, angle), radius)


def test_movement_wants_a_larger_turn() -> None:
    """What suits at rest after a turn is tried again with movement, and refused where it fails."""
    job = job_on(ELBOW)
    turn = turn_of(job, 64.0)
    assert turn is not None
    assert not passes_moving(turn.route, 64.0)
    moved = turn_of(job_on({**ELBOW, "movement": "up 8 mm"}), 64.0)
    assert moved is None or moved.angle > turn.angle


def passes_moving(route: FreeRoute, radius: float) -> bool:
    moving = replace(route, movement=(0.0, 0.0, 8.0))
    return passes(moving, radius, float("nan"), ENGAGED, 5.0) is not None


def test_with_a_clip_a_nipple_is_turned_by_what_suits_both_spans() -> None:
    clip = {"at": "up 100 mm; left 30 mm", "along": "up"}
    job = job_on({
        "offset": "up 200 mm", "nipple_a_points": "up and 75 deg right",
        "nipple_b_points": "down", "clip": [clip],
    })  # fmt: skip
    assert not fits(job, 24.0)
    turn = turn_of(job, 24.0)
    assert turn is not None
    assert fits(replace(job, route=replace(job.route, free=turn.route)), 24.0)
