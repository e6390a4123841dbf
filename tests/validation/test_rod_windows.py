"""Windows of lengths against brute force: many single lengths, each solved for itself.

The reference uses more nodes than the window search and no interpolation. Lengths nearer to an
edge than 2e-5 of the distance (0.004 mm on 200 mm) are left out: a single window is asked for
1e-6 and the reference radius itself is good to about 1e-5.
"""

import numpy as np
import pytest

from hoseselect.mechanics.rod import Pose, Profile
from hoseselect.mechanics.rod.sweep import FINE_LADDER, sweep

EDGE = 2e-5


def brute(pose, lengths):
    """Tightest radius at every length, each from a cold start."""
    one = np.ones((len(lengths), 1))
    return sweep(
        pose.start_direction * one, pose.end_direction * one, pose.chord * one,
        np.asarray(lengths), FINE_LADDER, 1e-4,
    ).radius  # fmt: skip


def cone(rng, tilt):
    a, b = rng.uniform(0, np.radians(tilt)), rng.uniform(0, 2 * np.pi)
    return np.array([np.cos(a), np.sin(a) * np.cos(b), np.sin(a) * np.sin(b)])


def pose_of(kind, rng):
    if kind == "elbow":
        end = np.array([200.0, 200, 0]) + rng.uniform(-30, 30, 3)
        return Pose(np.zeros(3), np.array([1.0, 0, 0]), end, np.array([0.0, 1, 0]))
    return Pose(np.zeros(3), cone(rng, kind), np.array([200.0, 0, 0]), cone(rng, kind))


@pytest.mark.parametrize("kind", [15, 70, 180, "elbow"], ids=str)
@pytest.mark.parametrize("seed", range(5))
def test_against_brute_force(kind, seed):
    rng = np.random.default_rng([seed, 0 if kind == "elbow" else kind])
    pose = pose_of(kind, rng)
    size = pose.distance
    radius = rng.uniform(0.06, 0.5) * size
    window = Profile([pose], radius).window(radius)
    assert window.exists
    edge = EDGE * size
    part = np.linspace(0, 1, 60)
    if window.shortest - edge > window.bound:
        below = window.bound + (window.shortest - edge - window.bound) * part**2
        assert (brute(pose, below) < radius).all()
    top = min(window.longest, max(3 * size, window.shortest + size))
    if top - window.shortest > 2 * edge:
        inside = window.shortest + edge + (top - window.shortest - 2 * edge) * part
        assert (brute(pose, inside) >= radius).all()
    if np.isfinite(window.longest):
        assert (brute(pose, window.longest + edge * np.array([1, 3, 10])) < radius).all()
    # No hose beats the closed form.
    assert window.shortest >= window.bound


@pytest.mark.parametrize("tilt", [3, 6, 10])
def test_window_that_an_even_grid_misses(tilt):
    """Nearly aligned nipples: the best radius sits a hair above the distance."""
    turn = np.radians(tilt)
    start = np.array([np.cos(turn), np.sin(turn), 0])
    end = np.array([np.cos(turn), -np.sin(turn), 0])
    pose = Pose(np.zeros(3), start, np.array([200.0, 0, 0]), end)
    arc = 100 / np.sin(turn)
    window = Profile([pose]).window(0.9 * arc)
    # Exact peak: the arc between the nipples.
    assert window.best_radius == pytest.approx(arc, rel=1e-4)
    assert window.best_length == pytest.approx(200 * turn / np.sin(turn), rel=1e-6)
    assert window.shortest < window.best_length < window.longest
    assert window.width < 0.02 * 200
    # A grid of 2 % of the distance, begun at the distance, sees no length that works.
    grid = np.arange(200.0, 600, 4.0)[1:]
    assert (brute(pose, grid) < 0.9 * arc).all()


def test_straight_route():
    ahead = np.array([1.0, 0, 0])
    pose = Pose(np.zeros(3), ahead, np.array([200.0, 0, 0]), ahead)
    window = Profile([pose]).window(60.0)
    assert window.shortest == 200.0
    assert brute(pose, [window.longest - 0.01, window.longest + 0.01]) == pytest.approx(
        60.0, rel=1e-3
    )
    assert brute(pose, [window.longest - 0.01])[0] > 60 > brute(pose, [window.longest + 0.01])[0]


def test_u_turn_kinds():
    """Width W: any longer hose for R up to 0.4173 W, a window up to 0.5 W, then only a bulb."""
    pose = Pose(np.zeros(3), np.array([0.0, 1, 0]), np.array([1.0, 0, 0]), np.array([0.0, -1, 0]))
    windows = Profile([pose]).windows([0.41, 0.45, 0.49, 0.51])
    assert np.isinf(windows[0].longest)
    assert np.isfinite([windows[1].longest, windows[2].longest]).all()
    assert windows[1].shortest < np.pi / 2 < windows[1].longest
    assert windows[2].shortest < np.pi / 2 < windows[2].longest
    assert windows[3].big_loop_only
    assert windows[3].shortest > 3.7
    assert not any(window.big_loop_only for window in windows[:3])


def test_many_radii_agree_with_single_windows():
    rng = np.random.default_rng(8)
    pose = Pose(np.zeros(3), cone(rng, 60), np.array([200.0, 0, 0]), cone(rng, 60))
    radii = np.linspace(15, 60, 12)
    # Many radii at once are asked for 1e-4 of the distance, that is 0.02 mm.
    for many, radius in zip(Profile([pose], 15).windows(radii), radii, strict=True):
        one = Profile([pose], 15).window(radius)
        assert many.shortest == pytest.approx(one.shortest, abs=0.03)
        assert many.exists == one.exists
        if np.isfinite(one.longest):
            assert many.longest == pytest.approx(one.longest, abs=0.1)
        else:
            assert np.isinf(many.longest)


def test_radius_slope():
    """Analytic derivative of the tightest radius against a difference quotient."""
    rng = np.random.default_rng(2)
    ways = rng.normal(size=(3, 60, 3))
    ways /= np.linalg.norm(ways, axis=2)[..., None]
    length = rng.uniform(1.1, 3.5, 60)
    step = 1e-5

    def at(lengths):
        return sweep(ways[0], ways[2], ways[1], lengths, (36,), 1e-2)

    quotient = (at(length + step).radius - at(length - step).radius) / (2 * step)
    # The tightest spot is found on 401 points and a parabola: 1e-3 of the slope.
    assert at(length).slope == pytest.approx(quotient, rel=1e-3, abs=1e-4)


def test_nipples_near_each_other():
    """Two level nipples 20 mm apart and a radius of 30 mm: 15 times the distance, in one loop.

    The same route ten times larger and the U-turn table (r / W = 1.05772 at L / W = 10) are the
    reference.
    """
    side, far = np.array([0.0, 1, 0]), np.array([20.0, 0, 0])
    profile = Profile([Pose(np.zeros(3), side, far, -side)])
    window = profile.window(30.0)
    assert window.big_loop_only
    assert window.shortest > 200
    assert profile.window(1.05772 * 20).shortest == pytest.approx(200.0, abs=2e-3)
    large = Profile([Pose(np.zeros(3), side, 10 * far, -side)]).window(300.0)
    assert large.shortest == pytest.approx(10 * window.shortest, rel=1e-6)
