"""How far a nipple must be turned: the turn makes the radius fit, and less does not."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from hoseselect.application.directions import read_direction
from hoseselect.application.free_columns import plan_free_radius
from hoseselect.application.free_solution import turned
from hoseselect.application.nipple_turn import least_turn
from hoseselect.application.read_job import read_job
from hoseselect.domain.free_route import FreeRoute, Vector
from hoseselect.domain.job import Job

U_TURN = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "up"}
ELBOW = {"offset": "forward 120 mm; up 80 mm", "nipple_a_points": "up", "nipple_b_points": "back"}
CASES: list[tuple[dict[str, Any], float]] = [
    (U_TURN, 98.0),
    (U_TURN, 110.0),
    (ELBOW, 90.0),
    ({**ELBOW, "movement": "forward 5 mm; up 8 mm"}, 60.0),
    ({**ELBOW, "nipple_b_points": "back and 40 deg left"}, 80.0),
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


@pytest.mark.parametrize(("free", "radius"), CASES)
def test_the_turn_makes_the_radius_fit_and_a_little_less_does_not(
    free: dict[str, Any], radius: float
) -> None:
    job = job_on(free)
    assert job.route.free is not None
    assert not fits(job, radius)
    found = least_turn(job.route.free, radius)
    assert found is not None
    end, angle = found
    assert angle == round(angle)
    assert 0 < angle <= 60
    assert fits(with_turn(job, end, angle), radius)
    if angle > 3:
        assert not fits(with_turn(job, end, angle - 3), radius)


def test_it_is_the_nipple_that_needs_less() -> None:
    """Nipple B points away from A, nipple A at it: only B is worth turning."""
    job = job_on({**ELBOW, "nipple_a_points": "forward and 34 deg up", "nipple_b_points": "up"})
    assert job.route.free is not None
    found = least_turn(job.route.free, 60.0)
    assert found is not None
    assert found[0] == "B"


def test_where_no_turn_helps_none_is_named() -> None:
    job = job_on(U_TURN)
    assert job.route.free is not None
    assert least_turn(job.route.free, 5_000.0) is None


def test_movement_wants_a_larger_turn() -> None:
    still, moving = job_on(ELBOW).route.free, job_on({**ELBOW, "movement": "up 12 mm"}).route.free
    assert still is not None
    assert moving is not None
    less, more = least_turn(still, 85.0), least_turn(moving, 85.0)
    assert less is not None
    assert more is None or more[1] > less[1]


def test_with_a_clip_the_nipple_turns_towards_the_clip() -> None:
    clip = {"at": "up 100 mm; left 20 mm", "along": "up"}
    job = job_on({
        "offset": "up 200 mm", "nipple_a_points": "up and 60 deg right",
        "nipple_b_points": "down", "clip": [clip],
    })  # fmt: skip
    route = job.route.free
    assert route is not None
    found = least_turn(route, 45.0)
    assert not fits(job, 45.0)
    assert found is not None
    towards = np.array(route.clips[0].place) / np.linalg.norm(route.clips[0].place)
    x, y, z = turned(route.points_a, towards, np.radians(found[1]))
    better = replace(route, points_a=(float(x), float(y), float(z)))
    assert found[0] == "A"
    assert fits(replace(job, route=replace(job.route, free=better)), 45.0)
    assert read_direction("up") == route.clips[0].along
