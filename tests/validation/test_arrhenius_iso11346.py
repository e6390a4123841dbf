"""Heat life by the Arrhenius procedure of ISO 11346 (1997, 2023; scope read).

The law is ln(t2/t1) = (Ea/R) (1/T2 - 1/T1). Slopes and energies are from abstracts of ageing
studies; the other figures were worked out apart from this code.
"""

from __future__ import annotations

import pytest
import scipy.constants

from hoseselect.knowledge.constants import constant
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.heat_life import arrhenius_factor


def test_constants_against_codata() -> None:
    """The conventional millimetre of mercury is 1.5e-7 above the 760th of an atmosphere that
    scipy gives; all else to the digits kept.
    """
    assert constant("gas-constant") == pytest.approx(scipy.constants.R, rel=1e-9)
    assert -constant("absolute-zero") == scipy.constants.zero_Celsius
    assert constant("standard-atmosphere") * 1000 == scipy.constants.atm
    assert constant("mercury-millimetre") * 1000 == pytest.approx(scipy.constants.mmHg, rel=2e-7)


@pytest.mark.parametrize(
    ("slope", "name"),
    [(-8263.6, "activation-energy-epdm"), (-9120.8, "activation-energy-epdm-high")],
)
def test_epdm_slopes(slope: float, name: str) -> None:
    """Published slopes of EPDM between 100 and 150 degC, energies printed to 0.1 kJ/mol."""
    assert limit(name) == pytest.approx(-slope * scipy.constants.R / 1000, abs=0.051)


def test_nbr_energy() -> None:
    """22 kcal/mol for the elongation of NBR (abstract, 1993) is 92.0 kJ/mol."""
    assert 22 * scipy.constants.calorie == pytest.approx(92.0, abs=0.051)
    factor = float(arrhenius_factor(22 * scipy.constants.calorie, 150.0, 100.0))
    assert factor == pytest.approx(33.24, rel=0.003)


@pytest.mark.parametrize(
    ("energy", "tested_at", "used_at", "factor", "digit"),
    [
        (68.7, 150, 100, 13.69, 0.01),
        (92.0, 150, 100, 33.24, 0.01),
        (68.7, 100, 90, 1.84, 0.01),
        (92.0, 100, 90, 2.26, 0.01),
    ],
)
def test_worked_factors(
    energy: float, tested_at: float, used_at: float, factor: float, digit: float
) -> None:
    """Printed to 0.01, so half a digit."""
    ours = float(arrhenius_factor(energy, tested_at, used_at))
    assert ours == pytest.approx(factor, abs=digit / 2 * 1.02)
