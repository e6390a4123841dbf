"""SAE J1019 (JUN1990, cancelled SEP2007), scope: transmission and engine oil hose.

-40 to 150 degC, working pressure at most 1.5 MPa (217 psi). The scope does not say with which
ends; with clamps it covers no more than that.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.catalogue.columns import Catalogue
from hoseselect.knowledge.load import table
from hoseselect.quantities.read import read_quantity

Judge = Callable[..., Any]
HOSE = {
    "liner": "AEM",
    "cover": "AEM",
    "marking": "j1019",
    "temperature_continuous_degc": 150,
    "temperature_short_time_degc": 150,
    "temperature_cold_degc": -40,
    "working_pressure_clamped_kpa": 1500,
}


def test_figures_as_printed() -> None:
    rows = table("marking_figures").where(marking="j1019")
    assert {row["figure"]: row.number("value") for row in rows} == {
        "temperature-cold": -40,
        "temperature-continuous": 150,
        "pressure-working": 1500,
    }


def test_both_printed_pressures_agree() -> None:
    """217 psi is 1.496 MPa: 0.3 % below 1.5 MPa, the rounding of two and three digits."""
    assert read_quantity("217 psi", "pressure", "") == pytest.approx(1500, rel=0.0035)


@pytest.mark.parametrize("service", ["engine-oil-cooler", "atf-cooler"])
@pytest.mark.parametrize(
    ("duty", "refused"),
    [
        ({"fluid_steady": 150, "coldest_start": -40, "pressure_max": 1210}, set()),
        ({"fluid_steady": 151}, {"heat-fluid-steady", "heat-fluid-peak"}),
        ({"coldest_start": -41}, {"heat-cold"}),
        ({"pressure_max": 1220}, {"marking-pressure"}),
        ({"pressure_max": 1501}, {"marking-pressure", "pressure-working"}),
    ],
)
def test_range(judge: Judge, service: str, duty: dict[str, float], refused: set[str]) -> None:
    judged = judge(HOSE, service, **duty)
    assert judged.refused_by == refused
    assert judged.word == ("reject" if refused else "accept")


@pytest.mark.parametrize(
    ("marking", "covered"), [("j1019", 1210), ("j2260", 450), ("j2045", 690), ("iso17324", 500)]
)
def test_no_hose_outdoes_its_marking(judge: Judge, marking: str, covered: float) -> None:
    """Working pressures of SAE J1019, J2260, J2045 and ISO 17324; the hose states 5 MPa.

    SAE J1019 does not say for which ends its 1500 kPa are: with clamps no more counts than the most
    that any published figure allows with clamps, the 1210 kPa of SAE J2076.
    """
    hose = {"liner": "FKM", "marking": marking}
    for pressure, refused in ((covered, set()), (1.01 * covered, {"marking-pressure"})):
        judged = judge(hose, "charge-air-control", pressure_max=pressure)
        assert judged.refused_by - {"marking-family"} == refused


def test_no_hose_of_the_catalogue_claims_more(catalogue: Catalogue) -> None:
    """Hose whose marking is J1019: at most 1.5 MPa, with clamps or crimped."""
    types, sizes = catalogue.types, catalogue.sizes
    claims = [("j1019" in marking) for marking in types.marking]
    rows = [k for k in range(len(sizes)) if claims[sizes.type_index[k]]]
    assert rows
    assert max(sizes.working_pressure_clamped[rows]) <= 1500
    assert max(sizes.working_pressure_crimped[rows]) <= 1500
