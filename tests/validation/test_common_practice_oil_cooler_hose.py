"""A check of common practice: no source.

On a 3/8 in crankcase line, oil-cooler hose of that bore does the job (or does it on conditions,
where only a collapse estimate covers the suction), and coolant hose of the same bore does not.
Asked of the catalogue that comes with the tool, through the real engine.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from hoseselect.catalogue.columns import Catalogue

Judge = Callable[..., Any]
BORE = 9.5  # 3/8 in, as the trade rounds it [mm]
LINES = {
    "crankcase-suction": {"pressure_min": -65},
    "crankcase-breather": {"pressure_min": -4, "pressure_max": 4},
}
DUTY = {
    "fluid_steady": 110,
    "air_steady": 115,
    "air_peak": 120,
    "fluid_peak": 120,
    "coldest_start": -25,
    "nipple": "3/8 in",
}


def hoses(catalogue: Catalogue, *markings: str) -> list[int]:
    """Return the 3/8 in sizes whose type claims one of some markings."""
    types, sizes = catalogue.types, catalogue.sizes
    claims = [any(m in markings for m in marks) for marks in types.marking]
    return [k for k in range(len(sizes)) if sizes.bore[k] == BORE and claims[sizes.type_index[k]]]


@pytest.fixture
def oil_cooler(catalogue: Catalogue) -> list[int]:
    return hoses(catalogue, "j1532-a", "j1019")


@pytest.fixture
def coolant(catalogue: Catalogue) -> list[int]:
    return hoses(catalogue, "j20-r1", "j20-r3", "j20-r4", "iso4081")


def test_there_is_hose_to_ask_of(
    catalogue: Catalogue, oil_cooler: list[int], coolant: list[int]
) -> None:
    """Among the oil-cooler hoses one states its suction and one does not."""
    stated = ~np.isnan(catalogue.sizes.suction_limit_hot[oil_cooler])
    assert stated.any()
    assert not stated.all()
    assert len(coolant) >= 2


def ask(judge_stock: Judge, catalogue: Catalogue, size: int, line: str) -> Any:
    job = {**DUTY, **LINES[line]}
    return judge_stock(str(catalogue.sizes.hose_size[size]), line, **job)


def test_oil_cooler_hose_on_the_breather(
    judge_stock: Judge, catalogue: Catalogue, oil_cooler: list[int]
) -> None:
    """Hardly any suction: accepted, or conditional by the collapse estimate alone."""
    for size in oil_cooler:
        judged = ask(judge_stock, catalogue, size, "crankcase-breather")
        stated = not np.isnan(catalogue.sizes.suction_limit_hot[size])
        assert judged.word == ("accept" if stated else "conditional"), judged.limited_by
        assert judged.limited_by <= {"pressure-suction"}
        assert judged.hose.cut is not None


def test_oil_cooler_hose_on_the_suction_side(
    judge_stock: Judge, catalogue: Catalogue, oil_cooler: list[int]
) -> None:
    """-65 kPa: by the stated limit accept or reject; by an estimate conditional at best."""
    words = {}
    for size in oil_cooler:
        judged = ask(judge_stock, catalogue, size, "crankcase-suction")
        stated = catalogue.sizes.suction_limit_hot[size]
        if np.isnan(stated):
            assert judged.word == "conditional"
        else:
            assert judged.word == ("accept" if stated <= -65 else "reject")
        assert judged.limited_by <= {"pressure-suction"}
        assert judged.finding("fluid-liner").verdict.word == "accept"
        words[judged.hose.hose] = judged.word
    assert {"accept", "conditional"} <= set(words.values())


def test_an_estimate_says_that_it_is_one(
    judge_stock: Judge, catalogue: Catalogue, oil_cooler: list[int]
) -> None:
    for size in oil_cooler:
        found = ask(judge_stock, catalogue, size, "crankcase-suction").finding("pressure-suction")
        if np.isnan(catalogue.sizes.suction_limit_hot[size]):
            assert "estimated to hold" in found.reason
        else:
            assert "estimated" not in found.reason


@pytest.mark.parametrize("line", LINES)
def test_coolant_hose_is_refused_for_its_liner(
    judge_stock: Judge, catalogue: Catalogue, coolant: list[int], line: str
) -> None:
    """EPDM and silicone: oil mist; not the bore, the heat or the fit."""
    for size in coolant:
        judged = ask(judge_stock, catalogue, size, line)
        assert judged.word == "reject"
        assert judged.hose.decided_by == "fluid-liner"
        assert {"fluid-liner", "marking-required"} <= judged.refused_by
        assert "is attacked by" in judged.finding("fluid-liner").reason
        assert judged.hose.cut is None
        assert not {code for code in judged.refused_by if code.startswith(("fit-", "heat-"))}


def test_the_other_way_round(
    judge_stock: Judge, catalogue: Catalogue, oil_cooler: list[int], coolant: list[int]
) -> None:
    """On a heater line the coolant hose is accepted and the oil-cooler hose is not."""
    words = {
        size: judge_stock(
            str(catalogue.sizes.hose_size[size]),
            "coolant-heater",
            nipple="3/8 in",
            fluid_steady=95,
            pressure_max=150,
        ).word
        for size in (*oil_cooler, *coolant)
    }
    assert {words[size] for size in coolant} == {"accept"}
    assert "accept" not in {words[size] for size in oil_cooler}
