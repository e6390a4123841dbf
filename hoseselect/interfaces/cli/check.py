"""`hoseselect check`: one hose against one job."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import typer

from hoseselect.interfaces.cli.common import only_with_json, write_json
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

HELP = """Hold one hose against one job: the verdict on one screen, every finding with --full.

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
    full: bool = FULL,
    catalog: str | None = CATALOG,
    units: str = UNITS,
    json: bool = JSON,
    top: int | None = TOP,
) -> None:
    """Hold one hose against one job."""
    only_with_json(top, json=json)
    values = given.values()
    job = given.read(values)
    from hoseselect.application.pick import check_hose

    catalogue = catalogue_in_use(catalog)
    answer = check_hose(hose, job, catalogue, units=units)
    number = keep(given, "check", answer, units, {"hose": hose})
    if json:
        write_json(with_number(answer.as_json(top), number))
    elif full:
        from hoseselect.interfaces.cli.show_answer import show_check

        show_check(answer, units)
        write_number(number)
    else:
        from hoseselect.interfaces.cli.keys import show_first

        def again(told: dict[str, Any]) -> Answer:
            return check_hose(hose, given.read(told), catalogue, units=units)

        show_first(answer, values, again, units, catalog, number)
    raise typer.Exit(answer.exit_code)
