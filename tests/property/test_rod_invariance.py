"""Natural bend: turning, mirroring, shifting, scaling and reversing a route change nothing but
what they must.
"""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hoseselect.mechanics.rod import Pose, Profile, solve

number = st.floats(-1, 1, allow_nan=False, width=32)
vector = st.tuples(number, number, number).map(np.array).filter(lambda v: np.linalg.norm(v) > 0.2)
direction = vector.map(lambda v: v / np.linalg.norm(v))
# Length over distance from 1.15: nearer to taut the radius is tiny and the answer rough.
ratio = st.floats(1.15, 3.0)
FEW = settings(max_examples=25, deadline=None, derandomize=True)
WINDOWS = settings(max_examples=8, deadline=None, derandomize=True)


def turning(axis, angle):
    """Rotation matrix about a unit axis."""
    cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    return np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross


def moved(pose, matrix, shift, scale=1.0):
    return Pose(
        scale * matrix @ pose.start + shift, matrix @ pose.start_direction,
        scale * matrix @ pose.end + shift, matrix @ pose.end_direction,
    )  # fmt: skip


def is_certain(pose, length):
    """Leave out poses so symmetrical that two mirror twins compete."""
    normal = np.linalg.det([pose.start_direction, pose.end_direction, pose.chord / pose.distance])
    shape = solve(pose, length)
    assume(abs(normal) > 0.02)
    assume(shape.diagnostics.smallest_eigenvalue > 0.5)
    return shape


@FEW
@given(direction, direction, direction, ratio, direction, st.floats(0, 6.28), vector)
def test_turned_and_shifted(start, end, way, length, axis, angle, shift):
    pose = Pose(np.zeros(3), start, 200 * way, end)
    shape = is_certain(pose, 200 * length)
    matrix = turning(axis, angle)
    other = solve(moved(pose, matrix, 1000 * shift), 200 * length)
    assert other.tightest_radius == pytest.approx(shape.tightest_radius, rel=1e-6)
    assert other.energy == pytest.approx(shape.energy, rel=1e-8)
    line = shape.centreline() @ matrix.T + 1000 * shift
    assert other.centreline() == pytest.approx(line, abs=1e-3)
    assert other.end_force * 4e4 == pytest.approx(matrix @ shape.end_force * 4e4, abs=1e-3)


@FEW
@given(direction, direction, direction, ratio, direction)
def test_mirrored(start, end, way, length, normal):
    pose = Pose(np.zeros(3), start, 200 * way, end)
    shape = is_certain(pose, 200 * length)
    mirror = np.eye(3) - 2 * np.outer(normal, normal)
    other = solve(moved(pose, mirror, np.zeros(3)), 200 * length)
    assert other.tightest_radius == pytest.approx(shape.tightest_radius, rel=1e-6)
    assert other.centreline() == pytest.approx(shape.centreline() @ mirror.T, abs=1e-3)


@FEW
@given(direction, direction, direction, ratio, st.floats(0.01, 100))
def test_scaled(start, end, way, length, scale):
    pose = Pose(np.zeros(3), start, 200 * way, end)
    shape = is_certain(pose, 200 * length)
    other = solve(moved(pose, np.eye(3), np.zeros(3), scale), 200 * length * scale)
    assert other.tightest_radius == pytest.approx(scale * shape.tightest_radius, rel=1e-6)
    assert other.tightest_at == pytest.approx(scale * shape.tightest_at, rel=1e-3, abs=scale)
    assert other.energy == pytest.approx(shape.energy / scale, rel=1e-8)
    assert other.end_force * scale**2 == pytest.approx(shape.end_force, rel=1e-4, abs=1e-8)


def backwards(pose):
    return Pose(pose.end, -pose.end_direction, pose.start, -pose.start_direction)


@FEW
@given(direction, direction, direction, ratio)
def test_reversed(start, end, way, length):
    pose = Pose(np.zeros(3), start, 200 * way, end)
    shape = is_certain(pose, 200 * length)
    other = solve(backwards(pose), 200 * length)
    assert other.tightest_radius == pytest.approx(shape.tightest_radius, rel=1e-6)
    assert other.centreline()[::-1] == pytest.approx(shape.centreline(), abs=1e-3)
    # What nipple B does to the hose, nipple A does now.
    assert other.end_force == pytest.approx(-shape.end_force, rel=1e-4, abs=1e-8)
    assert other.end_moment == pytest.approx(shape.start_moment, rel=1e-4, abs=1e-6)


@FEW
@given(direction, direction, direction, ratio)
def test_hose_is_where_it_must_be(start, end, way, length):
    pose = Pose(np.array([3.0, 4, 5]), start, 200 * way + np.array([3.0, 4, 5]), end)
    shape = solve(pose, 200 * length)
    line = shape.centreline(401)
    assert line[0] == pytest.approx(pose.start)
    assert line[-1] == pytest.approx(pose.end, abs=1e-8)
    assert shape.tangents[0] == pytest.approx(pose.start_direction)
    assert shape.tangents[-1] == pytest.approx(pose.end_direction)
    steps = np.linalg.norm(np.diff(line, axis=0), axis=1).sum()
    assert steps == pytest.approx(200 * length, rel=1e-3)
    # The bound is a bound, and the tightest spot is no wider than any spot.
    assert Profile([pose]).bound(shape.tightest_radius) <= 200 * length * (1 + 1e-9)
    assert shape.tightest_radius <= 1.0 / shape.curvatures(401).max() * (1 + 5e-3)


@WINDOWS
@given(direction, direction, direction, st.floats(0.08, 0.4), st.floats(0.1, 10), direction)
def test_window_turned_scaled_reversed(start, end, way, radius, scale, axis):
    assume(abs(np.linalg.det([start, end, way])) > 0.02)
    pose = Pose(np.zeros(3), start, 200 * way, end)
    window = Profile([pose]).window(200 * radius)
    other = Profile([moved(backwards(pose), turning(axis, 1.0), 50 * axis, scale)]).window(
        200 * radius * scale
    )
    assert other.exists == window.exists
    # A window is good to 1e-6 of the distance; ten times that for two of them.
    near = 1e-5 * 200
    assert other.shortest / scale == pytest.approx(window.shortest, abs=near, nan_ok=True)
    if np.isinf(window.longest):
        assert np.isinf(other.longest)
    else:
        assert other.longest / scale == pytest.approx(window.longest, abs=10 * near, nan_ok=True)
