"""Marking rules: identity, required marking, pressure of a marking, what must be proved."""

from __future__ import annotations

import math
from typing import Any

import pytest

from hoseselect.knowledge.load import table

BARE = {"liner": "", "marking": ""}


@pytest.mark.parametrize(
    ("hose", "verdict", "named"),
    [
        (BARE, "reject", 0),
        ({"liner": "EPDM", "marking": ""}, "accept", 1),
        ({"liner": "", "marking": "j20-r3"}, "accept", 1),
        ({"liner": "EPDM", "marking": "j20-r3"}, "accept", 1),
    ],
)
@pytest.mark.parametrize("service", ["washer", "fuel-return", "coolant-heater"])
def test_a_hose_that_nobody_can_name(
    bench: Any, hose: dict[str, str], verdict: str, named: float, service: str
) -> None:
    found = bench.finding("marking-identity", hose, {"service": service})
    bench.limited("marking-identity", found, verdict, 1.0, named, None)


@pytest.mark.parametrize(
    ("service", "marking", "verdict"),
    [
        ("fuel-injection-feed", "j30-r9", "accept"),
        ("fuel-injection-feed", "j30-r7", "reject"),
        ("fuel-injection-feed", "", "reject"),
        ("fuel-injection-feed", "j30-r7;j30-r9", "accept"),
        ("fuel-return", "j20-r3", "reject"),
        ("brake-servo-vacuum", "fmvss106-vh", "accept"),
        ("brake-servo-vacuum", "iso11424", "reject"),
        ("brake-servo-vacuum", "", "reject"),
        ("coolant-heater", "", "accept"),
        ("coolant-heater", "j20-r3", "accept"),
        ("coolant-heater", "j30-r7", "reject"),
        ("crankcase-suction", "j30-r9", "accept"),
        ("crankcase-suction", "j20-r3", "reject"),
        ("washer", "j20-r3", "accept"),
    ],
)
def test_required_marking(bench: Any, service: str, marking: str, verdict: str) -> None:
    found = bench.finding("marking-required", {"marking": marking}, {"service": service})
    suits = 0.0 if verdict == "reject" else 1.0
    bench.limited("marking-required", found, verdict, 1.0, suits, None)


@pytest.mark.parametrize("marking", ["j1532-b", "j1532"])
def test_a_marking_that_suits_in_part_makes_conditional(bench: Any, marking: str) -> None:
    found = bench.finding("marking-required", {"marking": marking}, {"service": "atf-cooler"})
    basis = table("service_markings").row(service="atf-cooler", marking=marking)["basis"]
    assert found.verdict.word == "conditional"
    assert basis in found.reason
    bench.worded(found)


def test_a_full_marking_beside_a_partial_one_is_accepted(bench: Any) -> None:
    hose = {"marking": "j1532-a;j1532-b"}
    assert bench.word("marking-required", hose, {"service": "atf-cooler"}) == "accept"


def test_the_remedy_of_a_wrong_marking_demands_none_where_none_is_needed(bench: Any) -> None:
    """On a heater line an unmarked hose with a named liner is accepted."""
    found = bench.finding("marking-required", {"marking": "j30-r7"}, {"service": "coolant-heater"})
    assert "claims no published marking" not in found.reason


def clamped(marking: str) -> float:
    rows = table("marking_figures").where(marking=marking)
    figures = {row["figure"]: row.number("value") for row in rows if "pressure" in row["figure"]}
    return figures.get("pressure-clamped") or min(figures["pressure-working"], 1210)


def test_pressure_of_a_marking_by_its_standard() -> None:
    """SAE J189: 690 kPa with clamps, as the manual page says; SAE J2076: 1210 kPa, the highest."""
    assert clamped("j189") == 690
    rows = table("marking_figures").where(figure="pressure-clamped")
    assert max(row.number("value") for row in rows) == clamped("j2076") == 1210


@pytest.mark.parametrize(
    ("hose", "service", "verdict"),
    [
        ({"family": "coolant"}, "coolant-heater", "accept"),
        ({"family": "diesel"}, "coolant-heater", "reject"),
        ({"family": "engine-oil"}, "atf-cooler", "conditional"),
        ({"family": "vacuum;washer"}, "washer", "accept"),
        ({"marking": "j30-r7", "family": "coolant"}, "coolant-heater", "reject"),
        ({"family": ""}, "coolant-heater", "reject"),
        ({"family": "", "fluids_claimed": "coolant"}, "coolant-heater", "conditional"),
        ({"family": ""}, "vacuum-control", "conditional"),
        ({"family": ""}, "drain", "conditional"),
    ],
)
def test_what_a_hose_is_made_for(
    bench: Any, hose: dict[str, Any], service: str, verdict: str
) -> None:
    found = bench.finding("marking-family", hose, {"service": service})
    assert found.verdict.word == verdict
    bench.worded(found)


@pytest.mark.parametrize(("over", "verdict"), [(-1, "accept"), (0, "accept"), (1, "reject")])
@pytest.mark.parametrize("marking", ["j189", "j1019"])
def test_pressure_of_a_marking_at_its_limit(
    bench: Any, marking: str, over: float, verdict: str
) -> None:
    limit = clamped(marking)
    pressure = limit + over
    changes = {
        "service": "steering-return",
        "duty.pressure_max": pressure,
        "duty.pressure_spike": pressure,
    }
    hose = {"marking": marking, "working_pressure_clamped_kpa": 2500}
    found = bench.finding("marking-pressure", hose, changes)
    bench.limited("marking-pressure", found, verdict, pressure, limit, -over / limit)


def test_the_spike_counts_against_the_marking(bench: Any) -> None:
    changes = {"duty.pressure_max": 100, "duty.pressure_spike": clamped("j189") + 1}
    changes["service"] = "steering-return"
    assert bench.word("marking-pressure", {"marking": "j189"}, changes) == "reject"


@pytest.mark.parametrize("pressure", [0, -10])
def test_pressure_of_a_marking_does_not_matter_below_the_air(bench: Any, pressure: float) -> None:
    changes = {"duty.pressure_max": pressure, "duty.pressure_spike": pressure}
    changes |= {"duty.pressure_min": -20, "service": "crankcase-suction"}
    found = bench.finding("marking-pressure", {"marking": "j189"}, changes)
    assert found.reason == "does not matter for this job"


def test_a_marking_without_a_pressure_says_nothing(bench: Any) -> None:
    figures = {row["figure"] for row in table("marking_figures").where(marking="fmvss106-vh")}
    assert not figures & {"pressure-clamped", "pressure-working"}
    found = bench.finding("marking-pressure", {"marking": "fmvss106-vh"}, {})
    assert found.reason == "does not matter for this job"


@pytest.mark.parametrize(
    ("marking", "verdict"), [("j1019", "conditional"), ("j189", "unknown"), ("j2260", "reject")]
)
def test_pressure_of_a_marking_on_an_assumption(bench: Any, marking: str, verdict: str) -> None:
    """An oil cooler is assumed to see spikes of 600 to 1200 kPa."""
    ends = table("service_duty").row(service="atf-cooler", field="pressure_spike")
    assert clamped("j2260") < ends.number("favourable") < clamped("j189")
    assert clamped("j189") < ends.number("adverse") < clamped("j1019")
    changes = {
        "service": "atf-cooler",
        "duty.pressure_max": "unknown",
        "duty.pressure_spike": "unknown",
    }
    found = bench.finding("marking-pressure", {"marking": marking}, changes)
    assert found.verdict.word == verdict
    assert "assumption" in found.reason or found.reason.startswith("worst case: ")
    bench.worded(found)


def test_an_unknown_pressure_is_unknown_against_a_marking(bench: Any) -> None:
    changes = {
        "service": "crankcase-suction",
        "features.turbo": "yes",
        "features.sees_boost": "yes",
        "duty.pressure_max": "unknown",
        "duty.pressure_spike": "unknown",
    }
    found = bench.finding("marking-pressure", {"marking": "j1019"}, changes)
    assert found.verdict.word == "unknown"
    assert math.isnan(found.demand)
    bench.worded(found)


def test_what_must_be_proved_makes_every_hose_conditional(bench: Any) -> None:
    found = bench.finding("marking-proof", {}, {"service": "crankcase-boosted"})
    assert found.verdict.word == "conditional"
    assert table("services").row(service="crankcase-boosted")["proof"] in found.reason
    assert math.isnan(found.margin)
    bench.worded(found)


@pytest.mark.parametrize("service", ["washer", "crankcase-suction", "fuel-return"])
def test_nothing_has_to_be_proved_elsewhere(bench: Any, service: str) -> None:
    found = bench.finding("marking-proof", {}, {"service": service})
    assert (found.verdict.word, found.reason) == ("accept", "does not matter for this job")


def test_only_services_with_a_proof_in_the_table_demand_one(bench: Any) -> None:
    for row in table("services"):
        word = bench.word("marking-proof", {}, {"service": row["service"]})
        assert word == ("conditional" if row["proof"] else "accept")
