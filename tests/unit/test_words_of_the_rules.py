"""What rules say with their verdict, and where they have no say: word for word, edge for edge."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from bench_parts import view

from hoseselect.domain.verdict import Verdict
from hoseselect.judging.comparison import verdicts
from hoseselect.knowledge.load import table
from hoseselect.rules.fit import bead_worth_the_name
from hoseselect.rules.fluid import after_heat, fluid_words
from hoseselect.rules.manual import all_rules
from hoseselect.rules.name_words import known_words, read_words
from hoseselect.rules.pressure import suction_hot
from hoseselect.rules.stock import stock_age
from hoseselect.rules.stop import fluid_stop

BOOSTED = {
    "service": "vacuum-control",
    "features.turbo": "yes",
    "features.sees_boost": "yes",
    "duty.pressure_max": 150,
    "duty.pressure_spike": 150,
}


NO_BOOST = {"duty.pressure_spike": 0}


@pytest.mark.parametrize(("pressure", "word"), [(0, "accept"), (0.5, "reject")])
def test_any_pressure_at_all_on_a_hot_line_wants_reinforcement(
    bench: Any, pressure: float, word: str
) -> None:
    hot = {"service": "coolant-heater", "duty.fluid_steady": 95, "duty.fluid_peak": 105}
    hot |= {"duty.pressure_max": pressure, "duty.pressure_spike": pressure}
    assert bench.word("pressure-reinforcement", {"reinforcement": "none"}, hot) == word


def test_a_check_valve_is_to_be_proved_where_boost_is_seen_and_only_there(bench: Any) -> None:
    found = bench.finding("pressure-check-valve", {}, BOOSTED)
    assert (found.verdict.word, found.demand, found.limit) == ("conditional", 1, 1)
    told = {**BOOSTED, "service": "crankcase-boosted"}
    for elsewhere in ({}, {"service": "vacuum-control", "duty.pressure_max": 0, **NO_BOOST}, told):
        assert not bench.finding("pressure-check-valve", {}, elsewhere).matters


def test_what_is_to_be_proved_is_a_condition_on_every_hose(bench: Any) -> None:
    found = bench.finding("marking-proof", {}, {**BOOSTED, "service": "crankcase-boosted"})
    assert (found.verdict.word, found.demand, found.limit) == ("conditional", 1, 1)


@pytest.mark.parametrize(("distance", "left"), [(60, 45), (5, 0)])
def test_what_is_left_to_a_heat_source_is_never_less_than_nothing(
    bench: Any, distance: float, left: float
) -> None:
    """A hose moves by 15 mm towards what is hot."""
    changes = {"route.heat_source.distance": distance, "route.heat_source.shielded": "no"}
    assert bench.finding("heat-source", {}, changes).demand == left


def test_the_roll_of_the_second_hose_is_named_from_one_cut_for_all(bench: Any) -> None:
    rolls = [
        {"roll": f"R{n}", "hose_size": f"H{n}-1", "length_m": 3, "place": "rack", "date_made": ""}
        for n in (1, 2)
    ]
    for column, name in enumerate(("R1", "R2")):
        jobs = bench.columns()
        rule = next(rule for rule in all_rules() if rule.code == "stock-roll")
        _, hoses = bench.shop({}, {}, rolls=rolls)
        comparison = rule.function(view(jobs), hoses)
        assert comparison.note is not None
        assert f"roll {name}" in comparison.note(0, column)


@pytest.mark.parametrize("cut", [[[400.0]], [[400.0, 4000.0]]])
def test_the_age_of_a_roll_counts_where_it_is_long_enough_for_the_cut_of_its_own_hose(
    bench: Any, cut: list[list[float]]
) -> None:
    """Three rolls of two hoses, one of 3 m; a cut for all, or one for each."""
    rolls = [
        {"roll": f"R{n}", "hose_size": f"H{n}-1", "length_m": length, "place": "", "date_made": ""}
        for n, length in ((1, 3), (2, 9), (2, 3))
    ]
    for row, name in zip(rolls, ("A", "B", "C"), strict=True):
        row["roll"] = name
    _, hoses = bench.shop({}, {}, rolls=rolls)
    ages = np.array([2.0, 5.0, 3.0])
    hoses = replace(hoses, rolls=replace(hoses.rolls, age=ages))
    jobs = bench.columns().change(cut_length=np.array(cut))
    found = stock_age(view(jobs), hoses)
    youngest = 3.0 if len(cut[0]) == 1 else 5.0
    assert np.asarray(found.demand).tolist() == [[2.0, youngest]]


@pytest.mark.parametrize(
    ("hose", "reason"),
    [
        ({"family": "", "fluids_claimed": ""}, "nothing says what it is made for"),
        (
            {"family": "", "fluids_claimed": "coolant"},
            "nothing but the maker's word says what it is made for",
        ),
        ({"family": "", "marking": "j20-r3"}, "coolant hose: coolant hose"),
        (
            {"family": "", "marking": "j30-r7"},
            "low-pressure fuel and oil hose: fuel hose hardens and cracks in hot glycol",
        ),
        (
            {"family": "diesel"},
            "diesel hose: made for diesel and biodiesel, not for heater feed or return",
        ),
    ],
)
def test_what_a_hose_is_made_for_is_told_from_its_marking_else_its_family_else_not(
    bench: Any, hose: dict[str, str], reason: str
) -> None:
    changes = {"service": "coolant-heater", "fluids": ["coolant"]}
    found = bench.finding("marking-family", hose, changes)
    assert found.reason.partition(": ")[2].removesuffix(" (on an assumption)") == reason


def test_a_liner_that_is_refused_is_refused_without_excuse(bench: Any) -> None:
    found = bench.finding("fluid-liner", {"liner": "EPDM"}, {"fluids": ["engine-oil"]})
    assert found.verdict.word == "reject"
    assert "memory" not in found.reason


@pytest.mark.parametrize(
    ("marking", "word", "words"),
    [("j20-r3", "accept", "marking"), ("j30-r7", "conditional", "memory")],
)
def test_a_cover_that_nobody_names_stands_as_far_as_its_marking(
    bench: Any, marking: str, word: str, words: str
) -> None:
    found = bench.finding("fluid-cover", {"cover": "", "marking": marking})
    assert found.verdict.word == word, found.reason
    assert words in found.reason


@pytest.mark.parametrize(
    ("said", "made", "word", "demand"),
    [
        ("unknown", "no", "conditional", 1),
        ("no", "yes", "accept", np.nan),
        ("no", "no", "accept", np.nan),
        ("yes", "yes", "accept", 1),
        ("yes", "no", "reject", 1),
    ],
)
def test_hose_under_fuel_is_made_for_it_or_seen_to_lie_dry(
    bench: Any, said: str, made: str, word: str, demand: float
) -> None:
    changes = {"service": "fuel-return", "features.submerged": said}
    found = bench.finding("fluid-submerged", {"submersible": made}, changes)
    assert found.verdict.word == word
    assert found.demand == pytest.approx(demand, nan_ok=True)


@pytest.mark.parametrize(
    ("name", "sense"),
    [
        ("clutch slave cylinders", "clutch"),
        ("fuel pressure regulators", "regulator"),
        ("hybrid water pumps", "hybrid"),
    ],
)
def test_more_than_one_of_a_thing_is_that_thing(name: str, sense: str) -> None:
    """Of each run of words the last one takes the s; no word of it alone says the same."""
    assert sense in read_words(name).senses
    assert read_words(name).senses == read_words(name.removesuffix("s")).senses


def test_errors_of_measuring_bear_on_what_a_hose_must_clear_only_where_something_is(
    bench: Any,
) -> None:
    one = np.ones((1, 1))
    rule = next(rule for rule in all_rules() if rule.code == "route-measuring")
    _, hoses = bench.shop({})
    for keep_outs, error, matters in ((1, 2.0, True), (0, 2.0, False), (1, np.nan, False)):
        jobs = bench.columns().change(keep_outs=one.astype(int) * keep_outs, error_told=one * error)
        found = rule.function(view(jobs), hoses)
        assert bool(np.all(found.applies)) == matters
        assert matters or np.all(verdicts(found) == Verdict.ACCEPT)


@pytest.mark.parametrize(
    ("old", "word"), [(10, "conditional"), (9.9, "unknown"), (11.05, "conditional")]
)
def test_hose_of_nearly_the_old_bore_is_taken_along_to_be_measured(
    bench: Any, old: float, word: str
) -> None:
    """Up to 5 % apart; 10.5 / 10 is 1.05, though the machine has it a hair more."""
    assert 10.5 / 10 - 1 > 0.05
    hose = {"bore_mm": 10.5, "bore_min_mm": 10.3, "bore_max_mm": 10.7}
    changes = {"nipples": {"bead": "no"}, "old_hose.bore": old}
    assert bench.word("fit-stretch", hose, changes) == word


@pytest.mark.parametrize(("reinforcement", "said"), [("textile", False), ("wire", True)])
def test_that_a_wire_helix_does_not_stretch_is_said_of_a_wire_helix(
    bench: Any, reinforcement: str, said: bool
) -> None:
    changes = {"nipples.outside_diameter": 12, "nipples.bead_diameter": 13}
    found = bench.finding("fit-stretch", {"reinforcement": reinforcement}, changes)
    assert ("wire helix" in found.reason) == said


def test_nothing_is_counted_where_boost_and_old_hose_are_known(bench: Any) -> None:
    sees = {**BOOSTED, "features.insert": "none"}
    assert bench.finding("pressure-boost", {}, sees).demand == 0
    assert bench.finding("route-insert", {}, sees).demand == 0


@pytest.mark.parametrize(
    ("service", "fluid", "word"),
    [("drain", "coolant", "conditional"), ("axle-breather", "gear-oil", "reject")],
)
def test_an_open_drain_takes_hose_of_no_known_use_and_a_breather_of_oil_does_not(
    bench: Any, service: str, fluid: str, word: str
) -> None:
    hose = {"family": "", "fluids_claimed": ""}
    changes = {"service": service, "fluids": [fluid]}
    assert bench.word("marking-family", hose, changes) == word


def test_every_fluid_that_makes_another_line_of_a_line_is_that_stop() -> None:
    rows = list(table("service_stop_fluids"))
    assert len(rows) > 3
    for row in rows:
        assert fluid_stop(row["service"], row["fluid"]) == row["stop"]


def test_any_pressure_at_all_is_held_against_what_the_hose_holds(bench: Any) -> None:
    for pressure, matters in ((0, False), (0.5, True), (1, True)):
        told = {"duty.pressure_max": pressure, "duty.pressure_spike": pressure}
        assert bench.finding("pressure-working", {}, told).matters == matters


def test_a_line_that_is_blown_up_is_not_sucked(bench: Any) -> None:
    for told, sucked in ((0.5, 0), (0, 0), (-0.5, -0.5)):
        assert suction_hot(view(bench.columns({"duty.pressure_min": told})))[0][0, 0] == sucked


def test_fuel_vapour_in_the_crankcase_wants_no_hose_of_a_fuel_line(bench: Any) -> None:
    changes = {"service": "crankcase-suction", "fluids": ["blow-by", "fuel-vapour"]}
    changes |= {"duty.pressure_max": 0, "duty.pressure_spike": 0}
    assert bench.word("marking-family", {"family": "crankcase"}, changes) == "accept"


def test_of_two_lines_the_one_that_holds_the_hose_back_says_why(bench: Any) -> None:
    """A washer under 400 kPa is a headlamp washer as well; a drain under 400 kPa an oil cooler."""
    high = {"duty.pressure_max": 400, "duty.pressure_spike": 400}
    tube = {"marking": "j1037", "family": "", "print_line": "SAE J1037"}
    found = bench.finding("marking-required", tube, {"service": "washer", **high})
    row = table("service_markings").row(service="headlamp-washer", marking="j1037")
    assert row["basis"] in found.reason
    changes = {"service": "oil-separator-drain", "fluids": ["crankcase-vapour"], **high}
    found = bench.finding("marking-family", {"family": "oil-cooler"}, changes)
    row = table("service_families").row(service="oil-separator-drain", family="oil-cooler")
    assert (row["answer"], found.verdict.word) == ("stand-in", "conditional")
    assert row["reason"] in found.reason


def test_the_age_that_is_told_is_that_of_the_roll_that_is_named(bench: Any) -> None:
    rolls = [
        {"roll": name, "hose_size": "H1-1", "length_m": 9, "place": "", "date_made": ""}
        for name in ("A", "B")
    ]
    _, hoses = bench.shop({}, rolls=rolls)
    hoses = replace(hoses, rolls=replace(hoses.rolls, age=np.array([7.0, 3.0])))
    note = stock_age(view(bench.columns()), hoses).note
    assert note is not None
    assert note(0, 0).startswith("roll B is 3 years old")
    hoses = replace(hoses, rolls=replace(hoses.rolls, age=np.array([3.0, 3.0])))
    note = stock_age(view(bench.columns()), hoses).note
    assert note is not None
    assert note(0, 0).startswith("roll A is 3 years old")


def test_only_a_rating_that_is_held_back_says_by_what_and_by_the_first() -> None:
    """Nitrile in coolant and in petrol: a note on each, told where the rating is below 2."""
    fluids = ["coolant", "petrol-e10"]
    first, second = (table("resistance").row(symbol="NBR", fluid=f)["note"] for f in fluids)
    assert first and second and first != second
    words = fluid_words(fluids, ("NBR",), 1.0)
    assert first in words
    assert second not in words
    assert first not in fluid_words(fluids, ("NBR",), 2.0)


@pytest.mark.parametrize(("bead", "word"), [(10.39, "reject"), (10.4, "accept")])
def test_a_bead_of_just_the_least_height_is_one(bench: Any, bead: float, word: str) -> None:
    changes = {"service": "coolant-heater", "nipples.bead_diameter": bead}
    assert bench.word("fit-bead", {}, changes) == word


def test_a_bead_of_a_hair_is_none_and_not_one_that_nobody_knows() -> None:
    one = np.ones((1, 1))
    assert bead_worth_the_name(one, 10.1 * one, 10 * one)[0, 0] == 0
    assert bead_worth_the_name(one, 10.5 * one, 10 * one)[0, 0] == 1
    assert np.isnan(bead_worth_the_name(np.nan * one, 10.5 * one, 10 * one)[0, 0])


def test_every_known_run_of_words_is_read_as_what_it_is() -> None:
    for run, senses in known_words().items():
        if senses != {"nothing"}:
            assert senses - {"nothing"} <= read_words(" ".join(run)).senses, run


def test_a_cover_that_is_named_stands_by_itself(bench: Any) -> None:
    suits = bench.finding("fluid-cover", {"cover": "EPDM", "marking": "j20-r3"})
    assert suits.verdict.word == "accept"
    assert "marking" not in suits.reason
    refused = bench.finding("fluid-cover", {"cover": "EPDM"}, {"drips": ["engine-oil"]})
    assert refused.verdict.word == "reject"
    assert "memory" not in refused.reason


def test_of_two_markings_that_suit_one_reason_is_told(bench: Any) -> None:
    service = "oil-separator-drain"
    first, second = (
        table("service_markings").row(service=service, marking=marking)["basis"]
        for marking in ("j30-r7", "j30-r9")
    )
    assert first != second
    hose = {"marking": "j30-r7;j30-r9", "family": ""}
    changes = {"service": service, "fluids": ["crankcase-vapour"]}
    changes |= {"duty.pressure_max": 0, "duty.pressure_spike": 0}
    reason = bench.finding("marking-family", hose, changes).reason
    assert (first in reason) + (second in reason) == 1


def test_where_a_marking_is_demanded_a_wrong_one_is_none(bench: Any) -> None:
    changes = {"service": "fuel-injection-feed", "fluids": ["petrol-e10"]}
    changes |= {"duty.pressure_max": 300, "duty.pressure_spike": 300}
    found = bench.finding("marking-required", {"marking": "j30-r7", "family": ""}, changes)
    assert found.verdict.word == "reject"
    assert "claims no published marking that suits this service" in found.reason


def test_heat_that_ends_a_rating_ends_it_beside_what_nobody_knows() -> None:
    cold = np.array([[np.nan], [np.nan]])
    found = after_heat(
        cold,
        np.array([[True, True], [True, True]]),
        np.array([[110.0], [100.0]]),
        np.array([[1.0, np.nan]]),
        np.array([[100.0, np.inf]]),
    )
    assert found[0, 0] == 0
    assert np.isnan(found[1, 0])


def test_a_line_is_hot_above_the_limit_and_not_at_it(bench: Any) -> None:
    limit = table("limits").row(limit="reinforcement-from-temperature").number("value")
    for heat, word in ((limit, "accept"), (limit + 0.1, "reject")):
        told = {"duty.fluid_steady": 60, "duty.fluid_peak": heat, "service": "coolant-heater"}
        assert bench.word("pressure-reinforcement", {"reinforcement": "none"}, told) == word


@pytest.mark.parametrize(
    ("service", "condition", "matters"),
    [
        ("coolant-heater", "inner-cracks", True),
        ("coolant-heater", "hard-outside", False),
        ("washer", "inner-cracks", False),
    ],
)
def test_proof_against_attack_is_wanted_of_coolant_hose_whose_forerunner_died_of_it(
    bench: Any, service: str, condition: str, matters: bool
) -> None:
    changes = {"service": service, "old_hose.condition": condition}
    assert bench.finding("marking-electrochemical", {}, changes).matters == matters


def test_words_that_say_two_things_say_both() -> None:
    rows = list(table("name_words"))
    twice = {row["words"] for row in rows if sum(r["words"] == row["words"] for r in rows) > 1}
    assert "hybrid water pump" in twice
    for row in rows:
        assert row["sense"] in known_words()[tuple(row["words"].split())]


@pytest.mark.parametrize(("free", "share"), [(0.5, 20.0), (0.0, np.nan)])
def test_movement_is_a_share_of_the_free_length_however_short(
    bench: Any, free: float, share: float
) -> None:
    one = np.ones((1, 1))
    jobs = bench.columns().change(movement=10 * one, tip_length=free * one)
    rule = next(rule for rule in all_rules() if rule.code == "route-movement")
    found = rule.function(view(jobs), bench.shop({})[1])
    assert np.asarray(found.demand)[0, 0] == pytest.approx(share, nan_ok=True)
