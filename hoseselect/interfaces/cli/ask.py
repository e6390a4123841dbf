"""`hoseselect ask`: the counter interview."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import typer

from hoseselect.interfaces.cli.common import catalogue_in_use, write_json
from hoseselect.interfaces.cli.job_input import (
    CATALOG,
    FULL,
    JSON,
    UNITS,
    JobInput,
    takes_a_job,
)
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer
    from hoseselect.application.ask import Asked

HELP = """Ask at most eight questions in the order that decides, then answer like `pick`.

"Don't know" (or nothing) is a legal answer to every question. What a job file or options tell is
not asked again.
"""


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("ask", help=HELP)(takes_a_job(ask))


def ask(
    given: JobInput,
    full: bool = FULL,
    catalog: str | None = CATALOG,
    units: str = UNITS,
    json: bool = JSON,
) -> None:
    """Interview at the counter."""
    from hoseselect.application.ask import interview
    from hoseselect.application.pick import pick_hose

    catalogue = catalogue_in_use(catalog)
    told, job = interview(_prompt, catalogue, given.values(), units)
    answer = pick_hose(job, catalogue, units=units)
    if json:
        write_json(answer.as_json())
    elif full:
        from hoseselect.interfaces.cli.show_answer import show_answer

        sys.stdout.write("\n")
        show_answer(answer, units)
    else:
        from hoseselect.interfaces.cli.keys import show_first

        def again(values: dict[str, Any]) -> Answer:
            return pick_hose(given.read(values), catalogue, units=units)

        show_first(answer, told, again, units, catalog)
    raise typer.Exit(answer.exit_code)


def _prompt(asked: Asked, trial: Callable[[str], None]) -> str:
    """Put one question until the reply can be used."""
    while True:
        sys.stderr.write(f"{asked.question}\n> ")
        sys.stderr.flush()
        try:
            reply = sys.stdin.readline()
        except UnicodeDecodeError:
            raise InputError(asked.field, "bytes that are no UTF-8 text", "an answer") from None
        if not reply:
            raise InputError(asked.field, "the end of the answers", "an answer or an empty line")
        try:
            trial(reply.strip())
        except InputError as error:
            sys.stderr.write(f"{error}\n")
            continue
        return reply.strip()
