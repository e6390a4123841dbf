"""Boiling of water and of glycol coolant against an equation of state and published limits."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from hoseselect.knowledge.constants import constant
from hoseselect.knowledge.load import read_table
from hoseselect.mechanics.boiling import (
    boiling_point,
    glycol_mole_share,
    glycol_vapour_pressure,
    water_vapour_pressure,
)

ATMOSPHERE = 101.325
CAPS = [0.0, 50.0, 90.0, 103.4, 110.0, 130.0, 150.0]


@pytest.mark.parametrize("celsius", [1.0, 25.0, 60.0, 100.0, 129.7, 150.0, 250.0, 350.0])
def test_water_against_iapws_95(celsius: float) -> None:
    """CoolProp solves IAPWS-95, a fit apart from the saturation equation.

    The two were found to differ by at most 7e-5 between 1 and 370 degC, so 1e-4 is allowed.
    """
    exact = PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water") / 1000
    assert float(water_vapour_pressure(celsius)) == pytest.approx(exact, rel=1e-4)


def test_water_at_its_critical_point() -> None:
    critical = constant("water-critical-temperature") - 273.15
    ours = float(water_vapour_pressure(critical - 1e-9))
    assert ours == pytest.approx(PropsSI("Water", "pcrit") / 1000, rel=1e-6)


@pytest.mark.parametrize("cap", CAPS)
def test_boiling_water_against_iapws_95(cap: float) -> None:
    """1e-4 of the pressure is 0.003 degC at 100 degC and 0.004 degC at 128 degC."""
    exact = PropsSI("T", "P", (cap + ATMOSPHERE) * 1000, "Q", 0, "Water") - 273.15
    assert float(boiling_point(0.0, cap, ATMOSPHERE)) == pytest.approx(exact, abs=0.004)


def test_half_glycol_meets_the_limit_of_astm_d3306() -> None:
    """ASTM D3306: 50 volume per cent boils at 226 degF (107.8 degC) or more (from memory).

    The limit is met by a real coolant with additives; our ideal mixture must lie at it to the
    0.1 degC that it is printed to.
    """
    assert float(boiling_point(0.5, 0.0, ATMOSPHERE)) == pytest.approx(107.8, abs=0.1)
    assert float(boiling_point(0.5, 0.0, ATMOSPHERE)) == pytest.approx((226 - 32) / 1.8, abs=0.1)


def test_half_glycol_under_a_cap_of_15_psi() -> None:
    """129 degC (265 degF) is commonly printed for a 15 psi cap; whole degrees, hence 1 degC."""
    assert float(boiling_point(0.5, 103.4, ATMOSPHERE)) == pytest.approx(129, abs=1.0)


def test_glycol_boils_at_its_normal_boiling_point() -> None:
    """197.3 degC at one atmosphere (handbooks, from memory); the Antoine equation is from memory
    too and fitted over a range, so 0.5 degC.
    """
    assert float(boiling_point(1.0, 0.0, ATMOSPHERE)) == pytest.approx(197.3, abs=0.5)
    assert float(glycol_vapour_pressure(197.3)) == pytest.approx(ATMOSPHERE, rel=0.01)


def test_mole_share_of_half_glycol() -> None:
    """By hand: (1.1132/62.068) / (1.1132/62.068 + 0.9982/18.015) = 0.01794/0.07334 = 0.2445."""
    assert float(glycol_mole_share(0.5)) == pytest.approx(0.2445, abs=1e-4)


def test_worked_table() -> None:
    """Raoult's law worked out apart from this code, rounded to 0.1 degC."""
    shares = np.array([0.0, 0.33, 0.5, 0.6, 0.7])
    worked = [
        [100.0, 111.6, 118.8, 121.0, 122.0, 124.9, 127.6],
        [104.1, 116.0, 123.4, 125.5, 126.6, 129.6, 132.3],
        [107.8, 120.0, 127.5, 129.7, 130.8, 133.8, 136.7],
        [111.1, 123.5, 131.1, 133.4, 134.5, 137.6, 140.5],
        [115.9, 128.6, 136.5, 138.8, 139.9, 143.1, 146.1],
    ]
    ours = boiling_point(shares[:, None], CAPS, ATMOSPHERE)
    np.testing.assert_allclose(ours, worked, atol=0.055)


def test_worked_in_the_mountains() -> None:
    """At 84.6 kPa of air (about 1500 m): 102.6 degC open, 126.9 degC with a 15 psi cap."""
    np.testing.assert_allclose(boiling_point(0.5, [0.0, 103.4], 84.6), [102.6, 126.9], atol=0.051)


def test_table_is_what_we_compute() -> None:
    """Rounded to 0.1 degC."""
    for row in read_table(Path(__file__).parent / "tables" / "coolant_boiling.csv"):
        ours = boiling_point(
            row.number("glycol_percent") / 100,
            row.number("pressure_kpa"),
            row.number("air_pressure_kpa"),
        )
        assert float(ours) == pytest.approx(row.number("boiling_degc"), abs=0.055)
