"""Heat rules at their limits, with what is unknown and what is assumed."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.knowledge.load import limit, table

CONTINUOUS = ("heat-fluid-steady", "heat-air-steady")
SHORT_TIME = ("heat-fluid-peak", "heat-air-peak")
INPUT = {
    "heat-fluid-steady": "duty.fluid_steady",
    "heat-fluid-peak": "duty.fluid_peak",
    "heat-air-steady": "duty.air_steady",
    "heat-air-peak": "duty.air_peak",
    "heat-cold": "duty.coldest_start",
}
HOSE = {
    "temperature_continuous_degc": 100,
    "temperature_short_time_degc": 125,
    "temperature_cold_degc": -30,
}


def asked(code: str, value: Any) -> dict[str, Any]:
    """The mild job at one temperature; a peak is never below what is steady."""
    changes = {INPUT[code]: value}
    if code in CONTINUOUS:
        changes[INPUT[code.replace("steady", "peak")]] = value
    return changes


def limited_to(code: str, value: float) -> dict[str, float]:
    """A hose whose limit that the rule reads is the given one."""
    if code == "heat-cold":
        return {"temperature_cold_degc": value}
    return dict.fromkeys(("temperature_continuous_degc", "temperature_short_time_degc"), value)


def adverse(service: str, code: str, end: str = "adverse") -> float:
    """The value that the table of duties holds for a service."""
    name = INPUT[code].removeprefix("duty.")
    return table("service_duty").row(service=service, field=name).number(end)


@pytest.mark.parametrize("code", CONTINUOUS)
@pytest.mark.parametrize(
    ("steady", "verdict", "margin"),
    [(99.5, "accept", 0.5 / 77), (100, "accept", 0.0), (100.5, "reject", -0.5 / 77)],
)
def test_steady_heat_at_the_continuous_limit(
    bench: Any, code: str, steady: float, verdict: str, margin: float
) -> None:
    found = bench.finding(code, HOSE, asked(code, steady))
    bench.limited(code, found, verdict, steady, 100, margin)


@pytest.mark.parametrize("code", SHORT_TIME)
@pytest.mark.parametrize(
    ("peak", "verdict", "margin"),
    [(124.5, "accept", 0.5 / 102), (125, "accept", 0.0), (125.5, "reject", -0.5 / 102)],
)
def test_peak_heat_at_the_short_time_limit(
    bench: Any, code: str, peak: float, verdict: str, margin: float
) -> None:
    bench.limited(code, bench.finding(code, HOSE, asked(code, peak)), verdict, peak, 125, margin)


@pytest.mark.parametrize("code", CONTINUOUS)
def test_a_short_time_limit_passes_no_steady_heat(bench: Any, code: str) -> None:
    assert bench.word(code, HOSE, asked(code, 110)) == "reject"


@pytest.mark.parametrize("code", SHORT_TIME)
def test_without_a_short_time_limit_the_continuous_one_counts(bench: Any, code: str) -> None:
    hose = {**HOSE, "temperature_short_time_degc": ""}
    assert bench.finding(code, hose, asked(code, 100)).verdict.word == "accept"
    assert bench.finding(code, hose, asked(code, 101)).limit == 100
    assert bench.word(code, hose, asked(code, 101)) == "reject"


@pytest.mark.parametrize(
    ("start", "verdict", "margin"),
    [(-29.5, "accept", 0.5 / 53), (-30, "accept", 0.0), (-30.5, "reject", -0.5 / 53)],
)
def test_coldest_start_at_the_cold_limit(
    bench: Any, start: float, verdict: str, margin: float
) -> None:
    found = bench.finding("heat-cold", HOSE, asked("heat-cold", start))
    bench.limited("heat-cold", found, verdict, start, -30, margin)


@pytest.mark.parametrize("code", INPUT)
def test_a_hose_that_states_no_temperature_is_unknown(bench: Any, code: str) -> None:
    hose = dict.fromkeys(HOSE, "")
    found = bench.finding(code, hose, {})
    assert found.verdict.word == "unknown"
    assert math.isnan(found.limit)
    assert "not known" in found.reason
    bench.worded(found)


@pytest.mark.parametrize("code", INPUT)
@pytest.mark.parametrize(("of_hose", "verdict"), [("both", "conditional"), ("none", "reject")])
def test_what_holds_at_both_ends_of_an_assumption_holds(
    bench: Any, code: str, of_hose: str, verdict: str
) -> None:
    service = "atf-cooler"
    sign = -1 if code == "heat-cold" else 1
    ends = [adverse(service, code), adverse(service, code, "favourable")]
    value = ends[0] + sign * 1 if of_hose == "both" else ends[1] - sign * 1
    hose = limited_to(code, value)
    unknown = {"service": service, **dict.fromkeys(INPUT.values(), "unknown")}
    found = bench.finding(code, hose, unknown)
    assert found.verdict.word == verdict
    assert "assumption" in found.reason
    assert found.demand == ends[0]
    bench.worded(found)


@pytest.mark.parametrize("code", INPUT)
def test_between_the_ends_of_an_assumption_a_hose_is_unknown(bench: Any, code: str) -> None:
    service = "atf-cooler"
    middle = (adverse(service, code) + adverse(service, code, "favourable")) / 2
    hose = limited_to(code, middle)
    unknown = {"service": service, **dict.fromkeys(INPUT.values(), "unknown")}
    found = bench.finding(code, hose, unknown)
    assert found.verdict.word == "unknown"
    assert found.reason.startswith("worst case: ")


def test_a_stated_peak_bounds_an_unknown_steady_temperature(bench: Any) -> None:
    changes = {"service": "atf-cooler", "duty.fluid_steady": "unknown", "duty.fluid_peak": 95}
    found = bench.finding("heat-fluid-steady", HOSE, changes)
    assert (found.verdict.word, found.demand) == ("conditional", 95)


def test_an_assumed_peak_is_not_below_the_stated_steady_temperature(bench: Any) -> None:
    changes = {"service": "washer", "duty.fluid_steady": 110, "duty.fluid_peak": "unknown"}
    found = bench.finding("heat-fluid-peak", HOSE, changes)
    assert found.demand == 110


@pytest.mark.parametrize(("shielded", "need"), [("no", 100.0), ("unknown", 100.0), ("yes", 50.0)])
@pytest.mark.parametrize(("over", "verdict"), [(0.5, "accept"), (0.0, "accept"), (-0.5, "beyond")])
def test_heat_source_at_the_clearance(
    bench: Any, shielded: str, need: float, over: float, verdict: str
) -> None:
    if verdict == "beyond":
        verdict = "reject" if shielded == "yes" else "conditional"
    distance = need + limit("heat-source-growth") + over
    changes = {
        "route.heat_source.distance": distance,
        "route.heat_source.shielded": shielded,
    }
    found = bench.finding("heat-source", {}, changes)
    bench.limited("heat-source", found, verdict, need + over, need, over / need)


@pytest.mark.parametrize("distance", ["unknown", None])
def test_heat_source_does_not_matter_where_none_is_named(bench: Any, distance: str) -> None:
    changes = {} if distance is None else {"route.heat_source.distance": distance}
    found = bench.finding("heat-source", {}, changes)
    assert found.verdict.word == "accept"
    assert found.reason == "does not matter for this job"
    assert math.isnan(found.demand)
    assert math.isnan(found.limit)


def test_no_distance_is_told_as_less_than_nothing(bench: Any) -> None:
    found = bench.finding("heat-source", {}, {"route.heat_source.distance": 10})
    assert found.verdict.word == "reject"
    assert "-5 mm" not in found.reason


@pytest.mark.parametrize(
    ("name", "other", "distance", "now"),
    [
        ("heat-source-clearance", 120, 130, "conditional"),
        ("heat-source-clearance-shielded", 90, 100, "reject"),
        ("heat-source-growth", 5, 110, "accept"),
    ],
)
def test_the_clearance_comes_from_the_table(
    bench: Any,
    change_limit: Callable[[str, float], None],
    name: str,
    other: float,
    distance: float,
    now: str,
) -> None:
    changes = {"route.heat_source.distance": distance}
    before = bench.word("heat-source", {}, changes)
    change_limit(name, other)
    assert bench.word("heat-source", {}, changes) == now != before


@pytest.mark.parametrize(("steady", "rate"), [(125, 1.0), (100, 0.25)])
def test_heat_life_of_epdm(bench: Any, steady: float, rate: float) -> None:
    hose = {"liner": "EPDM", "temperature_continuous_degc": 125}
    changes = {"duty.fluid_steady": steady, "duty.fluid_peak": steady}
    found = bench.finding("heat-life", hose, changes)
    bench.limited("heat-life", found, "accept", found.demand, 1.0, 1 - found.demand)
    assert found.demand == pytest.approx(rate, abs=0.01)


def test_heat_life_by_hand(bench: Any) -> None:
    hose = {"liner": "NBR", "temperature_continuous_degc": 100}
    changes = {"duty.air_steady": 110, "duty.air_peak": 110}
    rate = math.exp(limit("activation-energy-nbr") / 8.314462618e-3 * (1 / 373.15 - 1 / 383.15))
    found = bench.finding("heat-life", hose, changes)
    bench.limited("heat-life", found, "reject", rate, 1.0, 1 - rate)


@pytest.mark.parametrize("liner", ["PTFE", "FKM", "", "ECO|AEM"])
def test_heat_life_does_not_matter_without_a_published_energy(bench: Any, liner: str) -> None:
    found = bench.finding("heat-life", {"liner": liner, "marking": "j30-r9"}, {})
    assert found.reason == "does not matter for this job"


def test_heat_life_is_unknown_without_a_continuous_limit(bench: Any) -> None:
    hose = {"liner": "EPDM", "temperature_continuous_degc": "", "temperature_short_time_degc": ""}
    found = bench.finding("heat-life", hose, {})
    assert found.verdict.word == "unknown"
    bench.worded(found)


@pytest.mark.parametrize(("rated", "verdict"), [(160, "conditional"), (60, "reject")])
def test_heat_life_on_assumed_temperatures(bench: Any, rated: float, verdict: str) -> None:
    hose = {"liner": "EPDM", "temperature_continuous_degc": rated}
    unknown = {"service": "atf-cooler", **dict.fromkeys(INPUT.values(), "unknown")}
    found = bench.finding("heat-life", hose, unknown)
    assert found.verdict.word == verdict
    assert "assumption" in found.reason


def test_the_source_is_that_of_the_limit(bench: Any) -> None:
    """The limit stands in the catalogue: the manual pages say so, and so must the findings."""
    assert [code for code in INPUT if "hose" not in bench.finding(code, HOSE, {}).source] == []


def test_a_refusal_does_not_print_two_equal_figures(bench: Any) -> None:
    for code in INPUT:
        there = -100 if code == "heat-cold" else 100
        found = bench.finding(code, limited_to(code, there), asked(code, there * 1.0004))
        assert found.verdict.word == "reject"
        assert found.reason.count(f"{there} degC") == 1
