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
    factor: Floats = np.exp(activation / (constant("gas-constant") / JOULES) * inverse)
    return factor
