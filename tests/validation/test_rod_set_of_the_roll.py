"""The set of the roll: a hose born bent a little to one side, its ends free to turn when laid.

Plane: the total turn towards a side in the plane is the angle between the end directions, so a
uniform set in the plane does nothing (closed form).
Helix: twist-free sides turn back against the normal by the torsion (Bishop, Am. Math. Monthly 82
(1975) 246, from memory), so the bend towards a side is k (sin(T L + f) - sin f) / T, k curvature,
T torsion, f the angle of the side to the normal at the start. Its change with the shape is
differentiated by numbers on a fine frame.
Space: an independent rod of stiff segments with material frames, stiff in twist, its far end free
to roll (`discrete_rod.py`).
"""

from __future__ import annotations

import discrete_rod
import numpy as np
import pytest
from numpy.typing import NDArray

from hoseselect.mechanics.rod import Pose, solve
from hoseselect.mechanics.rod.newton import Equilibria
from hoseselect.mechanics.rod.nodes import interpolation
from hoseselect.mechanics.rod.pose import across, unit
from hoseselect.mechanics.rod.response import carried, set_push
from hoseselect.mechanics.rod.settle import settled
from hoseselect.mechanics.rod.sweep import first_guess
from hoseselect.mechanics.rod.tightest import curvature_vectors

Array = NDArray[np.float64]


def shape_of(start: Array, end: Array, chord: Array, intervals: int = 24) -> Equilibria:
    rows = (np.asarray(one, dtype=float)[None] for one in (unit(start), unit(end), chord))
    shape = first_guess(intervals, *rows, np.zeros((1, 3)))
    assert shape.settled[0]
    return shape


def pushed(shape: Equilibria, push: Array) -> Array:
    """Tangents of a shape after a push, ends and length as they were."""
    found, sure, _ = settled(
        shape, shape.chord[..., None], shape.tangent[:, 0, :, None],
        shape.tangent[:, -1, :, None], push,
    )  # fmt: skip
    assert sure.all()
    return np.asarray(found[0, :, :, 0])


PLANE = [
    ((0.55, 0.5, 0.0), (1, 0, 0), (0, 1, 0)),
    ((0.6, 0.0, 0.0), (0, 1, 0), (0, -1, 0)),
    ((0.8, 0.3, 0.0), (1, -1, 0), (1, 3, 0)),
]


@pytest.mark.parametrize("which", range(len(PLANE)))
def test_a_set_in_the_plane_does_nothing(which: int) -> None:
    chord, start, end = (np.array(row, dtype=float) for row in PLANE[which])
    shape = shape_of(start, end, chord)
    first = across(shape.tangent[:, 0])[0]
    second = np.cross(shape.tangent[0, 0], first)
    inside = np.array([[first[1] * start[0] - first[0] * start[1]],
                       [second[1] * start[0] - second[0] * start[1]]])  # fmt: skip
    push = set_push(shape)
    in_plane = push @ inside
    assert np.abs(in_plane).max() < 1e-9
    assert np.abs(pushed(shape, 0.6 * in_plane) - shape.tangent[0]).max() < 1e-7
    # A set square to the plane bends the hose out of it.
    square = push @ np.array([[first[2]], [second[2]]])
    assert np.abs(pushed(shape, 0.1 * square)[:, 2]).max() > 2e-3


def helix(turn: float, rise: float, intervals: int) -> tuple[Equilibria, float, float]:
    """Helix of length 1, its curvature and torsion."""
    radius = 1 / (turn * np.hypot(1, rise))
    square = radius**2 * (1 + rise**2)

    def direction(angle: float) -> Array:
        return unit(np.array([-np.sin(angle), np.cos(angle), rise]))

    chord = radius * np.array([np.cos(turn) - 1, np.sin(turn), rise * turn])
    return (
        shape_of(direction(0), direction(turn), chord, intervals),
        radius / square, radius * rise / square,
    )  # fmt: skip


@pytest.mark.parametrize("intervals", [24, 48])
@pytest.mark.parametrize(("turn", "rise"), [(1.5, 0.3), (3.0, 0.6), (4.5, 1.0)])
def test_bend_of_a_helix_towards_a_side(turn: float, rise: float, intervals: int) -> None:
    shape, curvature, torsion = helix(turn, rise, intervals)
    side = carried(shape.tangent)
    towards = np.einsum("ni,ni->n", curvature_vectors(shape)[0], side[0])
    whole = float(shape.at.weight @ towards)
    normal = np.array([-1.0, 0, 0])  # to the axis
    binormal = np.cross(shape.tangent[0, 0], normal)
    begin = np.arctan2(side[0, 0] @ binormal, side[0, 0] @ normal)
    exact = curvature * (np.sin(begin) + np.sin(torsion - begin)) / torsion
    # The side is carried from node to node in straight steps: second order in their width.
    assert whole == pytest.approx(exact, abs=(24 / intervals) ** 2 * 2.5e-3 * curvature)


def fine_bend(position: Array, tangents: Array, first: Array) -> float:
    """Bend towards a carried side of tangents at nodes, on a grid so fine that it is exact."""
    fine = np.linspace(0.0, 1.0, 601)
    line = interpolation(position, fine) @ tangents
    line /= np.linalg.norm(line, axis=1)[:, None]
    sides = discrete_rod.carried_frames(line, first)[:, :, 0]
    steps = np.diff(line, axis=0)
    return float(np.einsum("ni,ni->", steps, (sides[1:] + sides[:-1]) / 2))


@pytest.mark.parametrize("intervals", [24, 48])
@pytest.mark.parametrize("seed", [0, 1, 2])
def test_change_of_the_bend_towards_a_side(seed: int, intervals: int) -> None:
    """A smooth turn of the tangents of a helix, none at the ends, by numbers and as pushed."""
    shape, curvature, _ = helix(3.0, 0.6, intervals)
    rng = np.random.default_rng(seed)
    at, tangent = shape.at, shape.tangent[0]
    modes = np.sin(np.pi * np.outer(at.position, np.arange(1, 5))) @ rng.normal(size=(4, 3))
    turn = modes - np.einsum("ni,ni->n", modes, tangent)[:, None] * tangent
    first = carried(shape.tangent)[0, 0]
    for column, side in enumerate((first, np.cross(tangent[0], first))):
        step = 1e-4
        ahead, back = (
            fine_bend(at.position, unit(tangent + sign * step * turn), side) for sign in (1, -1)
        )
        work = float(np.einsum("ni,ni->", set_push(shape)[0, :, :, column], turn))
        scale = curvature * np.abs(turn).max()
        assert (ahead - back) / (2 * step) == pytest.approx(work, abs=1e-3 * scale)


SPACE = [
    (Pose(np.zeros(3), unit(np.array([1, 0.2, 0.9])), np.array([160.0, 90, 60]),
          unit(np.array([0.3, 1, -0.4]))), 250.0),
    (Pose(np.zeros(3), unit(np.array([1, -0.6, 0.3])), np.array([140.0, 120, 40]),
          unit(np.array([-0.2, 0.4, 1]))), 245.0),
    (Pose(np.zeros(3), unit(np.array([0.9, 0.5, 0.3])), np.array([180.0, 100, 50]),
          unit(np.array([0.3, 0.6, -0.8]))), 250.0),
    (Pose(np.zeros(3), unit(np.array([0.537, 0.05, -0.842])), np.array([119.4, -172.2, -141.3]),
          unit(np.array([-0.666, -0.625, -0.408]))), 334.0),
    (Pose(np.zeros(3), unit(np.array([0.065, 0.136, -0.989])), np.array([295.5, -13.0, -18.8]),
          unit(np.array([0.088, 0.647, 0.758]))), 481.7),
]  # fmt: skip
ROLL = 400.0
COUNT = 60


@pytest.mark.parametrize("roll", [0, 90, 180, 270])
@pytest.mark.parametrize("which", range(len(SPACE)))
def test_set_in_space(which: int, roll: int) -> None:
    pose, length = SPACE[which]
    curvature, angle = length / ROLL, np.radians(roll)
    shape = shape_of(pose.start_direction, pose.end_direction, pose.chord / length)
    push = set_push(shape) * curvature @ np.array([[np.cos(angle)], [np.sin(angle)]])
    bent = pushed(shape, push)

    first = across(pose.start_direction)
    second = np.cross(pose.start_direction, first)
    guess = solve(pose, length).tangents_at(COUNT + 1)
    rods = []
    for strength in (0.0, curvature):
        frames = discrete_rod.carried_frames(guess, np.cos(angle) * first + np.sin(angle) * second)
        rod = discrete_rod.Rod(twist=300.0, set_curvature=strength)
        found = discrete_rod.relaxed(rod, frames, pose.chord / length, roll_free=True)
        assert found.rest < 1e-6
        assert found.stable
        rods.append(found)
    plain, born = rods

    def most(tangents: Array) -> float:
        bends = shape.at.dense @ (shape.at.slope @ tangents)
        return float(np.linalg.norm(bends, axis=1).max())

    # Tightest radius: the set is counted to first order of its strength, 0.6 to 1.2 here.
    ratio = most(bent) / most(shape.tangent[0])
    assert ratio == pytest.approx(born.curvature / plain.curvature, abs=1e-2)
    # Where the hose goes: what first order leaves out grows with the strength itself.
    even = interpolation(shape.at.position, np.linspace(0, 1, COUNT + 1))
    change = even @ (bent - shape.tangent[0])
    exact = born.tangents - plain.tangents
    largest = np.abs(exact).max()
    assert largest > 5e-3
    assert np.abs(change - exact).max() < 0.15 * curvature * largest
