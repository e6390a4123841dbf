"""`hoseselect check`: one hose against one job."""

from __future__ import annotations

import typer

from hoseselect.interfaces.cli.common import catalogue_in_use, write_json
from hoseselect.interfaces.cli.job_input import CATALOG, JSON, UNITS, JobInput, takes_a_job

HELP = """Hold one hose against one job: every finding with its figures and its source.

Examples:

  hoseselect check K04-13 job.toml

  hoseselect check O01-9.5 -s "PCV hose" -n "9.5 mm" --pressure-min "20 inHg vacuum"

  hoseselect check "SAE 30R11 1/2" -s "breather hose" -n "13 mm"
"""


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("check", help=HELP)(takes_a_job(check))


def check(
    *,
    hose: str = typer.Argument(..., help="Hose size or hose type of the catalogue, or its print."),
    given: JobInput,
    catalog: str | None = CATALOG,
    units: str = UNITS,
    json: bool = JSON,
) -> None:
    """Hold one hose against one job."""
    job = given.job()
    from hoseselect.application.pick import check_hose

    answer = check_hose(hose, job, catalogue_in_use(catalog), units=units)
    if json:
        write_json(answer.as_json())
    else:
        from hoseselect.interfaces.cli.show_answer import show_check

        show_check(answer, units)
    raise typer.Exit(answer.exit_code)
