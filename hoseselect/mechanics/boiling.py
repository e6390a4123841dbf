"""Boiling point of glycol coolant under a pressure cap: a ceiling for the coolant temperature.

Both liquids give off vapour in proportion to their share of the molecules (Raoult's law). The
figure was compared with published limits for up to 70 per cent of glycol by volume.
"""

from __future__ import annotations

import numpy as np

from hoseselect.knowledge.constants import constant
from hoseselect.mechanics.arrays import Floats, Numbers, floats, where_known

WATER_TERMS = ("1", "1.5", "3", "3.5", "4", "7.5")  # exponents of the saturation equation
COLDEST, HOTTEST = 0.01, 300.0  # bracket of the search, above the triple point [degC]
HALVINGS = 60


def water_vapour_pressure(temperature: Numbers) -> Floats:
    """Absolute pressure at which water boils.

    Source: IAPWS SR1-86(1992), equation 1 (Wagner and Pruss, 1993).

    Parameters
    ----------
    temperature : temperature, from the triple point to the critical point [degC]

    Returns
    -------
    pressure, absolute [kPa]; NaN out of range
    """
    (celsius,) = floats(temperature)
    kelvin = celsius - constant("absolute-zero")
    critical = constant("water-critical-temperature")
    inside = where_known((celsius >= COLDEST) & (kelvin <= critical), kelvin)
    distance = 1 - inside / critical
    terms = [constant(f"water-saturation-{term}") * distance ** float(term) for term in WATER_TERMS]
    pressure: Floats = constant("water-critical-pressure") * np.exp(
        critical / inside * np.sum(terms, axis=0)
    )
    return pressure


def glycol_vapour_pressure(temperature: Numbers) -> Floats:
    """Absolute pressure at which 1,2-ethanediol boils, by an Antoine equation.

    Parameters
    ----------
    temperature : temperature, not below 0 [degC]

    Returns
    -------
    pressure, absolute [kPa]; NaN out of range
    """
    (celsius,) = floats(temperature)
    inside = where_known(celsius >= 0, celsius)
    fall = constant("glycol-antoine-b") / (constant("glycol-antoine-c") + inside)
    pressure: Floats = constant("mercury-millimetre") * 10 ** (constant("glycol-antoine-a") - fall)
    return pressure


def glycol_mole_share(volume_share: Numbers) -> Floats:
    """Share of glycol molecules in a mixture made of volumes measured at 20 degC.

    Parameters
    ----------
    volume_share : volume of glycol over the volumes of both, 0 to 1 [-]

    Returns
    -------
    share [-]; NaN out of range
    """
    (volume,) = floats(volume_share)
    inside = where_known((volume >= 0) & (volume <= 1), volume)
    glycol = inside * constant("glycol-density") / constant("glycol-molar-mass")
    water = (1 - inside) * constant("water-density") / constant("water-molar-mass")
    share: Floats = glycol / (glycol + water)
    return share


def boiling_point(volume_share: Numbers, cap: Numbers, air: Numbers) -> Floats:
    """Temperature at which a mixture of glycol and water boils.

    Parameters
    ----------
    volume_share : volume of glycol over the volumes of both, 0 to 1 [-]
    cap : pressure above that of the air, at which the cap opens [kPa]
    air : pressure of the air, absolute [kPa]

    Returns
    -------
    temperature [degC]; NaN where an argument is out of range or boiling lies outside 0-300 degC
    """
    gauge, outside = floats(cap, air)
    glycol = glycol_mole_share(volume_share)
    glycol, wanted = np.broadcast_arrays(glycol, gauge + where_known(outside > 0, outside))
    low, high = np.full(wanted.shape, COLDEST), np.full(wanted.shape, HOTTEST)
    possible = (_mixture(glycol, low) <= wanted) & (wanted <= _mixture(glycol, high))
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        boils = _mixture(glycol, middle) > wanted
        low, high = np.where(boils, low, middle), np.where(boils, middle, high)
    return where_known(possible, (low + high) / 2)


def _mixture(glycol: Floats, temperature: Floats) -> Floats:
    """Vapour pressure of a mixture, absolute [kPa], by Raoult's law."""
    water = (1 - glycol) * water_vapour_pressure(temperature)
    pressure: Floats = water + glycol * glycol_vapour_pressure(temperature)
    return pressure
