"""`hoseselect ask`: the counter interview."""

from __future__ import annotations

import sys
from textwrap import wrap
from typing import TYPE_CHECKING, Any

import typer

from hoseselect.interfaces.cli.common import WIDTH, only_with_json, write_json
from hoseselect.interfaces.cli.job_input import (
    CATALOG,
    FULL,
    JSON,
    TOP,
    UNITS,
    JobInput,
    takes_a_job,
)
from hoseselect.interfaces.cli.keep import keep, with_number, write_number
from hoseselect.interfaces.in_use import catalogue_in_use
from hoseselect.interfaces.wording import guess_words
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer
    from hoseselect.intake.counter_question import Asked

HELP = """Ask at most eight things in the order that decides, then answer like `pick`.

A reply is a number, a word, a size as people say it ("3/8", "10mm ish", "about a foot", "same"),
"dunno" or nothing where it is not known, "?" for help, "<" to go back. What a job file, a code or
options tell is not asked again.
"""
GREETING = "Enter or dunno = not known   ? = help   < = back\n"
INDENT = 2
GAP = 3


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("ask", help=HELP)(takes_a_job(ask))


def ask(
    given: JobInput,
    full: bool = FULL,
    catalog: str | None = CATALOG,
    units: str = UNITS,
    json: bool = JSON,
    top: int | None = TOP,
) -> None:
    """Interview at the counter."""
    only_with_json(top, json=json)
    from hoseselect.application.ask import interview
    from hoseselect.application.pick import pick_hose

    catalogue = catalogue_in_use(catalog)
    sys.stderr.write(GREETING)
    found = interview(_prompt, catalogue, given.values(), units)
    answer = pick_hose(found.job, catalogue, units=units)
    number = keep(given, "ask", answer, units, values=found.values)
    if json:
        write_json(with_number(answer.as_json(top), number))
        raise typer.Exit(answer.exit_code)
    if guessed := guess_words(found.guesses):
        _write(guessed)
    if full:
        from hoseselect.interfaces.cli.show_answer import show_answer

        sys.stdout.write("\n")
        show_answer(answer, units)
        write_number(number)
    else:
        from hoseselect.interfaces.cli.keys import show_first

        def again(values: dict[str, Any]) -> Answer:
            return pick_hose(given.read(values), catalogue, units=units)

        show_first(answer, found.values, again, units, catalog, number)
    if number is None:
        from hoseselect.interfaces.cli.again import asked_again

        _write(f"To add or change an answer: {asked_again(found.values, units)}")
    else:
        _write(f"To add or change an answer: hoseselect ask {number}")
    raise typer.Exit(answer.exit_code)


def _write(*texts: str) -> None:
    """Write sentences, each with a blank line before it."""
    for text in texts:
        sys.stdout.write("\n" + "\n".join(wrap(text, WIDTH, break_on_hyphens=False)) + "\n")


def _prompt(asked: Asked, note: str) -> str:
    """Put one question and return what is typed."""
    told = [f"{' ' * INDENT}{line}" for line in note.splitlines()]
    lines = [*told, *wrap(asked.question, WIDTH), *_numbered(asked)]
    sys.stderr.write("\n".join(lines) + "\n> ")
    sys.stderr.flush()
    try:
        reply = sys.stdin.readline()
    except UnicodeDecodeError:
        raise InputError(asked.field, "bytes that are no UTF-8 text", "an answer") from None
    if not reply:
        raise InputError(asked.field, "the end of the answers", "an answer or an empty line")
    return reply


def _numbered(asked: Asked) -> list[str]:
    """Return the choices with their numbers, short ones beside each other."""
    told = [f"{number} {choice.label}" for number, choice in enumerate(asked.choices, 1)]
    in_line = (" " * GAP).join(told)
    if len(in_line) <= WIDTH - INDENT:
        return [" " * INDENT + in_line] if told else []
    lines: list[str] = []
    for text in told:
        lines += wrap(text, WIDTH, initial_indent=" " * INDENT, subsequent_indent=" " * 2 * INDENT)
    return lines
