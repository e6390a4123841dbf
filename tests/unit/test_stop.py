"""Stops: by service, fluid, end fitting, place and pressure; nothing lifts them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.cutplan.plan_cut import plan_cut
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError, KnowledgeError
from hoseselect.knowledge.load import table
from hoseselect.rules.stop import is_stop, stop_of, stops

STOPS = table("stops").column("stop")


def codes(bench: Any, changes: dict[str, Any]) -> list[str]:
    return [stop.code for stop in stops(bench.job(changes))]


def test_the_mild_job_meets_no_stop(bench: Any) -> None:
    assert codes(bench, {}) == []


@pytest.mark.parametrize("stop", STOPS)
def test_every_stop_says_why_and_who(stop: str) -> None:
    found = stop_of(stop)
    assert found.code == stop
    assert found.reason.strip()
    assert found.who.strip()
    assert found.source
    assert set(found.as_json()) == {"code", "name", "reason", "who", "source"}


@pytest.mark.parametrize(
    "stop", [s for s in STOPS if table("stops").row(stop=s)["kind"] == "service"]
)
def test_a_stopped_service_gets_neither_hose_nor_cut(bench: Any, stop: str) -> None:
    answer = bench.answer({}, changes={"service": stop})
    assert stop in [met.code for met in answer.stops]
    assert (answer.hoses, answer.suits, answer.exit_code) == ((), (), 1)
    assert answer.way_out
    with pytest.raises(InputError):
        plan_cut(bench.job({"service": stop}))


@pytest.mark.parametrize("row", table("stop_names").rows, ids=lambda row: row["other_name"])
def test_every_other_name_leads_to_its_stop(row: Any) -> None:
    from hoseselect.intake.names import known_service

    assert known_service(row["other_name"]) == row["stop"]


@pytest.mark.parametrize(
    ("field", "word", "stop"),
    [
        ("features.end_fitting", "quick-connect", "quick-connect-tube"),
        ("features.end_fitting", "Quick Connect", "quick-connect-tube"),
        ("features.end_fitting", "crimped", "crimped-ends"),
        ("features.place", "boat", "boat"),
        ("features.place", "aircraft", "aircraft"),
    ],
)
@pytest.mark.parametrize("service", ["washer", "fuel-return", "coolant-heater"])
def test_end_fittings_and_places(
    bench: Any, field: str, word: str, stop: str, service: str
) -> None:
    assert codes(bench, {"service": service, field: word}) == [stop]


@pytest.mark.parametrize(
    ("fluids", "stop"),
    [
        (["brake-fluid"], "brake-fluid-reservoir"),
        (["brake-fluid", "unknown"], "brake-fluid-reservoir"),
        (["urea-solution"], "urea-line"),
        (["lpg"], "gas-fuel"),
        (["refrigerant", "unknown"], "refrigerant"),
    ],
)
def test_fluids_that_are_no_job_for_bulk_hose(bench: Any, fluids: list[str], stop: str) -> None:
    assert codes(bench, {"fluids": fluids}) == [stop]


@pytest.mark.parametrize(
    ("service", "pressure", "spike", "expected"),
    [
        ("steering-return", 1720, "unknown", []),
        ("steering-return", 1721, "unknown", ["steering-pressure"]),
        ("steering-suction", "unknown", 1721, ["steering-pressure"]),
        ("fuel-injection-feed", 1000, "unknown", []),
        ("fuel-injection-feed", 1001, "unknown", ["high-pressure-injection"]),
        ("diesel-return", 100, 1001, ["high-pressure-injection"]),
        ("atf-cooler", 1721, "unknown", []),
        ("fuel-return", "unknown", "unknown", []),
    ],
)
def test_a_pressure_gives_the_pressure_side_away(
    bench: Any, service: str, pressure: Any, spike: Any, expected: list[str]
) -> None:
    changes = {"service": service, "duty.pressure_max": pressure, "duty.pressure_spike": spike}
    assert codes(bench, changes) == expected


@pytest.mark.parametrize(
    ("name", "service"),
    [
        ("steering-return-pressure-max", "steering-return"),
        ("fuel-hose-pressure-max", "fuel-return"),
    ],
)
def test_the_pressures_come_from_the_table(
    bench: Any, change_limit: Callable[[str, float], None], name: str, service: str
) -> None:
    changes = {"service": service, "duty.pressure_max": 500, "duty.pressure_spike": "unknown"}
    assert codes(bench, changes) == []
    change_limit(name, 499)
    assert len(codes(bench, changes)) == 1


def test_a_threaded_end_on_the_steering_is_the_pressure_side(bench: Any) -> None:
    threaded = {"features.end_fitting": "threaded"}
    assert codes(bench, {"service": "steering-return", **threaded}) == ["steering-pressure"]
    assert codes(bench, {"service": "coolant-heater", **threaded}) == []


def test_several_stops_are_all_named_once(bench: Any) -> None:
    changes = {
        "service": "brake-hydraulics",
        "fluids": ["brake-fluid", "brake-fluid"],
        "features.place": "boat",
    }
    found = codes(bench, changes)
    assert set(found) == {"brake-hydraulics", "brake-fluid-reservoir", "boat"}
    assert len(found) == len(set(found))


def test_what_is_a_stop() -> None:
    assert is_stop("brake-hydraulics")
    assert not is_stop("washer")
    with pytest.raises(KnowledgeError):
        stop_of("washer")


@pytest.mark.parametrize("drip", ["refrigerant", "LPG", "power steering pressure"])
def test_what_only_a_stop_knows_stops_as_a_drip_too(drip: str) -> None:
    job = read_job({"service": "heater hose", "drips": [drip]})
    assert stops(job)


@pytest.mark.parametrize(
    ("pressure", "stopped"), [("0 kPa", True), ("70 kPa", True), ("71 kPa", False)]
)
def test_a_pressure_that_no_injection_feed_has_lifts_no_stop(pressure: str, stopped: bool) -> None:
    """Up to the highest of a low-pressure feed the figure says nothing of injection."""
    job = read_job(
        {"service": "efi hose", "fluids": ["petrol"], "duty": {"pressure_max": pressure}}
    )
    assert ("injection-pressure-unknown" in [stop.code for stop in stops(job)]) is stopped


@pytest.mark.parametrize(("pressure", "stopped"), [("399 kPa", False), ("400 kPa", True)])
def test_the_return_of_piezo_injectors_is_a_stop(pressure: str, stopped: bool) -> None:
    """From memory: 0.4 to 1.0 MPa stands in their return."""
    job = read_job({"service": "injector leak-off", "duty": {"pressure_max": pressure}})
    assert ("piezo-injector-return" in [stop.code for stop in stops(job)]) is stopped
