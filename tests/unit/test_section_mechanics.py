"""Modulus, collapse, kink and fit: shapes, unknowns and figures that cannot be."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoseselect.mechanics.collapse import (
    collapse_estimate,
    ring_buckling_pressure,
)
from hoseselect.mechanics.fit import outside_diameter_on_nipple, stretch
from hoseselect.mechanics.kink import (
    brazier_radius,
    kink_estimate,
)
from hoseselect.mechanics.modulus import (
    base_ten_modulus,
    bending_stiffness,
    gent_modulus,
    modulus_range,
)

NAN = math.nan


@pytest.mark.parametrize("hardness", [NAN, -5.0, 0.0, 100.0, 120.0])
def test_gent_outside_its_scale_is_unknown(hardness: float) -> None:
    assert np.isnan(gent_modulus(hardness))


@pytest.mark.parametrize("hardness", [NAN, 20.0, 80.0, 95.0])
def test_base_ten_and_range_outside_the_stated_range_are_unknown(hardness: float) -> None:
    assert np.isnan(base_ten_modulus(hardness))
    assert np.isnan(modulus_range(hardness)).all()


@given(st.floats(20.01, 79.99))
def test_modulus_range_is_ordered_and_holds_both(hardness: float) -> None:
    low, high = modulus_range(hardness)
    assert 0 < low <= high
    assert {float(low), float(high)} == {
        float(gent_modulus(hardness)),
        float(base_ten_modulus(hardness)),
    }


def test_bending_stiffness_of_tube_is_rod_less_core() -> None:
    tube = bending_stiffness(5.0, 10.0, 20.0)
    rod, core = bending_stiffness(5.0, 0.0, 20.0), bending_stiffness(5.0, 0.0, 10.0)
    np.testing.assert_allclose(tube, rod - core, rtol=1e-14)
    assert np.isnan(bending_stiffness(5.0, 20.0, 20.0))


@pytest.mark.parametrize(
    ("radius", "wall", "ratio"),
    [(0.0, 2.0, 0.5), (5.0, 0.0, 0.5), (5.0, -1.0, 0.5), (5.0, 2.0, 0.51), (5.0, 2.0, -1.0)],
)
def test_impossible_tubes_are_unknown(radius: float, wall: float, ratio: float) -> None:
    assert np.isnan(ring_buckling_pressure(radius, wall, 3.0, ratio))
    assert np.isnan(brazier_radius(radius, wall, ratio))


def test_buckling_goes_with_the_cube_of_the_wall() -> None:
    one, two = ring_buckling_pressure(10.0, [1.0, 2.0], 3.0)
    assert two / one == pytest.approx(8)


@given(
    st.floats(3, 60),
    st.floats(0.5, 6),
    st.tuples(st.floats(0.5, 20), st.floats(1, 2)),
    st.floats(0.2, 1),
    st.floats(1, 4),
)
def test_sure_suction_is_never_above_at_most(
    bore: float, wall: float, rubber: tuple[float, float], share: float, factor: float
) -> None:
    low, spread = rubber
    sure, at_most = collapse_estimate(
        bore, bore + 2 * wall, low, low * spread, hot_share=share, factor=factor
    )
    assert 0 < sure <= at_most * (1 + 1e-12)


@pytest.mark.parametrize(
    ("bore", "outside", "share", "factor", "both"),
    [
        (10.0, 10.0, 0.5, 2.0, True),
        (12.0, 10.0, 0.5, 2.0, True),
        (0.0, 10.0, 0.5, 2.0, True),
        (NAN, 10.0, 0.5, 2.0, True),
        (10.0, 16.0, 0.0, 2.0, False),
        (10.0, 16.0, 1.1, 2.0, False),
        (10.0, 16.0, 0.5, 0.9, False),
    ],
)
def test_collapse_of_what_cannot_be_is_unknown(
    bore: float, outside: float, share: float, factor: float, both: bool
) -> None:
    estimate = collapse_estimate(bore, outside, 3.0, 5.0, hot_share=share, factor=factor)
    assert np.isnan(estimate.sure)
    assert np.isnan(estimate.at_most) == both


def test_sure_suction_is_softened_and_divided() -> None:
    """9.5 mm bore, 3.5 mm wall: half the modulus and a factor of 2 leave a quarter."""
    sure, at_most = collapse_estimate(9.5, 16.5, 3.0, 5.0, hot_share=0.5, factor=2.0)
    assert sure == pytest.approx(float(ring_buckling_pressure(6.5, 3.5, 3.0)) / 4)
    assert at_most == pytest.approx(float(ring_buckling_pressure(6.5, 3.5, 5.0)))


def test_collapse_broadcasts_jobs_against_hoses() -> None:
    estimate = collapse_estimate(
        [9.5, NAN], [16.5, 21.0], 3.0, 5.0, hot_share=np.ones((3, 1)), factor=2.0
    )
    assert estimate.sure.shape == (3, 2)
    np.testing.assert_array_equal(np.isnan(estimate.sure), [[False, True]] * 3)


@given(st.floats(3, 60), st.floats(0.1, 8))
def test_sure_radius_is_never_below_the_bound(bore: float, wall: float) -> None:
    estimate = kink_estimate(bore, bore + 2 * wall, 6.0)
    assert estimate.sure >= estimate.lower_bound > 0
    assert estimate.sure >= 6.0 * bore + bore / 2 + wall - 1e-9


@pytest.mark.parametrize(("bore", "outside"), [(10.0, 10.0), (12.0, 10.0), (0.0, 5.0), (NAN, 5.0)])
def test_kink_of_no_wall_is_unknown(bore: float, outside: float) -> None:
    assert np.isnan(kink_estimate(bore, outside, 6.0)).all()


def test_fit_signs() -> None:
    assert stretch(13.5, 12.7) > 0 > stretch(12.0, 12.7)
    assert stretch(12.7, 12.7) == 0


def test_fit_of_what_cannot_be_is_unknown() -> None:
    assert np.isnan(stretch([0.0, 10.0, NAN], [10.0, 0.0, 10.0])).all()
    assert np.isnan(
        outside_diameter_on_nipple([10.0, 16.0, 16.0, NAN], 10.0, [9.0, 0.0, NAN, 9.0])
    ).all()


@given(st.floats(3, 50), st.floats(0.5, 8), st.floats(0.8, 1.3))
def test_wall_keeps_its_area_on_the_nipple(bore: float, wall: float, ratio: float) -> None:
    outside = bore + 2 * wall
    grown = float(outside_diameter_on_nipple(outside, bore, ratio * bore))
    area = outside**2 - bore**2
    assert grown**2 - (ratio * bore) ** 2 == pytest.approx(area, rel=1e-9)
    assert (grown > outside) == (ratio > 1) or grown == pytest.approx(outside)
