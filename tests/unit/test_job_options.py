"""Every command that takes a job takes every option of a job."""

from __future__ import annotations

import inspect
from typing import Any

import pytest

from hoseselect.intake.job_keys import job_keys
from hoseselect.interfaces.cli import ask, card, check, cut, pick
from hoseselect.interfaces.cli.job_input import OPTIONS, JobInput, takes_a_job

COMMANDS = {
    "ask": ask.ask,
    "card": card.card,
    "check": check.check,
    "cut": cut.cut,
    "pick": pick.pick,
}


def lacking(command: Any) -> set[str]:
    """Return the options of a job that a command does not take."""
    return {option.name for option in OPTIONS} - set(inspect.signature(command).parameters)


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_takes_every_option_of_a_job(name: str) -> None:
    assert lacking(takes_a_job(COMMANDS[name])) == set()


def test_a_command_without_the_list_is_seen() -> None:
    assert lacking(pick.pick) == {option.name for option in OPTIONS}


def test_every_option_is_named_once_and_tells_a_key() -> None:
    names = [option.name for option in OPTIONS]
    assert len(names) == len(set(names))
    for key in (option.key for option in OPTIONS if option.key):
        table, _, name = key.rpartition(".")
        assert key in job_keys() or (table in ("nipple_a", "nipple_b") and name)


def test_a_command_is_called_with_what_was_given() -> None:
    told: dict[str, Any] = {}

    def command(given: JobInput, *, units: str = "mm") -> None:
        told.update(values=given.values(), units=units)

    options = dict.fromkeys((option.name for option in OPTIONS), None)
    takes_a_job(command)(
        file=None, **{**options, "service": "PCV hose", "bead": "14 mm", "run": "60; 5"}, units="in"
    )
    assert told == {
        "values": {
            "service": "PCV hose",
            "nipples": {"bead_diameter": "14 mm"},
            "route": {"run": ["60", "5"]},
        },
        "units": "in",
    }
