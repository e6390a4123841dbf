"""Outside diameter of a hose on its nipple: rubber keeps its volume.

Derived by hand: OD' = sqrt(OD^2 + S^2 - ID^2), stretch (S - ID) / ID. No standard states it.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from hoseselect.mechanics.fit import outside_diameter_on_nipple, stretch


@pytest.mark.parametrize(
    ("bore", "outside", "nipple", "percent", "grown"),
    [
        (9.5, 16.5, 10.0, 5.3, 16.79),
        (9.5, 16.5, 12.0, 26.3, 18.06),
        (12.7, 20.6, 13.5, 6.3, 21.10),
        (19.1, 27.0, 20.0, 4.7, 27.64),
    ],
)
def test_worked_figures(
    bore: float, outside: float, nipple: float, percent: float, grown: float
) -> None:
    """Rounded to 0.1 % and 0.01 mm."""
    assert float(stretch(nipple, bore)) == pytest.approx(percent, abs=0.051)
    ours = float(outside_diameter_on_nipple(outside, bore, nipple))
    assert ours == pytest.approx(grown, abs=0.0051)


def test_against_thin_shells_that_each_keep_their_volume() -> None:
    """The same from 20,000 thin shells pushed outwards one by one, each keeping its area."""
    bore, outside, nipple = 9.5, 16.5, 12.0
    edges = np.linspace(bore / 2, outside / 2, 20_001)
    radius = nipple / 2
    for inner, outer in pairwise(edges):
        middle = (inner + outer) / 2
        thickness = (outer - inner) * middle / radius
        radius += (outer - inner) * middle / (radius + thickness / 2)
    ours = float(outside_diameter_on_nipple(outside, bore, nipple))
    assert ours == pytest.approx(2 * radius, rel=1e-6)


def test_smallest_bores_on_inch_nipples() -> None:
    """Smallest ISO 1307 bores (from memory) on exact inch nipples, worked by hand to 0.1 %."""
    smallest = np.array([4.6, 6.1, 7.7, 9.3, 12.3, 15.5, 18.6, 25.0, 31.4, 37.7])
    nipples = np.array([3 / 16, 1 / 4, 5 / 16, 3 / 8, 1 / 2, 5 / 8, 3 / 4, 1, 1.25, 1.5]) * 25.4
    worked = [3.5, 4.1, 3.1, 2.4, 3.3, 2.4, 2.4, 1.6, 1.1, 1.1]
    np.testing.assert_allclose(stretch(nipples, smallest), worked, atol=0.051)
