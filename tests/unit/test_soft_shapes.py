"""A shape that holds its side weakly claims no more than it stands when errors turn it over."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hoseselect.cutplan import soft_shapes
from hoseselect.cutplan.free_lie import nearest
from hoseselect.cutplan.free_plan import FreePlan, plan_free_radius
from hoseselect.cutplan.length_choice import LengthChoice
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.cutplan.soft_shapes import with_soft_shapes
from hoseselect.domain.free_route import FreeRoute, KeepOut
from hoseselect.intake.read_job import read_job

RADIUS, OUTSIDE = 15.76, 17.16
BALL = KeepOut("ball", "ball", ((45.3, 74.5, 26.2),), (40.5, 0.0, 0.0), 10.0)
NEARLY_STRAIGHT = FreeRoute(
    (85.6, 77.1, -32.1), (0.8802034, 0.4534172, -0.1401955), (-0.6669386, -0.7250740, 0.1716410),
    movement=(9.6, 7.0, 5.0), keep_outs=(BALL,), lead=10.0,
)  # fmt: skip


@pytest.fixture(scope="module")
def plan() -> FreePlan:
    """A bow that leaves the line between its ends by 23 deg at one end and 5 deg at the other."""
    job = read_job({"service": "washer", "nipples": {"outside_diameter": 16, "engagement": 25},
                    "route": {"free": {"offset": "up 100 mm", "nipple_a_points": "up",
                                       "nipple_b_points": "down"}}})  # fmt: skip
    changed = replace(job, route=replace(job.route, free=NEARLY_STRAIGHT))
    return plan_free_radius(changed, RADIUS, outside=OUTSIDE)


def as_followed(plan: FreePlan) -> SizePlan:
    """The plan as its draws say that are followed from the shape as measured."""
    own = plan.sizes[0]
    (window,) = [span[0] for span in plan.solution.windows(np.array([RADIUS]))]
    choice = LengthChoice(plan.solution, plan.scan, [window], OUTSIDE, sum(plan.engagements), 5.0)
    return replace(choice.plan(), lie=own.lie)


def test_a_soft_shape_near_something_asks_for_careful_measuring(plan: FreePlan) -> None:
    own, followed = plan.sizes[0], as_followed(plan)
    assert own.lie is not None
    assert own.cut == followed.cut
    assert followed.clear == 5.0
    assert own.clear < 5.0
    assert own.stood == followed.stood == 5.0


def test_a_stiff_shape_is_left_as_it_is(plan: FreePlan, monkeypatch: pytest.MonkeyPatch) -> None:
    followed = as_followed(plan)
    monkeypatch.setattr(soft_shapes, "SOFT", 0.0)
    assert with_soft_shapes(followed, plan.solution, plan.scan) is followed


def test_only_positions_that_decide_are_looked_at(plan: FreePlan) -> None:
    own = plan.sizes[0]
    assert own.lie is not None
    (positions,) = soft_shapes._soft(own, plan.solution)
    assert len(positions) <= soft_shapes.POSITIONS < len(own.lie.positions)
    _, closest = nearest(own.lie, BALL)
    assert {own.lie.tightest_position, closest} <= set(positions)


def test_a_plan_that_bends_too_tight_when_it_turns_over_stands_nothing(plan: FreePlan) -> None:
    tighter = replace(as_followed(plan), radius=100.0)
    found = with_soft_shapes(tighter, plan.solution, plan.scan)
    assert (found.stood, found.clear) == (0.0, 0.0)
