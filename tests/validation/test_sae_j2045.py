"""SAE J2045 (2012, reaffirmed 2024), scope: fuel tubing assemblies.

-40 to 115 degC: 90 degC continuous, 115 degC peak; at most 690 kPa gauge.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.knowledge.load import table

Judge = Callable[..., Any]
FIGURES = {
    "temperature-cold": -40,
    "temperature-continuous": 90,
    "temperature-short-time": 115,
    "pressure-working": 690,
}
# the figures of the marking as a hose that states them; its liner and cover stand far more
TUBE = {
    "liner": "PA",
    "marking": "j2045",
    "temperature_continuous_degc": 90,
    "temperature_short_time_degc": 115,
    "temperature_cold_degc": -40,
    "working_pressure_clamped_kpa": 690,
}


def test_figures_as_printed() -> None:
    rows = table("marking_figures").where(marking="j2045")
    assert {row["figure"]: row.number("value") for row in rows} == FIGURES


@pytest.mark.parametrize(
    ("steady", "peak", "refused"),
    [
        (90, 90, set()),
        (90, 115, set()),
        (100, 100, {"heat-fluid-steady"}),
        (100, 115, {"heat-fluid-steady"}),
        (90, 116, {"heat-fluid-peak"}),
        (115, 115, {"heat-fluid-steady"}),
    ],
)
def test_steady_against_peak(judge: Judge, steady: float, peak: float, refused: set[str]) -> None:
    """A peak is never steady; as bulk hose the tube is refused on a dry line in any case."""
    judged = judge(TUBE, "charge-air-control", fluid_steady=steady, fluid_peak=peak)
    assert judged.refused_by == refused | {"marking-family"}


@pytest.mark.parametrize(
    ("steady", "peak", "refused"),
    [(90, 115, set()), (100, 115, {"heat-air-steady"}), (90, 116, {"heat-air-peak"})],
)
def test_air_round_it(judge: Judge, steady: float, peak: float, refused: set[str]) -> None:
    judged = judge(TUBE, "charge-air-control", air_steady=steady, air_peak=peak)
    assert judged.refused_by == refused | {"marking-family"}


@pytest.mark.parametrize(
    ("pressure", "refused"), [(690, set()), (691, {"marking-pressure", "pressure-working"})]
)
def test_pressure(judge: Judge, pressure: float, refused: set[str]) -> None:
    assert judge(TUBE, "charge-air-control", pressure_max=pressure).refused_by == refused | {
        "marking-family"
    }


def test_a_peak_that_is_not_known_to_be_short_is_steady(judge: Judge) -> None:
    """115 degC with the steady figure unknown is no accept: the peak may last."""
    judged = judge(TUBE, "fuel-return", fluids=["petrol"], fluid_steady="unknown", fluid_peak=115)
    assert judged.finding("heat-fluid-steady").verdict.word in {"unknown", "reject"}


def test_tested_as_an_assembly_so_not_offered_as_bulk_hose(
    judge: Judge, stops_of: Callable[..., set[str]]
) -> None:
    """The standard speaks of assemblies: no push-on joint is proved, quick-connect ends stop."""
    judged = judge(TUBE, "fuel-feed-low-pressure", fluids=["petrol"])
    assert judged.refused_by == {"marking-required", "marking-family"}
    assert "quick-connect-tube" in stops_of("fuel-feed-low-pressure", end_fitting="quick-connect")
