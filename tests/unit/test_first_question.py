"""Where nothing can be offered yet, all outputs ask the same, and first what decides."""

from __future__ import annotations

from copy import deepcopy
from functools import cache
from typing import Any

import pytest

from hoseselect import Answer, Catalogue, answer_many, pick, read_catalogue, read_job
from hoseselect.answer.line_answer import of_answer
from hoseselect.answer.summary import NO, NOT_YET
from hoseselect.interfaces.cli.job_input import put

OIL, SUCTION = {"drips": ["engine-oil"]}, {"duty": {"pressure_min": "-60 kPa"}}
LINES: tuple[tuple[str, str, dict[str, Any]], ...] = (
    ("top hose", "35 mm", {}),
    ("heater hose", "16 mm", OIL),
    ("heater hose", "13 mm", OIL),
    ("heater hose", "32 mm", {}),
    ("heater hose", "35 mm", {}),
    ("coolant-bypass", "32 mm", {}),
    ("coolant-bypass", "35 mm", {}),
    ("coolant-turbo", "32 mm", {}),
    ("crankcase-boosted", "13 mm", {"features": {"turbo": "yes"}}),
    ("vacuum-control", "16 mm", {}),
    ("vacuum-control", "25 mm", {}),
    ("vacuum-control", "32 mm", {}),
    ("fuel-vapour-purge", "4 mm", {}),
    ("fuel-vapour-purge", "19 mm", {}),
    ("fuel-vapour-purge", "25 mm", {}),
    ("steering-return", "19 mm", SUCTION),
    ("turbo-oil-drain", "8 mm", {}),
    ("turbo-oil-drain", "13 mm", OIL),
    ("charge-air-control", "4 mm", OIL),
    ("washer", "8 mm", OIL),
    ("washer", "32 mm", {}),
    ("heater hose", "16 mm", {"features": {"insert": "something"}}),
)
MILD = {
    "features.insert": "none",
    "features.sees_boost": "no",
    "duty.fluid_steady": "60 degC",
    "duty.fluid_peak": "70 degC",
    "duty.air_steady": "50 degC",
    "duty.air_peak": "60 degC",
    "duty.coldest_start": "-5 degC",
    "duty.pressure_min": "-1 kPa",
    "duty.pressure_max": "20 kPa",
}


@cache
def shop() -> Catalogue:
    return read_catalogue()


def told(service: str, nipple: str, more: dict[str, Any]) -> dict[str, Any]:
    ends = {"nipples": {"outside_diameter": nipple}, "route": {"measured": "400 mm"}}
    return deepcopy({"service": service, **ends, **more})


def answered(values: dict[str, Any]) -> Answer:
    return pick(read_job(values), shop())


@pytest.mark.parametrize(("service", "nipple", "more"), LINES)
def test_screen_json_and_sheet_ask_the_same(
    service: str, nipple: str, more: dict[str, Any]
) -> None:
    values = told(service, nipple, more)
    alone = answered(values)
    among, _ = answer_many([read_job(values), read_job(told("washer", "4 mm", {}))], shop())
    assert alone.summary.word == NOT_YET
    asked = {
        "screen": (alone.summary.question_key, alone.summary.question),
        "json": (alone.as_json(1)["ask_next"][0]["field"], alone.ask_next[0].question),
        "sheet": tuple(of_answer(alone).ask.split(": ", 1)),
        "sheet of many": tuple(of_answer(among).ask.split(": ", 1)),
    }
    assert len(set(asked.values())) == 1, asked
    assert among.ask_next == alone.ask_next


@pytest.mark.parametrize(("service", "nipple", "more"), LINES)
def test_as_many_questions_as_inputs_decide_lead_to_a_verdict(
    service: str, nipple: str, more: dict[str, Any]
) -> None:
    values = told(service, nipple, more)
    answer = answered(values)
    assert answer.lead is not None
    deciding = [own.field for own in answer.asked if own.holds(answer.lead.place)]
    assert deciding
    replied = []
    while answer.summary.word == NOT_YET and len(replied) < len(deciding):
        replied.append(answer.summary.question_key)
        put(values, replied[-1], MILD[replied[-1]])
        answer = answered(values)
    assert answer.summary.word not in {NOT_YET, NO}, (replied, deciding)
    assert set(replied) <= set(deciding)


def test_what_can_be_seen_is_not_asked_before_what_decides() -> None:
    seen = ("nipples.", "nipple_a.", "nipple_b.", "route.", "drips")
    for line in LINES:
        assert not answered(told(*line)).summary.question_key.startswith(seen), line


def test_a_fluid_that_is_a_stop_is_told_by_its_name() -> None:
    job = read_job({"service": "fuel return", "fluids": "E10 and LPG"})
    told = pick(job, read_catalogue()).summary
    assert told.word == "STOP"
    assert told.understood.startswith("LPG, natural gas or hydrogen")
