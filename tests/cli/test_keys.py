"""At a terminal everything else is one key away; in a pipe nothing waits."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import Any

import pytest

from hoseselect import pick, read_catalogue, read_job
from hoseselect.interfaces.cli import keys
from hoseselect.interfaces.cli.keys import Counter

HEATER: dict[str, Any] = {
    "service": "heater hose",
    "nipples": {"outside_diameter": "16 mm"},
    "route": {"measured": "400 mm"},
}
BOOSTED: dict[str, Any] = {
    "service": "PCV hose",
    "nipples": {"outside_diameter": "13 mm", "bead": "yes"},
    "features": {"turbo": "yes", "sees_boost": "yes"},
}


@pytest.fixture
def said(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Iterator[Any]:
    """Return a function that presses keys on the answer to a job, and returns what is shown."""
    shop = read_catalogue()

    def press(values: dict[str, Any], *pressed: str) -> tuple[Counter, str]:
        left = iter(pressed)

        def next_key(prompt: str) -> str:
            sys.stdout.write(f"{prompt}\n")
            return next(left, "q")

        monkeypatch.setattr(keys, "pressed", next_key)

        def again(told: dict[str, Any]) -> Any:
            return pick(read_job(told), shop)

        counter = Counter(again(values), values, again, "mm")
        counter.run()
        return counter, capsys.readouterr().out

    yield press


def test_every_key_is_named_and_shows_something(said: Any) -> None:
    _, first = said(HEATER)
    for key, name in keys.KEYS:
        assert f"{key} {name}" in first
    for key, words in (("y", "fluid-liner"), ("h", "Never open a hot system"), ("n", "[~] USE IF")):
        _, shown = said(HEATER, key)
        assert words in shown
        assert words not in first


def test_one_answer_more_is_taken_and_the_job_answered_again(said: Any) -> None:
    counter, shown = said(HEATER, "z")
    assert shown.count("USE IF") == 1
    values = {**HEATER, "features": {"insert": "none"}}
    assert "hard ring" in shown
    told, again = said(values)
    assert "hard ring" not in again
    assert told.answer.summary.checks != counter.answer.summary.checks


def test_a_number_replies_to_the_question(said: Any) -> None:
    unnamed = {**HEATER, "features": {"insert": "something"}}
    counter, shown = said(unnamed)
    told = counter.answer.summary
    assert (told.word, told.question_key) == ("NOT YET", "features.insert")
    assert f"2  {told.choices[1]}" in shown
    counter, _ = said(unnamed, "2")
    assert counter.values["features"]["insert"] == told.choices[1] == "restrictor"
    assert counter.answer.summary.offers
    assert unnamed["features"] == {"insert": "something"}


def test_what_cannot_be_shown_is_said_and_nothing_ends(said: Any) -> None:
    counter, shown = said(BOOSTED, "v", "n")
    assert not counter.answer.summary.offers
    assert "no hose that is offered" in shown
    assert "no other hose that suits" in shown
