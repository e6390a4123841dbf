"""SAE J189 (JAN1998, JUN2003), scope: power-steering return hose.

-40 to 120 degC average, peaks of 135 degC; 1.72 MPa with end fittings, 0.69 MPa with clamps.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.knowledge.load import limit, table

Judge = Callable[..., Any]
CLAMPED, CRIMPED = 690.0, 1720.0  # [kPa]


def test_figures_as_printed() -> None:
    figures = {
        row["figure"]: row.number("value") for row in table("marking_figures").where(marking="j189")
    }
    assert figures == {
        "temperature-cold": -40,
        "temperature-continuous": 120,
        "temperature-short-time": 135,
        "pressure-clamped": CLAMPED,
        "pressure-crimped": CRIMPED,
    }


@pytest.mark.parametrize(("pressure", "word"), [("0.69 MPa", "accept"), ("0.70 MPa", "reject")])
def test_with_clamps(judge: Judge, pressure: str, word: str) -> None:
    """The hose's own figure (5 MPa here) does not raise what the marking covers."""
    judged = judge(
        {"liner": "HNBR", "marking": "j189"},
        "steering-return",
        fluids=["power-steering-fluid"],
        pressure_max=pressure,
        pressure_spike=pressure,
    )
    assert judged.word == word
    assert judged.refused_by == ({"marking-pressure"} if word == "reject" else set())
    assert judged.finding("marking-pressure").limit == CLAMPED
    assert (judged.hose.cut is None) == (word == "reject")


def test_crimped_pressure_is_refused_under_clamps(judge: Judge) -> None:
    """1.72 MPa holds with end fittings only; the remedy says so."""
    judged = judge({"liner": "HNBR", "marking": "j189"}, "steering-return", pressure_max=CRIMPED)
    assert "marking-pressure" in judged.refused_by
    assert "crimped" in judged.finding("marking-pressure").remedy


@pytest.mark.parametrize(
    ("pressure", "stopped"), [("1.72 MPa", False), ("1.73 MPa", True), ("10.3 MPa", True)]
)
def test_above_the_crimped_pressure_it_is_the_pressure_side(
    stops_of: Callable[..., set[str]], pressure: str, stopped: bool
) -> None:
    """No return hose goes above 1.72 MPa; SAE J190 (MAY1998) gives the pressure side 10.3 MPa."""
    stops = stops_of("steering-return", pressure_max=pressure, pressure_spike=pressure)
    assert stops == ({"steering-pressure"} if stopped else set())


def test_crimped_ends_are_no_job_for_hose_and_clamps(stops_of: Callable[..., set[str]]) -> None:
    """Even at a pressure that clamps would hold: 0.69 over 1.72 is 0.40."""
    stops = stops_of("steering-return", pressure_max=500, end_fitting="crimped")
    assert stops == {"crimped-ends"}
    assert limit("clamp-to-crimp-share") == pytest.approx(0.69 / 1.72, abs=0.0051)  # two digits


@pytest.mark.parametrize(
    ("steady", "peak", "refused"),
    [
        (120, 120, set()),
        (120, 135, set()),
        (121, 135, {"heat-fluid-steady", "heat-life"}),
        (130, 130, {"heat-fluid-steady", "heat-life"}),
        (135, 135, {"heat-fluid-steady", "heat-life"}),
        (120, 136, {"heat-fluid-peak"}),
    ],
)
def test_heat(judge_stock: Judge, steady: float, peak: float, refused: set[str]) -> None:
    """Return hose of the catalogue with this marking: 135 degC is a peak, never steady."""
    judged = judge_stock("S01-9.5", "steering-return", fluid_steady=steady, fluid_peak=peak)
    assert judged.hose.marking == ("j189",)
    assert judged.refused_by == refused


@pytest.mark.parametrize(("cold", "refused"), [(-40, set()), (-41, {"heat-cold"})])
def test_cold(judge_stock: Judge, cold: float, refused: set[str]) -> None:
    judged = judge_stock("S01-9.5", "steering-return", coldest_start=cold)
    assert judged.refused_by == refused
