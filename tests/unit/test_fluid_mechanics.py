"""Flow, boiling and heat life: shapes, unknowns and figures that cannot be."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoseselect.mechanics.boiling import (
    boiling_point,
    glycol_mole_share,
    glycol_vapour_pressure,
    water_vapour_pressure,
)
from hoseselect.mechanics.flow import (
    blow_by,
    friction_factor,
    loss_ratio,
    pressure_loss,
    reynolds_number,
)
from hoseselect.mechanics.heat_life import arrhenius_factor

NAN = math.nan
AIR = {"density": 1.09, "viscosity": 1.95e-5}


def test_no_flow_no_loss() -> None:
    assert pressure_loss(0.0, 9.5, 500.0, 2.0, **AIR) == 0


@pytest.mark.parametrize(
    ("flow", "bore", "length"),
    [
        (NAN, 9.5, 500.0),
        (50.0, NAN, 500.0),
        (50.0, 9.5, NAN),
        (50.0, 0.0, 500.0),
        (-50.0, 9.5, 500.0),
        (50.0, 9.5, -1.0),
        (0.0, 9.5, NAN),
    ],
)
def test_loss_of_what_is_unknown_or_cannot_be(flow: float, bore: float, length: float) -> None:
    assert np.isnan(pressure_loss(flow, bore, length, 2.0, **AIR))


def test_loss_with_unknown_fluid_is_unknown() -> None:
    assert np.isnan(pressure_loss(50.0, 9.5, 500.0, 2.0, density=1.09, viscosity=NAN))
    assert np.isnan(pressure_loss(50.0, 9.5, 500.0, 2.0, density=1.09, viscosity=0.0))
    assert np.isnan(pressure_loss(50.0, 9.5, 500.0, NAN, **AIR))


def test_friction_changes_law_at_its_reynolds_number() -> None:
    assert friction_factor(2300.0) == pytest.approx(64 / 2300)
    assert friction_factor(np.nextafter(2300.0, 3000.0)) > 1.5 * friction_factor(2300.0)
    assert np.isnan(friction_factor([0.0, -1.0, NAN])).all()


def test_reynolds_number_by_hand() -> None:
    """60 L/min through 10 mm: 1e-3 m3/s over 7.854e-5 m2 = 12.732 m/s; times 0.01 / 1e-6."""
    number = reynolds_number(60.0, 10.0, 1000.0, 1e-3)
    assert number == pytest.approx(12.732395e4, rel=1e-7)


@given(st.floats(2, 60), st.floats(2, 60))
def test_ratios_are_ordered_and_agree_in_sense(bore: float, original: float) -> None:
    loss = loss_ratio(bore, original)
    assert loss.low <= loss.high
    if bore < original:
        assert loss.low >= 1


@given(st.floats(1, 200), st.floats(3, 30), st.floats(0.5, 0.95))
def test_loss_of_a_smaller_bore_lies_in_the_stated_range(
    flow: float, original: float, share: float
) -> None:
    """Where both bores are in the same regime, the computed ratio lies between the bounds."""
    bores = np.array([share * original, original])
    numbers = reynolds_number(flow, bores, 1.09, 1.95e-5)
    if (numbers > 2300).all() or (numbers <= 2300).all():
        small, large = pressure_loss(flow, bores, 500.0, 2.0, **AIR)
        bounds = loss_ratio(share * original, original)
        assert bounds.low * (1 - 1e-9) <= small / large <= bounds.high * (1 + 1e-9)


@pytest.mark.parametrize(("bore", "original"), [(0.0, 9.5), (9.5, 0.0), (NAN, 9.5), (-1.0, 9.5)])
def test_ratios_of_no_bore_are_unknown(bore: float, original: float) -> None:
    assert np.isnan(loss_ratio(bore, original)).all()


def test_blow_by_of_an_unknown_engine_is_unknown() -> None:
    assert np.isnan(blow_by(NAN, 4000.0, 0.85, 0.002, 0.01)).all()


@pytest.mark.parametrize(
    ("share", "cap", "air"),
    [
        (-0.1, 0.0, 101.0),
        (1.1, 0.0, 101.0),
        (NAN, 0.0, 101.0),
        (0.5, NAN, 101.0),
        (0.5, 0.0, NAN),
        (0.5, 0.0, 0.0),
        (0.5, -200.0, 101.0),
        (0.0, 20_000.0, 101.0),
    ],
)
def test_boiling_of_what_cannot_be_is_unknown(share: float, cap: float, air: float) -> None:
    assert np.isnan(boiling_point(share, cap, air))


@given(st.floats(0, 0.7), st.floats(0, 150), st.floats(60, 105))
def test_boiling_point_gives_back_its_pressure(share: float, cap: float, air: float) -> None:
    point = boiling_point(share, cap, air)
    glycol = glycol_mole_share(share)
    pressure = (1 - glycol) * water_vapour_pressure(point) + glycol * glycol_vapour_pressure(point)
    assert pressure == pytest.approx(cap + air, rel=1e-9)


def test_vapour_pressures_out_of_range_are_unknown() -> None:
    assert np.isnan(water_vapour_pressure([-1.0, 374.5, NAN])).all()
    assert np.isnan(glycol_vapour_pressure([-1.0, NAN])).all()


def test_boiling_broadcasts() -> None:
    table = boiling_point(np.array([0.0, 0.5, NAN])[:, None], [0.0, 90.0], 101.325)
    assert table.shape == (3, 2)
    assert np.isnan(table[2]).all()
    assert not np.isnan(table[:2]).any()


@given(st.floats(20, 150), st.floats(-40, 250), st.floats(-40, 250))
def test_arrhenius_there_and_back_is_one(energy: float, one: float, other: float) -> None:
    there, back = arrhenius_factor(energy, one, other), arrhenius_factor(energy, other, one)
    assert there * back == pytest.approx(1, rel=1e-9)
    if abs(one - other) > 1e-6:  # nearer than that, both factors round to 1
        assert (there > 1) == (other < one)


def test_below_absolute_zero_is_unknown() -> None:
    assert np.isnan(arrhenius_factor(80.0, 100.0, [-273.15, -300.0, NAN])).all()
