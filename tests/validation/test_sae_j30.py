"""SAE J30 fuel and oil hose: types against services, through the real engine.

JUN1998: clause 1 (scope: fuel, oil, or their vapour in the fuel system or in the crankcase),
6 (R6, R7, R8: low pressure), 7 (R9: injection), 8 (R10: in the tank), 10 (R11: fill and vent),
11 (R12: feed and return, injection-capable); FEB2012, rationale (R13: diesel and biodiesel). What
is said of R14, and of R5 for fill and vent, is from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.application.read import read_print

Judge = Callable[..., Any]
LOW_PRESSURE = ("r6", "r7", "r8")
PETROL = ("fuel-feed-low-pressure", "fuel-injection-feed", "fuel-return")
DIESEL = ("diesel-feed", "diesel-return")
CRANKCASE = ("crankcase-suction", "crankcase-breather", "crankcase-boosted")

# type, service, whether its scope covers it
COVERED = [
    *[(kind, "fuel-feed-low-pressure") for kind in (*LOW_PRESSURE, "r2", "r9", "r12", "r14")],
    *[(kind, "fuel-return") for kind in (*LOW_PRESSURE, "r9", "r12")],
    *[(kind, "fuel-injection-feed") for kind in ("r9", "r12")],
    *[(kind, "fuel-filler-and-vent") for kind in ("r5", "r11", "r12", *LOW_PRESSURE)],
    *[(kind, "fuel-vapour-purge") for kind in ("r11", "r12", *LOW_PRESSURE)],
    # clause 1 takes the vapour in the crankcase into the scope of the standard as a whole
    *[(kind, service) for kind in (*LOW_PRESSURE, "r9", "r11", "r12") for service in CRANKCASE],
    *[(kind, service) for kind in ("r2", "r13") for service in DIESEL],
]
NOT_COVERED = [
    *[(kind, "fuel-injection-feed") for kind in (*LOW_PRESSURE, "r11", "r14", "r13", "r5")],
    *[(kind, "fuel-feed-low-pressure") for kind in ("r11", "r13")],
    *[(kind, service) for kind in ("r10", "r13") for service in CRANKCASE],
    *[
        (kind, "fuel-in-tank")
        for kind in ("r2", "r3", "r5", *LOW_PRESSURE, "r9", "r11", "r12", "r13", "r14")
    ],
]


def fuel_of(service: str) -> list[str]:
    if service in DIESEL:
        return ["diesel"]
    return ["petrol"] if service.startswith("fuel") else []


@pytest.mark.parametrize(("kind", "service"), COVERED)
def test_covered(judge: Judge, kind: str, service: str) -> None:
    """Nothing but what the service must prove, or vapour through the wall, is left to ask."""
    judged = judge({"liner": "FKM", "marking": f"j30-{kind}"}, service, fluids=fuel_of(service))
    assert judged.refused_by == set()
    assert judged.limited_by <= {"marking-proof", "fluid-permeation"}
    assert judged.finding("marking-required").verdict.word == "accept"


@pytest.mark.parametrize(("kind", "service"), NOT_COVERED)
def test_not_covered(judge: Judge, kind: str, service: str) -> None:
    """However strong the hose (5 MPa, FKM, made to lie in fuel), the marking refuses it."""
    hose = {"liner": "FKM", "marking": f"j30-{kind}", "submersible": "yes"}
    judged = judge(hose, service, fluids=fuel_of(service))
    assert judged.refused_by - {"marking-family"} == {"marking-required"}
    assert judged.hose.cut is None


@pytest.mark.parametrize("kind", [*LOW_PRESSURE, "r11", "r14"])
@pytest.mark.parametrize("pressure", [100, 300, 600])
def test_never_on_an_injection_feed_line(judge: Judge, kind: str, pressure: float) -> None:
    """Hard rule, at whatever pressure the line is said to have."""
    hose = {"liner": "FKM", "marking": f"j30-{kind}"}
    judged = judge(hose, "fuel-injection-feed", fluids=["petrol"], pressure_max=pressure)
    assert judged.word == "reject"
    assert judged.hose.cut is None


def test_only_r10_in_the_tank(judge: Judge) -> None:
    judged = judge(
        {"liner": "FKM", "marking": "j30-r10", "submersible": "yes"},
        "fuel-in-tank",
        fluids=["petrol"],
    )
    assert judged.word == "accept"


@pytest.mark.parametrize(
    ("hose", "pressure"), [({"working_pressure_clamped_kpa": 300}, 600), ({"liner": "NBR"}, 20)]
)
def test_r10_alone_is_no_pass_in_the_tank(
    judge: Judge, hose: dict[str, Any], pressure: float
) -> None:
    """Pump outlet by the printed pressure; liner by the fuel (E10 here)."""
    cells = {"liner": "FKM", "marking": "j30-r10", "submersible": "yes", **hose}
    judged = judge(cells, "fuel-in-tank", fluids=["petrol-e10"], pressure_max=pressure)
    assert judged.word != "accept"


def test_r9_under_fuel_outside_the_tank_service_is_refused_too(judge: Judge) -> None:
    hose = {"liner": "FKM", "marking": "j30-r9", "submersible": "no"}
    judged = judge(hose, "fuel-return", fluids=["petrol"], submerged="yes")
    assert judged.refused_by == {"fluid-submerged"}


@pytest.mark.parametrize("service", [*PETROL, "fuel-in-tank", "fuel-filler-and-vent", *DIESEL])
def test_no_type_no_liquid_fuel(judge: Judge, service: str) -> None:
    """Hard rule: never a hose for liquid fuel unless its J30 (or ISO 19013) type is known."""
    hose = {"liner": "FKM", "submersible": "yes"}
    judged = judge(hose, service, fluids=fuel_of(service))
    assert judged.refused_by == {"marking-required"}


@pytest.mark.parametrize(
    ("marking", "service"), [("iso19013-2", "fuel-return"), ("iso19013-1", "diesel-feed")]
)
def test_iso_19013_serves_as_well(judge: Judge, marking: str, service: str) -> None:
    judged = judge({"liner": "FKM", "marking": marking}, service, fluids=fuel_of(service))
    assert judged.refused_by == set()


def test_crankcase_vapour_needs_the_liner_too(judge: Judge) -> None:
    """Clause 1 takes the crankcase into the scope; the marking still lifts no refused liner."""
    judged = judge({"liner": "EPDM", "marking": "j30-r7"}, "crankcase-suction")
    assert judged.refused_by == {"fluid-liner"}


@pytest.mark.parametrize("number", range(6, 15))
@pytest.mark.parametrize("words", ["SAE 30R{}", "SAE J30 R{}", "SAE J30R{} 3/8 IN", "30 R{}"])
def test_prints_are_told_apart(words: str, number: int) -> None:
    """R1 is not read into R10 to R14, nor R6 into another."""
    assert [m.marking for m in read_print(words.format(number)).markings] == [f"j30-r{number}"]
