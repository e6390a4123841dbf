"""Invented routes for the tests of drawings and templates, with shapes that are solved."""

from __future__ import annotations

from functools import cache
from itertools import product

import numpy as np

from hoseselect.domain.cut import CutPlan, Part
from hoseselect.domain.geometry import NippleEnd, Obstacle, RouteGeometry
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
