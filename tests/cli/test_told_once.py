"""What can be told once is told once: no second value takes the place of the first unseen."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Command = Callable[..., Any]
HEATER = ("-s", "heater hose", "-n", "16 mm", "--measured", "400 mm")


def sentence(told: Any) -> str:
    """Return the one sentence of a command that was given what cannot be used."""
    assert (told.code, told.out) == (2, "")
    (line,) = told.err.splitlines()
    return str(line)


@pytest.mark.parametrize(
    ("words", "option", "found"),
    [
        (("pick", *HEATER, "-n", "19"), "--nipple", "'16 mm' and '19'"),
        (("pick", *HEATER, "--nipple", "19"), "--nipple", "'16 mm' and '19'"),
        (("pick", "-s", "brake hose", *HEATER), "--service", "'brake hose' and 'heater hose'"),
        (("check", "C05-16", *HEATER, "--measured=300"), "--measured", "'400 mm' and '300'"),
        (("cut", *HEATER, "--bead", "yes", "--bead", "no"), "--bead", "'yes' and 'no'"),
        (("card", *HEATER, "-o", "a.pdf", "-o", "b.pdf"), "--output", "'a.pdf' and 'b.pdf'"),
        (("pick", *HEATER, "--units", "mm", "--units", "in"), "--units", "'mm' and 'in'"),
        (("pick", *HEATER, "--json", "--top", "1", "--top", "2"), "--top", "'1' and '2'"),
        (("book", "list", "--most", "1", "--most", "2"), "--most", "'1' and '2'"),
        (("rolls", "a.csv", "--saw", "2", "--saw", "2", "--saw", "3"), "--saw", "'2' and '3'"),
        (("ask", *HEATER, "--old-bore", "16", "--old-bore", "19"), "--old-bore", "'16' and '19'"),
    ],
)  # fmt: skip
def test_an_option_of_one_value_told_twice_is_refused(
    command: Command, words: tuple[str, ...], option: str, found: str
) -> None:
    assert sentence(command(*words)).startswith(f"{option}: found {found}; expected one of them")


def test_what_is_right_for_two_ends_is_named(command: Command) -> None:
    assert "--nipple-a and --nipple-b for two ends" in sentence(command("pick", *HEATER, "-n", "9"))
    told = command("pick", *HEATER, "--bead", "yes", "--bead", "no")
    assert "--set nipple_a.bead=yes and --set nipple_b.bead=no" in sentence(told)


def test_the_same_text_twice_is_told_once(command: Command) -> None:
    once = command("pick", *HEATER)
    assert once.code == 0
    told = command("pick", *HEATER, *HEATER, "--units", "mm", "--units", "mm", "--full", "--full")
    assert (told.code, told.err) == (0, "")
    again = command("pick", *HEATER, *HEATER, "--set", "route.measured=400 mm")
    assert (again.code, again.out) == (0, once.out)


def test_options_that_are_repeated_stay_so(command: Command) -> None:
    fluids = ("-f", "coolant", "-f", "water", "--drips", "engine oil", "--drips", "petrol")
    told = command("pick", *HEATER, *fluids, "--set", "name=a", "--set", "route.movement=0 mm")
    assert (told.code in {0, 1}, told.err) == (True, "")


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (
            ("--set", "route.measured=300 mm"),
            "--measured: found '400 mm', and '300 mm' by --set route.measured;"
            " expected one of them",
        ),
        (
            ("--old-bore", "19", "--set", "old_hose.bore=16"),
            "--old-bore: found '19', and '16' by --set old_hose.bore; expected one of them",
        ),
        (
            ("--set", "nipples.outside_diameter=19"),
            "--nipple: found '16 mm', and '19' by --set nipples.outside_diameter; expected one of"
            " them, or --nipple-a and --nipple-b for two ends",
        ),
        (
            ("--bead", "yes", "--set", "nipples.bead=no"),
            "--bead: found 'yes', and 'no' by --set nipples.bead; expected one of them, or --set"
            " nipple_a.bead=yes and --set nipple_b.bead=no for two ends",
        ),
        (
            ("-f", "coolant", "-f", "water", "--set", "fluids=petrol"),
            "--fluid: found 'coolant, water', and 'petrol' by --set fluids; expected one of them",
        ),
        (
            ("--set", "nipples.engagement=25", "--set", "nipples.engagement = 30"),
            "--set nipples.engagement: found '25' and '30'; expected one of them, or"
            " nipple_a.engagement and nipple_b.engagement for two ends",
        ),
        (
            ("--set", "name=a", "--set", "name=b"),
            "--set name: found 'a' and 'b'; expected one of them",
        ),
    ],
)  # fmt: skip
def test_a_key_told_twice_is_refused(
    command: Command, words: tuple[str, ...], expected: str
) -> None:
    assert sentence(command("pick", *HEATER, *words)) == expected


def test_a_run_by_its_option_and_by_its_key(command: Command) -> None:
    words = ("pick", "-s", "heater hose", "-n", "16 mm", "-r", "60; 90 deg at 110 mm; 180")
    told = command(*words, "--set", "route.run=60; 90 deg at 110 mm; 280")
    assert sentence(told).startswith("--run: found '60; 90 deg at 110 mm; 180', and '60; 90 deg")
    same = command(*words, "--set", "route.run=60; 90 deg at 110 mm; 180")
    assert (same.code, same.err) == (command(*words).code, "")


@pytest.fixture
def kept(command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep one job in a book of its own."""
    monkeypatch.setenv("HOSESELECT_BOOK", str(tmp_path / "data" / "jobs.sqlite"))
    assert command("pick", *HEATER).code == 0


@pytest.mark.usefixtures("kept")
def test_an_altered_answer_is_told_once(command: Command) -> None:
    nipple = "nipples.outside_diameter"
    told = command("book", "alter", "1", f"{nipple}=16", f"{nipple}=19")
    assert sentence(told) == (
        f"KEY=VALUE {nipple}: found '16' and '19'; expected one of them, or"
        " nipple_a.outside_diameter and nipple_b.outside_diameter for two ends"
    )
    assert command("book", "alter", "1", f"{nipple}=19", f"{nipple}=19").code in {0, 1}


@pytest.mark.usefixtures("kept")
def test_what_is_no_altered_answer_is_named_by_its_argument(command: Command) -> None:
    told = sentence(command("book", "alter", "1", "x"))
    assert told.startswith("KEY=VALUE: found 'x'; expected key=value, e.g.")
