"""Crankcase gas against 0.2 to 1 % of the intake air.

Sandu and Sova, FISITA 2005, paper CAR2005 1039 (abstract): blow-by of an engine in order.
"""

from __future__ import annotations

import pytest

from hoseselect.knowledge.load import limit
from hoseselect.mechanics.flow import blow_by

FILLING = 0.85  # volumetric efficiency assumed in the worked table
SHARES = limit("blow-by-share-low"), limit("blow-by-share-high")


@pytest.mark.parametrize(
    ("litres", "speed", "low", "high"),
    [
        (1.0, 4000, 3.4, 17),
        (1.0, 6000, 5.1, 25.5),
        (1.6, 4000, 5.4, 27),
        (1.6, 6000, 8.2, 41),
        (2.0, 4000, 6.8, 34),
        (2.0, 6000, 10, 51),
        (3.0, 4000, 10, 51),
        (3.0, 6000, 15, 77),
        (5.0, 4000, 17, 85),
        (5.0, 6000, 26, 128),
    ],
)
def test_worked_table(litres: float, speed: float, low: float, high: float) -> None:
    """Worked by hand from the shares: displacement x speed / 2 x 0.85, printed to two digits."""
    ours = blow_by(litres, speed, FILLING, *SHARES)
    assert float(ours.low) == pytest.approx(low, rel=0.025)
    assert float(ours.high) == pytest.approx(high, rel=0.01)


def test_against_air_counted_cylinder_by_cylinder() -> None:
    """Four cylinders of 0.5 L at 4000 1/min: 2000 fillings a minute each, 0.85 full."""
    air = 4 * 2000 * 0.5 * FILLING
    ours = blow_by(2.0, 4000, FILLING, *SHARES)
    assert (float(ours.low), float(ours.high)) == pytest.approx((0.002 * air, 0.01 * air))
