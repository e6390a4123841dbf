"""Young's modulus from Shore A hardness by log10 E = 0.0235 S - 0.6403, 20 < S < 80.

Qi, Joyce and Boyce, Rubber Chemistry and Technology (2003); formula seen in public copies, its
range and origin from memory. Several copies print exp() for 10^, which is wrong by 2 to 5 times.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from hoseselect.knowledge.load import read_table
from hoseselect.mechanics.modulus import base_ten_modulus, gent_modulus, modulus_range


@pytest.mark.parametrize(("hardness", "modulus"), [(50, 3.425), (60, 5.884), (70, 10.109)])
def test_worked_figures(hardness: float, modulus: float) -> None:
    """Given to 0.001 MPa."""
    assert float(base_ten_modulus(hardness)) == pytest.approx(modulus, abs=0.00051)


def test_it_is_not_the_misprinted_exponential() -> None:
    wrong = math.exp(0.0235 * 50 - 0.6403)
    assert float(base_ten_modulus(50.0)) / wrong > 1.9


def test_spread_of_the_two_relations() -> None:
    """The two relations differ by a factor of 1.4 to 1.9 from 50 to 80 Shore A."""
    hardness = np.linspace(50.0, 79.9, 50)
    spread = base_ten_modulus(hardness) / gent_modulus(hardness)
    assert spread.min() == pytest.approx(1.4, abs=0.05)
    assert spread.max() == pytest.approx(1.9, abs=0.05)
    low, high = modulus_range(hardness)
    np.testing.assert_allclose(high / low, spread, rtol=1e-12)


def test_table_is_what_we_compute() -> None:
    relations = {"gent": gent_modulus, "base-ten": base_ten_modulus}
    for row in read_table(Path(__file__).parent / "tables" / "rubber_modulus.csv"):
        ours = relations[row["relation"]](row.number("hardness_shore_a"))
        assert float(ours) == pytest.approx(row.number("modulus_mpa"), abs=0.00051)
