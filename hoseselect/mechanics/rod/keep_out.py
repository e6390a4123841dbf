"""Keep-outs: bodies near a route and how far the hose stays from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.shape import Shape

POINTS = 401


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


@dataclass(frozen=True)
class KeepOut:
    """A body with the clearance it asks for.

    Parameters
    ----------
    name : what it is
    body : ball, rod or box
    clearance : wanted between its surface and the hose's cover [mm]
    growth : by which a hot body grows towards the hose [mm]
    shake : by which it moves towards the hose [mm]

    Raises
    ------
    InputError : a negative number
    """

    name: str
    body: Ball | Rod | Box
    clearance: float
    growth: float = 0.0
    shake: float = 0.0

    def __post_init__(self) -> None:
        if not min(self.clearance, self.growth, self.shake) >= 0:
            raise InputError(self.name, "a negative clearance, growth or shake", "0 or more")

    @property
    def wanted(self) -> float:
        """Clearance with growth and shake [mm]."""
        return self.clearance + self.growth + self.shake


@dataclass(frozen=True)
class Clearance:
    """How far a hose stays from one keep-out.

    Attributes
    ----------
    name : of the keep-out
    gap : least distance between surface and cover over all shapes; negative = overlap [mm]
    wanted : with growth and shake [mm]
    at : where it is, along the hose from the start [mm]
    position : index of the shape that gives it [-]
    """

    name: str
    gap: float
    wanted: float
    at: float
    position: int

    @property
    def kept(self) -> bool:
        """Whether the gap is at least the wanted one."""
        return self.gap >= self.wanted


def clearances(
    shapes: Sequence[Shape], keep_outs: Sequence[KeepOut], outside_diameter: float
) -> list[Clearance]:
    """Least clearance of each keep-out over all positions of a hose.

    The natural shape is taken: a hose that touches is not pushed aside, it needs a clip.

    Parameters
    ----------
    shapes : at every position [mm]
    keep_outs : bodies near the route [mm]
    outside_diameter : of the hose [mm]

    Raises
    ------
    InputError : no shape, or an outside diameter that is no positive number
    """
    if not shapes or not outside_diameter > 0:
        raise InputError("keep-outs", "no shape or no outside diameter", "both")
    lines = [shape.centreline(POINTS) for shape in shapes]
    found = []
    for keep_out in keep_outs:
        gaps = np.stack([keep_out.body.distance(line) for line in lines]) - outside_diameter / 2
        position, point = np.unravel_index(int(gaps.argmin()), gaps.shape)
        at = shapes[int(position)].length * float(point) / (POINTS - 1)
        found.append(
            Clearance(keep_out.name, float(gaps.min()), keep_out.wanted, at, int(position))
        )
    return found
