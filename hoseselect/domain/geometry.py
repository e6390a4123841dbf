"""The geometry of a planned route: what drawings and templates show.

Vehicle directions: x forward, y left, z up; the origin is the mouth of nipple A.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from numpy.typing import NDArray

Points = NDArray[Any]


@dataclass(frozen=True, eq=False)
class NippleEnd:
    """A nipple as drawn.

    Parameters
    ----------
    name : "A" or "B"
    mouth : its mouth, shape (3,) [mm]
    points : direction in which it points, away from its root, unit vector (3,)
    outside_diameter : on the plain part [mm]
    engagement : length of hose over it [mm]
    """

    name: str
    mouth: Points
    points: Points
    outside_diameter: float
    engagement: float


@dataclass(frozen=True, eq=False)
class Obstacle:
    """Something that the hose must keep clear of, as drawn.

    Parameters
    ----------
    name : what it is
    kind : "ball", "rod" or "box"
    points : ball: its centre (1, 3); rod: its two ends (2, 3); box: its eight corners (8, 3) [mm]
    radius : of ball or rod [mm]; 0 for a box
    clearance : wanted, growth and shake included [mm]
    hot : whether it is a heat source
    """

    name: str
    kind: str
    points: Points
    radius: float
    clearance: float
    hot: bool = False


@dataclass(frozen=True, eq=False)
class RouteGeometry:
    """A hose on its route.

    Parameters
    ----------
    centreline : shape (n, 3), from mouth to mouth [mm]
    extremes : the centreline at each extreme of movement, each (k, 3) [mm]
    others : other ways in which the hose can lie, each (k, 3) [mm]
    tightest_at : tightest spot, shape (3,) [mm]; NaN where the route is straight
    tightest_radius : of the centreline there [mm]
    tightest_normal : normal of the plane of the tightest bend, unit vector (3,)
    nipple_a, nipple_b : the ends
    outside_diameter : of the hose [mm]
    obstacles : keep-outs
    clips : places of clips, shape (c, 3) [mm]
    flat : whether the directions are only relative (a run of straights and bends)
    """

    centreline: Points
    tightest_at: Points
    tightest_radius: float
    tightest_normal: Points
    nipple_a: NippleEnd
    nipple_b: NippleEnd
    outside_diameter: float
    clips: Points
    extremes: tuple[Points, ...] = ()
    others: tuple[Points, ...] = ()
    obstacles: tuple[Obstacle, ...] = field(default_factory=tuple)
    flat: bool = False
