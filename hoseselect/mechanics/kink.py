"""How tight a plain round hose can be bent before its section gives way.

Theory gives a radius below which no plain tube is expected to go, practice a radius that is
safe; between the two the answer is not known. The theory is for thin walls and long tubes: for
the thick wall of a hose it is a rough figure, and reinforcement moves it either way. Neither
replaces a hose's stated least bend radius.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from hoseselect.mechanics.arrays import Floats, Numbers, floats, where_known
from hoseselect.mechanics.bends import centreline_radius
from hoseselect.mechanics.modulus import INCOMPRESSIBLE


class KinkEstimate(NamedTuple):
    """Radii of the centreline of a bend.

    Parameters
    ----------
    sure : a plain hose takes a bend of this radius, by practice [mm]
    lower_bound : a plain hose is expected to kink before it is bent as tight as this [mm]
    """

    sure: Floats
    lower_bound: Floats


def brazier_radius(
    mean_radius: Numbers, wall: Numbers, poisson: Numbers = INCOMPRESSIBLE
) -> Floats:
    """Radius of the centreline at which a long thin tube in bending gives way.

    Source: Brazier, Proceedings of the Royal Society A 116 (1927).

    | symbol | word |
    |---|---|
    | R = 3 r^2 sqrt(1 - nu^2) / (sqrt(2) t) | radius from mean radius, Poisson's ratio, wall |

    Parameters
    ----------
    mean_radius : radius of the middle of the wall [mm]
    wall : thickness of the wall [mm]
    poisson : Poisson's ratio, -1 < ratio <= 0.5 [-]

    Returns
    -------
    radius [mm]; NaN where a dimension is not above zero or the ratio is out of range
    """
    radius, thickness, plane = _section(mean_radius, wall, poisson)
    kink: Floats = 3 / np.sqrt(2) * radius**2 * plane / thickness
    return kink


def _section(mean_radius: Numbers, wall: Numbers, poisson: Numbers) -> tuple[Floats, ...]:
    """Mean radius, wall and sqrt(1 - nu^2), NaN where they cannot be."""
    radius, thickness, ratio = floats(mean_radius, wall, poisson)
    possible = (ratio > -1) & (ratio <= INCOMPRESSIBLE)
    plane = np.sqrt(1 - where_known(possible, ratio) ** 2)
    return where_known(radius > 0, radius), where_known(thickness > 0, thickness), plane


def kink_estimate(
    bore: Numbers, outside_diameter: Numbers, inside_radius_per_bore: Numbers
) -> KinkEstimate:
    """Radius a plain hose surely takes, and the radius it cannot take.

    Parameters
    ----------
    bore : inside diameter [mm]
    outside_diameter : outside diameter [mm]
    inside_radius_per_bore : safe radius of the inner side of a bend, in bores [-]

    Returns
    -------
    KinkEstimate; NaN where the outside diameter is not above the bore. The sure radius is never
    below the lower bound.
    """
    inner, outer, bores = floats(bore, outside_diameter, inside_radius_per_bore)
    possible = (inner > 0) & (outer > inner)
    bound = brazier_radius((inner + outer) / 4, where_known(possible, (outer - inner) / 2))
    safe = where_known(possible, centreline_radius(bores * inner, outer))
    return KinkEstimate(np.maximum(safe, bound), bound)
