"""A route on which the hose bends as it likes, described in the vehicle's own directions.

Vehicle directions: x forward, y left, z up; the origin is the mouth of nipple A.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Vector = tuple[float, float, float]


def vector(values: Iterable[float]) -> Vector:
    """Return three figures as a place or direction."""
    x, y, z = (float(value) for value in values)
    return (x, y, z)


@dataclass(frozen=True)
class KeepOut:
    """Something that the hose must keep clear of.

    Parameters
    ----------
    name : what it is
    kind : "ball", "rod" or "box"
    places : ball and box: the centre; rod: both ends [mm]
    size : ball and rod: the diameter in the first figure; box: its edges [mm]
    clearance : wanted between it and the cover of the hose [mm]
    growth, shake : by which it grows when hot, and shakes, towards the hose [mm]
    hot : whether it is a heat source
    moves : whether it moves with the other body, that which moves against that of nipple A;
        None where nobody knows: then it counts as either
    """

    name: str
    kind: Literal["ball", "rod", "box"]
    places: tuple[Vector, ...]
    size: Vector
    clearance: float
    growth: float = 0.0
    shake: float = 0.0
    hot: bool = False
    moves: bool | None = False

    @property
    def wanted(self) -> float:
        """Clearance with growth and shake [mm]."""
        return self.clearance + self.growth + self.shake


@dataclass(frozen=True)
class Clip:
    """A clip along the route.

    Parameters
    ----------
    place : of the centreline [mm]
    along : direction of the hose in a clip that holds it, unit vector; None for a ring in which
        it slides and tilts
    moves : whether it moves with the other body, that which moves against that of nipple A;
        None where nobody knows: that is asked before anything is solved
    """

    place: Vector
    along: Vector | None
    moves: bool | None = False


@dataclass(frozen=True)
class Rocking:
    """An engine that rocks about an axis: the other body turns about it, either way.

    Parameters
    ----------
    place : a point of the axis [mm]
    axis : its direction, unit vector
    angle : largest turn either way [deg]
    """

    place: Vector
    axis: Vector
    angle: float


@dataclass(frozen=True)
class FreeRoute:
    """Two nipples, what lies near, and how far the ends move.

    Parameters
    ----------
    mouth_b : mouth of nipple B, from the mouth of nipple A [mm]
    points_a, points_b : directions in which the nipples point, away from their roots, unit
        vectors
    movement : largest movement of the other body against that of nipple A, either way along the
        three directions [mm]
    rocking : about which it turns besides; None where it does not
    mouth_moves : whether nipple B sits on the other body
    lead : length of hose next to each nipple that its end holds straight [mm]
    keep_outs, clips : in order from nipple A
    tape_error, angle_error : of the measurements [mm], [deg]
    movement_said : whether the movement was said: "yes", "no" (nothing, then none is counted) or
        "unknown" (then the usual one is counted, and doubted)
    oriented : whether it is known how the route lies in the vehicle; where it is not, up is only
        the side to which its first bend goes
    """

    mouth_b: Vector
    points_a: Vector
    points_b: Vector
    movement: Vector = (0.0, 0.0, 0.0)
    keep_outs: tuple[KeepOut, ...] = ()
    clips: tuple[Clip, ...] = ()
    tape_error: float = 5.0
    angle_error: float = 5.0
    movement_said: Literal["yes", "no", "unknown"] = "yes"
    oriented: bool = True
    rocking: Rocking | None = None
    mouth_moves: bool = True
    lead: float = 0.0
