"""Cut lengths of unreinforced tube: classes L1, L2, L3 of ISO 3302-1, solid-rubber extrusions.

Figures as read in two reprints of the table in the handbook of the US rubber products industry.
"""

from __future__ import annotations

import numpy as np
import pytest

from hoseselect.knowledge.tolerances import cut_length_tolerance

CLASSES = ("iso-3302-1-l1", "iso-3302-1-l2", "iso-3302-1-l3")
UP_TO = [40, 63, 100, 160, 250, 400, 630, 1000, 1600, 2500, 4000]
PRINTED = {
    "iso-3302-1-l1": [0.7, 0.8, 1.0, 1.3, 1.6, 2.0, 2.5, 3.2, 4.0, 5.0, 6.3],
    "iso-3302-1-l2": [1.0, 1.3, 1.6, 2.0, 2.5, 3.2, 4.0, 5.0, 6.3, 10.0, 12.5],
    "iso-3302-1-l3": [1.6, 2.0, 2.5, 3.2, 4.0, 5.0, 6.3, 10.0, 12.5, 16.0, 20.0],
}
PERCENT = {"iso-3302-1-l1": 0.16, "iso-3302-1-l2": 0.32, "iso-3302-1-l3": 0.50}


@pytest.mark.parametrize("name", CLASSES)
def test_upper_end_of_every_class(name: str) -> None:
    np.testing.assert_array_equal(cut_length_tolerance(UP_TO, name), PRINTED[name])


@pytest.mark.parametrize("name", CLASSES)
def test_just_over_an_end_is_the_next_class(name: str) -> None:
    over = np.array(UP_TO[:-1]) + 0.01
    np.testing.assert_array_equal(cut_length_tolerance(over, name), PRINTED[name][1:])


@pytest.mark.parametrize("name", CLASSES)
def test_over_four_metres_it_is_a_share(name: str) -> None:
    share = cut_length_tolerance(5000.0, name) / 5000.0 * 100
    assert float(share) == pytest.approx(PERCENT[name], rel=1e-12)


def test_the_figures_are_preferred_numbers() -> None:
    """From the third class on they follow the R5 and R10 series of ISO 3: 1, 1.25, 1.6, 2 ...

    The table rounds 1.25 to 1.3 below 2, 3.15 to 3.2; so 4 per cent.
    """
    series = 10 ** (np.arange(-2, 20) / 10)
    for name in CLASSES:
        figures = cut_length_tolerance(UP_TO[2:], name)
        nearest = np.abs(figures[:, None] / series - 1).min(axis=1)
        assert (nearest < 0.04).all()


def test_solid_rubber_is_cut_closer_than_hose_in_its_fine_class() -> None:
    lengths = [200.0, 350.0, 700.0]
    fine = cut_length_tolerance(lengths, "iso-3302-1-l1")
    assert (fine < cut_length_tolerance(lengths, "iso-1307")).all()
