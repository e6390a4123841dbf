"""Names of fluids as people say them: a fluid, a stop or a question.

The table beside this file was written from what the words mean, not from what the tool says.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from hoseselect.intake.names import known_fluid
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.rules.stop import FLUIDS, STOP_FLUID

with (Path(__file__).parent / "fluid_names_expected.csv").open(encoding="utf-8") as stream:
    EXPECTED = [tuple(row.values()) for row in csv.DictReader(stream)]


def meant(name: str) -> tuple[str, str]:
    """Return what the tool takes a name for: kind and answer."""
    try:
        found = known_fluid(name)
    except InputError:
        return "ask", table("fluid_questions").row(other_name=name)["choices"]
    if found.startswith(STOP_FLUID):
        return "stop", found.removeprefix(STOP_FLUID)
    return ("stop", FLUIDS[found]) if found in FLUIDS else ("fluid", found)


@pytest.mark.parametrize(("name", "kind", "answer"), EXPECTED, ids=[row[0] for row in EXPECTED])
def test_name_of_a_fluid(name: str, kind: str, answer: str) -> None:
    assert meant(name) == (kind, answer)


def test_there_are_many_names_of_every_kind() -> None:
    assert len(EXPECTED) > 140
    assert {kind for _, kind, _ in EXPECTED} == {"fluid", "stop", "ask"}


def test_a_name_that_is_asked_about_is_no_name_of_one_fluid() -> None:
    asked = set(table("fluid_questions").column("other_name"))
    assert not asked & set(table("fluid_names").column("other_name"))
    known = {*table("fluids").column("fluid"), *table("stops").column("stop")}
    for row in table("fluid_questions"):
        assert set(row["choices"].split(";")) <= known
