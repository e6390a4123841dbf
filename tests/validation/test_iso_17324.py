"""ISO 17324:2014, scope: turbocharger hose, -40 to 250 degC, -0.01 to 0.5 MPa."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.catalogue.columns import Catalogue
from hoseselect.knowledge.load import table

Judge = Callable[..., Any]
# a hose that states the figures of the standard; liner and cover stand more
HOSE = {
    "liner": "FVMQ",
    "cover": "VMQ",
    "reinforcement": "textile",
    "marking": "iso17324",
    "fluids_claimed": "charge-air",
    "temperature_continuous_degc": 250,
    "temperature_short_time_degc": 250,
    "temperature_cold_degc": -40,
    "working_pressure_clamped_kpa": 500,
    "suction_limit_cold_kpa": -10,
    "suction_limit_hot_kpa": -10,
}
SERVICE = "charge-air-control"


def test_figures_as_printed() -> None:
    rows = table("marking_figures").where(marking="iso17324")
    assert {row["figure"]: row.number("value") for row in rows} == {
        "temperature-cold": -40,
        "temperature-maximum": 250,
        "pressure-working": 500,
        "suction": -10,
    }


@pytest.mark.parametrize(
    ("duty", "refused"),
    [
        ({"fluid_steady": "250 degC", "coldest_start": "-40 degC"}, set()),
        ({"fluid_steady": "251 degC"}, {"heat-fluid-steady", "heat-fluid-peak"}),
        ({"coldest_start": "-41 degC"}, {"heat-cold"}),
        ({"pressure_max": "0.5 MPa"}, set()),
        ({"pressure_max": "0.51 MPa"}, {"marking-pressure", "pressure-working"}),
        ({"pressure_min": "-0.01 MPa"}, set()),
        ({"pressure_min": "-0.011 MPa"}, {"pressure-suction"}),
        ({"pressure_min": "-101 kPa"}, {"pressure-suction"}),
    ],
)
def test_range(judge: Judge, duty: dict[str, str], refused: set[str]) -> None:
    judged = judge(HOSE, SERVICE, fluids=["charge-air"], **peaks(duty))
    assert judged.refused_by == refused
    hot = {"heat-fluid-steady", "heat-fluid-peak"}  # above what its rubber usually stands: asked
    asked = hot if duty.get("fluid_steady") == "250 degC" else set()
    if not refused:
        assert judged.limited_by == asked


def peaks(duty: dict[str, str]) -> dict[str, str]:
    """Return a duty whose peaks follow what is steady."""
    pairs = {"fluid_steady": "fluid_peak", "pressure_max": "pressure_spike"}
    return {**duty, **{pairs[name]: text for name, text in duty.items() if name in pairs}}


@pytest.mark.parametrize("service", ["vacuum-control", "crankcase-suction", "crankcase-boosted"])
def test_full_vacuum_is_refused_on_every_line(judge: Judge, service: str) -> None:
    """The marking ends at -10 kPa: a turbocharger hose is no vacuum hose."""
    judged = judge(HOSE, service, pressure_min=-101)
    assert "pressure-suction" in judged.refused_by


def test_turbo_hose_of_the_catalogue(judge_stock: Judge, catalogue: Catalogue) -> None:
    """Hose of the catalogue with this marking: 0.3 MPa accepted where stated, vacuum refused."""
    types = catalogue.types
    marked = [n for n, m in zip(types.hose_type, types.marking, strict=True) if "iso17324" in m]
    assert marked
    for name in marked:
        sizes = catalogue.sizes.hose_size[catalogue.sizes.hose_type == name]
        for size in sizes:
            assert "pressure-suction" in judge_stock(size, SERVICE, pressure_min=-101).refused_by
            assert (
                judge_stock(size, SERVICE, pressure_max=200, pressure_min=-10).refused_by == set()
            )
