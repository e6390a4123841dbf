"""`hoseselect pick`: rank the hoses that suit."""

from __future__ import annotations

from itertools import chain
from typing import TYPE_CHECKING, Any

import typer

from hoseselect.interfaces.cli.common import one_of, only_with_json, write_json
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

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer
    from hoseselect.domain.job import Job

PREFER = one_of("--prefer", ("margin", "price", "stock"), "What comes first among equals.")
HELP = """Rank the hoses that suit a job; say why each other one does not, and what to measure next.

Examples:

  hoseselect pick job.toml

  hoseselect pick -s "PCV hose" -n "1/2 in" --bead yes --turbo no --measured "12 in"

  hoseselect pick -s "heater hose" -n "16 mm" --run "220; 60 deg at 150 mm; 300" --json
"""


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("pick", help=HELP)(takes_a_job(pick))


def pick(
    given: JobInput,
    prefer: str = PREFER,
    shelf: list[str] | None = typer.Option(
        None, help="Only these hose types or sizes; may be repeated."
    ),
    every: bool = typer.Option(False, "--all", help="Show every hose that does not suit."),
    full: bool = FULL,
    catalog: str | None = CATALOG,
    units: str = UNITS,
    json: bool = JSON,
    top: int | None = TOP,
) -> None:
    """Pick the hoses for a job."""
    only_with_json(top, json=json)
    values = given.values()
    job = given.read(values)
    from hoseselect.application.pick import pick_hose
    from hoseselect.intake.hose_name import hoses_named

    catalogue = catalogue_in_use(catalog)

    named = (hoses_named(text, catalogue, "shelf") for text in shelf or ())
    looked_at = tuple(chain.from_iterable(named))

    def answered(asked: Job) -> Answer:
        return pick_hose(
            asked,
            catalogue,
            prefer=prefer,  # type: ignore[arg-type]
            shelf=looked_at,
            units=units,
        )

    answer = answered(job)
    number = keep(given, "pick", answer, units, {"prefer": prefer, "shelf": shelf})
    if json:
        write_json(with_number(answer.as_json(top), number))
    elif full or every:
        from hoseselect.interfaces.cli.show_answer import show_answer

        show_answer(answer, units, every=every)
        write_number(number)
    else:
        from hoseselect.interfaces.cli.keys import show_first

        def again(told: dict[str, Any]) -> Answer:
            return answered(given.read(told))

        show_first(answer, values, again, units, catalog, number)
    raise typer.Exit(answer.exit_code)
