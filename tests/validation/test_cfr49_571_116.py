"""Brake fluid against 49 CFR 571.116 (FMVSS 116), S4.

Brake fluid is meant to touch SBR, ethylene-propylene rubber, CR hose tube or NR; NBR is not
named. That any line with brake fluid is stopped is the policy of this tool, not of the law.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.knowledge.load import table

Judge = Callable[..., Any]
NAMED = ("SBR", "EPDM", "CR", "NR")
NOT_NAMED = ("NBR", "NBR/PVC", "HNBR", "FKM", "FVMQ", "ACM", "AEM", "ECO", "AU")
# Rated above 0 although S4 does not name them; all from memory: they are not hose for oil or
# fuel lines that would be taken by mistake, and no line with brake fluid gets hose at all.
ABOVE_ZERO = {"CSM", "CM", "IIR", "VMQ", "PA", "PTFE", "TPV"}


def rating(symbol: str) -> float:
    return table("resistance").row(symbol=symbol, fluid="brake-fluid").number("rating")


def test_named_rubbers_are_not_refused() -> None:
    assert [symbol for symbol in NAMED if rating(symbol) == 0] == []
    assert rating("EPDM") == 2


@pytest.mark.parametrize("symbol", NOT_NAMED)
def test_oil_and_fuel_rubbers_are_refused(symbol: str) -> None:
    assert rating(symbol) == 0


def test_every_other_polymer_is_listed_with_a_reason() -> None:
    rated = {row["symbol"] for row in table("resistance").where(fluid="brake-fluid")}
    assert rated - set(NAMED) - set(NOT_NAMED) == ABOVE_ZERO


@pytest.mark.parametrize(
    ("cover", "word"),
    [("EPDM", "accept"), ("HNBR", "reject"), ("NBR/PVC", "reject"), ("FKM", "reject")],
)
def test_brake_fluid_on_a_cover(judge: Judge, cover: str, word: str) -> None:
    """Through the rules: a vacuum hose under a weeping master cylinder."""
    hose = {"cover": cover, "fluids_claimed": "dry-air"}
    judged = judge(hose, "vacuum-control", drips=["brake-fluid"])
    assert judged.word == word
    assert judged.refused_by == ({"fluid-cover"} if word == "reject" else set())


@pytest.mark.parametrize("fluid", ["brake fluid", "DOT 3", "DOT 4", "DOT 5.1"])
@pytest.mark.parametrize("service", ["washer", "vacuum-control", "engine-oil-cooler", "drain"])
def test_a_line_with_brake_fluid_is_stopped(
    stops_of: Callable[..., set[str]], service: str, fluid: str
) -> None:
    assert "brake-fluid-reservoir" in stops_of(service, fluids=[fluid])


@pytest.mark.parametrize(
    ("service", "stop"),
    [
        ("brake hose", "brake-hydraulics"),
        ("clutch-hydraulics", "clutch-hydraulics"),
        ("brake reservoir hose", "brake-fluid-reservoir"),
    ],
)
@pytest.mark.parametrize("pressure", [0, 100, 7000])
def test_pressurised_and_reservoir_lines_are_stopped(
    stops_of: Callable[..., set[str]], service: str, stop: str, pressure: float
) -> None:
    assert stop in stops_of(service, fluids=["DOT 4"], pressure_max=pressure)
