"""The parts of a run: straights and bends along the centreline of a hose."""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass

from hoseselect.knowledge.errors import InputError

FULL_CIRCLE = 360.0


def _check(place: str, value: float, least: float, most: float, expected: str) -> None:
    """Refuse a number that is neither unknown (NaN) nor in least <= value <= most."""
    if not math.isnan(value) and not least <= value <= most:
        raise InputError(place, f"{value:g}", expected)


@dataclass(frozen=True)
class Straight:
    """A straight of a run.

    Parameters
    ----------
    length : length, NaN if unknown [mm]

    Raises
    ------
    InputError : the length is negative or infinite
    """

    length: float

    def __post_init__(self) -> None:
        most = sys.float_info.max
        _check("run, length of a straight", self.length, 0.0, most, "a length of 0 mm or more")


@dataclass(frozen=True)
class Bend:
    """A bend of a run.

    Parameters
    ----------
    angle : angle the hose is turned through, 0 to 360, NaN if unknown [deg]
    radius : radius of the centreline, NaN if unknown [mm]
    turn : turn of the bending plane about the axis of the hose, from the plane of the bend
        before, right-handed looking along the hose; 180 bends to the other side [deg]

    Raises
    ------
    InputError : the angle is out of range, the radius is not above zero or not finite, or
        the turn is not finite
    """

    angle: float
    radius: float
    turn: float = 0.0

    def __post_init__(self) -> None:
        largest = sys.float_info.max
        smallest = sys.float_info.min
        _check(
            "run, angle of a bend",
            self.angle,
            0.0,
            FULL_CIRCLE,
            "0 to 360 deg (a bend to the other side has turn = 180 deg)",
        )
        _check("run, radius of a bend", self.radius, smallest, largest, "a radius above 0 mm")
        _check("run, turn of a bend", self.turn, -largest, largest, "an angle in deg")

    @property
    def length(self) -> float:
        """Length along the centreline [mm]."""
        return math.radians(self.angle) * self.radius


RunPart = Straight | Bend
