"""Low spots and fall along a bent hose."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from hoseselect.mechanics.rod.nodes import Array

LEVEL = 1e-9  # steps smaller than this neither rise nor fall [mm]


class LowSpot(NamedTuple):
    """Where liquid can stand in a line: the line is higher on both sides.

    Parameters
    ----------
    place : position of the lowest point of the deepest low spot
    depth : below the lower of the highest points before and behind it; 0 where there is none [mm]
    """

    place: int
    depth: float


def low_spot(height: Array) -> LowSpot:
    """Return the deepest low spot of a line.

    Parameters
    ----------
    height : (n,) height of points along the line [mm]
    """
    before = np.maximum.accumulate(height)
    behind = np.maximum.accumulate(height[::-1])[::-1]
    depth = np.minimum(before, behind) - height
    place = int(np.argmax(depth))
    return LowSpot(place, float(depth[place]))


def low_spot_depth(height: Array) -> float:
    """Return how deep liquid can stand in a line; 0 where it cannot [mm].

    Parameters
    ----------
    height : (n,) height of points along the line [mm]
    """
    return low_spot(height).depth


def falls(height: Array) -> bool:
    """Whether a line falls all the way, one way or the other.

    Parameters
    ----------
    height : (n,) height of points along the line [mm]
    """
    steps = np.diff(height)
    return bool((steps <= LEVEL).all() or (steps >= -LEVEL).all())
