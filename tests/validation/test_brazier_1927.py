"""Kink of a long thin tube against Brazier's theory, worked out again from its energy.

L. G. Brazier, Proceedings of the Royal Society A 116 (1927): a bent tube flattens, which makes
it easier to bend, until its moment reaches a peak.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from hoseselect.mechanics.kink import brazier_radius, kink_estimate

RADIUS, WALL, MODULUS = 10.0, 0.4, 3.0


def second_moment(flat: float) -> float:
    """Second moment of area of the flattened thin ring, by quadrature over the section.

    Radial displacement flat x r x cos(2 a), and the tangential one that leaves the ring as long
    as it was; the angle a is counted from the axis of bending.
    """

    def square_height(angle: float) -> float:
        outward = RADIUS * (1 + flat * math.cos(2 * angle))
        around = -RADIUS * flat / 2 * math.sin(2 * angle)
        return (outward * math.sin(angle) + around * math.cos(angle)) ** 2

    return float(quad(square_height, 0, 2 * math.pi)[0]) * RADIUS * WALL


def wall_energy(flat: float, poisson: float) -> float:
    """Energy of bending the wall of the ring into its flattened shape, by quadrature."""
    stiffness = MODULUS * WALL**3 / (12 * (1 - poisson**2))

    def square_curvature(angle: float) -> float:
        return (3 * flat / RADIUS * math.cos(2 * angle)) ** 2

    return stiffness / 2 * float(quad(square_curvature, 0, 2 * math.pi)[0]) * RADIUS


def peak(poisson: float) -> tuple[float, float, float]:
    """Curvature, moment and flattening at the peak of the moment, from the energy alone.

    As Brazier did, the second moment of area is taken to first order in the flattening. At each
    curvature the flattening is where the energy is least; the peak is where the slope of the
    moment vanishes. Both slopes are central differences.
    """
    whole = second_moment(0.0)
    slope = (second_moment(1e-4) - second_moment(-1e-4)) / 2e-4
    unit_wall = wall_energy(1.0, poisson)

    def energy(curvature: float, flat: float) -> float:
        return MODULUS / 2 * curvature**2 * (whole + slope * flat) + unit_wall * flat**2

    def flattening(curvature: float) -> float:
        def energy_slope(flat: float) -> float:
            return energy(curvature, flat + 0.1) - energy(curvature, flat - 0.1)

        return float(brentq(energy_slope, 0.0, 10.0, xtol=1e-14))

    def moment(curvature: float) -> float:
        return MODULUS * curvature * (whole + slope * flattening(curvature))

    scale = WALL / RADIUS**2

    def moment_slope(share: float) -> float:
        return moment((share + 1e-3) * scale) - moment((share - 1e-3) * scale)

    curvature = float(brentq(moment_slope, 0.1, 1.0, xtol=1e-12)) * scale
    return curvature, moment(curvature), flattening(curvature)


@pytest.mark.parametrize("poisson", [0.0, 0.3, 0.5])
def test_radius_at_the_peak(poisson: float) -> None:
    """The central differences are good to the square of their step, about 1e-6."""
    curvature, _, flat = peak(poisson)
    assert float(brazier_radius(RADIUS, WALL, poisson)) == pytest.approx(1 / curvature, rel=3e-6)
    assert flat == pytest.approx(2 / 9, rel=3e-6)


def test_printed_factors() -> None:
    """Radius 1.83712 r^2/t for nu = 0.5; six figures."""
    assert float(brazier_radius(1.0, 1.0, 0.5)) == pytest.approx(1.83712, abs=5e-6)


@pytest.mark.parametrize(
    ("bore", "outside", "radius"),
    [(8, 13, 20.3), (12, 18, 34.4), (19, 27, 60.7), (25, 33, 96.6)],
)
def test_hose_sections(bore: float, outside: float, radius: float) -> None:
    """Worked by hand for Poisson's ratio 0.5, rounded to 0.1 mm."""
    estimate = kink_estimate(bore, outside, 6.0)
    assert float(estimate.lower_bound) == pytest.approx(radius, abs=0.051)


def test_hose_walls() -> None:
    """Worked by hand, bore and wall, rounded to 1 mm."""
    bores = np.array([6.4, 9.5, 9.5, 12.7, 19.1, 19.1])
    walls = np.array([3.0, 3.5, 2.0, 4.0, 4.0, 2.5])
    bounds = kink_estimate(bores, bores + 2 * walls, 6.0).lower_bound
    np.testing.assert_allclose(bounds, [14, 22, 30, 32, 61, 86], atol=0.51)
