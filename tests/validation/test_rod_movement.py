"""Movement of the ends: nine positions against many positions inside the box.

Reference: solved shapes at random positions inside the movement box. Measured before: in one of
40 routes an inner position was tighter than the worst corner, by 0.2 to 0.44 %.
"""

import numpy as np
import pytest

from hoseselect.mechanics.rod import Pose, Profile, placements, solve_many
from hoseselect.mechanics.rod.sweep import FINE_LADDER, ends, sweep

BOX = np.array([8.0, 8.0, 8.0])


def positions(pose, movement):
    """The pose at rest and at every corner of a movement."""
    return [pose.moved(one.shift) for one in placements(movement)]


def route(seed, tilt=70.0):
    rng = np.random.default_rng(seed)

    def cone():
        a, b = rng.uniform(0, np.radians(tilt)), rng.uniform(0, 2 * np.pi)
        return np.array([np.cos(a), np.sin(a) * np.cos(b), np.sin(a) * np.sin(b)])

    return Pose(np.zeros(3), cone(), np.array([200.0, 0, 0]), cone())


def least_radius(poses, lengths):
    start, end, chord = ends(poses)
    pose = np.repeat(np.arange(len(poses)), len(lengths))
    found = sweep(
        start[pose], end[pose], chord[pose], np.tile(lengths, len(poses)), FINE_LADDER, 3e-4
    )
    return found.radius.reshape(len(poses), -1).min(axis=0)


@pytest.mark.parametrize("seed", range(6))
def test_common_window_against_brute_force(seed):
    pose, radius = route(seed), 25.0 + 5 * seed
    window = Profile(positions(pose, BOX), radius).window(radius)
    assert window.exists
    poses, edge = positions(pose, BOX), 0.01
    below = np.linspace(window.bound, window.shortest - edge, 12)
    assert (least_radius(poses, below) < radius).all()
    top = min(window.longest, window.shortest + 200)
    inside = np.linspace(window.shortest + edge, top - edge, 12)
    assert (least_radius(poses, inside) >= radius).all()
    if np.isfinite(window.longest):
        assert (least_radius(poses, np.array([window.longest + edge])) < radius).all()
    alone = Profile([pose], radius).window(radius)
    assert window.shortest >= alone.shortest
    assert window.longest <= alone.longest


@pytest.mark.parametrize("seed", range(4))
def test_corners_stand_for_the_whole_box(seed):
    pose = route(seed)
    profile = Profile(positions(pose, BOX), 30.0)
    length = profile.window(30.0).shortest + 3
    worst = least_radius(profile.poses, np.array([length]))[0]
    rng = np.random.default_rng(seed)
    inside = [pose.moved(shift) for shift in rng.uniform(-1, 1, (40, 3)) * BOX]
    # Half a percent: the most by which an inner position was ever tighter.
    assert least_radius(inside, np.array([length]))[0] > worst * 0.995


def test_positions():
    pose = route(1)
    assert len(positions(pose, np.zeros(3))) == 1
    assert len(positions(pose, np.array([5.0, 0, 0]))) == 3
    assert len(positions(pose, np.array([5.0, 5, 0]))) == 5
    assert len(positions(pose, BOX)) == 9


def test_no_common_length_says_what_the_route_allows():
    pose = Pose(
        np.zeros(3), np.array([1.0, 0, 0]), np.array([100.0, 100, 0]), np.array([0.0, 1, 0])
    )
    profile = Profile(positions(pose, np.array([3.0, 3, 0])), 80.0)
    best, length = profile.best_radius()
    assert best < 100.0
    assert least_radius(profile.poses, np.array([length]))[0] == pytest.approx(best, rel=1e-3)


def test_length_of_the_window_holds_at_every_position():
    pose, radius = route(2), 35.0
    profile = Profile(positions(pose, BOX), radius)
    window = profile.window(radius)
    found = solve_many([(moved, window.shortest + 3.0) for moved in profile.poses])
    assert len(found) == 9
    assert min(shape.tightest_radius for shape in found) >= radius
    short = solve_many([(moved, window.shortest - 0.5) for moved in profile.poses])
    assert min(shape.tightest_radius for shape in short if shape) < radius
