"""Keep-outs: bodies near a route and how far the hose stays from them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np

from hoseselect.mechanics.rod.movement import Placement
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.shape import Shape

POINTS = 201
SIDES = 24
TURNS_FREELY = 1e-5


@dataclass(frozen=True)
class Ball:
    """A ball.

    Parameters
    ----------
    centre : (3,) [mm]
    radius : 0 or more [mm]
    """

    centre: Array
    radius: float

    def distance(self, points: Array) -> Array:
        """Distance of points (n, 3) from the surface, negative inside, (n,) [mm]."""
        gap: Array = np.linalg.norm(points - np.asarray(self.centre, float), axis=1) - self.radius
        return gap


@dataclass(frozen=True)
class Rod:
    """A round rod with round ends, such as a pipe or a strut.

    Parameters
    ----------
    start, end : (3,) ends of its axis [mm]
    radius : 0 or more [mm]
    """

    start: Array
    end: Array
    radius: float

    def distance(self, points: Array) -> Array:
        """Distance of points (n, 3) from the surface, negative inside, (n,) [mm]."""
        axis = np.asarray(self.end, float) - np.asarray(self.start, float)
        away = points - np.asarray(self.start, float)
        part = np.clip(away @ axis / max(float(axis @ axis), 1e-300), 0.0, 1.0)
        gap: Array = np.linalg.norm(away - part[:, None] * axis, axis=1) - self.radius
        return gap


@dataclass(frozen=True)
class Box:
    """A box.

    Parameters
    ----------
    centre : (3,) [mm]
    half_size : (3,) half of its edges [mm]
    axes : (3, 3) its edge directions as rows, unit and square to each other [-]
    """

    centre: Array
    half_size: Array
    axes: Array = field(default_factory=lambda: np.eye(3))

    def distance(self, points: Array) -> Array:
        """Distance of points (n, 3) from the surface, negative inside, (n,) [mm]."""
        local = (points - np.asarray(self.centre, float)) @ np.asarray(self.axes, float).T
        over = np.abs(local) - np.asarray(self.half_size, float)
        outside = np.linalg.norm(np.maximum(over, 0.0), axis=1)
        gap: Array = outside + np.minimum(over.max(axis=1), 0.0)
        return gap


Body = Ball | Rod | Box


def moved_body(body: Body, placement: Placement) -> Body:
    """Return a body after what it sits on has moved."""
    if isinstance(body, Ball):
        return Ball(placement.point(body.centre), body.radius)
    if isinstance(body, Rod):
        return Rod(placement.point(body.start), placement.point(body.end), body.radius)
    return Box(
        placement.point(body.centre), body.half_size, placement.direction(np.asarray(body.axes))
    )


def least_gap(shapes: Iterable[Shape], body: Body) -> float:
    """Least distance of centrelines from the surface of a body, negative inside [mm].

    The natural shape is taken: a hose that touches is not pushed aside, it needs a clip. A shape
    that nothing holds about the line between its ends is turned to every side.

    Parameters
    ----------
    shapes : at every position, and every other way to lie [mm]
    body : near the route [mm]
    """
    return min(float(body.distance(line).min()) for shape in shapes for line in _sides(shape))


def _sides(shape: Shape) -> Iterator[Array]:
    """Yield the centreline, turned about the chord all round where nothing holds it."""
    line = shape.centreline(POINTS)
    yield line
    along = shape.pose.chord / shape.pose.distance
    ends = np.array([shape.pose.start_direction, shape.pose.end_direction])
    held = bool((np.abs(np.cross(ends, along)) > TURNS_FREELY).any())
    if held or abs(shape.diagnostics.smallest_eigenvalue) > TURNS_FREELY:
        return
    arm = line - shape.pose.start
    for side in range(1, SIDES):
        angle = 2 * np.pi * side / SIDES
        yield (
            shape.pose.start
            + np.cos(angle) * arm
            + np.sin(angle) * np.cross(along, arm)
            + (1 - np.cos(angle)) * np.outer(arm @ along, along)
        )
