"""Self-weight of a hose and of what stands in it."""

from __future__ import annotations

import numpy as np

from hoseselect.knowledge.errors import InputError

GRAVITY_M_PER_S2 = 9.80665


def tube_weight(
    bore: float, outside_diameter: float, wall_density: float, fluid_density: float = 0.0
) -> float:
    """Weight of a hose per length, with fluid trapped in it if asked.

    Parameters
    ----------
    bore : inside diameter [mm]
    outside_diameter : larger than the bore [mm]
    wall_density : of the wall [kg/m3]
    fluid_density : of what fills the bore, 0 = empty [kg/m3]

    Returns
    -------
    Weight per length [N/mm]

    Raises
    ------
    InputError : diameters or densities that cannot be
    """
    if not 0 < bore < outside_diameter or not wall_density > 0 or not fluid_density >= 0:
        raise InputError("weight", "a size or density that cannot be", "positive numbers")
    wall = np.pi / 4 * (outside_diameter**2 - bore**2) * wall_density
    fluid = np.pi / 4 * bore**2 * fluid_density
    return float((wall + fluid) * GRAVITY_M_PER_S2 * 1e-9)


def weight_number(weight: float, length: float, stiffness: float) -> float:
    """Weight against bending stiffness: w L^3 / EI.

    Parameters
    ----------
    weight : per length [N/mm]
    length : between the nipple tips [mm]
    stiffness : bending stiffness EI; the low end of its range is the safe one [N mm2]

    Raises
    ------
    InputError : a number that is not positive
    """
    if not (weight >= 0 and length > 0 and stiffness > 0):
        raise InputError("weight", f"{weight} N/mm, {length} mm, {stiffness} N mm2", "positive")
    return weight * length**3 / stiffness
