"""Wrong answers of the closed world: each hose on its line with the verdict that is right."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.job import Job
from hoseselect.knowledge.errors import ManyFaultsError

Make = Callable[[dict[str, Any], float], Job]

ORDER = ("accept", "conditional", "unknown", "reject")
ATF = {"service": "atf-cooler", "duty": {"fluid_steady": 95, "fluid_peak": 98,
       "pressure_max": 300, "pressure_spike": 600}}  # fmt: skip
STEERING = {"service": "steering-return", "duty": {"fluid_steady": 95, "fluid_peak": 98,
            "pressure_max": 250, "pressure_spike": 250}}  # fmt: skip
HEATER = {"service": "coolant-heater", "fluids": ["coolant"], "duty": {"fluid_steady": 105,
          "fluid_peak": 110, "pressure_max": 130}}  # fmt: skip
WASTEGATE = {
    "service": "charge-air-control",
    "fluids": ["charge air"],
    "duty": {"pressure_max": 150},
}
DRAIN = {"service": "turbo-oil-drain", "duty": {"fluid_steady": 130, "fluid_peak": 150}}
LEAK_OFF = {"service": "injector-leak-off", "fluids": ["b100"]}
BREATHER = {"service": "crankcase-breather", "duty": {"fluid_steady": 95, "fluid_peak": 95}}
DIESEL = {"service": "diesel-return", "fluids": ["diesel b7"], "duty": {"fluid_steady": 80,
          "fluid_peak": 90, "air_steady": 80, "air_peak": 90, "pressure_max": 30}}  # fmt: skip


@cache
def built_in() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


@cache
def bores() -> dict[str, float]:
    return {
        str(name): float(bore)
        for name, bore in zip(built_in().sizes.hose_size, built_in().sizes.bore, strict=True)
    }


def words(made: Job) -> dict[str, str]:
    answer = pick_hose(made, built_in())
    assert answer.stops == ()
    return {hose.hose: hose.verdict.word for hose in answer.hoses}


REFUSED = [
    *((ATF, hose) for hose in ("F05-7.9", "F08-7.9", "F11-8", "D01-7.9", "K07-7.9")),
    *((STEERING, hose) for hose in ("F05-7.9", "F01-7.9", "F02-7.9", "K07-7.9", "D01-7.9")),
    (STEERING, "F11-8"),
    *((HEATER, hose) for hose in ("D01-7.9", "S03-15.9", "S02-9.5", "F08-7.9", "F11-8", "O03-7.9")),
    *((HEATER, hose) for hose in ("B02-8.7", "K01-13", "K01-12.7")),
    *((WASTEGATE, hose) for hose in ("W01-4", "W01-4.8", "C01-6.4", "C02-6.3")),
    *((DRAIN, hose) for hose in ("A01-19", "A02-19", "S02-15.9")),
    *((ATF, hose) for hose in ("V05-8",)),
    *(({"service": "engine-oil-cooler", "duty": {"fluid_steady": 110, "fluid_peak": 130,
        "pressure_max": 300}}, hose) for hose in ("V05-8",)),
    *((LEAK_OFF, hose) for hose in ("V01-3.2", "V05-3.2")),
    *((BREATHER, hose) for hose in ("W04-19", "W02-19")),
]  # fmt: skip


def test_the_hoses_asked_about_exist() -> None:
    asked = {hose for _, hose in REFUSED}
    assert len(asked & bores().keys()) > 20


@pytest.mark.parametrize(("values", "hose"), [c for c in REFUSED if c[1] in bores()])
def test_hose_made_for_something_else_is_refused(
    job: Make, values: dict[str, Any], hose: str
) -> None:
    assert words(job(values, bores()[hose]))[hose] == "reject"


@pytest.mark.parametrize("service", ["engine-oil-cooler", "washer", "drain"])
def test_petrol_in_a_line_for_something_else_is_asked_about(job: Make, service: str) -> None:
    """No hose is judged at all: neither hose for crankcase gas nor any other."""
    with pytest.raises(ManyFaultsError, match=r"fluids.*petrol") as refused:
        job({"service": service, "fluids": ["petrol"]}, 8)
    assert [fault.keys for fault in refused.value.faults] == [("service", "fluids")]


@pytest.mark.parametrize("hose", ["O01-7.9", "O02-8"])
def test_pressure_under_clamps_ends_where_markings_end(job: Make, hose: str) -> None:
    duty = {**STEERING["duty"], "pressure_max": 1500, "pressure_spike": 1500}
    assert words(job({**STEERING, "duty": duty}, bores()[hose]))[hose] == "reject"


def test_hose_for_charge_air_goes_before_silicone_on_a_wastegate(job: Make) -> None:
    answer = pick_hose(job(WASTEGATE, 6.3), built_in())
    assert answer.hoses[0].hose.startswith("A")
    assert {hose.hose: hose.verdict.word for hose in answer.hoses}["C05-6.3"] != "accept"


def test_hose_made_for_the_drain_goes_first(job: Make) -> None:
    assert pick_hose(job(DRAIN, 19), built_in()).hoses[0].hose.startswith("T0")


def test_diesel_hose_goes_before_petrol_hose_on_b7(job: Make) -> None:
    """NBR stands B7 within limits only, whatever SAE 30R6 and 30R7 say of diesel."""
    answer = pick_hose(job(DIESEL, 8), built_in())
    found = {hose.hose: hose.verdict.word for hose in answer.hoses}
    assert answer.hoses[0].hose.startswith("D0")
    assert found["D01-7.9"] == "accept"
    assert {found["F01-7.9"], found["F02-7.9"]} <= {"conditional", "reject"}


OFFERED = [
    ({"service": "vacuum-control", "duty": {"pressure_min": -60}}, "V01-4", "accept"),
    ({"service": "vacuum-control", "duty": {"pressure_min": -60}}, "V05-4", "accept"),
    (STEERING, "S01-9.5", "accept"),
    (STEERING, "O01-9.5", "accept"),
    ({"service": "crankcase-breather"}, "O01-12.7", "accept"),
    ({"service": "crankcase-breather"}, "F06-12.7", "accept"),
    (ATF, "S02-9.5", "conditional"),
    (ATF, "O01-9.5", "accept"),
    (HEATER, "C01-15.9", "accept"),
    ({"service": "washer", "duty": {"pressure_max": 200}}, "W01-4", "accept"),
    *(
        ({"service": "crankcase-breather", "fluids": [fluid]}, "K01-12.7", "accept")
        for fluid in ("oil mist", "petrol vapour", "water")
    ),
]


@pytest.mark.parametrize(("values", "hose", "worst"), OFFERED)
def test_good_hose_is_offered(job: Make, values: dict[str, Any], hose: str, worst: str) -> None:
    found = words(job(values, bores()[hose]))[hose]
    assert ORDER.index(found) <= ORDER.index("conditional"), found
    assert ORDER.index(found) <= ORDER.index(worst) or worst == "accept"
