"""Closed-form lengths and radii that no hose can beat."""

from __future__ import annotations

import numpy as np

from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose

TURN = 2.0 * np.pi


def reach(chord: Array, direction: Array, radius: Array) -> Array:
    """Shortest path of bounded curvature from a point and direction to another point.

    The path is planar: arc then straight where the point lies outside the turning circle, two
    arcs where it lies inside. The direction of arrival is free.
    Source: Dubins, Am. J. Math. 79 (1957) 497 (plane); the reach in space is the plane's
    turned about the first direction (arXiv 2403.18707).

    Parameters
    ----------
    chord : (..., 3) from the start to the point [mm]
    direction : (..., 3) unit vector at the start [-]
    radius : (...) least radius of the path, more than 0 [mm]

    Returns
    -------
    (...) length [mm]
    """
    x = np.einsum("...i,...i->...", chord, direction)
    side = chord - x[..., None] * direction
    y = np.sqrt(np.einsum("...i,...i->...", side, side))
    x, y, radius = np.broadcast_arrays(x, y, np.asarray(radius, dtype=float))
    return np.minimum(arc_straight(x, y, radius), two_arcs(x, y, radius))


def arc_straight(x: Array, y: Array, radius: Array) -> Array:
    """Length of the arc and straight to a point of the plane, infinite if inside the circle.

    Parameters
    ----------
    x : (...) ahead of the start [mm]
    y : (...) to the side, 0 or more [mm]
    radius : (...) [mm]
    """
    best = np.full(x.shape, np.inf)
    for side in (y, -y):
        square = x * x + side * (side - 2.0 * radius)
        outside = square >= 0
        straight = np.sqrt(np.where(outside, square, 0.0))
        turn = np.arctan2(side - radius, x) + np.arctan2(radius, straight)
        turn = np.where(turn < -1e-12, turn + TURN, np.maximum(turn, 0.0))
        best = np.where(outside, np.minimum(best, radius * turn + straight), best)
    return best


def two_arcs(x: Array, y: Array, radius: Array) -> Array:
    """Length of the path away and back to a point inside the turning circle, else infinite.

    Parameters
    ----------
    x : (...) ahead of the start [mm]
    y : (...) to the side, 0 or more [mm]
    radius : (...) [mm]
    """
    inside = x * x + y * (y - 2.0 * radius) < 0
    from_centre = np.hypot(x, y + radius)
    cosine = (from_centre**2 + 3.0 * radius**2) / np.maximum(4.0 * radius * from_centre, 1e-300)
    spread = np.arccos(np.clip(cosine, -1.0, 1.0))
    middle = np.arctan2(x, y + radius)
    best = np.full(x.shape, np.inf)
    for sign in (-1.0, 1.0):
        away = np.mod(middle + sign * spread, TURN)
        u = x - 2.0 * radius * np.sin(away)
        v = y + radius - 2.0 * radius * np.cos(away)
        back = np.mod(np.arctan2(u, -v) + away, TURN)
        best = np.minimum(best, radius * (away + back))
    return np.where(inside, best, np.inf)


def length_bound(pose: Pose, radius: Array | float) -> Array:
    """Length below which no hose of a least radius fits a pose, whatever its stiffness.

    The larger of the straight distance and the bounds walked from either end.

    Parameters
    ----------
    pose : the route
    radius : (...) centreline radius, more than 0 [mm]

    Returns
    -------
    (...) length [mm]
    """
    wanted = np.asarray(radius, dtype=float)
    there = reach(pose.chord, pose.start_direction, wanted)
    back = reach(-pose.chord, -pose.end_direction, wanted)
    return np.maximum(pose.distance, np.maximum(there, back))
