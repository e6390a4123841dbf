"""No output gives one bare length where JSON gives none, and all tell the same range.

First screen, whole answer, check, cut, card, slip, line of a sheet and JSON are held together.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from length_jobs import JOBS, bare_lengths, texts

from hoseselect import Answer, Catalogue, pick, read_catalogue, read_job
from hoseselect.answer.line_answer import of_answer
from hoseselect.intake.job_code import encode_job
from hoseselect.interfaces.paper.bench_card_text import CardFrame, card_text, slip_text
from hoseselect.interfaces.wording import cut_words


@cache
def shop() -> Catalogue:
    return read_catalogue()


def answered(name: str, units: str) -> Answer:
    return pick(read_job(JOBS[name]), shop(), units=units)


def on_screen(command: Any, name: str, units: str, hose: str, *, planned: bool) -> dict[str, str]:
    """Return what every command writes of a job, each in one line."""
    job = ("--code", encode_job(JOBS[name]), "--units", units)
    asked = {"pick": ("pick", *job), "check": ("check", hose, *job)}
    if planned:
        asked["cut"] = ("cut", *job, "--hose", hose)
    asked |= {f"{words}, whole": (*arguments, "--full") for words, arguments in asked.items()}
    outputs = {words: command(*arguments) for words, arguments in asked.items()}
    assert [told.err for told in outputs.values() if told.code] == []
    return {words: " ".join(told.out.split()) for words, told in outputs.items()}


def on_paper(answer: Answer, units: str) -> dict[str, str]:
    """Return the words of card, slip and line of a sheet, and what Python and JSON write."""
    frame = CardFrame("", "2031-05-30", units)
    told = answer.summary
    return {
        "card": " | ".join(texts(card_text(answer, told, answer.suits[0], frame))),
        "slip": " | ".join(texts(slip_text(answer, told, frame))),
        "sheet": " | ".join(texts(vars(of_answer(answer)))),
        "Python": str(answer),
        "JSON": " | ".join(texts(json.loads(json.dumps(answer.as_json())))),
    }


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("name", JOBS)
def test_every_command_tells_the_length_of_the_first_screen(
    command: Any, name: str, units: str
) -> None:
    answer = answered(name, units)
    told, plan = answer.summary, answer.suits[0].cut
    outputs = on_screen(command, name, units, told.hose, planned=plan is not None)
    expected = cut_words(told, units) if plan is not None else "no length yet: measure the run"
    assert [words for words, text in outputs.items() if expected not in text] == []


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("name", JOBS)
def test_no_output_gives_a_bare_length_that_rests_on_a_guess(
    command: Any, name: str, units: str
) -> None:
    answer = answered(name, units)
    first = answer.as_json()["hoses"][0]["cut"]
    if first is None or first["cut_mm"] is not None:
        assert answer.summary.cut > 0 or first is None
        return
    told, most = answer.summary, first["range_mm"][1]
    outputs = on_screen(command, name, units, told.hose, planned=True) | on_paper(answer, units)
    found = {words: bare_lengths(text, most, units) for words, text in outputs.items()}
    assert {words: bare for words, bare in found.items() if bare} == {}
    assert answer.to_frame()["cut_mm"].isna().all()


def test_some_lengths_rest_on_a_guess_and_some_do_not() -> None:
    known = {name: answered(name, "mm").summary.cut > 0 for name in JOBS}
    assert {True, False} == set(known.values())


def test_no_drawing_gives_a_length_that_rests_on_a_guess(command: Any, tmp_path: Path) -> None:
    job = ("--code", encode_job(JOBS["washer, free route"]))
    hose = answered("washer, free route", "mm").summary.hose
    asked = ("cut", *job, "--hose", hose)
    drawing, curve = tmp_path / "route.svg", tmp_path / "curve.svg"
    most = json.loads(command(*asked, "--json").out)["cut"]["range_mm"][1]
    assert command(*asked, "--draw", str(drawing)).code == 0
    drawn = " | ".join(ElementTree.parse(drawing).getroot().itertext())
    assert "Cut length | not given" in drawn
    assert bare_lengths(drawn, most, "mm") == []
    refused = command(*asked, "--curve", str(curve))
    assert refused.code == 2
    assert "How long is each nipple" in " ".join(refused.err.split())
    assert not curve.exists()
