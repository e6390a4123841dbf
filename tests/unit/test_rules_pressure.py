"""Pressure rules at their limits: pressure, suction, unsupported runs, boost."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.knowledge.load import limit, table
from hoseselect.mechanics.collapse import collapse_estimate
from hoseselect.mechanics.modulus import modulus_range

HOT = {"duty.fluid_steady": 90, "duty.fluid_peak": 90}
COLD = dict.fromkeys(
    ("duty.fluid_steady", "duty.fluid_peak", "duty.air_steady", "duty.air_peak"), 20
)
SUCKED = {"service": "crankcase-suction", "duty.pressure_max": 0, "duty.pressure_spike": 0}


def pressed(value: Any, spike: Any = None) -> dict[str, Any]:
    return {"duty.pressure_max": value, "duty.pressure_spike": value if spike is None else spike}


@pytest.mark.parametrize(
    ("pressure", "verdict", "margin"),
    [(349, "accept", 1 / 350), (350, "accept", 0.0), (351, "reject", -1 / 350)],
)
def test_working_pressure_at_the_limit(
    bench: Any, pressure: float, verdict: str, margin: float
) -> None:
    hose = {"working_pressure_clamped_kpa": 350}
    found = bench.finding("pressure-working", hose, pressed(pressure))
    bench.limited("pressure-working", found, verdict, pressure, 350, margin)


def test_the_spike_counts_above_the_highest_pressure(bench: Any) -> None:
    hose = {"working_pressure_clamped_kpa": 350}
    assert bench.word("pressure-working", hose, pressed(100, 350)) == "accept"
    assert bench.finding("pressure-working", hose, pressed(100, 351)).demand == 351


@pytest.mark.parametrize("pressure", [0, -5])
def test_a_line_never_above_the_air_is_passed(bench: Any, pressure: float) -> None:
    changes = {**pressed(pressure), "duty.pressure_min": -20}
    found = bench.finding("pressure-working", {"working_pressure_clamped_kpa": ""}, changes)
    assert (found.verdict.word, found.reason) == ("accept", "does not matter for this job")


def test_crimped_pressure_does_not_stand_in_for_clamped(bench: Any) -> None:
    hose = {"working_pressure_clamped_kpa": "", "working_pressure_crimped_kpa": 4000}
    found = bench.finding("pressure-working", hose, pressed(10))
    assert found.verdict.word == "unknown"
    bench.worded(found)


@pytest.mark.parametrize(
    ("strength", "verdict"),
    [(300, "conditional"), (299, "unknown"), (90, "unknown"), (89, "reject")],
)
def test_working_pressure_on_an_assumption(bench: Any, strength: float, verdict: str) -> None:
    ends = table("service_duty").row(service="coolant-heater", field="pressure_max")
    assert (ends.number("favourable"), ends.number("adverse")) == (90, 300)
    changes = {"service": "coolant-heater", **pressed("unknown")}
    hose = {"working_pressure_clamped_kpa": strength}
    found = bench.finding("pressure-working", hose, changes)
    assert found.verdict.word == verdict
    assert "assumption" in found.reason or found.reason.startswith("worst case: ")
    bench.worded(found)


def test_a_stated_spike_bounds_an_unknown_highest_pressure(bench: Any) -> None:
    """The door demands that the highest pressure is not above the spike."""
    changes = {"service": "atf-cooler", "duty.pressure_max": "unknown", "duty.pressure_spike": 300}
    found = bench.finding("pressure-working", {"working_pressure_clamped_kpa": 400}, changes)
    assert (found.verdict.word, found.demand) == ("accept", 300)


def test_an_unknown_cold_start_spike_of_an_oil_line_is_no_plain_accept(bench: Any) -> None:
    """The table of duties knows spikes of 1200 kPa on this line."""
    changes = {"service": "atf-cooler", "duty.pressure_max": 300, "duty.pressure_spike": "unknown"}
    assert (
        bench.word("pressure-working", {"working_pressure_clamped_kpa": 400}, changes) != "accept"
    )


@pytest.mark.parametrize(
    ("suction", "verdict", "margin"),
    [(-79, "accept", 1 / 80), (-80, "accept", 0.0), (-81, "reject", -1 / 80)],
)
def test_hot_suction_at_the_limit(bench: Any, suction: float, verdict: str, margin: float) -> None:
    hose = {"suction_limit_hot_kpa": -80, "suction_limit_cold_kpa": -95}
    found = bench.finding("pressure-suction", hose, {**HOT, "duty.pressure_min": suction})
    bench.limited("pressure-suction", found, verdict, suction, -80, margin)


@pytest.mark.parametrize(("warmest", "counts"), [(20, -95.0), (23, -95.0), (23.5, -80.0)])
def test_the_cold_limit_counts_up_to_room_temperature(
    bench: Any, warmest: float, counts: float
) -> None:
    hose = {"suction_limit_hot_kpa": -80, "suction_limit_cold_kpa": -95}
    changes = {**COLD, "duty.air_steady": warmest, "duty.air_peak": warmest}
    found = bench.finding("pressure-suction", hose, {**changes, "duty.pressure_min": -50})
    assert found.limit == counts


@pytest.mark.parametrize("lowest", [0, 5])
def test_suction_does_not_matter_in_a_line_that_is_not_sucked(bench: Any, lowest: float) -> None:
    hose = {"suction_limit_hot_kpa": "", "suction_limit_cold_kpa": "", "hardness_shore_a": ""}
    found = bench.finding("pressure-suction", hose, {"duty.pressure_min": lowest})
    assert (found.verdict.word, found.reason) == ("accept", "does not matter for this job")


def test_the_estimate_of_collapse_has_three_parts(bench: Any) -> None:
    """Within the sure end conditional, beyond the other refused, between them unknown."""
    modulus = modulus_range(60)
    wall = collapse_estimate(
        10,
        12,
        modulus.low,
        modulus.high,
        hot_share=limit("hot-modulus-share"),
        factor=limit("collapse-factor"),
    )
    sure, most = float(wall.sure), float(wall.at_most)
    hose = {
        "suction_limit_hot_kpa": "",
        "suction_limit_cold_kpa": "",
        "reinforcement": "none",
        "hardness_shore_a": 60,
        "outside_diameter_mm": 12,
    }
    for demand, verdict, shown in (
        (sure * 0.999, "conditional", sure),
        (sure, "conditional", sure),
        (sure * 1.001, "unknown", sure),
        (most, "unknown", sure),
        (most * 1.001, "reject", most),
    ):
        found = bench.finding("pressure-suction", hose, {**HOT, "duty.pressure_min": -demand})
        margin = (shown - demand) / shown
        bench.limited("pressure-suction", found, verdict, -demand, -shown, margin)


def test_suction_is_unknown_without_limit_and_hardness(bench: Any) -> None:
    hose = {"suction_limit_hot_kpa": "", "suction_limit_cold_kpa": "", "hardness_shore_a": ""}
    found = bench.finding("pressure-suction", hose, {**HOT, "duty.pressure_min": -1})
    assert found.verdict.word == "unknown"
    bench.worded(found)


@pytest.mark.parametrize(
    ("stands", "verdict"),
    [(84.7, "conditional"), (84, "unknown"), (57.6, "unknown"), (57, "reject")],
)
def test_suction_on_an_assumption(bench: Any, stands: float, verdict: str) -> None:
    hose = {"suction_limit_hot_kpa": -stands, "suction_limit_cold_kpa": -stands}
    found = bench.finding("pressure-suction", hose, {**SUCKED, "duty.pressure_min": "unknown"})
    assert found.verdict.word == verdict
    assert found.demand == pytest.approx(-84.7)
    bench.worded(found)


def test_a_hot_limit_counts_cold_too(bench: Any) -> None:
    """Cold rubber is stiffer: hose that stands the suction hot stands it cold."""
    hose = {"suction_limit_hot_kpa": -80, "suction_limit_cold_kpa": ""}
    assert bench.word("pressure-suction", hose, {**COLD, "duty.pressure_min": -60}) == "accept"


def test_the_wall_of_a_plain_tube_refuses_no_wire_supported_hose(bench: Any) -> None:
    hose = {
        "suction_limit_hot_kpa": "",
        "suction_limit_cold_kpa": "",
        "reinforcement": "textile-and-wire",
        "outside_diameter_mm": 12,
    }
    assert bench.word("pressure-suction", hose, {**HOT, "duty.pressure_min": -80}) == "unknown"


@pytest.mark.parametrize(("name", "other"), [("hot-modulus-share", 0.25), ("collapse-factor", 4)])
def test_the_estimate_takes_its_shares_from_the_table(
    bench: Any, change_limit: Callable[[str, float], None], name: str, other: float
) -> None:
    hose = {"suction_limit_hot_kpa": "", "suction_limit_cold_kpa": "", "remark": name}
    changes = {**HOT, "duty.pressure_min": -1}
    before = bench.finding("pressure-suction", hose, changes).limit
    change_limit(name, other)
    again = {**hose, "remark": f"{name} changed"}
    assert bench.finding("pressure-suction", again, changes).limit == pytest.approx(before / 2)


LONG = {"route.run": [700], "duty.pressure_min": -60}


@pytest.mark.parametrize(
    ("supports", "verdict", "margin"),
    [(456, "accept", 1 / 457), (457, "accept", 0.0), (458, "conditional", -1 / 457)],
)
def test_unsupported_run_at_the_limit(
    bench: Any, supports: float, verdict: str, margin: float
) -> None:
    found = bench.finding("pressure-unsupported", {}, {**LONG, "route.supports": supports})
    bench.limited("pressure-unsupported", found, verdict, supports, 457, margin)


@pytest.mark.parametrize(
    ("suction", "reason"), [(-33.8, "does not matter for this job"), (-33.9, "unsupported over")]
)
def test_unsupported_runs_matter_from_a_suction_on(bench: Any, suction: float, reason: str) -> None:
    changes = {**LONG, "route.supports": 600, "duty.pressure_min": suction}
    assert bench.finding("pressure-unsupported", {}, changes).reason.startswith(reason)


@pytest.mark.parametrize("reinforcement", ["wire", "textile-and-wire", "none"])
def test_unsupported_run_does_not_matter_for_other_walls(bench: Any, reinforcement: str) -> None:
    found = bench.finding("pressure-unsupported", {"reinforcement": reinforcement}, LONG)
    assert found.reason == "does not matter for this job"


def test_an_unnamed_reinforcement_counts_as_textile(bench: Any) -> None:
    changes = {**LONG, "route.supports": 600}
    assert bench.word("pressure-unsupported", {"reinforcement": ""}, changes) == "conditional"


def test_without_supports_the_whole_length_is_unsupported(bench: Any) -> None:
    found = bench.finding("pressure-unsupported", {}, {**LONG, "route.supports": "unknown"})
    assert (found.verdict.word, found.demand) == ("conditional", 700)


def test_an_unknown_span_is_clipped_as_it_is_laid(bench: Any) -> None:
    changes = {"duty.pressure_min": -60, "route.supports": "unknown", "route.run": []}
    found = bench.finding("pressure-unsupported", {}, changes)
    assert found.verdict.word == "conditional"
    assert math.isnan(found.demand)
    assert found.check == "clipped at least every 457 mm"
    bench.worded(found)


def test_unsupported_run_under_assumed_suction(bench: Any) -> None:
    changes = {**SUCKED, **LONG, "route.supports": 600, "duty.pressure_min": "unknown"}
    assert bench.word("pressure-unsupported", {}, changes) == "conditional"
    changes = {**changes, "route.supports": 450}
    assert bench.word("pressure-unsupported", {}, changes) == "accept"


def test_suction_deep_enough_at_one_end_only_makes_conditional(bench: Any) -> None:
    ends = table("service_duty").row(service="fuel-vapour-purge", field="pressure_min")
    assert -ends.number("adverse") > limit("suction-unsupported-from") > -ends.number("favourable")
    changes = {"service": "fuel-vapour-purge", **LONG, "route.supports": 600}
    found = bench.finding("pressure-unsupported", {}, {**changes, "duty.pressure_min": "unknown"})
    assert found.verdict.word == "conditional"
    assert found.demand == 600
    assert found.check == ""  # the supports are known: what is not, nobody can see to
    assert "more than 457" in found.reason


@pytest.mark.parametrize(
    ("name", "other"), [("suction-unsupported-max", 650), ("suction-unsupported-from", 61)]
)
def test_the_unsupported_run_takes_its_limits_from_the_table(
    bench: Any, change_limit: Callable[[str, float], None], name: str, other: float
) -> None:
    changes = {**LONG, "route.supports": 600}
    assert bench.word("pressure-unsupported", {}, changes) == "conditional"
    change_limit(name, other)
    assert bench.word("pressure-unsupported", {}, changes) == "accept"


def boost(turbo: str, sees: str, pressure: Any) -> dict[str, Any]:
    return {
        "service": "crankcase-suction",
        "features.turbo": turbo,
        "features.sees_boost": sees,
        "duty.pressure_max": pressure,
        "duty.pressure_spike": "unknown",
        "duty.pressure_min": -50,
    }


@pytest.mark.parametrize(
    ("turbo", "sees", "pressure", "verdict"),
    [
        ("no", "unknown", "unknown", "accept"),
        ("no", "no", "unknown", "accept"),
        ("yes", "no", 0, "accept"),
        ("yes", "unknown", 120, "accept"),
        ("yes", "yes", 120, "accept"),
        ("yes", "unknown", 0, "conditional"),
        ("yes", "unknown", "unknown", "conditional"),
        ("yes", "yes", "unknown", "unknown"),
        ("unknown", "unknown", 0, "conditional"),
    ],
)
def test_boost_must_be_told(bench: Any, turbo: str, sees: str, pressure: Any, verdict: str) -> None:
    found = bench.finding("pressure-boost", {}, boost(turbo, sees, pressure))
    assert found.verdict.word == verdict
    assert math.isnan(found.margin)
    bench.worded(found)


@pytest.mark.parametrize("highest", [0, "unknown"])
def test_a_spike_that_only_boost_explains_is_boost(bench: Any, highest: Any) -> None:
    """A hose that a highest pressure refuses is refused by the same pressure as a spike."""
    said = {**boost("no", "no", highest), "duty.pressure_spike": 4.5}
    plain = {"reinforcement": "none"}
    assert bench.finding("pressure-reinforcement", plain, said).verdict.word == "reject"
    said["duty.pressure_spike"] = 3.5
    assert bench.finding("pressure-reinforcement", plain, said).verdict.word == "accept"


@pytest.mark.parametrize("service", ["washer", "coolant-heater", "fuel-return", "drain"])
def test_boost_does_not_matter_on_other_lines(bench: Any, service: str) -> None:
    changes = {**boost("yes", "unknown", 10), "service": service, "duty.pressure_min": 0}
    found = bench.finding("pressure-boost", {}, changes)
    assert found.reason == "does not matter for this job"


@pytest.mark.parametrize("service", ["crankcase-suction", "crankcase-boosted"])
def test_an_assumed_pressure_is_no_stated_boost(bench: Any, service: str) -> None:
    """Turbocharger, boost and pressure unknown: nothing is stated."""
    changes = {**boost("unknown", "unknown", "unknown"), "service": service}
    assert "boost is stated" not in bench.finding("pressure-boost", {}, changes).reason


def test_a_hose_on_a_line_whose_boost_is_not_known_is_offered_on_that_condition(
    bench: Any,
) -> None:
    hose = {"working_pressure_clamped_kpa": 30}
    answer = bench.answer(hose, changes=boost("unknown", "unknown", "unknown"))
    found = next(f for f in answer.hoses[0].findings if f.code == "pressure-boost")
    assert answer.hoses[0].verdict.word != "accept"
    assert found.verdict.word != "accept"
    assert "boost" in found.reason


def test_nothing_is_assumed_of_a_line_that_sees_no_boost(bench: Any) -> None:
    found = bench.finding("pressure-boost", {}, boost("yes", "no", "unknown"))
    assert (found.verdict.word, found.reason) == ("accept", "boost is stated, or there is none")


def test_a_refusal_does_not_print_two_equal_pressures(bench: Any) -> None:
    hose = {"working_pressure_clamped_kpa": 1250}
    found = bench.finding("pressure-working", hose, pressed(1250.4))
    assert found.verdict.word == "reject"
    assert "1250 kPa is above 1250 kPa" not in found.reason


def test_the_source_is_that_of_the_limit(bench: Any) -> None:
    """The limit stands in the catalogue: the manual pages say so, and so must the findings."""
    codes = ("pressure-working", "pressure-suction")
    changes = {**HOT, "duty.pressure_min": -10, **pressed(10)}
    assert [c for c in codes if "hose" not in bench.finding(c, {}, changes).source] == []


@pytest.mark.parametrize(
    ("reinforcement", "steady", "highest", "word"),
    [
        ("textile", "100 degC", "90 kPa", "accept"),
        ("none", "100 degC", "90 kPa", "reject"),
        ("none", "40 degC", "90 kPa", "accept"),
        ("none", "100 degC", "0 kPa", "accept"),
    ],
)
def test_pressure_reinforcement_wants_textile_on_hot_lines(
    bench: Any, reinforcement: str, steady: str, highest: str, word: str
) -> None:
    """Rule pressure-reinforcement: plain tube is for washer, drain and control lines."""
    job = {
        "service": "coolant-heater",
        "duty.fluid_steady": steady,
        "duty.fluid_peak": steady,
        "duty.pressure_max": highest,
        "duty.pressure_spike": highest,
    }
    found = bench.finding("pressure-reinforcement", {"reinforcement": reinforcement}, job)
    assert found.verdict.word == word
