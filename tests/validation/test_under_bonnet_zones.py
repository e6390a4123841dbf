"""Temperatures under the bonnet against the duties assumed for services.

Johnson et al., IEEE Trans. Electronics Packaging Manufacturing 27(3), 2004: on engine or gearbox
above 125 degC, most uses 150 or less as worst case (abstract, read); cabin 85, under bonnet 125,
on engine 150, all from -40 (table, from memory). Encyclopedia of Automotive Engineering: modules
on firewall or wing -40 to 125 degC (read). SAE J1211 (NOV1978): intake manifold 121, near the
exhaust manifold 204 degC (from memory). -40 degC is also the low end of SAE J189, J2076 and
ISO 11424 (read). Which service lies in which zone is judgement of the trade: common practice.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.knowledge.load import limit, table

Judge = Callable[..., Any]
COOL = (
    "washer",
    "headlamp-washer",
    "drain",
    "fuel-filler-and-vent",
    "axle-breather",
    "battery-vent",
)
ON_ENGINE = ("coolant-turbo", "air-injection", "egr-cooler-coolant", "exhaust-pressure-sensing")
NEAR_EXHAUST = ("turbo-oil-drain",)
IN_TANK = ("fuel-in-tank",)  # what lies round the hose is fuel, not air
ZONES = {"cool": 85.0, "under-bonnet": 125.0, "on-engine": 150.0, "near-exhaust": 204.0}
UNDER_BONNET = tuple(
    s
    for s in table("services").column("service")
    if s not in {*COOL, *ON_ENGINE, *NEAR_EXHAUST, *IN_TANK}
)


def duty(service: str, field: str, end: str) -> float:
    return table("service_duty").row(service=service, field=field).number(end)


@pytest.mark.parametrize("zone", ZONES)
def test_zones_as_published(zone: str) -> None:
    assert limit(f"zone-{zone}") == ZONES[zone]


@pytest.mark.parametrize(
    ("services", "steady", "peak"),
    [(COOL, 85, 85), (UNDER_BONNET, 125, 125), (ON_ENGINE, 150, 150)],
)
def test_air_that_nobody_measured(services: tuple[str, ...], steady: float, peak: float) -> None:
    """The adverse end of an unknown air temperature is that of the zone."""
    assert {duty(s, "air_steady", "adverse") for s in services} == {steady}
    assert {duty(s, "air_peak", "adverse") for s in services} == {peak}


def test_all_services_lie_in_a_zone() -> None:
    assert len(UNDER_BONNET) == 32
    named = {*COOL, *UNDER_BONNET, *ON_ENGINE, *NEAR_EXHAUST, *IN_TANK}
    assert named == set(table("services").column("service"))


def test_turbo_drain_meets_the_air_of_the_exhaust() -> None:
    assert duty("turbo-oil-drain", "air_peak", "adverse") == ZONES["near-exhaust"]
    assert duty("turbo-oil-drain", "air_steady", "adverse") > ZONES["on-engine"]


def test_intake_manifold_is_within_the_general_zone() -> None:
    """SAE J1211: 121 degC at the intake manifold; no suction line is assumed cooler."""
    for service in ("crankcase-suction", "brake-servo-vacuum", "vacuum-fuel-wetted"):
        assert duty(service, "air_steady", "adverse") >= 121


def test_coldest_start_of_every_service() -> None:
    colds = {duty(s, "coldest_start", "adverse") for s in table("services").column("service")}
    assert colds == {-40}


@pytest.mark.parametrize("service", table("services").column("service"))
def test_favourable_is_never_harsher_than_adverse(service: str) -> None:
    for field in ("fluid_steady", "fluid_peak", "air_steady", "air_peak", "pressure_max"):
        assert duty(service, field, "favourable") <= duty(service, field, "adverse")
    for field in ("coldest_start", "pressure_min"):
        assert duty(service, field, "favourable") >= duty(service, field, "adverse")


@pytest.mark.parametrize(
    ("service", "heat", "word"),
    [
        ("vacuum-control", 125, "accept"),
        ("vacuum-control", 124, "unknown"),
        ("vacuum-control", 84, "reject"),
        ("coolant-turbo", 150, "accept"),
        ("coolant-turbo", 125, "unknown"),
        ("drain", 85, "accept"),
        ("drain", 84, "unknown"),
    ],
)
def test_hose_for_a_zone_whose_air_nobody_measured(
    judge: Judge, service: str, heat: float, word: str
) -> None:
    """Hose for the whole zone passes, hose for a part is not known, hose for none is refused."""
    hose = {"temperature_continuous_degc": heat, "temperature_short_time_degc": 260}
    judged = judge(hose, service, air_steady="unknown", air_peak="unknown")
    found = judged.finding("heat-air-steady").verdict.word
    assert found == word or (word == "accept" and found == "conditional")
    assert (judged.word in {"unknown", "reject"}) == (word != "accept")
