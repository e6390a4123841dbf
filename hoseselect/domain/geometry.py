"""The geometry of a planned route: what drawings and templates show.

Vehicle directions: x forward, y left, z up; the origin is the mouth of nipple A.
"""

from __future__ import annotations

import math
from collections.abc import Callable
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
class Gap:
    """The least gap between the cover of a hose and something that it must keep clear of.

    Parameters
    ----------
    name : of what it is near to
    at : on the cover of the hose, and on the surface of the other, shape (2, 3) [mm]
    left : the gap between them; negative where they would touch [mm]
    wanted : clearance, growth and shake included [mm]
    extreme : position among the extremes at which it is least; None at rest
    """

    name: str
    at: Points
    left: float
    wanted: float
    extreme: int | None = None

    def words(self, length: Callable[[float], str]) -> str:
        """Return what it is near to, how near, what is wanted, and whether only in movement.

        Parameters
        ----------
        length : a length [mm] in words, with its unit
        """
        said = f"{length(self.left)} to {self.name}" if self.left > 0 else f"touches {self.name}"
        if math.isfinite(self.wanted) and self.wanted > 0:
            said += f", {length(self.wanted)} wanted"
        return said if self.extreme is None else f"{said}, at worst movement"


@dataclass(frozen=True, eq=False)
class LowPoint:
    """Where liquid stands in a line.

    Parameters
    ----------
    at : the lowest point, shape (3,) [mm]
    words : where it is, as a tape finds it
    """

    at: Points
    words: str


@dataclass(frozen=True, eq=False)
class LengthCurve:
    """Tightest radius and room of one hose on a free route, against the length it is cut to.

    Parameters
    ----------
    cut : lengths, engagement at both ends included, rising, shape (n,) [mm]
    radius : tightest radius at the worst position of movement, shape (n,) [mm]; 0 taut
    radius_low : what all but the share `error-chance` of the errors of measuring and cutting leave
        of it, shape (n,) [mm]
    room : least gap beyond what is wanted, likewise, shape (n,) [mm]; NaN without keep-outs
    room_low : likewise of the room, shape (n,) [mm]
    least_radius : of the hose [mm]
    chosen : the cut; NaN where none works [mm]
    tolerance : of the cut, either way [mm]
    window : lengths that work as measured [mm]; NaN none
    stood : lengths that stand the errors as well [mm]; NaN none
    tape_error, angle_error : that were counted [mm], [deg]
    """

    cut: Points
    radius: Points
    radius_low: Points
    room: Points
    room_low: Points
    least_radius: float
    chosen: float
    tolerance: float
    window: tuple[float, float]
    stood: tuple[float, float]
    tape_error: float
    angle_error: float


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
    worst_at, worst_radius : tightest spot of all positions (3,) [mm], where an extreme is tighter
        than the line at rest; None where none is
    worst_extreme : position of that one among the extremes
    gap : the least gap to a keep-out; None where there is none
    low_point : where liquid stands; None where it nowhere does, or it does not matter
    refused : whether no length works and this is only the best that the route allows
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
    worst_at: Points | None = None
    worst_radius: float = math.inf
    worst_extreme: int | None = None
    gap: Gap | None = None
    low_point: LowPoint | None = None
    refused: bool = False
