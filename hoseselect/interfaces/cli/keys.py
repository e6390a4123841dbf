"""What is one key away from the first screen, where somebody sits at a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import suppress
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from hoseselect.answer.answer import Answer
from hoseselect.interfaces.cli.common import Screen
from hoseselect.interfaces.cli.first_screen import CANNOT_TELL, first_screen
from hoseselect.interfaces.cli.job_input import put
from hoseselect.interfaces.cli.show_answer import (
    write_reasons,
    write_refused,
    write_remarks,
)
from hoseselect.knowledge.errors import HoseselectError, InputError

KEYS = (
    ("y", "why"),
    ("h", "hazards"),
    ("v", "view of the run"),
    ("p", "paper card"),
    ("e", "edit an answer"),
    ("n", "next best hose"),
    ("q", "quit"),
)
ROWS_OF_KEYS = 2
QUIT = ("q", "\x1b", "\x03", "\x04", "")
MOST_ASKED = 9
CARD, VIEW = "hose-card.pdf", "hose-run.svg"
Again = Callable[[dict[str, Any]], Answer]


@dataclass
class Counter:
    """An answer on a terminal, and what may be asked of it.

    Parameters
    ----------
    answer : shown first
    values : the job as told, a mapping of a job file
    again : answers the job with other values
    units : "mm" or "in", shown first
    catalogue : option that names it
    number : of the job in the book
    """

    answer: Answer
    values: dict[str, Any]
    again: Again
    units: str
    catalogue: str | None = None
    number: int | None = None
    place: int = 0

    def run(self) -> None:
        """Show the first screen, and what every key asks for, until somebody leaves."""
        self._screen()
        while (key := pressed(self._line())) not in QUIT:
            asked = {
                "y": self._why,
                "h": self._hazards,
                "v": self._view,
                "p": self._card,
                "e": self._edit,
                "n": self._next,
            }
            choices = self.answer.summary.choices
            try:
                if key.isdigit() and 0 < int(key) <= len(choices):
                    self._put(self.answer.summary.question_key, choices[int(key) - 1])
                elif key in asked:
                    asked[key]()
            except HoseselectError as error:
                Screen().item(str(error))

    def _screen(self) -> None:
        console = Screen()
        told, room = self.answer.summary, console.height - ROWS_OF_KEYS
        for row in first_screen(told, self.units, console.width, room, self.number):
            console.line(row, bold=row.startswith(told.word))

    def _line(self) -> str:
        words = [f"{key} {name}" for key, name in KEYS]
        choices = self.answer.summary.choices
        if choices:
            words.insert(0, f"1-{len(choices)} reply, else {CANNOT_TELL}")
        return "\n" + "   ".join(words)

    def _why(self) -> None:
        console = Screen()
        write_reasons(console, self.answer, self.units)
        write_refused(console, self.answer, every=False)

    def _hazards(self) -> None:
        console = Screen()
        write_remarks(console, "Cautions", self.answer.cautions)
        write_remarks(console, "Checks", self.answer.checklist)

    def _view(self) -> None:
        if not self.answer.summary.offers:
            raise InputError("view", "no hose that is offered", "an answer with a hose")
        self._command("cut", "--hose", self.answer.summary.hose, "--draw", VIEW)

    def _card(self) -> None:
        self._command("card", "--output", CARD)

    def _command(self, name: str, *arguments: str) -> None:
        """Run another command on the same job."""
        import typer

        from hoseselect.intake.job_code import encode_job
        from hoseselect.interfaces.cli.main import application

        job = ["--code", encode_job(self.values)] if self.number is None else [str(self.number)]
        words = [name, *job, "--units", self.units, *arguments]
        if self.catalogue is not None:
            words += ["--catalog", self.catalogue]
        with suppress(typer.Exit):
            application((name,))(words, standalone_mode=False)

    def _next(self) -> None:
        suits = self.answer.suits
        if len(suits) < 2:
            raise InputError("next", "no other hose that suits", "an answer with several")
        self.place = (self.place + 1) % len(suits)
        console = Screen()
        write_reasons(console, self.answer, self.units, suits[self.place])

    def _edit(self) -> None:
        """Offer by number what may still be told, and take one reply."""
        console = Screen()
        asked = self.answer.ask_next[:MOST_ASKED]
        for number, question in enumerate(asked, start=1):
            console.item(f"{number}  {question.question}")
        key = pressed("Which one? (number)")
        if not (key.isdigit() and 0 < int(key) <= len(asked)):
            return
        field = asked[int(key) - 1].field
        sys.stdout.write("> ")
        sys.stdout.flush()
        self._put(MEASURED if field == "route" else field, sys.stdin.readline().strip())

    def _put(self, field: str, reply: str) -> None:
        """Answer the job once more with one reply more."""
        values = deepcopy(self.values)
        put(values, field, reply)
        self.answer = self.again(values)
        self.values, self.place, self.number = values, 0, None
        self._screen()


MEASURED = "route.measured"


def pressed(prompt: str) -> str:
    """Return the key that is pressed after a prompt; empty at the end of the input."""
    from typer import getchar

    sys.stdout.write(f"{prompt}\n")
    sys.stdout.flush()
    try:
        return getchar().lower()
    except (EOFError, KeyboardInterrupt):
        return ""


def at_a_terminal() -> bool:
    """Return whether somebody sits before the screen and at the keys."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def show_first(
    answer: Answer,
    values: dict[str, Any],
    again: Again,
    units: str,
    catalogue: str | None = None,
    number: int | None = None,
) -> None:
    """Show the first screen; at a terminal with its keys, else plain and without waiting."""
    if at_a_terminal():
        Counter(answer, values, again, units, catalogue, number).run()
        return
    console = Screen()
    for row in first_screen(answer.summary, units, console.width, number=number):
        console.line(row)
