"""A cut at which another way to lie bends too tight is looked for at another length."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hoseselect.cutplan.free_lie import least_distance
from hoseselect.cutplan.free_plan import FreePlan, plan_free_radius
from hoseselect.cutplan.other_ways import OtherWays
from hoseselect.domain.free_route import FreeRoute, KeepOut, Vector
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job

NEAR = KeepOut("ball", "ball", ((14.5, -157.0, 0.4),), (39.0, 0, 0), 10.0)


def unit(*parts: float) -> Vector:
    x, y, z = np.array(parts) / np.linalg.norm(parts)
    return float(x), float(y), float(z)


ROUTE = FreeRoute(
    (86.9, -112.2, 30.2), unit(0.594, -0.693, -0.409), unit(-0.883, 0.047, 0.467),
    keep_outs=(NEAR,), lead=10.0,
)  # fmt: skip


def job_on(route: FreeRoute) -> Job:
    given = read_job({
        "service": "washer", "nipples": {"outside_diameter": 12, "engagement": 25},
        "route": {"free": {"offset": "forward 200 mm", "nipple_a_points": "up",
                           "nipple_b_points": "up"}},
    })  # fmt: skip
    return replace(given, route=replace(given.route, free=route))


@pytest.fixture(scope="module")
def plan() -> FreePlan:
    return plan_free_radius(job_on(ROUTE), 38.8, outside=14.3)


def test_the_cut_stands_in_every_way_to_lie(plan: FreePlan) -> None:
    own = plan.sizes[0]
    assert own.sound
    for part in (-1.0, 0.0, 1.0):
        lie = plan.solution.lie((own.tip + part * own.tolerance,))
        assert lie is not None
        assert min(lie.tightest_radius, lie.other_radius) >= 38.8 * (1 - 1e-3)
        assert least_distance(lie, NEAR) >= 10 + 14.3 / 2 - 0.05


def test_the_lengths_that_work_leave_out_those_with_a_tight_other_way(plan: FreePlan) -> None:
    own = plan.sizes[0]
    bend = plan.solution.windows(np.array([38.8]))[0][0]
    longest = min(bend.longest, plan.solution.practical)
    tight = [
        length for length in np.arange(bend.shortest, longest, 10.0)
        if (lie := plan.solution.lie((float(length),))) and lie.other_radius < 38.8
    ]  # fmt: skip
    assert tight
    assert not any(own.shortest <= length <= own.longest for length in tight)


def test_lengths_that_work_begin_where_it_keeps_clear(plan: FreePlan) -> None:
    own = plan.sizes[0]
    for end in (own.shortest, own.longest):
        lie = plan.solution.lie((end,))
        assert lie is not None
        assert least_distance(lie, NEAR) >= 10 + 14.3 / 2 - 0.5


def test_between_two_lengths_the_worse_counts() -> None:
    ways = OtherWays(
        np.array([100.0, 110, 120]), np.array([np.inf, 30.0, 0.0]), np.array([np.inf, 5.0, -np.inf])
    )
    radius, room = ways.at(np.array([[90.0, 104.0], [115.0, 130.0]]))
    assert radius.tolist() == [[30.0, 30.0], [0.0, 0.0]]
    assert room.tolist() == [[5.0, 5.0], [-np.inf, -np.inf]]
