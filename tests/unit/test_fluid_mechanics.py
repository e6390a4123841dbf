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
    flow_ratio,
    friction_factor,
    loss_ratio,
    pressure_loss,
    reynolds_number,
    smooth_flow_ratio,
)
from hoseselect.mechanics.heat_life import (
    activation_energy,
    arrhenius_factor,
    equivalent_temperature,
    mission_life,
)

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
    loss, flow = loss_ratio(bore, original), flow_ratio(bore, original)
    assert loss.low <= loss.high
    assert flow.low <= float(smooth_flow_ratio(bore, original)) * (1 + 1e-12)
    assert float(smooth_flow_ratio(bore, original)) <= flow.high * (1 + 1e-12)
    if bore < original:
        assert loss.low >= 1 >= flow.high


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
    assert np.isnan(flow_ratio(bore, original)).all()
    assert np.isnan(smooth_flow_ratio(bore, original))


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


def test_steady_mission_is_the_plain_law() -> None:
    life = mission_life(80.0, 125.0, 1000.0, [90.0, 90.0], [0.25, 0.75])
    assert life == pytest.approx(1000 * float(arrhenius_factor(80.0, 125.0, 90.0)), rel=1e-12)
    assert equivalent_temperature(80.0, [90.0], [1.0]) == pytest.approx(90, rel=1e-12)


@given(st.floats(30, 150), st.lists(st.floats(20, 180), min_size=2, max_size=5))
def test_equivalent_temperature_gives_the_same_life(energy: float, steps: list[float]) -> None:
    shares = np.full(len(steps), 1 / len(steps))
    steady = equivalent_temperature(energy, steps, shares)
    life = mission_life(energy, 125.0, 1000.0, steps, shares)
    assert min(steps) - 1e-9 <= steady <= max(steps) + 1e-9
    assert 1000 * arrhenius_factor(energy, 125.0, steady) == pytest.approx(life, rel=1e-9)


@pytest.mark.parametrize("shares", [[0.5, 0.4], [0.7, 0.7], [1.2, -0.2], [NAN, 1.0]])
def test_shares_must_be_the_whole_time(shares: list[float]) -> None:
    assert np.isnan(mission_life(80.0, 125.0, 1000.0, [90.0, 100.0], shares))
    assert np.isnan(equivalent_temperature(80.0, [90.0, 100.0], shares))


def test_below_absolute_zero_is_unknown() -> None:
    assert np.isnan(arrhenius_factor(80.0, 100.0, [-273.15, -300.0, NAN])).all()


def test_missions_broadcast() -> None:
    lives = mission_life(
        [80.0, 92.0, NAN], 125.0, 1000.0, np.array([[60.0, 100.0]] * 3), [0.5, 0.5]
    )
    assert lives.shape == (3,)
    assert lives[1] > lives[0]
    assert np.isnan(lives[2])


def test_slope_of_zero_is_no_activation() -> None:
    assert activation_energy(0.0) == 0
