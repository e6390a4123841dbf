"""Bare figures that may be meant in another unit, or of another hour, are asked about."""

from __future__ import annotations

from typing import Any

import pytest

from hoseselect.answer.safety import mild_heat
from hoseselect.answer.told_figures import understood
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import HoseselectError
from hoseselect.knowledge.load import table

SMALL = ("PCV hose", "purge hose", "turbo oil drain", "power steering suction", "fuel return")


def told(service: str, **duty: Any) -> str:
    """Return what is asked about the duty of a job; empty where it is read."""
    try:
        read_job({"service": service, "duty": duty})
    except HoseselectError as error:
        return str(error)
    return ""


@pytest.mark.parametrize("service", SMALL)
@pytest.mark.parametrize("figure", ["0.5", 0.8, "1", "1.5", 2, "4", "10"])
def test_a_small_bare_pressure_may_be_bar_or_psi(service: str, figure: Any) -> None:
    said = told(service, pressure_max=figure)
    assert said.count("duty.pressure_max") == 1
    assert all(f"'{figure} {unit}'" in said for unit in ("kPa", "bar", "psi"))


@pytest.mark.parametrize("service", SMALL)
@pytest.mark.parametrize("figure", ["0.8 kPa", "2 kPa", "0.5 bar", "10 psi", 0, "0"])
def test_a_pressure_with_its_unit_and_none_at_all_are_believed(service: str, figure: Any) -> None:
    assert told(service, pressure_max=figure) == ""


@pytest.mark.parametrize(
    ("service", "figure", "asked"),
    [
        ("heater hose", 100, False),  # 100 psi is no heater line
        ("heater hose", 90, False),
        ("heater hose", 40, True),  # 40 psi is usual
        ("heater hose", 15, True),  # the figure on many a cap, in psi
        ("ATF cooler hose", 100, True),
        ("ATF cooler hose", 400, False),
        ("fuel return", 15, True),
        ("fuel return", 50, False),
        ("PCV hose", 40, False),  # above what any line sees in psi
    ],
)
def test_a_bare_pressure_that_only_kilopascal_fits_is_believed(
    service: str, figure: float, asked: bool
) -> None:
    assert bool(told(service, pressure_max=figure)) is asked


@pytest.mark.parametrize(
    ("figure", "asked"), [(-25, True), (-20, True), (-31, False), (-65, False)]
)
def test_a_bare_suction_may_be_inches_of_mercury(figure: float, asked: bool) -> None:
    said = told("PCV hose", pressure_min=figure)
    assert bool(said) is asked
    assert ("inHg" in said) is asked


def test_every_service_asks_about_every_bare_bar() -> None:
    services = {row["service"] for row in table("services")} - {STOPPED_UNTIL_KNOWN}
    for service in services:
        for figure in (0.3, 0.5, 1, 2, 5):
            assert told(service, pressure_max=figure), (service, figure)


STOPPED_UNTIL_KNOWN = "fuel-injection-feed"
"""A stop comes before any question: it meets this line until its pressure is known."""


@pytest.mark.parametrize("field", ["fluid_peak", "air_peak", "fluid_steady", "air_steady"])
@pytest.mark.parametrize("figure", ["20", 25, "30 deg"])
def test_the_air_of_the_day_is_no_heat_of_an_engine_line(field: str, figure: Any) -> None:
    assert "not usual here" in told("heater hose", **{field: figure})


@pytest.mark.parametrize(
    ("service", "field", "figure"),
    [
        ("heater hose", "air_peak", "20 degC"),
        ("heater hose", "fluid_peak", 90),
        ("heater hose", "air_peak", 70),
        ("fuel tank vent", "air_peak", 40),
        ("washer hose", "fluid_peak", 20),
        ("diesel feed", "fluid_steady", 20),
    ],
)
def test_heat_that_may_be_is_believed(service: str, field: str, figure: Any) -> None:
    assert told(service, **{field: figure}) == ""


@pytest.mark.parametrize(("air", "mild"), [("20 degC", True), ("80 degC", False)])
def test_mild_heat_with_its_unit_is_told_as_a_check(air: str, mild: bool) -> None:
    job = read_job({"service": "heater hose", "duty": {"air_peak": air}})
    assert bool(mild_heat(job)) is mild
    assert ("far less than usual" in understood(job, "mm")) is mild
