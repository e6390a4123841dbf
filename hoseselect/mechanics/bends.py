"""Bends and straights as numbers: lengths and radii along the centreline of a hose.

One run or a million: parts lie on the last axis, runs on the axes before it.
"""

from __future__ import annotations

import numpy as np

from hoseselect.mechanics.arrays import Floats, Numbers, floats, where_known


def bend_arc(angle: Numbers, radius: Numbers) -> Floats:
    """Length of a bend along the centreline: angle in radians times radius.

    Parameters
    ----------
    angle : angle the hose is turned through [deg]
    radius : radius of the centreline [mm]

    Returns
    -------
    length [mm]; NaN where either is NaN
    """
    angles, radii = floats(angle, radius)
    arc: Floats = np.radians(angles) * radii
    return arc


def centreline_radius(inside_radius: Numbers, outside_diameter: Numbers) -> Floats:
    """Radius of the centreline of a hose whose bend was measured on its inner side.

    Source: ISO 10619-3:2011, length of the test piece of the plate method, whose arc is
    pi (R + D/2) for an inside radius R and an outside diameter D.

    Parameters
    ----------
    inside_radius : radius of the inner side of the bend [mm]
    outside_diameter : outside diameter of the hose [mm]

    Returns
    -------
    radius [mm]
    """
    inside, outside = floats(inside_radius, outside_diameter)
    radius: Floats = inside + outside / 2
    return radius


def path_length(straights: Numbers, angles: Numbers, radii: Numbers) -> Floats:
    """Length of runs along the centreline; parts on the last axis, runs on the others.

    Runs with fewer parts are filled up with zeros. NaN in any part makes the sum NaN.

    Parameters
    ----------
    straights : lengths of the straights, shape (..., parts) [mm]
    angles : angles of the bends, shape (..., bends) [deg]
    radii : radii of the centreline, shape (..., bends) [mm]

    Returns
    -------
    lengths, shape (...) [mm]
    """
    (lengths,) = floats(straights)
    total: Floats = lengths.sum(axis=-1) + bend_arc(angles, radii).sum(axis=-1)
    return total


def tightest(angles: Numbers, radii: Numbers) -> Floats:
    """Smallest bend radius of runs; bends on the last axis, runs on the others.

    Bends of no angle count for nothing. A run without bends has an infinite radius. One
    unknown bend makes the answer unknown.

    Parameters
    ----------
    angles : angles of the bends, shape (..., bends) [deg]
    radii : radii of the centreline, shape (..., bends) [mm]

    Returns
    -------
    radii, shape (...) [mm]
    """
    turned, rounded = np.broadcast_arrays(*floats(angles, radii))
    counted = np.where(turned == 0, np.inf, rounded)
    smallest: Floats = counted.min(axis=-1, initial=np.inf)
    return where_known(~np.isnan(turned).any(axis=-1), smallest)


def with_slack(path: Numbers, share: Numbers) -> Floats:
    """Length of a hose of which a share is slack: the path divided by one less the share.

    Source: NAVEDTRA 14105, p. 5-11: slack is counted as part of the total length.

    Parameters
    ----------
    path : length of the path between the ends [mm]
    share : slack as a share of the total length, 0 <= share < 1 [-]

    Returns
    -------
    length [mm]; NaN where the share is out of range
    """
    lengths, shares = floats(path, share)
    possible = (shares >= 0) & (shares < 1)
    return where_known(possible, lengths / (1 - np.where(possible, shares, 0.0)))
