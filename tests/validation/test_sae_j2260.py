"""SAE J2260 (NOV2004), scope: non-metallic fuel tubing.

Continuous -40 to 90 degC, peak 115 degC; at most 450 kPa gauge.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.knowledge.load import table

Judge = Callable[..., Any]
TUBE = {
    "liner": "PA",
    "cover": "PA",
    "reinforcement": "none",
    "marking": "j2260",
    "temperature_continuous_degc": 90,
    "temperature_short_time_degc": 115,
    "temperature_cold_degc": -40,
    "working_pressure_clamped_kpa": 450,
}


def test_figures_as_printed() -> None:
    rows = table("marking_figures").where(marking="j2260")
    assert {row["figure"]: row.number("value") for row in rows} == {
        "temperature-cold": -40,
        "temperature-continuous": 90,
        "temperature-short-time": 115,
        "pressure-working": 450,
    }


@pytest.mark.parametrize(
    ("pressure", "refused"), [(450, set()), (451, {"marking-pressure", "pressure-working"})]
)
def test_pressure(judge: Judge, pressure: float, refused: set[str]) -> None:
    assert judge(TUBE, "charge-air-control", pressure_max=pressure).refused_by == refused | {
        "marking-family"
    }


@pytest.mark.parametrize(
    ("steady", "peak", "refused"),
    [
        (90, 115, set()),
        (91, 115, {"heat-fluid-steady"}),
        (90, 116, {"heat-fluid-peak"}),
    ],
)
def test_steady_against_peak(judge: Judge, steady: float, peak: float, refused: set[str]) -> None:
    judged = judge(TUBE, "charge-air-control", fluid_steady=steady, fluid_peak=peak)
    assert judged.refused_by == refused | {"marking-family"}


def test_holds_less_than_a_j2045_assembly(judge: Judge) -> None:
    """690 kPa, which SAE J2045 assemblies hold, is above 450 kPa."""
    judged = judge(TUBE, "charge-air-control", pressure_max=690)
    assert judged.refused_by == {"marking-pressure", "pressure-working", "marking-family"}


def test_a_tube_without_bead_is_no_bulk_hose(judge: Judge) -> None:
    judged = judge(TUBE, "fuel-injection-feed", fluids=["petrol"], pressure_max=300)
    assert "marking-required" in judged.refused_by
