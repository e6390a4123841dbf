"""Blends as sets: a fuel of a range holds every milder one; no liner gains by a heavier one."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from hoseselect.judging.services import constituents, fluid_mask, hot_limit_of, rating_of
from hoseselect.knowledge.load import table
from hoseselect.rules.fluid import after_heat, weakest

RANGES = (
    ("petrol-e0", "petrol-e10", "petrol-e30", "petrol-e85", "petrol-e100"),
    ("petrol-e0", "petrol-m15", "petrol-m85"),
    ("diesel-b7", "diesel-b20", "diesel-b30", "diesel-b100"),
)


@pytest.mark.parametrize("fuels", RANGES)
def test_a_fuel_of_a_range_holds_every_milder_one(fuels: tuple[str, ...]) -> None:
    for milder, heavier in itertools.pairwise(fuels):
        assert set(constituents(milder)) < set(constituents(heavier))


def test_every_ingredient_is_rated_for_every_liner_of_fuel_hose() -> None:
    """A blend without its cell would be unknown for every hose."""
    parts = {part for fuels in RANGES for fuel in fuels for part in constituents(fuel)}
    for symbol in ("NBR", "HNBR", "NBR/PVC", "ECO", "FKM", "FVMQ", "PA", "EPDM", "VMQ"):
        for part in parts:
            assert table("resistance").has(symbol=symbol, fluid=part), (symbol, part)


HOT = (20.0, 45.0, 60.0, 75.0, 110.0)
SYMBOLS = tuple(dict.fromkeys(table("resistance").column("symbol")))
ORDER = {0.0: 0, "unknown": 1, 1.0: 2, 2.0: 3}


def step(symbol: str, fluids: tuple[str, ...], steady: float) -> int:
    """Return how well a liner stands fluids at a temperature [degC]: 0 refused, 3 suits."""
    demanded = fluid_mask(fluids)[None, :]
    ratings, hot = rating_of((symbol,))[None, :], hot_limit_of((symbol,))[None, :]
    rating = weakest(demanded, ratings)
    found = float(after_heat(rating, demanded, np.array([[steady]]), ratings, hot)[0, 0])
    return ORDER["unknown" if np.isnan(found) else found]


@pytest.mark.parametrize("fuels", RANGES)
@pytest.mark.parametrize("symbol", SYMBOLS)
def test_a_heavier_blend_never_suits_better(symbol: str, fuels: tuple[str, ...]) -> None:
    for steady in HOT:
        steps = [step(symbol, (fuel,), steady) for fuel in fuels]
        assert steps == sorted(steps, reverse=True), steady


def test_the_worst_blend_is_not_the_heaviest() -> None:
    """Nitrile swells most near 25 % ethanol: that blend has a cell of its own (Mori 2011)."""
    assert step("NBR", ("petrol-e10",), 20.0) > step("NBR", ("petrol-e30",), 20.0) == 0
    assert step("VMQ", ("petrol-e85",), 20.0) == 0
    assert step("FKM", ("petrol-m15",), 20.0) == 0
