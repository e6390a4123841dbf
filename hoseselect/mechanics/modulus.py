"""Young's modulus of rubber from its hardness, and the bending stiffness of a hose.

Two published relations differ by a factor of 1.4 to 1.9, so a hardness gives a range.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from hoseselect.knowledge.constants import constant
from hoseselect.mechanics.arrays import Floats, Numbers, floats, where_known

INCOMPRESSIBLE = 0.5  # Poisson's ratio of a material that keeps its volume, as rubber nearly does


class ModulusRange(NamedTuple):
    """Young's modulus between two published relations.

    Parameters
    ----------
    low : smaller of the two [MPa]
    high : larger of the two [MPa]
    """

    low: Floats
    high: Floats


def gent_modulus(shore_a: Numbers) -> Floats:
    """Young's modulus from Shore A hardness, from the indentation of an elastic half space.

    Source: Gent, Rubber Chemistry and Technology 31 (1958) 896.

    Parameters
    ----------
    shore_a : hardness, above 0 and below 100 [Shore A]

    Returns
    -------
    modulus [MPa]; NaN where the hardness is out of range
    """
    (hardness,) = floats(shore_a)
    possible = (hardness > 0) & (hardness < 100)
    inside = np.where(possible, hardness, np.nan)
    rise = constant("gent-offset") + constant("gent-slope") * inside
    fall = constant("gent-fall-start") - constant("gent-fall-slope") * inside
    unit = constant("gent-kgf-per-square-centimetre")
    modulus: Floats = unit * rise / (constant("gent-divisor") * fall)
    return modulus


def base_ten_modulus(shore_a: Numbers) -> Floats:
    """Young's modulus from Shore A hardness by log10 E = 0.0235 S - 0.6403.

    Source: Qi, Joyce and Boyce, Rubber Chemistry and Technology (2003).

    Parameters
    ----------
    shore_a : hardness, above 20 and below 80 [Shore A]

    Returns
    -------
    modulus [MPa]; NaN where the hardness is out of range
    """
    (hardness,) = floats(shore_a)
    over, under = constant("base-ten-hardness-over"), constant("base-ten-hardness-under")
    inside = where_known((hardness > over) & (hardness < under), hardness)
    modulus: Floats = 10 ** (constant("base-ten-slope") * inside + constant("base-ten-offset"))
    return modulus


def modulus_range(shore_a: Numbers) -> ModulusRange:
    """Young's modulus between the two relations, where both hold.

    Parameters
    ----------
    shore_a : hardness [Shore A]

    Returns
    -------
    ModulusRange; NaN where either relation does not hold
    """
    one, other = gent_modulus(shore_a), base_ten_modulus(shore_a)
    return ModulusRange(np.minimum(one, other), np.maximum(one, other))


def bending_stiffness(modulus: Numbers, bore: Numbers, outside_diameter: Numbers) -> Floats:
    """Bending stiffness of a round tube: modulus times second moment of area.

    Reinforcement is not counted, so a textile or wire hose is stiffer than this.

    Parameters
    ----------
    modulus : Young's modulus [MPa]
    bore : inside diameter [mm]
    outside_diameter : outside diameter [mm]

    Returns
    -------
    stiffness [N mm2]; NaN where the outside diameter is not above the bore
    """
    young, inner, outer = floats(modulus, bore, outside_diameter)
    stiffness = young * np.pi / 64 * (outer**4 - inner**4)
    return where_known((inner >= 0) & (outer > inner), stiffness)
