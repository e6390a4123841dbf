"""How far a nipple must be turned: the turn makes the radius fit, and less does not."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from hoseselect.cutplan.free_columns import plan_free_radius
from hoseselect.cutplan.free_solution import turned
from hoseselect.cutplan.nipple_turn import least_turn
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
CASES: list[tuple[dict[str, Any], float, str]] = [
    (ELBOW, 75.0, "A"),
    (ELBOW, 80.0, "A"),
    ({**ELBOW, "movement": "up 2 mm"}, 70.0, "A"),
    ({**ELBOW, "lead": "10 mm"}, 64.0, "A"),
    (APART, 50.0, "A"),
    (HIGHER, 80.0, "B"),
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
    own = plan_free_radius(job, radius).sizes[0]
    return own.lie is not None and own.lie.tightest_radius >= radius


@pytest.mark.parametrize(("free", "radius", "which"), CASES)
def test_the_turn_makes_the_radius_fit_and_a_little_less_does_not(
    free: dict[str, Any], radius: float, which: str
) -> None:
    job = job_on(free)
    assert job.route.free is not None
    assert not fits(job, radius)
    found = least_turn(job.route.free, radius, ENGAGED)
    assert found is not None
    end, angle = found
    assert end == which
    assert angle == round(angle)
    assert 0 < angle <= 60
    assert fits(with_turn(job, end, angle), radius)
    if angle > 3:
        assert not fits(with_turn(job, end, angle - 3), radius)


@pytest.mark.parametrize(("free", "radius"), [(U_TURN, 110.0), (ELBOW, 5_000.0)])
def test_where_no_turn_helps_none_is_named(free: dict[str, Any], radius: float) -> None:
    """A U-turn is best as it is: any turn of one nipple alone makes the bend tighter."""
    job = job_on(free)
    assert job.route.free is not None
    assert least_turn(job.route.free, radius) is None
    for end in "AB":
        for angle in (5.0, 30.0):
            assert not fits(with_turn(job, end, angle), radius)


def test_movement_wants_a_larger_turn() -> None:
    moving = {**ELBOW, "movement": "up 2 mm"}
    turns = [least_turn(job_on(free).route.free, 70.0) for free in (ELBOW, moving)]
    assert turns[0] is not None
    assert turns[1] is not None
    assert turns[1][1] > turns[0][1]


def test_with_a_clip_the_nipple_turns_towards_the_clip() -> None:
    clip = {"at": "up 100 mm; left 20 mm", "along": "up"}
    job = job_on({
        "offset": "up 200 mm", "nipple_a_points": "up and 60 deg right",
        "nipple_b_points": "down", "clip": [clip],
    })  # fmt: skip
    route = job.route.free
    found = least_turn(route, 45.0, ENGAGED)
    assert not fits(job, 45.0)
    assert found is not None
    towards = np.array(route.clips[0].place) / np.linalg.norm(route.clips[0].place)
    x, y, z = turned(route.points_a, towards, np.radians(found[1]))
    better = replace(route, points_a=(float(x), float(y), float(z)))
    assert found[0] == "A"
    assert fits(replace(job, route=replace(job.route, free=better)), 45.0)
