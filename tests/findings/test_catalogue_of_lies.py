"""Hoses that claim what they cannot hold: the check names each, and none is ever accepted."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.read import examine, read_catalogue
from hoseselect.domain.job import Job

TYPE = {
    "hose_type": "L",
    "description": "hose of a test",
    "liner": "",
    "reinforcement": "textile",
    "cover": "",
    "marking": "",
    "print_line": "",
    "temperature_continuous_degc": 125,
    "temperature_short_time_degc": "",
    "temperature_cold_degc": -30,
    "hardness_shore_a": 65,
    "fluids_claimed": "",
    "made_for_clamps": "yes",
    "submersible": "no",
    "family": "",
    "not_for": "",
    "only_for": "",
    "remark": "",
}
SIZE = {
    "hose_size": "L-1",
    "hose_type": "L",
    "bore_mm": 12.7,
    "bore_min_mm": 12.4,
    "bore_max_mm": 13,
    "outside_diameter_mm": 20.7,
    "least_bend_radius_mm": 80,
    "working_pressure_clamped_kpa": 600,
    "working_pressure_crimped_kpa": "",
    "suction_limit_cold_kpa": "",
    "suction_limit_hot_kpa": "",
    "roll_length_m": 20,
    "price_per_m": 5,
}
OIL = {"liner": "AEM", "cover": "AEM", "fluids_claimed": "atf;engine-oil;power-steering-fluid"}
EPDM = {"liner": "EPDM", "cover": "EPDM", "fluids_claimed": "coolant;hot-water"}
CONTINUOUS, SHORT, COLD = (
    "temperature_continuous_degc",
    "temperature_short_time_degc",
    "temperature_cold_degc",
)
SERVICE = {"coolant": "coolant-heater", "steering": "steering-return", "oil": "atf-cooler"}


def hot(service: str, steady: float, peak: float = 0) -> dict[str, Any]:
    pressure = 400 if service == "coolant-heater" else 100  # below its boiling point
    duty = {"fluid_steady": steady, "fluid_peak": max(steady, peak), "pressure_max": pressure}
    return {"service": service, "duty": duty}


def frost(service: str, start: float) -> dict[str, Any]:
    return {"service": service, "duty": {"coldest_start": start, "pressure_max": 100}}


def sucked(service: str, suction: float) -> dict[str, Any]:
    return {"service": service, "duty": {"pressure_min": suction}}


def pressed(service: str, pressure: float) -> dict[str, Any]:
    return {"service": service, "duty": {"pressure_max": pressure, "fluid_steady": 90,
            "fluid_peak": 95}}  # fmt: skip


BY_MARKING_HOT = [
    ("j189", "SAE J189", OIL, 200, "steering-return", 130),
    ("j2076", "SAE J2076", OIL, 165, "steering-return", 155),
    ("j20-class-b", "SAE J20 CLASS B", EPDM, 125, "coolant-heater", 115),
    ("j20-class-c", "SAE J20 CLASS C", EPDM, 150, "coolant-heater", 120),
    ("j20-class-d1", "SAE J20 CLASS D-1", EPDM, 150, "coolant-heater", 140),
    ("j20-class-d2", "SAE J20 CLASS D-2", EPDM, 150, "coolant-heater", 130),
    ("j20-class-d3", "SAE J20 CLASS D-3", EPDM, 260, "coolant-heater", 160),
    ("j20-class-e", "SAE J20 CLASS E", EPDM, 150, "coolant-heater", 140),
    ("j1019", "SAE J1019", OIL, 165, "atf-cooler", 160),
    ("j1532-a", "SAE J1532 TYPE A", OIL, 165, "atf-cooler", 140),
    ("j1532-a", "SAE J1532 TYPE A CLASS 2", OIL, 165, "atf-cooler", 160),
    ("j1532-b", "SAE J1532 TYPE B CLASS 1", OIL, 150, "atf-cooler", 140),
]
BY_MARKING_COLD = [
    ("j189", "SAE J189", OIL, "steering-return"),
    ("j2076", "SAE J2076", OIL, "steering-return"),
    ("j20-class-d1", "SAE J20 CLASS D-1", EPDM, "coolant-heater"),
    ("j20-class-d3", "SAE J20 CLASS D-3", EPDM, "coolant-heater"),
    ("j1019", "SAE J1019", OIL, "atf-cooler"),
    ("j1532-a", "SAE J1532 TYPE A", OIL, "atf-cooler"),
    ("j1532-b", "SAE J1532 TYPE B", OIL, "atf-cooler"),
]
BY_RUBBER_HOT = [
    ("NBR", 200, "engine-oil", "engine-oil-cooler", 150),
    ("NBR/PVC", 150, "engine-oil", "engine-oil-cooler", 130),
    ("HNBR", 200, "engine-oil", "engine-oil-cooler", 180),
    ("ECO", 170, "engine-oil", "engine-oil-cooler", 150),
    ("ACM", 200, "engine-oil", "engine-oil-cooler", 170),
    ("AEM", 200, "engine-oil", "engine-oil-cooler", 180),
    ("FKM", 255, "engine-oil", "engine-oil-cooler", 240),
    ("FVMQ", 250, "engine-oil", "engine-oil-cooler", 220),
    ("CR", 160, "washer-fluid", "washer", 140),
    ("CSM", 180, "washer-fluid", "washer", 160),
    ("EPDM", 260, "washer-fluid", "washer", 170),
    ("VMQ", 255, "washer-fluid", "washer", 240),
    ("PVC", 200, "washer-fluid", "washer", 90),
    ("TPV", 150, "washer-fluid", "washer", 140),
    ("SBR", 150, "washer-fluid", "washer", 130),
    ("NR", 120, "washer-fluid", "washer", 100),
    ("PA", 150, "engine-oil", "engine-oil-cooler", 130),
]
BY_RUBBER_COLD = [("NBR", -60), ("NBR/PVC", -50), ("ECO", -60), ("AEM", -60), ("FKM", -55),
                  ("ACM", -45), ("HNBR", -60)]  # fmt: skip
FAMILY = {"engine-oil-cooler": "engine-oil", "coolant-heater": "coolant", "washer": "washer"}
PRINTS = [
    ("j30-r9", "SAE 30R7", "FKM", "fuel-return"),
    ("j30-r12", "SAE 30R6", "FKM", "fuel-return"),
    ("j30-r9", "SAE 30R10", "FKM", "fuel-feed-low-pressure"),
    ("j30-r7", "SAE J20 R3", "NBR", "fuel-return"),
    ("fmvss106-vh", "DOT VL", "ECO", "brake-servo-vacuum"),
    ("j1532-a", "SAE J1532 TYPE B", "AEM", "atf-cooler"),
    ("j2076", "SAE J189", "HNBR", "steering-return"),
]
CLAIMS = [
    ("EPDM", "engine-oil", "engine-oil", "engine-oil-cooler"),
    ("EPDM", "atf", "oil-cooler", "atf-cooler"),
    ("VMQ", "engine-oil", "turbo-oil", "turbo-oil-drain"),
    ("SBR", "atf", "oil-cooler", "atf-cooler"),
    ("PVC", "coolant", "coolant", "coolant-heater"),
    ("ACM", "coolant", "coolant", "coolant-heater"),
    ("NR", "crankcase-vapour", "crankcase", "crankcase-breather"),
    ("VMQ", "crankcase-vapour", "crankcase", "crankcase-breather"),
]


def lies() -> list[Any]:
    made: list[Any] = []

    def add(name: str, type_cells: dict[str, Any], size: dict[str, Any], asked: Any) -> None:
        made.append(pytest.param(type_cells, size, asked, id=name))

    for mark, line, base, limit, service, steady in BY_MARKING_HOT:
        cells = {**base, "marking": mark, "print_line": line, CONTINUOUS: limit}
        add(f"{line} {limit} degC", cells, {}, hot(service, steady))
    for mark, line, base, service in BY_MARKING_COLD:
        cells = {**base, "marking": mark, "print_line": line, COLD: -60, CONTINUOUS: 90}
        add(f"{line} -60 degC", cells, {}, frost(service, -50))
    cells = {**OIL, "marking": "j189", "print_line": "SAE J189", CONTINUOUS: 120, SHORT: 200}
    add("SAE J189 200 degC for short", cells, {}, hot("steering-return", 110, 150))
    for rubber, limit, fluid, service, steady in BY_RUBBER_HOT:
        cells = {"liner": rubber, "fluids_claimed": fluid, "family": FAMILY[service]}
        add(f"{rubber} {limit} degC", {**cells, CONTINUOUS: limit}, {}, hot(service, steady))
    for rubber, limit in BY_RUBBER_COLD:
        cells = {"liner": rubber, "fluids_claimed": "engine-oil", "family": "engine-oil"}
        asked = frost("engine-oil-cooler", limit + 2)
        add(f"{rubber} {limit} degC", {**cells, COLD: limit, CONTINUOUS: 100}, {}, asked)
    thin = {
        "outside_diameter_mm": 14.7,
        "suction_limit_cold_kpa": -90,
        "suction_limit_hot_kpa": -90,
    }
    for rubber in ("EPDM", "VMQ", "ECO"):
        cells = {"liner": rubber, "reinforcement": "none", "family": "vacuum",
                 "fluids_claimed": "dry-air"}  # fmt: skip
        add(f"thin {rubber} wall", cells, thin, sucked("vacuum-control", -85))
    deep = {"suction_limit_cold_kpa": -60, "suction_limit_hot_kpa": -60}
    cells = {"liner": "FVMQ", "marking": "iso17324", "print_line": "ISO 17324"}
    cells["fluids_claimed"] = "dry-air;charge-air"
    add("ISO 17324 -60 kPa", cells, deep, sucked("charge-air-control", -50))
    for mark, line, service, limit in (
        ("j189", "SAE J189", "steering-return", 1500),
        ("j2076", "SAE J2076", "steering-return", 1600),
        ("j1019", "SAE J1019", "engine-oil-cooler", 2500),
        ("j1532-b", "SAE J1532 TYPE B", "atf-cooler", 1500),
    ):
        cells = {**OIL, "marking": mark, "print_line": line, CONTINUOUS: 120}
        add(f"{line} {limit} kPa", cells, {"working_pressure_clamped_kpa": limit},
            pressed(service, limit - 100))  # fmt: skip
    for pressure in (3100, 99000):
        cells = {**EPDM, "family": "coolant"}
        add(f"{pressure} kPa under clamps", cells, {"working_pressure_clamped_kpa": pressure},
            pressed("coolant-heater", 100))  # fmt: skip
    for radius, wall, wire in ((1, 20.7, "textile"), (8, 20.7, "wire"), (12, 14.7, "none")):
        cells = {**EPDM, "family": "washer", "fluids_claimed": "washer-fluid",
                 "reinforcement": wire}  # fmt: skip
        bent = {"measured": 300, "tightest_radius": f"{radius + 1} mm",
                "movement": 0, "low_spot": "no",
                "fall": "yes"}  # fmt: skip
        add(f"radius {radius} mm of {wire}", cells,
            {"least_bend_radius_mm": radius, "outside_diameter_mm": wall},
            {"service": "washer", "route": bent})  # fmt: skip
    for service, base, family in (
        ("coolant-heater", EPDM, "coolant"),
        ("atf-cooler", OIL, "oil-cooler"),
        ("steering-return", OIL, "steering-return"),
    ):
        cells = {**base, "family": family, "reinforcement": ""}
        add(f"blank reinforcement on {service}", cells, {}, pressed(service, 200))
    for mark, line, liner, service in PRINTS:
        cells = {"liner": liner, "marking": mark, "print_line": line}
        add(f"{mark} printed {line}", cells, deep, {"service": service})
    for liner, fluid, family, service in CLAIMS:
        cells = {"liner": liner, "fluids_claimed": fluid, "family": family}
        add(f"{liner} claims {fluid}", cells, {}, {"service": service})
    cells = {"marking": "j1037", "print_line": "SAE J1037", "fluids_claimed": "crankcase-vapour"}
    add("unnamed liner claims crankcase vapour", cells, {}, {"service": "crankcase-breather"})
    cells = {"liner": "EPDM", "marking": "j30-r7", "print_line": "SAE 30R7"}
    add("EPDM printed 30R7", cells, {}, {"service": "fuel-return", "fluids": ["petrol"]})
    return made


LIES = lies()


def shop(folder: Path, type_cells: dict[str, Any], size: dict[str, Any]) -> None:
    for file, row in (("hose_types", TYPE | type_cells), ("hose_sizes", SIZE | size)):
        with (folder / f"{file}.csv").open("w", encoding="utf-8", newline="") as stream:
            writer = csv.DictWriter(stream, list(row))
            writer.writeheader()
            writer.writerow(row)


def test_there_are_enough_lies() -> None:
    assert len(LIES) >= 60


@pytest.mark.parametrize(("type_cells", "size", "asked"), LIES)
def test_a_lie_is_named_and_never_accepted(
    tmp_path: Path,
    job: Callable[[dict[str, Any], float], Job],
    type_cells: dict[str, Any],
    size: dict[str, Any],
    asked: dict[str, Any],
) -> None:
    shop(tmp_path, type_cells, size)
    lied = {*type_cells, *size}
    named = {complaint.heading for complaint in examine(tmp_path, prints=True)[1]}
    assert named & lied
    answer = pick_hose(job(asked, 12.7), read_catalogue(tmp_path))
    (hose,) = answer.hoses
    assert hose.verdict.word != "accept"


@pytest.mark.parametrize(
    ("type_cells", "asked"),
    [
        (EPDM | {"marking": "j20-class-d1", "print_line": "SAE J20 CLASS D-1"},
         hot("coolant-heater", 120)),
        (OIL | {"marking": "j1532-a", "print_line": "SAE J1532 TYPE A"},
         hot("atf-cooler", 120)),
        (OIL | {"family": "engine-oil"}, hot("engine-oil-cooler", 120)),
        ({"liner": "AEM", "cover": "AEM", "family": "crankcase"},
         {"service": "crankcase-breather"}),
    ],
)  # fmt: skip
def test_an_honest_hose_is_accepted(
    tmp_path: Path,
    job: Callable[[dict[str, Any], float], Job],
    type_cells: dict[str, Any],
    asked: dict[str, Any],
) -> None:
    shop(tmp_path, type_cells, {})
    assert examine(tmp_path, prints=True)[1] == []
    (hose,) = pick_hose(job(asked, 12.7), read_catalogue(tmp_path)).hoses
    assert hose.verdict.word == "accept", hose


def test_a_doubted_pressure_never_passes_a_line(
    tmp_path: Path, job: Callable[[dict[str, Any], float], Job]
) -> None:
    shop(tmp_path, {**EPDM, "family": "coolant"}, {"working_pressure_clamped_kpa": 99000})
    for pressure in (100, 50000):
        asked = pressed("coolant-heater", pressure)
        (hose,) = pick_hose(job(asked, 12.7), read_catalogue(tmp_path)).hoses
        assert not hose.verdict.suits, pressure


def test_a_doubted_bend_radius_makes_no_condition_that_cannot_be(
    tmp_path: Path, job: Callable[[dict[str, Any], float], Job]
) -> None:
    """A radius of 1 mm counts as none stated: the bend is held against where the wall kinks."""
    shop(tmp_path, {**EPDM, "family": "coolant"}, {"least_bend_radius_mm": 1})
    words = {}
    for radius in (10, 200):
        bent = {"measured": 300, "tightest_radius": f"{radius} mm", "movement": 0}
        asked = {**hot("coolant-heater", 90), "route": bent}
        (hose,) = pick_hose(job(asked, 12.7), read_catalogue(tmp_path)).hoses
        (found,) = (own for own in hose.findings if own.code == "bend-radius")
        words[radius] = found.verdict.word
    assert words == {10: "reject", 200: "conditional"}
