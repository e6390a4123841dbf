"""Dash sizes are sixteenths of an inch; of what, differs (AC 43.13-1B, Table 9-3, p. 9-22)."""

from __future__ import annotations

import math

import numpy as np
import pytest

from hoseselect.knowledge.load import table
from hoseselect.knowledge.tolerances import bore_limits, dash_bore

MM = 25.4  # of one inch

# dash, tube outside diameter, hose bore [in] of MIL-H-8794 hose (AC 43.13-1B, Table 9-3)
TABLE_9_3 = [
    (3, 3 / 16, 1 / 8),
    (4, 1 / 4, 3 / 16),
    (5, 5 / 16, 1 / 4),
    (6, 3 / 8, 5 / 16),
    (8, 1 / 2, 13 / 32),
    (10, 5 / 8, 1 / 2),
    (12, 3 / 4, 5 / 8),
    (16, 1, 7 / 8),
]


@pytest.mark.parametrize(("dash", "tube", "bore"), TABLE_9_3)
def test_dash_is_the_tube_of_the_table(dash: float, tube: float, bore: float) -> None:
    """Exact to the 0.001 mm that the table keeps; and it is not the bore of that hose."""
    ours = float(dash_bore(dash))
    assert ours == pytest.approx(tube * MM, abs=0.00051)
    assert ours > bore * MM + 1


@pytest.mark.parametrize(
    ("dash", "millimetres"), [(2, 3.18), (3, 4.78), (4, 6.35), (6, 9.525), (32, 50.8)]
)
def test_printed_millimetres(dash: float, millimetres: float) -> None:
    """MIL-DTL-13719G, Table III, from inches rounded to 0.001: 0.0127 mm."""
    assert float(dash_bore(dash)) == pytest.approx(millimetres, abs=0.018)


def test_shipped_table_of_tube_dashes_holds_the_printed_inches() -> None:
    """Bores kept to three figures: 0.05 mm."""
    shipped = table("dash_tube_sizes")
    assert [row.number("dash") for row in shipped] == [dash for dash, _, _ in TABLE_9_3]
    np.testing.assert_allclose(
        [row.number("bore_mm") for row in shipped],
        [bore * MM for _, _, bore in TABLE_9_3],
        atol=0.051,
    )


def test_halves_are_dash_sizes_and_others_are_not() -> None:
    assert float(dash_bore(5.5)) == pytest.approx(11 / 32 * MM, abs=0.00051)
    assert np.isnan(dash_bore([math.nan, 0.0, 7.25, -6.0, 100.0])).all()


@pytest.mark.parametrize("nominal", [5, 6.3, 8, 10, 12.5, 16, 19, 25, 31.5, 38, 51])
def test_nominal_bore_lies_in_its_limits(nominal: float) -> None:
    """Limits of ISO 1307 bores (from memory)."""
    smallest, largest = bore_limits(nominal)
    assert smallest <= nominal <= largest
    assert 0.5 <= largest - smallest <= 1.7


def test_size_not_in_the_table_has_no_limits() -> None:
    assert np.isnan(bore_limits([math.nan, 9.5])).all()
