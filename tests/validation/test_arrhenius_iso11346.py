"""Heat life by the Arrhenius procedure of ISO 11346 (1997, 2023; scope read).

The law is ln(t2/t1) = (Ea/R) (1/T2 - 1/T1). Slopes and energies are from abstracts of ageing
studies; the other figures were worked out apart from this code.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import scipy.constants
from scipy.integrate import quad
from scipy.optimize import brentq

from hoseselect.knowledge.constants import constant
from hoseselect.mechanics.heat_life import (
    activation_energy,
    arrhenius_factor,
    equivalent_temperature,
    mission_life,
)

STEPS, SHARES = [60.0, 80.0, 100.0, 120.0], [0.30, 0.40, 0.25, 0.05]


def test_constants_against_codata() -> None:
    """The conventional millimetre of mercury is 1.5e-7 above the 760th of an atmosphere that
    scipy gives; all else to the digits kept.
    """
    assert constant("gas-constant") == pytest.approx(scipy.constants.R, rel=1e-9)
    assert -constant("absolute-zero") == scipy.constants.zero_Celsius
    assert constant("standard-atmosphere") * 1000 == scipy.constants.atm
    assert constant("mercury-millimetre") * 1000 == pytest.approx(scipy.constants.mmHg, rel=2e-7)


@pytest.mark.parametrize(("slope", "energy"), [(-8263.6, 68.7), (-9120.8, 75.8)])
def test_epdm_slopes(slope: float, energy: float) -> None:
    """Published slopes of EPDM between 100 and 150 degC, energies printed to 0.1 kJ/mol."""
    assert float(activation_energy(slope)) == pytest.approx(energy, abs=0.051)


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


@pytest.mark.parametrize(("energy", "hours", "steady"), [(80.0, 9313, 91.34), (92.0, 11511, 92.82)])
def test_worked_mission(energy: float, hours: float, steady: float) -> None:
    """1000 h at 125 degC; 60 degC 30 %, 80 degC 40 %, 100 degC 25 %, 120 degC 5 % of the time."""
    life = float(mission_life(energy, 125.0, 1000.0, STEPS, SHARES))
    assert life == pytest.approx(hours, abs=0.51)
    assert float(equivalent_temperature(energy, STEPS, SHARES)) == pytest.approx(steady, abs=0.0051)


def test_mission_against_damage_counted_in_time() -> None:
    """Damage grown by integrating its rate over one hour of the mission, step after step."""
    edges = np.concatenate(([0.0], np.cumsum(SHARES)))
    damage = 0.0
    for (start, end), celsius in zip(pairwise(edges), STEPS, strict=True):
        kelvin = celsius + scipy.constants.zero_Celsius

        def rate(_: float, inverse: float = 1 / kelvin) -> float:
            reference = 1 / (125.0 + scipy.constants.zero_Celsius)
            return float(np.exp(-80e3 / scipy.constants.R * (inverse - reference))) / 1000.0

        damage += float(quad(rate, start, end)[0])
    assert float(mission_life(80.0, 125.0, 1000.0, STEPS, SHARES)) == pytest.approx(
        1 / damage, rel=1e-8
    )


def test_equivalent_temperature_against_a_search() -> None:
    wanted = float(mission_life(92.0, 125.0, 1000.0, STEPS, SHARES))

    def gap(celsius: float) -> float:
        kelvin = celsius + scipy.constants.zero_Celsius
        reference = 125.0 + scipy.constants.zero_Celsius
        exponent = 92e3 / scipy.constants.R * (1 / kelvin - 1 / reference)
        return float(1000 * np.exp(exponent)) - wanted

    searched = brentq(gap, 0.0, 125.0, xtol=1e-10)
    assert float(equivalent_temperature(92.0, STEPS, SHARES)) == pytest.approx(searched, abs=1e-6)
