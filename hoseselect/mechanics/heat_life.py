"""How long rubber lasts at other temperatures than the one it was tested at.

The law holds for the property and the range it was measured in; a rubber whose ageing is held
back by how fast oxygen gets in does not follow it.
"""

from __future__ import annotations

import numpy as np

from hoseselect.knowledge.constants import constant
from hoseselect.mechanics.arrays import Floats, Numbers, floats, where_known

JOULES = 1000.0  # of one kJ


def _kelvin(temperature: Numbers) -> Floats:
    """Absolute temperature [K]; NaN where there is no such temperature."""
    (celsius,) = floats(temperature)
    kelvin = celsius - constant("absolute-zero")
    return where_known(kelvin > 0, kelvin)


def activation_energy(slope: Numbers) -> Floats:
    """Activation energy from the slope of ln(rate) against 1/T.

    Source: ISO 11346, Arrhenius procedure.

    Parameters
    ----------
    slope : slope, negative for a rate [K]

    Returns
    -------
    energy [kJ/mol]
    """
    (slopes,) = floats(slope)
    energy: Floats = -slopes * constant("gas-constant") / JOULES
    return energy


def arrhenius_factor(energy: Numbers, tested_at: Numbers, used_at: Numbers) -> Floats:
    """How many times longer a life is at one temperature than at another.

    Source: ISO 11346, Arrhenius procedure: ln(t2/t1) = (Ea/R) (1/T2 - 1/T1).

    Parameters
    ----------
    energy : activation energy [kJ/mol]
    tested_at : temperature of the known life [degC]
    used_at : temperature of the life looked for [degC]

    Returns
    -------
    factor, above 1 where the use is cooler [-]; NaN at or below absolute zero
    """
    (activation,) = floats(energy)
    inverse = 1 / _kelvin(used_at) - 1 / _kelvin(tested_at)
    factor: Floats = np.exp(activation * JOULES / constant("gas-constant") * inverse)
    return factor


def mission_life(
    energy: Numbers,
    tested_at: Numbers,
    tested_life: Numbers,
    temperatures: Numbers,
    shares: Numbers,
) -> Floats:
    """Life under changing temperatures: the used-up shares of life add up (Miner).

    Parameters
    ----------
    energy : activation energy, shape (...) [kJ/mol]
    tested_at : temperature of the known life, shape (...) [degC]
    tested_life : known life, shape (...), any unit of time
    temperatures : temperatures of the mission, shape (..., steps) [degC]
    shares : shares of the time at them, shape (..., steps), sum 1 [-]

    Returns
    -------
    life, shape (...), in the unit of the known life; NaN where the shares do not sum to 1
    """
    activation, reference, life = floats(energy, tested_at, tested_life)
    rate = _mission_rate(activation, reference, temperatures, shares)
    lasted: Floats = life / rate
    return lasted


def equivalent_temperature(energy: Numbers, temperatures: Numbers, shares: Numbers) -> Floats:
    """Steady temperature that ages as fast as changing temperatures do.

    Parameters
    ----------
    energy : activation energy, shape (...) [kJ/mol]
    temperatures : temperatures of the mission, shape (..., steps) [degC]
    shares : shares of the time at them, shape (..., steps), sum 1 [-]

    Returns
    -------
    temperature, shape (...) [degC]; NaN where the shares do not sum to 1 or the energy is not
    above zero
    """
    (activation,) = floats(energy)
    activation = where_known(activation > 0, activation)
    hottest = np.max(np.asarray(temperatures, dtype=np.float64), axis=-1)
    rate = _mission_rate(activation, hottest, temperatures, shares)
    per_kelvin = constant("gas-constant") / (activation * JOULES)
    steady: Floats = 1 / (1 / _kelvin(hottest) - per_kelvin * np.log(rate))
    return steady + constant("absolute-zero")


def _mission_rate(
    energy: Floats, reference: Floats, temperatures: Numbers, shares: Numbers
) -> Floats:
    """Mean rate of ageing of a mission, in rates at the reference temperature."""
    steps, parts = floats(temperatures, shares)
    slower = arrhenius_factor(energy[..., None], reference[..., None], steps)
    whole = (parts >= 0).all(axis=-1) & np.isclose(parts.sum(axis=-1), 1.0, rtol=0, atol=1e-6)
    return where_known(whole, (parts / slower).sum(axis=-1))
