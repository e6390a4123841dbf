"""`hoseselect pick`: rank the hoses that suit."""

from __future__ import annotations

from itertools import chain

import typer

from hoseselect.interfaces.cli.common import catalogue_in_use, one_of, write_json
from hoseselect.interfaces.cli.job_input import CATALOG, JSON, UNITS, JobInput, takes_a_job

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
    catalog: str | None = CATALOG,
    units: str = UNITS,
    json: bool = JSON,
) -> None:
    """Pick the hoses for a job."""
    job = given.job()
    from hoseselect.application.pick import pick_hose
    from hoseselect.intake.hose_name import hoses_named

    catalogue = catalogue_in_use(catalog)
    named = (hoses_named(text, catalogue, "shelf") for text in shelf or ())
    answer = pick_hose(
        job,
        catalogue,
        prefer=prefer,  # type: ignore[arg-type]
        shelf=tuple(chain.from_iterable(named)),
        units=units,
    )
    if json:
        write_json(answer.as_json())
    else:
        from hoseselect.interfaces.cli.show_answer import show_answer

        show_answer(answer, units, every=every)
    raise typer.Exit(answer.exit_code)
