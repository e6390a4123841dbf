"""Dubins, Am. J. Math. 79 (1957) 497: shortest paths of bounded curvature.

No hose whose radius is at least R is shorter than the shortest path of radius R that starts in
its direction and ends at its end, whichever end one starts from. In space the reach of such
paths is the plane's turned about the first direction (arXiv 2403.18707).
"""

import numpy as np
import pytest
from scipy.optimize import minimize

from hoseselect.mechanics.rod import Pose, Profile
from hoseselect.mechanics.rod.bounds import length_bound, reach
from hoseselect.mechanics.rod.sweep import sweep

AHEAD = np.array([1.0, 0.0, 0.0])


def length_to(x, y, radius):
    return float(reach(np.array([x, y, 0.0]), AHEAD, np.array(radius)))


def test_known_paths():
    # Straight ahead; a quarter turn; half a turn and back beside the start; arc and straight.
    assert length_to(5, 0, 1) == pytest.approx(5)
    assert length_to(1, 1, 1) == pytest.approx(np.pi / 2)
    assert length_to(-3, 2, 1) == pytest.approx(np.pi + 3)
    assert length_to(1, 4, 1) == pytest.approx(np.pi / 2 + 3)
    # On the turning circle the path is the arc; just inside it a loop is needed.
    assert length_to(1, 1 + 1e-9, 1) == pytest.approx(np.pi / 2, abs=1e-4)
    assert length_to(1 - 1e-6, 1, 1) > 4


@pytest.mark.parametrize("target", [(0.5, 0.8), (0.2, 0.3), (-0.4, 1.0), (0.9, 1.2), (0.0, 0.05)])
def test_two_arcs_inside_the_circle_by_search(target):
    """Best of thousands of paths of three pieces, each left, right or straight."""
    rng = np.random.default_rng(4)

    def end(turns, lengths):
        x = y = heading = 0.0
        for turn, length in zip(turns, lengths, strict=True):
            if turn == 0:
                x, y = x + length * np.cos(heading), y + length * np.sin(heading)
                continue
            new = heading + turn * length
            x += turn * (np.sin(new) - np.sin(heading))
            y -= turn * (np.cos(new) - np.cos(heading))
            heading = new
        return np.array([x, y])

    best = np.inf
    for turns in ((-1, 1), (1, -1), (-1, 0), (1, 0)):
        for _ in range(12):
            start = rng.uniform(0, 5, 2)
            found = minimize(
                lambda v, turns=turns: float(np.sum((end(turns, np.abs(v)) - target) ** 2)),
                start, method="Nelder-Mead", options={"xatol": 1e-10, "fatol": 1e-20},
            )  # fmt: skip
            if found.fun < 1e-14:
                best = min(best, float(np.abs(found.x).sum()))
    assert length_to(*target, 1.0) == pytest.approx(best, abs=1e-6)


def test_bound_is_never_beaten_at_random_poses():
    rng = np.random.default_rng(11)
    many = 600
    ways = rng.normal(size=(3, many, 3))
    ways /= np.linalg.norm(ways, axis=2)[..., None]
    length = np.concatenate([rng.uniform(1.01, 4, many // 2), rng.uniform(1.0005, 1.2, many // 2)])
    found = sweep(ways[0], ways[2], ways[1], length)
    solved = np.isfinite(found.radius) & (found.radius > 1e-3)
    assert solved.sum() > 0.95 * many
    worst = 0.0
    for i in np.flatnonzero(solved):
        pose = Pose(np.zeros(3), ways[0, i], ways[1, i], ways[2, i])
        worst = max(worst, float(length_bound(pose, found.radius[i])) / length[i])
    assert worst <= 1.0 + 1e-9
    assert worst > 0.8  # the bound says something


def test_bound_is_exact_for_an_arc():
    # A quarter turn of radius 100: arc and bound coincide, and a larger radius needs a loop.
    pose = Pose(np.zeros(3), AHEAD, np.array([100.0, 100, 0]), np.array([0.0, 1, 0]))
    assert float(length_bound(pose, 100.0)) == pytest.approx(50 * np.pi, rel=1e-9)
    assert float(length_bound(pose, 101.0)) > 400
    assert Profile([pose]).best_radius()[0] == pytest.approx(100.0, rel=1e-5)
