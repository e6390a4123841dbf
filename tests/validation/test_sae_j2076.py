"""SAE J2076, scope: power-steering return hose for high temperature.

-40 to 149 degC at most; 1.21 MPa, with clamps or end fittings; liner resists transmission and
steering fluid.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.catalogue.columns import Catalogue
from hoseselect.knowledge.load import table

Judge = Callable[..., Any]
FLUID = "power-steering-fluid"


def test_figures_as_printed() -> None:
    figures = {
        row["figure"]: row.number("value")
        for row in table("marking_figures").where(marking="j2076")
    }
    assert figures == {
        "temperature-cold": -40,
        "temperature-maximum": 149,
        "pressure-clamped": 1210,
        "pressure-crimped": 1210,
    }


@pytest.mark.parametrize(("pressure", "word"), [(1210, "accept"), (1220, "reject")])
def test_clamps_hold_as_much_as_fittings(judge: Judge, pressure: float, word: str) -> None:
    hose = {"liner": "HNBR", "marking": "j2076"}
    judged = judge(hose, "steering-return", fluids=[FLUID], pressure_max=pressure)
    assert judged.word == word
    assert judged.refused_by == ({"marking-pressure"} if word == "reject" else set())


@pytest.mark.parametrize("steady", [121, 130, 135, 149])
def test_needed_from_above_120_up_to_149(judge_stock: Judge, steady: float) -> None:
    """Where J189 hose (120 degC average) is refused, J2076 hose is accepted."""
    j189, j2076 = (
        judge_stock(hose, "steering-return", fluids=[FLUID], fluid_steady=steady)
        for hose in ("S01-9.5", "S02-9.5")
    )
    assert j2076.hose.marking == ("j2076",)
    assert "heat-fluid-steady" in j189.refused_by
    assert j2076.word == "accept"


def test_not_above_149(judge_stock: Judge) -> None:
    judged = judge_stock("S02-9.5", "steering-return", fluid_steady=150)
    assert judged.refused_by == {"heat-fluid-steady", "heat-fluid-peak"}


@pytest.mark.parametrize("fluid", ["atf", "power-steering-fluid"])
def test_liner_resists_transmission_and_steering_fluid(
    judge_stock: Judge, fluid: str, catalogue: Catalogue
) -> None:
    judged = judge_stock("S02-9.5", "steering-return", fluids=[fluid])
    assert judged.finding("fluid-liner").verdict.word == "accept"


def test_no_return_hose_of_the_catalogue_claims_more_than_its_marking(catalogue: Catalogue) -> None:
    """Heat of every hose that claims J189 or J2076 and no better marking."""
    top = {"j189": 120, "j2076": 149}
    types = catalogue.types
    claims = [
        (m[0], t)
        for m, t in zip(types.marking, types.temperature_continuous, strict=True)
        if m and m[0] in top
    ]
    assert {name for name, _ in claims} == set(top)
    assert [claim for claim in claims if claim[1] > top[claim[0]]] == []
