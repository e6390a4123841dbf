"""Hose through rings, many cases at once, against one at a time and against its own energy."""

from __future__ import annotations

import numpy as np
import pytest

from hoseselect.mechanics.rod import Pose, through_rings, through_rings_many

START, END = np.zeros(3), np.array([300.0, 40.0, 60.0])
RINGS = [np.array([90.0, 10.0, 50.0]), np.array([200.0, 30.0, 70.0])]
POSE = Pose(START, np.array([0.0, 0.0, 1.0]), END, np.array([1.0, 0.0, 0.0]))


@pytest.mark.parametrize("movement", [0.0, 6.0])
def test_many_are_as_one_by_one(movement: float) -> None:
    shift = movement * np.array([1.0, -1.0, 0.5])
    cases = [(POSE.moved(shift), RINGS, length) for length in (345.0, 352.0, 360.0)]
    for (pose, rings, length), found in zip(cases, through_rings_many(cases), strict=True):
        alone = through_rings(pose, rings, length)
        assert found is not None
        assert found.energy <= alone.energy * (1 + 1e-5)
        if found.energy > alone.energy * (1 - 1e-5):  # the same shape, and not a better one
            assert found.tightest_radius == pytest.approx(alone.tightest_radius, rel=2e-3)


def test_direction_and_curvature_go_on_through_a_ring() -> None:
    """A ring holds a place alone: the moments on both sides of it are the same."""
    (found,) = through_rings_many([(POSE, RINGS, 355.0)])
    assert found is not None
    for before, behind in zip(found.shapes[:-1], found.shapes[1:], strict=True):
        assert before.tangents[-1] == pytest.approx(behind.tangents[0], abs=1e-9)
        assert before.end_moment == pytest.approx(-behind.start_moment, abs=2e-3 / 50)


def test_a_taut_hose_is_none_and_spoils_no_other() -> None:
    taut, good = through_rings_many([(POSE, RINGS, 300.0), (POSE, RINGS, 355.0)])
    assert taut is None
    assert good is not None
