"""One tree of errors: parts kept to the end, usable as keys, carried to other processes."""

from __future__ import annotations

import ast
import copy
import pickle
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hoseselect.intake.job_headings import column_uses
from hoseselect.knowledge import errors
from hoseselect.knowledge.errors import (
    CatalogueError,
    HoseselectError,
    InputError,
    ManyFaultsError,
    SolveError,
    refuse,
)

PACKAGE = Path(__file__).parents[2] / "hoseselect"
TREE = "knowledge/errors.py"
FIRST = InputError("duty.air_steady", "'hot'", "a temperature", keys=("duty.air_steady",))
SECOND = CatalogueError(place="shop", found="a file", expected="a folder")
BOTH = ManyFaultsError((FIRST, SECOND), heading="Two faults:", most=1)
KINDS = [
    kind
    for kind in vars(errors).values()
    if isinstance(kind, type) and issubclass(kind, HoseselectError) and kind is not ManyFaultsError
]


def pickled(error: HoseselectError) -> Any:
    """Return an error as it arrives in another process."""
    return pickle.loads(pickle.dumps(error))


def exceptions(source: str) -> list[str]:
    """Return the names of the exceptions that a module defines."""
    return [
        node.name
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.ClassDef)
        and any(ast.unparse(base).endswith(("Error", "Exception")) for base in node.bases)
    ]


def test_every_exception_of_the_package_stands_in_the_tree() -> None:
    found = {
        path.relative_to(PACKAGE).as_posix(): names
        for path in PACKAGE.rglob("*.py")
        if (names := exceptions(path.read_text(encoding="utf-8")))
    }
    assert list(found) == [TREE]
    drawn = (errors.__doc__ or "").replace("\n", " ").split()
    assert set(found[TREE]) <= set(drawn)


@pytest.mark.parametrize(
    "source",
    [
        "class Odd(InputError):\n    pass",
        "class Odd(errors.HoseselectError):\n    pass",
        "def f():\n    class Odd(Exception):\n        pass",
        "class Odd(str, ValueError):\n    pass",
    ],
)
def test_the_guard_of_the_tree_sees_a_planted_exception(source: str) -> None:
    assert exceptions(source) == ["Odd"]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_equal_parts_make_equal_errors_that_are_keys(kind: type[HoseselectError]) -> None:
    one, other = kind("here", "this", "that"), kind(place="here", found="this", expected="that")
    assert one == other
    assert {one: "told"}[other] == "told"
    assert one != kind("there", "this", "that")
    assert len({k("here", "this", "that") for k in KINDS}) == len(KINDS)


@pytest.mark.parametrize("error", [FIRST, SECOND, BOTH, SolveError("route", "too tight", "room")])
@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, pickled])
def test_an_error_keeps_every_part_when_it_is_carried(
    error: HoseselectError, again: Callable[[HoseselectError], HoseselectError]
) -> None:
    carried = again(error)
    assert carried == error
    assert hash(carried) == hash(error)
    assert str(carried) == str(error)
    assert carried.keys == error.keys
    assert carried.faults == error.faults


def test_many_faults_are_those_they_hold() -> None:
    assert (BOTH.place, BOTH.found, BOTH.keys) == (FIRST.place, FIRST.found, FIRST.keys)
    assert BOTH.faults == (FIRST, SECOND)
    assert ManyFaultsError((FIRST,)) != ManyFaultsError((FIRST, SECOND))
    assert str(BOTH).splitlines() == ["Two faults:", str(FIRST), "... and 1 more"]
    assert str(ManyFaultsError((FIRST, SECOND))) == f"{FIRST}\n{SECOND}"
    assert {BOTH: 1}[ManyFaultsError((FIRST, SECOND), "Two faults:", 1)] == 1


def test_the_sentence_is_written_when_it_is_asked_for() -> None:
    assert FIRST.at("row 3").place == "row 3"
    assert str(FIRST.at("row 3")) == "row 3: found 'hot'; expected a temperature"
    assert FIRST.at("row 3").keys == FIRST.keys
    assert FIRST.faults == (FIRST,)


def test_no_faults_refuse_nothing() -> None:
    refuse([])
    with pytest.raises(ManyFaultsError) as caught:
        refuse([FIRST, SECOND])
    assert caught.value.faults == (FIRST, SECOND)


@pytest.mark.parametrize("unit", ["outside", "may be a vacuum"])
def test_no_word_of_a_sentence_lets_a_unit_pass(unit: str) -> None:
    """The unit stands in the sentence of the fault; only the kind of the fault may decide."""
    for key in ("nipple", "duty.pressure_min"):
        with pytest.raises(ManyFaultsError, match="expected a unit of"):
            column_uses(["service", f"{key} [{unit}]"], ["", ""], 1)
    assert column_uses(["service", "duty.pressure_min [inHg]"], ["", ""], 1)[1].unit == "inHg"
