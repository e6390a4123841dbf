"""Rules of marking, heat, stock and stops where one sign or one edge decides."""

from __future__ import annotations

from typing import Any

import pytest
from bench_parts import clamp

from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.load import table
from hoseselect.rules.name_words import lines_with
from hoseselect.rules.stop import stops

SHORT = {"liner": "NBR", "cover": "NBR", "temperature_continuous_degc": 120}


@pytest.mark.parametrize(("peak", "word"), [(165, "accept"), (165.1, "conditional")])
@pytest.mark.parametrize("where", ["fluid", "air"])
def test_a_short_time_limit_is_believed_so_far_above_what_the_rubber_usually_stands(
    bench: Any, where: str, peak: float, word: str
) -> None:
    """NBR usually goes to 125 degC; 40 degC above that it is believed for a short time."""
    hose = {**SHORT, "temperature_short_time_degc": 170}
    changes = {f"duty.{where}_peak": peak, f"duty.{where}_steady": 40}
    assert bench.word(f"heat-{where}-peak", hose, changes) == word


@pytest.mark.parametrize("fluid", ["coolant", "engine-oil"])
def test_fuel_hose_is_no_hose_for_what_else_comes_into_a_fuel_line(bench: Any, fluid: str) -> None:
    """Oil in petrol flows as petrol does; coolant does not."""
    changes = {"service": "fuel-return", "fluids": ["petrol-e10", fluid]}
    hose = {"family": "fuel", "fluids_claimed": "petrol"}
    found = bench.word("marking-family", hose, changes)
    assert (found == "reject") == (fluid == "coolant")


def test_oil_that_comes_into_a_coolant_line_wants_hose_for_oil(bench: Any) -> None:
    changes = {"service": "coolant-heater", "fluids": ["coolant", "engine-oil"]}
    assert bench.word("marking-family", {"family": "coolant"}, changes) == "reject"
    assert bench.word("marking-family", {"family": "coolant;engine-oil"}, changes) == "accept"


def test_where_line_and_fluid_answer_alike_the_line_is_named(bench: Any) -> None:
    """Diesel hose is refused in a washer line, and for the coolant in it."""
    found = bench.finding("marking-family", {"family": "diesel"}, {"fluids": ["coolant"]})
    assert found.verdict.word == "reject"
    assert "for what flows here" not in found.reason


@pytest.mark.parametrize("first", ["R1", "R2"])
def test_the_roll_to_take_is_named_whichever_stands_first(bench: Any, first: str) -> None:
    second = "R2" if first == "R1" else "R1"
    rolls = [
        {"roll": first, "hose_size": "H1-1", "length_m": 3, "place": "rack", "date_made": ""},
        {"roll": second, "hose_size": "H1-1", "length_m": 9, "place": "rack", "date_made": ""},
    ]
    assert f"roll {first}" in bench.finding("stock-roll", {}, {}, rolls=rolls).reason


@pytest.mark.parametrize("pressure", [0.4, 1.0])
def test_any_pressure_at_all_is_held_against_the_marking(bench: Any, pressure: float) -> None:
    hose = {"marking": "j189", "family": ""}
    told = {"duty.pressure_max": pressure, "duty.pressure_spike": pressure}
    found = bench.finding("marking-pressure", hose, {"service": "steering-return", **told})
    assert (found.demand, found.limit) == (pressure, 690)


@pytest.mark.parametrize(("usable", "word"), [(13.9, "reject"), (14.0, "accept")])
@pytest.mark.parametrize("end", ["a", "b"])
def test_a_clamped_line_wants_room_for_band_and_tail_at_either_end(
    bench: Any, end: str, usable: float, word: str
) -> None:
    """A band of 8 mm and a tail of 6 mm; crankcase lines are the first group of all."""
    changes: dict[str, Any] = {"service": "crankcase-suction", "fluids": ["blow-by"]}
    changes |= {f"nipple_{end}.usable_length": usable, f"nipple_{end}.engagement": usable}
    clamps = [clamp("C", "smooth-band", 10, 30, band=8)]
    assert bench.word("fit-engagement", {}, changes, clamps=clamps) == word


@pytest.mark.parametrize(
    ("service", "stopped"),
    [("PCV hose", True), ("heater hose", True), ("coolant-to-gas-vaporiser", False)],
)
def test_a_job_that_is_called_after_gas_fuel_is_stopped_but_for_the_coolant_of_its_vaporiser(
    service: str, stopped: bool
) -> None:
    for name in ("van 7, LPG", "natural gas hose"):
        assert bool(stops(read_job({"service": service, "name": name}))) == stopped
    assert not stops(read_job({"service": service, "name": "van 7"}))


def test_all_that_may_be_said_of_a_line_still_speaks_of_it() -> None:
    senses: dict[str, set[str]] = {}
    for row in table("line_senses"):
        senses.setdefault(row["line"], set()).add(row["sense"])
    for line, own in senses.items():
        assert line in lines_with(frozenset(own))
        assert line not in lines_with(frozenset(own | {"no such sense"}))


@pytest.mark.parametrize(
    ("fluids", "word"), [(["dry-air"], "accept"), (["dry-air", "atf"], "reject")]
)
def test_what_comes_into_a_vacuum_line_wants_hose_for_it_as_well(
    bench: Any, fluids: list[str], word: str
) -> None:
    """Hose for air is for vacuum too, but for no line in which transmission fluid flows."""
    hose = {"family": "air", "fluids_claimed": "atf"}
    changes = {"service": "vacuum-control", "fluids": fluids}
    assert bench.word("marking-family", hose, changes) == word


def test_what_the_maker_excludes_is_named_where_it_flows_and_no_more(bench: Any) -> None:
    found = bench.finding("fluid-not-for", {"not_for": "washer-fluid;coolant;engine-oil"})
    assert found.verdict.word == "reject"
    assert "washer fluid" in found.reason
    assert "coolant" not in found.reason
    assert "oil" not in found.reason
