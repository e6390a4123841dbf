"""Ring buckling of a long tube against Roark's Formulas for Stress and Strain.

Table 35, case 19a, worked example: mean radius 6.75 in, wall 0.375 in, modulus 29e6 psi,
Poisson's ratio 0.29; printed answer 1.357e3 psi; valid for r/t > 10 and
length > 4.90 r sqrt(r/t).
"""

from __future__ import annotations

import numpy as np
import pytest

from hoseselect.mechanics.collapse import ring_buckling_pressure
from hoseselect.mechanics.modulus import INCOMPRESSIBLE

MM = 25.4  # of one inch
MPA = 0.006894757293168  # of one psi
KPA = 6.894757293168  # of one psi

RADIUS, WALL, MODULUS, POISSON = 6.75, 0.375, 29e6, 0.29


def test_worked_example() -> None:
    """Printed to four figures, so half a unit of the last one is allowed."""
    pressure = ring_buckling_pressure(RADIUS * MM, WALL * MM, MODULUS * MPA, POISSON)
    assert float(pressure) / KPA == pytest.approx(1357, abs=0.5)


def test_against_an_eigenvalue_of_the_ring() -> None:
    """The same pressure from a ring drawn as a polygon, without the formula.

    The ring is flattened a little without getting longer. The energy of bending the wall over
    the area lost is the pressure that could do it; the least over the number of waves is the
    buckling pressure. The flattening is 1 per cent of the radius, so its square, 1e-4, is the
    error to expect.
    """
    radius, wall, modulus, poisson = 10.0, 0.5, 3.0, INCOMPRESSIBLE
    bending = modulus * wall**3 / (12 * (1 - poisson**2))
    angle = np.linspace(0, 2 * np.pi, 4000, endpoint=False)
    lowest = np.inf
    for waves in range(2, 6):
        outward, around = np.cos(waves * angle), -np.sin(waves * angle) / waves

        def closed_line(size: float, w: np.ndarray = outward, v: np.ndarray = around) -> np.ndarray:
            """Ring displaced by size, stretched back to its own length."""
            points = (radius + size * w) * np.exp(1j * angle) + 1j * size * v * np.exp(1j * angle)
            length = np.abs(np.roll(points, -1) - points).sum()
            return points * (2 * np.pi * radius / length)

        def bent(points: np.ndarray) -> float:
            """Bending energy from the change of the turning angle along the line."""
            step = np.roll(points, -1) - points
            turning = np.angle(step / np.roll(step, 1))
            spacing = (np.abs(step) + np.abs(np.roll(step, 1))) / 2
            return float(bending / 2 * ((turning / spacing - 1 / radius) ** 2 * spacing).sum())

        def area(points: np.ndarray) -> float:
            ahead = np.roll(points, -1)
            return float((points.real * ahead.imag - points.imag * ahead.real).sum() / 2)

        size = 1e-2 * radius
        flat, round_ = closed_line(size), closed_line(0.0)
        lowest = min(lowest, (bent(flat) - bent(round_)) / (area(round_) - area(flat)))
    ours = float(ring_buckling_pressure(radius, wall, modulus, poisson)) / 1000
    assert ours == pytest.approx(lowest, rel=2e-4)


@pytest.mark.parametrize(
    ("bore", "outside", "printed"),
    [(8, 13, 0.108), (12, 18, 0.064), (19, 27, 0.042), (25, 33, 0.021)],
)
def test_rubber_tubes(bore: float, outside: float, printed: float) -> None:
    """Worked by hand from the same formula, Poisson's ratio 0.5, modulus 3 MPa, three digits."""
    pressure = ring_buckling_pressure((bore + outside) / 4, (outside - bore) / 2, 3.0)
    assert float(pressure) / 1000 == pytest.approx(printed, abs=0.0005)


@pytest.mark.parametrize(
    ("bore", "wall", "three", "five"),
    [
        (6.4, 3.0, 260, 433),
        (9.5, 3.5, 156, 260),
        (9.5, 2.0, 42, 70),
        (12.7, 4.0, 110, 183),
        (19.1, 4.0, 42, 69),
        (19.1, 2.5, 12, 21),
    ],
)
def test_hose_bores(bore: float, wall: float, three: float, five: float) -> None:
    """Worked by hand from the same formula for moduli of 3 and 5 MPa, rounded to 1 kPa."""
    pressures = ring_buckling_pressure((bore + wall) / 2, wall, [3.0, 5.0])
    np.testing.assert_allclose(pressures, [three, five], atol=0.5)
