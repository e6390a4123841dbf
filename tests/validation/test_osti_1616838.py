"""E10 against OSTI report 1616838 (SAE J. Fuels Lubr.): swell in E10 test fuel.

FKM and FVMQ about 20 %; two NBR hose grades and ECO 20 to 45 %; HNBR, CR and VMQ swell too much
for many fuel systems; PA 11 about 15 %. An aggressive test fuel was used.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.knowledge.load import table

Judge = Callable[..., Any]
SMALL, MIDDLE, TOO_MUCH = ("FKM", "FVMQ", "PA"), ("NBR", "ECO"), ("HNBR", "CR", "VMQ")
EXPECTED = [
    *[(symbol, "accept") for symbol in SMALL],
    *[(symbol, "conditional") for symbol in MIDDLE],
    *[(symbol, "reject") for symbol in TOO_MUCH],
]


@pytest.mark.parametrize(("symbol", "word"), EXPECTED)
def test_liner_in_e10(judge: Judge, symbol: str, word: str) -> None:
    hose = {"liner": symbol, "marking": "j30-r9"}
    judged = judge(hose, "fuel-feed-low-pressure", fluids=["petrol-e10"])
    assert judged.finding("fluid-liner").verdict.word == word
    assert (judged.word == "reject") == (word == "reject")
    assert (judged.hose.cut is None) == (word == "reject")


@pytest.mark.parametrize("name", ["E10", "petrol E10", "petrol-e10"])
def test_other_names_of_the_fuel(judge: Judge, name: str) -> None:
    judged = judge({"liner": "HNBR", "marking": "j30-r9"}, "fuel-return", fluids=[name])
    assert judged.refused_by == {"fluid-liner"}


def test_a_fuel_that_nobody_names_is_taken_as_e10(judge: Judge) -> None:
    """Unknown petrol: hose that E10 refuses is not offered, hose that stands it may be."""
    hnbr = judge({"liner": "HNBR", "marking": "j30-r9"}, "fuel-return", fluids=["unknown"])
    assert hnbr.word in {"unknown", "reject"}


def test_order_of_swell() -> None:
    """Ratings fall in the order of the three groups."""

    def worst_and_best(symbols: tuple[str, ...]) -> tuple[float, float]:
        rows = [table("resistance").row(symbol=s, fluid="petrol-e10") for s in symbols]
        ratings = [row.number("rating") for row in rows]
        return min(ratings), max(ratings)

    assert worst_and_best(SMALL)[0] > worst_and_best(MIDDLE)[1]
    assert worst_and_best(MIDDLE)[0] > worst_and_best(TOO_MUCH)[1]
