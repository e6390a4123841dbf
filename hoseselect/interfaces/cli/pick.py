"""`hoseselect pick`: rank the hoses that suit."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import typer

from hoseselect.interfaces.cli import job_input as given
from hoseselect.interfaces.cli.common import catalogue_in_use, known_units, write_json
from hoseselect.knowledge.errors import InputError

PREFERENCES = ("margin", "price", "stock")
HELP = """Rank the hoses that suit a job; say why each other one does not, and what to measure next.

Examples:

  hoseselect pick job.toml

  hoseselect pick -s "PCV hose" -n "1/2 in" --bead yes --turbo no --measured "12 in"

  hoseselect pick -s "heater hose" -n "16 mm" --run "220; 60 deg at 150 mm; 300" --json
"""


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("pick", help=HELP)(pick)


def pick(
    file: Path | None = given.FILE,
    code: str | None = given.CODE,
    service: str | None = given.SERVICE,
    fluid: list[str] | None = given.FLUID,
    drips: list[str] | None = given.DRIPS,
    fluid_steady: str | None = given.FLUID_STEADY,
    fluid_peak: str | None = given.FLUID_PEAK,
    air_steady: str | None = given.AIR_STEADY,
    air_peak: str | None = given.AIR_PEAK,
    coldest_start: str | None = given.COLDEST,
    pressure_min: str | None = given.PRESSURE_MIN,
    pressure_max: str | None = given.PRESSURE_MAX,
    nipple: str | None = given.NIPPLE,
    nipple_a: str | None = given.NIPPLE_A,
    nipple_b: str | None = given.NIPPLE_B,
    bead: str | None = given.BEAD,
    measured_on: str | None = given.MEASURED_ON,
    run: str | None = given.RUN,
    measured: str | None = given.MEASURED,
    offset: str | None = given.OFFSET,
    points_a: str | None = given.POINTS_A,
    points_b: str | None = given.POINTS_B,
    moves: str | None = given.MOVES,
    tightest_radius: str | None = given.TIGHTEST,
    movement: str | None = given.MOVEMENT,
    insert: str | None = given.INSERT,
    turbo: str | None = given.TURBO,
    set_: list[str] | None = given.SET,
    prefer: str = typer.Option("margin", help="Among equals: margin, price or stock."),
    shelf: list[str] | None = typer.Option(
        None, help="Only these hose types or sizes; may be repeated."
    ),
    every: bool = typer.Option(False, "--all", help="Show every hose that does not suit."),
    catalog: str | None = given.CATALOG,
    units: str = given.UNITS,
    json: bool = given.JSON,
) -> None:
    """Pick the hoses for a job."""
    options: dict[str, Any] = {**locals(), "set": set_}
    job = given.job_from(file, options)
    if prefer not in PREFERENCES:
        raise InputError("--prefer", f"'{prefer}'", ", ".join(PREFERENCES))
    from hoseselect.application.pick import pick_hose

    answer = pick_hose(
        job,
        catalogue_in_use(catalog),
        prefer=prefer,  # type: ignore[arg-type]
        shelf=tuple(shelf or ()),
        units=known_units(units),
    )
    if json:
        write_json(answer.as_json())
    else:
        from hoseselect.interfaces.cli.show_answer import show_answer

        show_answer(answer, units, every=every)
    raise typer.Exit(answer.exit_code)
