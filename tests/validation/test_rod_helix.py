"""Arcs and helices: shapes known exactly.

Arc: r = d / (2 sin a), L = d a / sin a for a turn of 2a, no end force (closed form; also
code_aster manual V6.04.138). Helix of radius a and pitch 2 pi b: an exact equilibrium of a
twist-free rod with curvature a / (a^2 + b^2) and an end force along the axis of
torsion sqrt(curvature^2 + torsion^2), pressing (derived from k^2 / 2 + n.t = const).
"""

import numpy as np
import pytest

from hoseselect.mechanics.rod import Pose, solve


@pytest.mark.parametrize("turn", [5, 30, 60, 90, 120, 180, 240, 300])
def test_arc(turn):
    a = np.radians(turn) / 2
    start = np.array([np.cos(a), np.sin(a), 0])
    end = np.array([np.cos(a), -np.sin(a), 0])
    shape = solve(Pose(np.zeros(3), start, np.array([200.0, 0, 0]), end), 200 * a / np.sin(a))
    # An arc is a polynomial to machine accuracy at these nodes.
    assert shape.tightest_radius == pytest.approx(100 / np.sin(a), rel=1e-8)
    assert np.linalg.norm(shape.end_force) * shape.length**2 == pytest.approx(0, abs=1e-5)
    assert np.linalg.norm(shape.end_moment) == pytest.approx(np.sin(a) / 100, rel=1e-5)


@pytest.mark.parametrize("turns", [0.25, 0.5, 0.75, 1.0])
@pytest.mark.parametrize("rise", [0.2, 0.5, 1.0])
def test_helix(turns, rise):
    radius, b = 60.0, 60.0 * rise
    angle = 2 * np.pi * turns

    def direction(phi):
        return np.array([-radius * np.sin(phi), radius * np.cos(phi), b]) / np.hypot(radius, b)

    end = np.array([radius * np.cos(angle), radius * np.sin(angle), b * angle])
    length = np.hypot(radius, b) * angle
    pose = Pose(np.array([radius, 0, 0]), direction(0), end, direction(angle))
    shape = solve(pose, length)
    square = radius**2 + b**2
    curvature, torsion = radius / square, b / square
    assert 1.0 / shape.tightest_radius == pytest.approx(curvature, rel=1e-6)
    force = -torsion * np.sqrt(curvature**2 + torsion**2)
    assert shape.end_force[2] == pytest.approx(force, rel=1e-4)
    assert np.abs(shape.end_force[:2]).max() < 1e-4 * abs(force)
    middle = np.array([radius * np.cos(angle / 2), radius * np.sin(angle / 2), b * angle / 2])
    mirrored = np.array([2 * radius, 0, 2 * middle[2]]) - middle if turns == 1.0 else middle
    found = shape.centreline(3)[1]
    # After one full turn a left-handed helix fits the same ends: either may come.
    miss = min(np.abs(found - middle).max(), np.abs(found - mirrored).max())
    assert miss < 1e-5 * length
    assert shape.diagnostics.smallest_eigenvalue > 0
