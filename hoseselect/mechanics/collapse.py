"""When a wall without wire is sucked flat: buckling of a long tube under outside pressure.

The theory is for thin round tubes. A hose is thick, slightly oval, bent and warm, so the sure
figure is divided by a factor, and between the two figures the answer is not known.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from hoseselect.mechanics.arrays import Floats, Numbers, floats, where_known
from hoseselect.mechanics.modulus import INCOMPRESSIBLE

KPA_PER_MPA = 1000.0


class CollapseEstimate(NamedTuple):
    """Suction a plain wall can bear, as magnitudes.

    Parameters
    ----------
    sure : the wall stands up to this suction [kPa]
    at_most : the wall cannot stand more than this, even cold and of the stiffest rubber [kPa]
    """

    sure: Floats
    at_most: Floats


def ring_buckling_pressure(
    mean_radius: Numbers, wall: Numbers, modulus: Numbers, poisson: Numbers = INCOMPRESSIBLE
) -> Floats:
    """Outside pressure at which a long round thin tube buckles.

    Source: Roark's Formulas for Stress and Strain, table 35, case 19a;
    Timoshenko and Gere, Theory of Elastic Stability, article 7.3.

    | symbol | word |
    |---|---|
    | p = E / (4 (1 - nu^2)) (t / r)^3 | pressure from modulus, Poisson's ratio, wall, mean radius |

    Parameters
    ----------
    mean_radius : radius of the middle of the wall [mm]
    wall : thickness of the wall [mm]
    modulus : Young's modulus [MPa]
    poisson : Poisson's ratio, -1 < ratio <= 0.5 [-]

    Returns
    -------
    pressure [kPa]; NaN where a dimension is not above zero or the ratio is out of range
    """
    radius, thickness, young, ratio = floats(mean_radius, wall, modulus, poisson)
    possible = (radius > 0) & (thickness > 0) & (ratio > -1) & (ratio <= INCOMPRESSIBLE)
    slender = thickness / np.where(possible, radius, np.nan)
    plane = 1 - np.where(possible, ratio, np.nan) ** 2
    pressure: Floats = KPA_PER_MPA * young / (4 * plane) * slender**3
    return pressure


def collapse_estimate(
    bore: Numbers,
    outside_diameter: Numbers,
    modulus_low: Numbers,
    modulus_high: Numbers,
    *,
    hot_share: Numbers,
    factor: Numbers,
) -> CollapseEstimate:
    """Suction that a plain wall surely bears, and the suction it cannot bear.

    The sure figure takes the low modulus, softened by heat, over the factor for wall thickness,
    ovality and bending; the other takes the high modulus cold, without a factor.

    Parameters
    ----------
    bore : inside diameter [mm]
    outside_diameter : outside diameter [mm]
    modulus_low : smallest Young's modulus at room temperature [MPa]
    modulus_high : largest Young's modulus at room temperature [MPa]
    hot_share : share of the modulus left when hot, above 0 and at most 1 [-]
    factor : factor the sure figure is divided by, at least 1 [-]

    Returns
    -------
    CollapseEstimate; NaN where the outside diameter is not above the bore, or the share or the
    factor is out of range
    """
    inner, outer, share, divisor = floats(bore, outside_diameter, hot_share, factor)
    inner = where_known(inner > 0, inner)
    radius, wall = (inner + outer) / 4, (outer - inner) / 2
    softened = where_known((share > 0) & (share <= 1), share)
    divided = where_known(divisor >= 1, divisor)
    low, high = floats(modulus_low, modulus_high)
    sure = ring_buckling_pressure(radius, wall, low * softened) / divided
    return CollapseEstimate(sure, ring_buckling_pressure(radius, wall, high))
