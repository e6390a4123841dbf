"""Rolls known by their print alone: what was read of a standard covers liner and cover, no more."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from hoseselect.application.pick import pick_hose
from hoseselect.domain.finding import Finding
from hoseselect.domain.job import Job
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import table

Make = Callable[[dict[str, Any], float], Job]

PRINTS = {
    "j30-r2": "SAE 30R2", "j30-r6": "SAE 30R6", "j30-r7": "SAE 30R7", "j30-r9": "SAE 30R9",
    "j30-r10": "SAE 30R10", "j30-r11": "SAE 30R11", "j30-r13": "SAE 30R13",
    "iso19013-1": "ISO 19013-1", "iso19013-2": "ISO 19013-2", "j20-r3": "SAE J20 R3",
    "j189": "SAE J189", "j1037": "", "fmvss106-vl": "",
}  # fmt: skip


def roll(marking: str, **cells: Any) -> dict[str, Any]:
    """Return a hose of which nothing but figures and the print is known."""
    return {
        "liner": "", "cover": "", "family": "", "fluids_claimed": "", "marking": marking,
        "print_line": PRINTS.get(marking, ""), "temperature_continuous_degc": 110,
        "temperature_short_time_degc": 120, "temperature_cold_degc": -40,
        "working_pressure_clamped_kpa": 1000, "working_pressure_crimped_kpa": "",
        "submersible": "yes" if marking == "j30-r10" else "no", **cells,
    }  # fmt: skip


def found(bench: Any, made: Job, hose: dict[str, Any]) -> dict[str, Finding]:
    catalogue, _ = bench.shop(hose)
    answer = pick_hose(made, catalogue)
    return {finding.code: finding for finding in answer.findings("H1-1")}


VACUUM = {"duty": {"pressure_min": -80}}
INJECTION = {"duty": {"pressure_max": 400}}
BY_PRINT = [
    # what was read of the standard covers the line from inside and outside
    ("brake-servo-vacuum", "fmvss106-vl", VACUUM, "accept"),
    ("coolant-heater", "j20-r3", {"fluids": ["coolant"], "duty": {"pressure_max": 100}}, "accept"),
    # its ozone test, or alcohol in the petrol, stands from memory or practice alone
    ("fuel-return", "j30-r9", {"fluids": ["petrol"]}, "conditional"),
    ("fuel-injection-feed", "j30-r9", {"fluids": ["petrol"], **INJECTION}, "conditional"),
    ("fuel-return", "j30-r7", {"fluids": ["petrol"]}, "conditional"),
    ("fuel-vapour-purge", "j30-r11", VACUUM, "conditional"),
    ("injector-leak-off", "iso19013-1", {"fluids": ["diesel b7"]}, "conditional"),
    ("diesel-return", "iso19013-1", {"fluids": ["diesel b20"]}, "conditional"),
    ("diesel-return", "j30-r9", {"fluids": ["diesel b7"]}, "conditional"),
    ("fuel-in-tank", "j30-r10", {"fluids": ["petrol"]}, "conditional"),
    ("fuel-injection-feed", "iso19013-2", {"fluids": ["petrol"], **INJECTION}, "conditional"),
    ("fuel-filler-and-vent", "iso19013-2", {}, "conditional"),
    ("fuel-vapour-purge", "iso19013-2", {}, "conditional"),
    ("steering-return", "j189", {"fluids": ["steering fluid"]}, "conditional"),
    # what a standard does not cover is not covered by the next one
    ("fuel-return", "j30-r9", {"fluids": ["e85"]}, "unknown"),
    ("diesel-return", "j30-r9", {"fluids": ["b100"]}, "unknown"),
    ("diesel-return", "iso19013-1", {"fluids": ["b100"]}, "unknown"),
    ("coolant-heater", "j30-r9", {"fluids": ["coolant"]}, "reject"),
    ("fuel-return", "j20-r3", {"fluids": ["petrol"]}, "reject"),
    ("fuel-injection-feed", "j30-r7", {"fluids": ["petrol"], **INJECTION}, "reject"),
    ("washer", "j1037", {}, "unknown"),
]


@pytest.mark.parametrize(("service", "marking", "more", "word"), BY_PRINT)
def test_a_roll_known_by_its_print(
    bench: Any, job: Make, service: str, marking: str, more: dict[str, Any], word: str
) -> None:
    submerged = {"insert": "none", "turbo": "no", "sees_boost": "no", "submerged": "yes"}
    tank = {"features": submerged} if service == "fuel-in-tank" else {}
    said = found(bench, job({"service": service, **more, **tank}, 10), roll(marking))
    decided = max(finding.verdict for code, finding in said.items() if code.split("-")[0] in ASKED)
    worst = [(f.code, f.reason) for f in said.values() if f.verdict == decided]
    assert decided.word == word, worst


ASKED = ("fluid", "marking", "pressure", "heat")


def test_clause_1_covers_diesel_without_fame_as_read(bench: Any) -> None:
    """Nobody sells it: but what was read is not called memory."""
    _, hoses = bench.shop(roll("j30-r9"))
    index = service_columns().fluid_index
    liner = hoses.types.liner_rating[0]
    assert (liner[index["diesel"]], liner[index["petrol"]]) == (2, 2)
    assert (liner[index["diesel-b7"]], liner[index["petrol-e10"]]) == (1, 1)
    assert np.isnan(liner[[index["diesel-b100"], index["petrol-e85"]]]).all()


def test_the_reason_says_what_the_cover_rests_on(bench: Any, job: Make) -> None:
    servo = job({"service": "brake-servo-vacuum", **VACUUM}, 10)
    assert "by its marking" in found(bench, servo, roll("fmvss106-vl"))["fluid-cover"].reason
    petrol = job({"service": "fuel-return", "fluids": ["petrol"]}, 10)
    assert (
        "from memory: ask the maker" in found(bench, petrol, roll("j30-r9"))["fluid-cover"].reason
    )


def test_a_marking_says_nothing_of_what_drips_on_the_cover(bench: Any, job: Make) -> None:
    duty = {"pressure_max": 100}
    heater = {"service": "coolant-heater", "fluids": ["coolant"], "duty": duty}
    oily = found(bench, job({**heater, "drips": ["engine-oil"]}, 10), roll("j20-r3"))
    assert oily["fluid-cover"].verdict.word == "unknown"
    untold = found(bench, job({**heater, "drips": "unknown"}, 10), roll("j20-r3"))
    assert untold["fluid-cover"].verdict.word == "conditional"


@pytest.mark.parametrize("cover", ["", "CR", "CSM", "EPDM", "VMQ"])
@pytest.mark.parametrize("liner", ["", "NBR", "ECO"])
def test_naming_never_harms_a_marked_hose_without_a_fact(
    bench: Any, job: Make, liner: str, cover: str
) -> None:
    servo = job({"service": "brake-servo-vacuum", **VACUUM}, 10)
    said = found(bench, servo, roll("fmvss106-vl", liner=liner, cover=cover))
    assert [f.reason for f in said.values() if f.verdict] == []


@pytest.mark.parametrize(("cells", "code"), [({"cover": "NBR"}, "fluid-cover"),
                                             ({"cover": "SBR"}, "fluid-cover")])  # fmt: skip
def test_what_was_read_against_a_polymer_stands_beside_its_marking(
    bench: Any, job: Make, cells: dict[str, str], code: str
) -> None:
    servo = job({"service": "brake-servo-vacuum", **VACUUM}, 10)
    assert found(bench, servo, roll("fmvss106-vl", **cells))[code].verdict.word == "reject"


def test_a_print_that_speaks_against_the_marking_covers_nothing(bench: Any, job: Make) -> None:
    petrol = job({"service": "fuel-injection-feed", "fluids": ["petrol"], **INJECTION}, 10)
    said = found(bench, petrol, roll("j30-r9", print_line="SAE 30R7"))
    assert said["fluid-liner"].verdict.word == "unknown"
    assert said["marking-required"].verdict.word == "reject"


def test_open_air_is_covered_in_full_only_where_the_ozone_test_was_read(bench: Any) -> None:
    """Every marking of the table, and two that say so: SAE J20, clause 5.1.3; FMVSS 106, S9.2.4."""
    air = service_columns().fluid_index["air"]
    full = set()
    for row in table("markings"):
        _, hoses = bench.shop(roll(row["marking"], print_line=""))
        if hoses.types.cover_rating[0, air] == 2:
            full.add(row["marking"].partition("-")[0])
    assert full == {"j20", "fmvss106"}
