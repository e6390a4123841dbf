"""Invented routes for the tests of drawings and templates, with shapes that are solved."""

from __future__ import annotations

from functools import cache
from itertools import product

import numpy as np

from hoseselect.domain.cut import CutPlan, Part
from hoseselect.domain.geometry import Gap, LowPoint, NippleEnd, Obstacle, RouteGeometry
from hoseselect.mechanics.rod import Pose, others_many, solve


def plan_of(tip: float, engagement: float = 25.0) -> CutPlan:
    """Return a plain cut plan for a tip-to-tip length [mm]."""
    bare = tip + 2 * engagement
    cut = float(np.ceil(bare / 5) * 5)
    return CutPlan(
        tip=tip,
        bare=bare,
        cut=cut,
        parts=(Part("tip to tip", tip, "centreline of the route"),),
        tolerance=3.0,
        tolerance_source="invented",
        squareness=1.0,
        window=(bare, bare + 40),
        tightest_radius=60.0,
        tightest_at=tip / 2,
    )


def unit(*direction: float) -> np.ndarray:
    """Return a direction of length one."""
    vector = np.array(direction, float)
    return vector / np.linalg.norm(vector)


def geometry_of(
    pose: Pose,
    length: float,
    outside_diameter: float,
    movement: tuple[float, float, float] | None = None,
    **more: object,
) -> RouteGeometry:
    """Return the natural bend of a hose between two nipples as a route that can be drawn."""
    shape = solve(pose, length)
    points = shape.centreline(193)
    place = shape.tightest_at / length * (len(points) - 1)
    nearest = min(max(round(place), 1), len(points) - 2)
    tangents = shape.tangents_at(193)
    normal = np.cross(tangents[nearest - 1], tangents[nearest + 1])
    at = np.array([np.interp(place, np.arange(len(points)), column) for column in points.T])
    extremes = ()
    if movement is not None:
        corners = [np.array(signs) * movement for signs in product((-1, 1), repeat=3)]
        extremes = tuple(solve(pose.moved(c), length).centreline(97) for c in corners)
    nipple = outside_diameter * 0.66
    return RouteGeometry(
        centreline=points,
        tightest_at=at,
        tightest_radius=shape.tightest_radius,
        tightest_normal=normal / np.linalg.norm(normal),
        nipple_a=NippleEnd("A", pose.start, pose.start_direction, nipple, 25.0),
        nipple_b=NippleEnd("B", pose.end, -pose.end_direction, nipple, 25.0),
        outside_diameter=outside_diameter,
        extremes=extremes,
        **({"clips": np.zeros((0, 3))} | more),  # type: ignore[arg-type]
    )


@cache
def breather() -> RouteGeometry:
    """A breather hose over a valve cover, from the cover to the intake at the left front."""
    pose = Pose(np.zeros(3), unit(0, 0, 1), np.array([260.0, 90.0, 40.0]), unit(0.8, 0.3, -0.5))
    cover = np.array(list(product((60.0, 200.0), (-40.0, 60.0), (-60.0, 5.0))))
    return geometry_of(
        pose, 390.0, 25.0, obstacles=(Obstacle("valve cover", "box", cover, 0.0, 15.0),)
    )  # fmt: skip


@cache
def loop() -> RouteGeometry:
    """A U-shaped coolant loop between two nipples that point the same way."""
    pose = Pose(np.zeros(3), unit(1, 0, 0), np.array([0.0, 20.0, -150.0]), unit(-1, 0, 0))
    pipe = np.array([[60.0, -120.0, -75.0], [60.0, 120.0, -75.0]])
    geometry = geometry_of(
        pose, 340.0, 24.0, obstacles=(Obstacle("exhaust pipe", "rod", pipe, 22.0, 25.0, hot=True),)
    )  # fmt: skip
    middle = geometry.centreline[len(geometry.centreline) // 4]
    return RouteGeometry(**{**geometry.__dict__, "clips": middle[None, :]})


@cache
def rocking() -> RouteGeometry:
    """A crankcase hose from a rocking engine to a separator on the body, with a damper ball."""
    pose = Pose(np.zeros(3), unit(0, 1, 0.6), np.array([120.0, 200.0, 110.0]), unit(0.2, 0.3, 1))
    ball = Obstacle("mount damper", "ball", np.array([[150.0, 60.0, 0.0]]), 30.0, 20.0)
    return geometry_of(pose, 320.0, 27.0, (20.0, 12.0, 15.0), obstacles=(ball,))


@cache
def two_ways() -> RouteGeometry:
    """A slack hose over two nipples, which can lie in two ways."""
    pose = Pose(np.zeros(3), unit(0, 0, 1), np.array([100.0, 30.0, -20.0]), unit(0, 0.2, 1))
    geometry = geometry_of(pose, 300.0, 16.0)
    first = solve(pose, 300.0)
    (others,) = others_many([(pose, 300.0)], [first])
    lines = [shape.centreline(193) for shape in (first, *others)]
    apart = [line for line in lines if np.abs(line - geometry.centreline).max() > 5.0]
    return RouteGeometry(**{**geometry.__dict__, "others": tuple(apart)})


def turned_round(across: np.ndarray, down: np.ndarray) -> RouteGeometry:
    """A U of 120 mm between two nipples that point the same way."""
    pose = Pose(np.zeros(3), unit(*down), 120.0 * unit(*across), -unit(*down))
    return geometry_of(pose, 203.0, 21.0)


@cache
def over_a_cover() -> RouteGeometry:
    """A breather whose valve cover fills the view from above."""
    cover = np.array(list(product((-60.0, 320.0), (-120.0, 160.0), (-80.0, -30.0))))
    box = Obstacle("cylinder head cover with coils", "box", cover, 0.0, 15.0)
    return RouteGeometry(**{**breather().__dict__, "obstacles": (box,)})


@cache
def between() -> RouteGeometry:
    """A rocking U with a hot pipe through it, something over it, and all that can be marked."""
    pose = Pose(np.zeros(3), unit(0, 0, 1), np.array([140.0, 0.0, 0.0]), unit(0, 0, -1))
    pipe = np.array([[60.0, -120.0, -40.0], [60.0, 400.0, -40.0]])
    near = (
        Obstacle("exhaust manifold", "rod", pipe, 25.0, 60.0, hot=True),
        Obstacle("coil pack", "ball", np.array([[70.0, 0.0, 130.0]]), 18.0, 10.0),
    )
    geometry = geometry_of(pose, 300.0, 22.0, (8.0, 6.0, 5.0), obstacles=near)
    gap = np.array([geometry.centreline[60] - (0.0, 0.0, 11.0), (60.0, 0.0, -15.0)])
    marked = {
        "gap": Gap("exhaust manifold", gap, 22.0, 60.0, 2),
        "worst_at": geometry.extremes[3][40],
        "worst_radius": 44.0,
        "worst_extreme": 3,
    }
    return RouteGeometry(**{**geometry.__dict__, **marked})


@cache
def clipped() -> RouteGeometry:
    """The rocking hose with two clips and a low spot."""
    middle = rocking().centreline
    low = LowPoint(middle[20], "12 mm below A, 40 mm from A")
    return RouteGeometry(**{**rocking().__dict__, "clips": middle[[50, 120]], "low_point": low})


@cache
def along_a_pipe() -> RouteGeometry:
    """A U in front of a hot pipe that goes on to both sides."""
    pipe = np.array([[-900.0, 40.0, 30.0], [900.0, 40.0, 30.0]])
    hot = Obstacle("turbo downpipe", "rod", pipe, 30.0, 80.0, hot=True)
    geometry = turned_round(np.array([1, 0, 0]), np.array([0, 0, 1]))
    return RouteGeometry(**{**geometry.__dict__, "obstacles": (hot,)})


def crowded() -> dict[str, RouteGeometry]:
    """All routes, those with the most words in them included."""
    level, upright, ahead = np.eye(3)[[1, 2, 0]]
    return {
        "breather": breather(),
        "loop": loop(),
        "rocking": rocking(),
        "two-ways": two_ways(),
        "over-a-cover": over_a_cover(),
        "between": between(),
        "refused": RouteGeometry(**{**between().__dict__, "refused": True}),
        "clipped": clipped(),
        "along-a-pipe": along_a_pipe(),
        "left-to-right": turned_round(level, upright),
        "lying": turned_round(level, ahead),
        "oblique": turned_round(level + ahead, upright),
        "tilted": turned_round(level, upright + ahead),
    }
