"""Squareness of a cut end against handbook IP-2, 7th edition 2003 (read).

At most 1/16 in up to 3/4 in bore, 1/8 in above that to 2 in, 1/4 in above that to 6 in.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from hoseselect.knowledge.tolerances import squareness

MM = 25.4  # of one inch


@pytest.mark.parametrize(
    ("bore_in", "sixteenths"), [(1 / 4, 1), (0.70, 1), (0.80, 2), (1.9, 2), (2.1, 4), (5.9, 4)]
)
def test_classes(bore_in: float, sixteenths: int) -> None:
    """The table is in mm to three figures: 0.06 mm."""
    ours = float(squareness(bore_in * MM))
    assert ours == pytest.approx(sixteenths / 16 * MM, abs=0.06)


@pytest.mark.parametrize(("bore", "printed"), [(19.0, 1.59), (19.05, 1.59), (50.8, 3.18)])
def test_upper_ends_belong_to_the_class(bore: float, printed: float) -> None:
    assert float(squareness(bore)) == printed


def test_no_class_no_figure() -> None:
    assert np.isnan(squareness([math.nan, 0.0, 160.0])).all()
