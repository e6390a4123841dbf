"""Dash sizes are sixteenths of an inch; of what, differs (AC 43.13-1B, Table 9-3, p. 9-22)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from hoseselect.knowledge.load import read_table
from hoseselect.quantities.read import read_quantity

MM = 25.4  # of one inch
TABLES = Path(__file__).parent / "tables"

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


def dash_tube(text: str) -> float:
    """Return what we read as the size of a dash number of a tube [mm]."""
    return read_quantity(f"dash {text} tube", "length", "check")


@pytest.mark.parametrize(("dash", "tube", "bore"), TABLE_9_3)
def test_dash_is_the_tube_of_the_table(dash: float, tube: float, bore: float) -> None:
    """Exact; and it is not the bore of that hose."""
    ours = dash_tube(f"{dash:g}")
    assert ours == pytest.approx(tube * MM, rel=1e-12)
    assert ours > bore * MM + 1


@pytest.mark.parametrize(
    ("dash", "millimetres"), [(2, 3.18), (3, 4.78), (4, 6.35), (6, 9.525), (32, 50.8)]
)
def test_printed_millimetres(dash: float, millimetres: float) -> None:
    """MIL-DTL-13719G, Table III, from inches rounded to 0.001: 0.0127 mm."""
    assert dash_tube(f"{dash:g}") == pytest.approx(millimetres, abs=0.018)


def test_all_dash_sizes_are_read_as_the_table_has_them() -> None:
    """Halves too; the table keeps 0.001 mm."""
    for row in read_table(TABLES / "dash_sizes.csv"):
        assert dash_tube(row["dash"]) == pytest.approx(row.number("exact_mm"), abs=0.00051)


def test_table_of_tube_dashes_holds_the_printed_inches() -> None:
    """Bores kept to three figures: 0.05 mm."""
    kept = read_table(TABLES / "dash_tube_sizes.csv")
    assert [row.number("dash") for row in kept] == [dash for dash, _, _ in TABLE_9_3]
    np.testing.assert_allclose(
        [row.number("bore_mm") for row in kept],
        [bore * MM for _, _, bore in TABLE_9_3],
        atol=0.051,
    )
