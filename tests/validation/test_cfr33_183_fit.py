"""Looseness on a nipple against 33 CFR 183.558(d), Table 8 (boat fuel hose).

The bore may exceed the least outside diameter of the nipple by at most 0.020 in under 3/8 in,
0.035 in from 3/8 to 1 in, 0.065 in above 1 in.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from hoseselect.knowledge.load import read_table
from hoseselect.knowledge.tolerances import loose_fit_limit
from hoseselect.mechanics.fit import stretch

MM = 25.4  # of one inch
ROUNDED = 0.005  # the table holds millimetres to two places


@pytest.mark.parametrize(
    ("nipple_in", "excess_in"),
    [
        (3 / 16, 0.020),
        (0.374, 0.020),
        (3 / 8, 0.035),
        (0.376, 0.035),
        (3 / 4, 0.035),
        (1, 0.035),
        (1.001, 0.065),
        (2, 0.065),
    ],
)
def test_table_8(nipple_in: float, excess_in: float) -> None:
    """The classes are: under 3/8, 3/8 to 1 with both ends, above 1."""
    limit = float(loose_fit_limit(nipple_in * MM))
    assert limit == pytest.approx(excess_in * MM, abs=ROUNDED)


def test_metric_nipples_in_inch_hose() -> None:
    """Worked by hand: 12 mm in 1/2 in, 19 in 3/4, 25 in 1 in hang loose; the others are tight."""
    nipples = np.array([12.0, 19.0, 25.0])
    bores = np.array([1 / 2, 3 / 4, 1]) * MM
    np.testing.assert_allclose(bores - nipples, [0.7, 0.05, 0.4], atol=0.0501)
    tight = stretch([8.0, 10.0, 16.0, 20.0], np.array([5 / 16, 3 / 8, 5 / 8, 3 / 4]) * MM)
    np.testing.assert_allclose(tight, [0.8, 5.0, 0.8, 5.0], atol=0.051)


def test_largest_bores_that_the_table_forbids() -> None:
    """Largest bores of ISO 1307 hose (from memory) on nipples of their exact inch size.

    Worked by hand: looseness 0.64 to 1.25 mm; above Table 8 for nominal 5, 6.3, 8 and 25.
    """
    kept = read_table(Path(__file__).parent / "tables" / "bore_tolerances.csv")
    bores = {row.number("nominal_mm"): row.number("bore_max_mm") for row in kept}
    largest = np.array([bores[size] for size in (5, 6.3, 8, 10, 12.5, 16, 19, 25, 31.5, 38)])
    printed = [5.4, 7.0, 8.5, 10.1, 13.5, 16.7, 19.8, 26.4, 33.0, 39.3]
    np.testing.assert_array_equal(largest, printed)
    nipples = np.array([3 / 16, 1 / 4, 5 / 16, 3 / 8, 1 / 2, 5 / 8, 3 / 4, 1, 1.25, 1.5]) * MM
    gaps = largest - nipples
    worked = [0.64, 0.65, 0.56, 0.58, 0.80, 0.83, 0.75, 1.00, 1.25, 1.20]
    np.testing.assert_allclose(gaps, worked, atol=0.0051)
    forbidden = gaps > loose_fit_limit(nipples)
    np.testing.assert_array_equal(
        forbidden, [True, True, True, False, False, False, False, True, False, False]
    )
