"""The first screen: the answer of a clerk's job in 24 lines of 80 columns, and as in the JSON."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoseselect import Answer, pick, read_catalogue, read_job
from hoseselect.answer.summary import NOT_YET, STOP, WORDS
from hoseselect.catalogue.columns import Catalogue
from hoseselect.interfaces.cli.first_screen import COLUMNS, LINES, first_screen
from hoseselect.interfaces.wording import cut_words
from hoseselect.knowledge.load import table

WORD = re.compile(r"^(USE IF|USE|NOT YET|NO|STOP) +\S", re.MULTILINE)
ORDINARY: dict[str, dict[str, Any]] = {
    "PCV of a petrol turbo": {
        "service": "PCV hose",
        "nipples": {"outside_diameter": "13 mm", "bead": "yes"},
        "features": {"turbo": "yes"},
        "route": {"measured": "410 mm"},
    },
    "heater": {
        "service": "heater hose",
        "nipples": {"outside_diameter": "5/8 in"},
        "route": {"measured": "24 in"},
    },
    "vacuum": {
        "service": "vacuum control line",
        "nipples": {"outside_diameter": "4 mm"},
        "route": {"measured": "300 mm"},
    },
    "fuel return": {
        "service": "fuel return",
        "fluids": ["petrol-e10"],
        "nipples": {"outside_diameter": "8 mm"},
        "route": {"measured": "300 mm"},
    },
    "steering return": {
        "service": "steering return",
        "nipples": {"outside_diameter": "10 mm"},
        "route": {"measured": "500 mm"},
    },
    "breather": {
        "service": "breather hose",
        "nipples": {"outside_diameter": "19 mm"},
        "route": {"measured": "300 mm"},
    },
    "washer": {
        "service": "washer hose",
        "nipples": {"outside_diameter": "4 mm"},
        "route": {"measured": "900 mm"},
    },
    "overflow": {
        "service": "coolant overflow",
        "nipples": {"outside_diameter": "8 mm"},
        "route": {"measured": "500 mm"},
    },
    "leak-off": {
        "service": "injector leak off",
        "nipples": {"outside_diameter": "4 mm"},
        "route": {"measured": "120 mm"},
    },
}
IN_SIGHT = 12
"""Lines that a clerk reads before the customer asks."""


@cache
def shop() -> Catalogue:
    return read_catalogue()


def asked(values: dict[str, Any], units: str = "mm") -> tuple[Answer, list[str]]:
    answer = pick(read_job(values), shop(), units=units)
    return answer, first_screen(answer.summary, units)


def fits(rows: list[str], columns: int = COLUMNS) -> None:
    """Assert that rows stand on one screen and have no blanks at their ends."""
    assert len(rows) <= LINES, "\n".join(rows)
    assert max(map(len, rows)) <= columns
    assert [row for row in rows if row != row.rstrip()] == []


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("line", ORDINARY)
def test_an_ordinary_job_is_an_offer_on_one_screen(line: str, units: str) -> None:
    answer, rows = asked(ORDINARY[line], units)
    told = answer.summary
    fits(rows)
    assert told.offers and told.hose
    assert told.cut > 0 or (0 < told.cut_least < told.cut_most and told.measure)
    top = "\n".join(rows[:IN_SIGHT])
    assert re.search(rf"^{told.word} +{told.hose} ", top, re.MULTILINE)
    assert f" cut {cut_words(told, units)} " in " ".join(top.split())
    whole = "\n".join(rows)
    for look in ("[ ] Ends: ", "[ ] Run: ", "[ ] Round it: "):
        assert look in whole
    assert re.search(r"^care +\S", whole, re.MULTILINE)
    assert re.search(r"^as usual \S", whole, re.MULTILINE)


@pytest.mark.parametrize("line", ORDINARY)
def test_no_check_is_cut_off(line: str) -> None:
    answer, rows = asked(ORDINARY[line])
    shown = " ".join(" ".join(rows).split())
    assert answer.summary.checks
    for check in answer.summary.checks:
        assert check in shown
    assert answer.summary.usual in shown


@pytest.mark.parametrize("lines", [1, 12, 18, 20, 22, 24])
@pytest.mark.parametrize("line", ORDINARY)
def test_other_lines_go_before_a_check_does(line: str, lines: int) -> None:
    told = asked(ORDINARY[line])[0].summary
    rows = first_screen(told, "mm", lines=lines, number=12)
    shown = " ".join(" ".join(rows).split())
    for text in (*told.checks, told.injury, told.hose, told.print_line, cut_words(told, "mm")):
        assert text in shown
    kept = [row for row in rows if row.startswith(("why", "tell", "not ", "else", "measure"))]
    assert len(rows) <= lines or not kept


def test_a_screen_of_long_checks_is_whole_and_drops_the_rest() -> None:
    told = replace(asked(ORDINARY["heater"])[0].summary, checks=("Ends: " + "a bead; " * 60,) * 3)
    rows = first_screen(told, "mm", number=12)
    shown = " ".join(" ".join(rows).split())
    assert shown.count("a bead;") == 180
    assert told.injury in shown
    assert not re.search("^(?:job|as usual|stock|why)", "\n".join(rows), re.MULTILINE)


CODE = re.compile(r"\b(?:" + "|".join(row["code"] for row in table("rules")) + r")\b")
KEY = re.compile(r"\b(?:nipple_[ab]|duty|route|features|nipples)\.\w+")


@pytest.mark.parametrize("line", ORDINARY)
def test_no_code_key_or_source_stands_there(line: str) -> None:
    _, rows = asked(ORDINARY[line])
    whole = "\n".join(rows)
    assert not CODE.search(whole)
    assert not KEY.search(whole)
    assert "common practice" not in whole
    assert "margin" not in whole


@pytest.mark.parametrize("line", ORDINARY)
def test_who_asks_in_inches_reads_no_millimetre_but_beside_the_cut(line: str) -> None:
    """And beside what was typed, which stands above the first empty row in both."""
    answer, rows = asked(ORDINARY[line], "in")
    rest = [row for row in rows[rows.index("") :] if not row.startswith("cut ")]
    assert not re.search(r"\d (?:mm|kPa|degC|m)\b", "\n".join(rest)), answer.summary.hose
    assert "psi" in "\n".join(rest) and "degF" in "\n".join(rest)


def test_a_stop_says_who_helps_and_gives_no_hose_and_no_length() -> None:
    answer, rows = asked({"service": "power steering pressure", "route": {"measured": "300 mm"}})
    whole = "\n".join(rows)
    fits(rows)
    assert (answer.summary.word, answer.summary.hose) == (STOP, "")
    assert "\nSTOP     No hose and no length" in whole
    assert "\ngo to    a hose shop" in whole
    assert not re.search(r"^(?:cut|stock|clamps)", whole, re.MULTILINE)


def test_not_yet_asks_one_question_with_numbered_replies() -> None:
    features = {"turbo": "yes", "sees_boost": "yes"}
    answer, rows = asked({**ORDINARY["PCV of a petrol turbo"], "features": features})
    assert answer.summary.word == NOT_YET
    fits(rows)
    unnamed = {**ORDINARY["fuel return"]}
    del unnamed["fluids"]
    answer, rows = asked(unnamed)
    told = answer.summary
    if told.word == NOT_YET:
        assert [f"{'':9}{n}  {c}" for n, c in enumerate(told.choices, 1)] == rows[
            rows.index(f"{'':9}1  {told.choices[0]}") :
        ][: len(told.choices)]


def test_check_shows_the_first_screen_of_that_hose(command: Callable[..., Any]) -> None:
    options = ("-s", "heater hose", "-n", "16 mm", "--measured", "400 mm")
    told = command("check", "C01-15.9", *options)
    assert re.search(r"^USE IF +C01-15\.9 ", told.out, re.MULTILINE)
    assert len(told.out.splitlines()) <= LINES
    in_full = command("check", "C01-15.9", *options, "--full")
    assert "fit-stretch" in in_full.out
    assert in_full.code == told.code == 0


def test_a_wide_terminal_is_used() -> None:
    answer, narrow = asked(ORDINARY["PCV of a petrol turbo"])
    wide = first_screen(answer.summary, "mm", 120)
    fits(wide, 120)
    assert max(map(len, wide)) > COLUMNS
    assert len([row for row in wide if row]) <= len(narrow)


LINE_NAMES = [row["service"] for row in table("services")] + [
    row["stop"] for row in table("stops").where(kind="service")
]
SIZES = st.sampled_from([None, "4 mm", "6 mm", "8 mm", "10 mm", "13 mm", "16 mm", "19 mm", "32 mm"])


@st.composite
def jobs(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a job of which much is not known."""
    values: dict[str, Any] = {"service": draw(st.sampled_from(LINE_NAMES))}
    values["name"] = draw(st.sampled_from(["", "x", "a very long name of a job " * 6]))
    size = draw(SIZES)
    nipples: dict[str, Any] = {"outside_diameter": size} if size else {}
    if draw(st.booleans()):
        nipples["bead"] = draw(st.sampled_from(["yes", "no"]))
    route: dict[str, Any] = {}
    if draw(st.booleans()):
        route["measured"] = draw(st.sampled_from(["60 mm", "300 mm", "900 mm"]))
        if draw(st.booleans()):
            route["tightest_radius"] = draw(st.sampled_from(["30 mm", "100 mm"]))
        if draw(st.booleans()):
            route["movement"] = draw(st.sampled_from(["0 mm", "10 mm", "40 mm"]))
    features = {}
    if draw(st.booleans()):
        features["insert"] = draw(st.sampled_from(["none", "restrictor", "something"]))
    if draw(st.booleans()):
        features["turbo"] = draw(st.sampled_from(["yes", "no"]))
    values |= {"nipples": nipples, "route": route, "features": features}
    condition = draw(st.sampled_from(["unknown", *table("failures").column("failure")]))
    values["old_hose"] = {"condition": condition}
    if draw(st.booleans()):
        values["drips"] = draw(st.sampled_from([[], ["engine-oil"], ["diesel-b7", "coolant"]]))
    return values


@settings(max_examples=40, deadline=None)
@given(jobs(), st.sampled_from(["mm", "in"]))
def test_any_answer_stands_on_one_screen_and_says_what_the_json_says(
    values: dict[str, Any], units: str
) -> None:
    from hoseselect.knowledge.errors import InputError

    try:
        answer, rows = asked(values, units)
    except InputError:  # two statements that cannot both be true
        return
    fits(rows)
    told = answer.summary
    said = told.as_json()
    assert said["word"] == told.word == WORD.search("\n".join(rows))[1]  # type: ignore[index]
    shown = " ".join(" ".join(rows).split())
    for text in (*told.checks, told.injury, told.usual):
        assert text in shown
    if answer.stops:
        assert told.word == STOP
        return
    best = answer.hoses[0].as_json()
    words = {verdict.word: word for verdict, word in WORDS.items()}
    assert told.word == words[best["verdict"]]
    if told.offers:
        assert told.hose == best["hose"]
        assert len(told.checks) <= 3
        assert said["cut"] == (best["cut"] and best["cut"]["cut_mm"])
    else:
        assert told.hose == ""
        assert not any(key.startswith("cut") for key in said)


def test_the_screen_names_the_catalogue_that_it_rests_on(
    command: Callable[..., Any], tmp_path: Path
) -> None:
    job = ("-s", "heater hose", "-n", "16 mm", "--measured", "500 mm")
    title, *_ = command("pick", *job).out.splitlines()
    assert title.endswith("  catalogue: built-in, invented") and len(title) == COLUMNS
    place = tmp_path / "ours" / ("x" * 90)
    command("catalog", "new", str(place), "--example")
    title, *_ = command("pick", *job, "--catalog", str(place)).out.splitlines()
    assert title.endswith(f"  catalogue: ...{'x' * 40}") and len(title) == COLUMNS
    long = ("--set", f"name={'a job with a long name ' * 3}")
    assert "catalogue: built-in, invented" in command("pick", *job, *long).out.splitlines()
    assert "catalogue" not in command("pick", "-s", "brake line").out
