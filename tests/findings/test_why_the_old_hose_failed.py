"""Why the old hose failed: as people say it, its cause, and what the rules make of it."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any, get_args

import pytest

from hoseselect.answer.answer import Answer
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.finding import Finding
from hoseselect.domain.job import Job
from hoseselect.intake.job_form import CONDITIONS
from hoseselect.intake.names import known_failure
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError, ManyFaultsError
from hoseselect.knowledge.load import table

Make = Callable[[dict[str, Any], float], Job]


@cache
def shop() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


def answered(job: Make, service: str, nipple: float = 13, **more: Any) -> Answer:
    return pick_hose(job({"service": service, **more}, nipple), shop())


def found(answer: Answer, hose: str, code: str) -> Finding:
    return next(f for f in answer.findings(hose) if f.code == code)


@pytest.mark.parametrize(
    ("said", "failure"),
    [
        ("hard and cracked outside", "hard-outside"),
        ("Perished", "hard-outside"),
        ("dry rot", "hard-outside"),
        ("hard inside", "hard-inside"),
        ("glazed", "hard-inside"),
        ("soft and swollen from inside", "swollen-inside"),
        ("swollen shut", "swollen-inside"),
        ("swollen only outside", "swollen-outside"),
        ("oil soaked", "swollen-outside"),
        ("soft", "swollen"),
        ("swelled up", "swollen"),
        ("split at the bead", "split"),
        ("cracked at the clamp", "split"),
        ("fine cracks from inside", "inner-cracks"),
        ("electrochemical", "inner-cracks"),
        ("sucked in", "flattened"),
        ("collapsed", "flattened"),
        ("chafed through", "rubbed"),
        ("worn_through", "rubbed"),
        ("blew off", "pulled-off"),
        ("popped off", "pulled-off"),
        ("bulge", "burst"),
        ("ballooned", "burst"),
        ("snapped", "brittle"),
        ("went hard", "brittle"),
        ("don't know", "unknown"),
    ],
)
def test_a_failure_as_people_say_it(said: str, failure: str) -> None:
    assert known_failure(said) == failure


def test_every_failure_has_names_and_no_name_has_two() -> None:
    owners: dict[str, str] = {}
    for row in table("failures"):
        for name in (row["failure"], row["name"], *row["other_names"].split("|")):
            plain = name.replace("-", " ").lower()
            assert owners.setdefault(plain, row["failure"]) == row["failure"], name
    assert {row["failure"] for row in table("failures")} | {"unknown"} == set(get_args(CONDITIONS))


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("flatened", "'flattened'?"), ("britle", "'brittle'?"), ("chaffed", "'chafed'?")],
)
def test_a_near_spelling_is_refused_with_the_whole_list(job: Make, typed: str, meant: str) -> None:
    with pytest.raises(ManyFaultsError) as refused:
        job({"service": "heater hose", "old_hose": {"condition": typed}}, 16)
    (fault,) = refused.value.faults
    assert isinstance(fault, InputError)
    assert "old_hose.condition" in fault.place
    assert meant in fault.expected
    for row in table("failures"):
        assert row["name"] in fault.expected


@pytest.mark.parametrize("failure", [row["failure"] for row in table("failures")])
def test_each_says_cause_consequence_and_choice(job: Make, failure: str) -> None:
    row = table("failures").row(failure=failure)
    duty = {"duty": {"pressure_min": "unknown", "pressure_max": "20 kPa"}}
    answer = answered(job, "crankcase-suction", old_hose={"condition": failure}, **duty)
    (said,) = answer.old_hose
    for part in ("cause", "consequence", "choice"):
        assert row[part] in said
    assert row["name"].lower() in said.lower()


def test_swollen_outside_makes_nothing_drips_a_question(job: Make) -> None:
    """An EPDM cover suits where nothing drips; the old one swelled because something did."""
    before = answered(job, "heater hose", 16, drips=[])
    after = answered(job, "heater hose", 16, drips=[], old_hose={"condition": "oil soaked"})
    assert found(before, "C01-15.9", "fluid-cover").verdict.word == "accept"
    assert found(after, "C01-15.9", "fluid-cover").verdict.word == "conditional"
    assert "drips" in [question.field for question in after.ask_next]
    named = {"drips": ["engine-oil"], "old_hose": {"condition": "swollen only outside"}}
    assert found(answered(job, "heater hose", 16, **named), "C01-15.9", "fluid-cover").verdict == 3


@pytest.mark.parametrize("failure", ["brittle", "hard and cracked outside"])
def test_heat_that_killed_the_old_hose_makes_the_distance_a_condition(
    job: Make, failure: str
) -> None:
    route = {
        "measured": 300,
        "tightest_radius": 250,
        "movement": 0,
        "low_spot": "no",
        "fall": "yes",
    }
    old = {"old_hose": {"condition": failure}}
    cool = answered(job, "washer", 6, route=route)
    aged = answered(job, "washer", 6, route=route, **old)
    hose = cool.suits[0].hose
    assert not found(cool, hose, "heat-source").matters
    assert found(aged, hose, "heat-source").verdict.word == "conditional"
    assert "route.heat_source.distance" in [question.field for question in aged.ask_next]


def test_a_hose_sucked_flat_asks_for_the_suction(job: Make) -> None:
    told = {"duty": {"pressure_min": "unknown"}}
    flat = {"old_hose": {"condition": "sucked flat"}}
    before, after = (
        answered(job, "heater hose", 16, **told),
        answered(job, "heater hose", 16, **told, **flat),
    )
    assert found(before, "C01-15.9", "pressure-suction").verdict.suits
    assert found(after, "C01-15.9", "pressure-suction").verdict.word == "unknown"
    assert "duty.pressure_min" in [question.field for question in after.ask_next]
    deep = {"duty": {"pressure_min": "-5 kPa"}, **flat}
    assert found(answered(job, "heater hose", 16, **deep), "C01-15.9", "pressure-suction").matters


@pytest.mark.parametrize("lowest", ["0 kPa", "5 kPa"])
def test_sucked_flat_beside_no_suction_is_asked_about(job: Make, lowest: str) -> None:
    duty = {"pressure_min": lowest, "pressure_max": "100 kPa"}
    with pytest.raises(ManyFaultsError, match="sucked flat") as refused:
        answered(job, "heater hose", 16, duty=duty, old_hose={"condition": "collapsed"})
    keys = [fault.keys for fault in refused.value.faults]  # type: ignore[union-attr]
    assert ("old_hose.condition", "duty.pressure_min") in keys


def test_burst_beside_no_pressure_is_asked_about(job: Make) -> None:
    burst = {"old_hose": {"condition": "burst"}}
    duty = {"pressure_min": "-60 kPa", "pressure_max": "0 kPa", "pressure_spike": "0 kPa"}
    with pytest.raises(ManyFaultsError, match="burst"):
        answered(job, "crankcase-suction", duty=duty, **burst)
    duty |= {"pressure_max": "10 kPa", "pressure_spike": "10 kPa"}
    assert answered(job, "crankcase-suction", duty=duty, **burst).hoses


def test_cracks_from_inside_prefer_hose_that_is_tested_for_it(bench: Any) -> None:
    hose = {"liner": "EPDM", "cover": "EPDM", "family": "", "marking": "j20-r3",
            "fluids_claimed": "coolant;hot-water"}  # fmt: skip
    plain = {**hose, "print_line": "SAE J20 R3 CLASS D-1"}
    tested = {**hose, "print_line": "SAE J20 R3 EC CLASS D-1"}
    unprinted = {**hose, "marking": "", "family": "coolant", "print_line": "EC"}
    changes = {"service": "coolant-heater", "old_hose": {"condition": "fine cracks inside"}}
    for cells, word in ((plain, "conditional"), (tested, "accept"), (unprinted, "conditional")):
        assert bench.word("marking-electrochemical", cells, changes) == word
    assert bench.answer(plain, tested, changes=changes).hoses[0].hose == "H2-1"
    bench.worded(bench.finding("marking-electrochemical", plain, changes))
    for other in ({**changes, "service": "washer"}, {"service": "coolant-heater"}):
        assert not bench.finding("marking-electrochemical", plain, other).matters


SERVICES = ("heater hose", "crankcase-suction", "washer", "fuel-return", "atf-cooler", "radiator")


@pytest.mark.parametrize("service", SERVICES)
@pytest.mark.parametrize("drips", [[], "unknown", ["engine-oil"]])
def test_naming_a_failure_never_makes_a_verdict_better(job: Make, service: str, drips: Any) -> None:
    """A question in place of an answer is no better verdict either."""
    more = {"drips": drips, "duty": {"pressure_min": "unknown", "pressure_max": "30 kPa"}}
    silent = {hose.hose: hose.verdict for hose in answered(job, service, **more).hoses}
    for row in table("failures"):
        told = answered(job, service, **more, old_hose={"condition": row["failure"]})
        assert [h.hose for h in told.hoses if h.verdict < silent[h.hose]] == [], row["failure"]


def test_a_job_file_takes_the_words_of_the_counter() -> None:
    made = read_job({"service": "heater hose", "old_hose": {"condition": "Dry rotted"}})
    assert made.old_hose.condition == "hard-outside"
