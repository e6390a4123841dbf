"""Low spots and fall along a bent hose."""

from __future__ import annotations

import numpy as np

from hoseselect.mechanics.rod.nodes import Array

LEVEL = 1e-9  # steps smaller than this neither rise nor fall [mm]


def low_spot_depth(height: Array) -> float:
    """How deep liquid can stand in a line: the line is higher on both sides.

    Parameters
    ----------
    height : (n,) height of points along the line [mm]

    Returns
    -------
    depth of the deepest low spot below the lower of the highest points before and behind it,
    0 where there is none [mm]
    """
    before = np.maximum.accumulate(height)
    behind = np.maximum.accumulate(height[::-1])[::-1]
    return float((np.minimum(before, behind) - height).max())


def falls(height: Array) -> bool:
    """Whether a line falls all the way, one way or the other.

    Parameters
    ----------
    height : (n,) height of points along the line [mm]
    """
    steps = np.diff(height)
    return bool((steps <= LEVEL).all() or (steps >= -LEVEL).all())
