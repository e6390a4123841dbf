"""Weight of a hose against the catenary and against a clamped arch.

Catenary: z = a cosh(x / a), the line of a chain that resists no bending (Huygens, Leibniz and
Bernoulli 1691; any book of statics). A hose clamped in the directions of the catenary tends to it
as its weight number grows, with stretches next to the nipples that shrink.
Arch: an arc between clamped ends, hardly loaded. A hose bent to an arc carries a moment that is
the same everywhere and no force, so it gives way like an arch born round: bending moments of the
weight and of three unknown reactions, integrated twice (the force method; Timoshenko, Strength of
Materials, from memory). The beam table, w L^4 / (384 EI) between two clamped ends, does not apply:
a hose that does not stretch cannot sag between ends as far apart as it is long.
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import cumulative_trapezoid
from scipy.optimize import brentq

from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.own_weight import with_weight
from hoseselect.domain.free_route import FreeRoute, Vector
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import Pose, sagged, solve

Array = NDArray[np.float64]
DOWN = np.array([0.0, 0, -1])
SPAN = 0.6  # of the catenary over its length


def unit(*parts: float) -> Array:
    vector = np.array(parts)
    return np.asarray(vector / np.linalg.norm(vector))


def catenary(points: int) -> tuple[Pose, float, Array]:
    """Pose along the catenary of length 1, its least radius a, and its points."""
    a = float(brentq(lambda a: 2 * a * np.sinh(SPAN / 2 / a) - 1, 0.05, 5))
    slope = np.arctan(np.sinh(SPAN / 2 / a))
    ahead, side = np.cos(slope), np.sin(slope)
    along = np.linspace(-0.5, 0.5, points)
    x = a * np.arcsinh(along / a) + SPAN / 2
    z = np.hypot(a, along) - a * np.cosh(SPAN / 2 / a)
    pose = Pose(
        np.zeros(3), np.array([ahead, 0, -side]), np.array([SPAN, 0, 0]), np.array([ahead, 0, side])
    )
    return pose, a, np.stack([x, 0 * x, z], axis=1)


def test_heavy_hose_tends_to_the_catenary() -> None:
    pose, a, line = catenary(201)
    numbers = [1000.0, 3000.0, 10000.0, 30000.0]
    shapes = [solve(pose, 1.0, number, DOWN) for number in numbers]
    misses = [float(np.abs(shape.centreline(201) - line).max()) for shape in shapes]
    bends = [float(shape.curvatures(201)[100]) * a for shape in shapes]
    # Bending reaches root(EI / tension) from each nipple; its square, so the miss, falls as
    # 1 / number in the end. Thrice the number: half the miss and better, each time more.
    ratios = [before / after for before, after in itertools.pairwise(misses)]
    assert ratios == sorted(ratios)
    assert ratios[0] > 2.0
    assert ratios[-1] > 2.6
    assert misses[-1] < 3e-4
    assert bends == sorted(bends)
    assert bends[-1] == pytest.approx(1.0, abs=0.02)


def test_the_middle_of_a_hose_between_level_ends_tends_to_the_catenary() -> None:
    """With nipples that point level the ends bend; the middle nears the chain more slowly."""
    pose, a, line = catenary(201)
    level = Pose(pose.start, unit(1, 0, 0), pose.end, unit(1, 0, 0))
    sags = []
    for number in (300.0, 3000.0, 30000.0):
        shape = solve(level, 1.0, number, DOWN)
        sags.append(float(shape.centreline(201)[100, 2] / line[100, 2]))
    # Each stretch at a nipple is as long as root(1 / number): ten times the number, a third.
    lacks = np.abs(1 - np.array(sags))
    assert lacks[1] < lacks[0] / 2
    assert lacks[2] < lacks[1] / 2
    assert lacks[2] < 0.03
    assert float(shape.curvatures(201)[100]) * a == pytest.approx(1.0, abs=0.05)


def arch(turn: float) -> Pose:
    """Arc of length 1 that turns by an angle [rad], upwards bent."""
    half = turn / 2
    chord = 2 * np.sin(half) / turn
    return Pose(np.zeros(3), unit(np.cos(half), 0, np.sin(half)), np.array([chord, 0, 0]),
                unit(np.cos(half), 0, -np.sin(half)))  # fmt: skip


def deflection(turn: float, places: int) -> Array:
    """Change of place of a clamped arch for a weight number of one, by the force method."""
    s = np.linspace(0.0, 1.0, 8001)
    angle = turn / 2 - turn * s
    normal = np.stack([-np.sin(angle), np.cos(angle)])

    def turn_of(moment_slope: Array) -> Array:
        """Turn of the tangent from the slope of the moment, none at both ends."""
        once = cumulative_trapezoid(moment_slope, s, initial=0)
        twice = cumulative_trapezoid(once, s, initial=0)
        return np.asarray(twice - s * twice[-1])

    parts = [turn_of((1 - s) * normal[1]), turn_of(-normal[0]), turn_of(-normal[1])]
    ends = np.array([[np.trapezoid(part * way, s) for part in parts] for way in normal])
    force = np.linalg.solve(ends[:, 1:], -ends[:, 0])
    whole = parts[0] + force[0] * parts[1] + force[1] * parts[2]
    moved = np.stack([cumulative_trapezoid(whole * way, s, initial=0) for way in normal], axis=1)
    return moved[:: 8000 // (places - 1)]


@pytest.mark.parametrize("degrees", [60, 90, 150, 180, 240])
def test_clamped_arch(degrees: int) -> None:
    turn = np.radians(degrees)
    step = 0.2
    ahead, back = (sagged([(arch(turn), 1.0)], np.array([step]), down)[1][0, 0]
                   for down in (DOWN, -DOWN))  # fmt: skip
    found = (ahead - back) / (2 * step)
    exact = deflection(turn, 33)
    largest = np.abs(exact).max()
    # Central differences: third order in the step is left.
    assert np.abs(found[:, [0, 2]] - exact).max() < 1e-4 * largest
    assert np.abs(found[:, 1]).max() < 1e-3 * largest


POSES = [
    (Pose(np.zeros(3), unit(1, 0, 0.5), np.array([200.0, 0, 0]), unit(1, 0, -0.5)), 240.0),
    (Pose(np.zeros(3), unit(0, 0, 1), np.array([150.0, 0, 0]), unit(0, 0, -1)), 250.0),
    (Pose(np.zeros(3), unit(0, 0, -1), np.array([150.0, 0, 0]), unit(0, 0, 1)), 250.0),
    (Pose(np.zeros(3), unit(1, 0.2, 0.9), np.array([160.0, 90, 60]), unit(0.3, 1, -0.4)), 250.0),
    (Pose(np.zeros(3), unit(1, -0.6, 0.3), np.array([140.0, 120, 40]), unit(-0.2, 0.4, 1)), 245.0),
    (Pose(np.zeros(3), unit(1, 0, 0), np.array([150.0, 0, 150]), unit(0, 0, 1)), 240.0),
]
NUMBERS = np.array([2.0, 5.0, 10.0, 20.0])


@pytest.mark.parametrize("which", range(len(POSES)))
def test_weight_from_the_shape_without(which: int) -> None:
    """`sagged` begins from the shape without weight; `solve` begins anew with weight."""
    pose, length = POSES[which]
    radii, lines = sagged([(pose, length)], NUMBERS, DOWN)
    for radius, line, number in zip(radii[0], lines[0], NUMBERS, strict=True):
        shape = solve(pose, length, float(number), DOWN)
        # 33 places of a bend for its tightest, and few nodes: two parts in a thousand.
        assert radius == pytest.approx(shape.tightest_radius, rel=2e-3)
        assert np.abs(line - shape.centreline(33)).max() < 1e-3 * length
    heavy, plain = radii[0, -1], solve(pose, length).tightest_radius
    assert abs(heavy / plain - 1) > 5 * 2e-3  # so the weight itself is seen


def soft_route(seed: int) -> tuple[Vector, Vector, Vector, float]:
    """A route and length at random: mouth B, way from A, way into B, length."""
    rng = np.random.default_rng(seed)
    along = unit(*rng.normal(size=3))
    one, two = (unit(*(along * rng.uniform(0.2, 2) + rng.normal(size=3) * 0.7)) for _ in range(2))
    return vector(200 * along), vector(one), vector(two), 200 * rng.uniform(1.08, 1.5)


def vector(values: Array) -> Vector:
    x, y, z = (float(value) for value in values)
    return x, y, z


def test_a_hose_that_sags_far_is_solved_anew() -> None:
    """Where the shape without weight does not lead to the shape with it, it is still found."""
    lost = 0
    for seed in range(24):
        mouth, one, two, length = soft_route(seed)
        pose = Pose(np.zeros(3), np.array(one), np.array(mouth), np.array(two))
        radii, _ = sagged([(pose, length)], np.array([15.0]), DOWN)
        if not np.isnan(radii[0, 0]):
            continue
        lost += 1
        route = FreeRoute(mouth, one, vector(-np.array(two)))
        found, _ = with_weight(FreeSolution(route, 20.0), (length,), np.array([15.0]))
        exact = solve(pose, length, 15.0, DOWN).tightest_radius
        assert found[0] == pytest.approx(exact, rel=2e-3)
    assert lost > 0


def test_weight_makes_a_steep_arch_fall_over() -> None:
    """Above some number a symmetric arch falls sideways; a line followed from the shape without
    weight would stay upright. It is so only far above the number from which a clip is asked for.
    """
    assert limit("gravity-number-count") < 20
    pose, length = POSES[0]
    fallen = solve(pose, length, 40.0, DOWN)
    assert np.abs(fallen.centreline()[:, 1]).max() > 0.1 * length
    upright = solve(pose, length, 20.0, DOWN)
    assert np.abs(upright.centreline()[:, 1]).max() < 1e-3 * length
