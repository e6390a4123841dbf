"""`hoseselect check`: one hose against one job."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import typer

from hoseselect.interfaces.cli import job_input as given
from hoseselect.interfaces.cli.common import catalogue_in_use, known_units, write_json

HELP = """Hold one hose against one job: every finding with its figures and its source.

Examples:

  hoseselect check K04-13 job.toml

  hoseselect check O01-9.5 -s "PCV hose" -n "9.5 mm" --pressure-min "20 inHg vacuum"
"""


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("check", help=HELP)(check)


def check(
    hose: str = typer.Argument(..., help="Hose size or hose type of the catalogue."),
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
    catalog: str | None = given.CATALOG,
    units: str = given.UNITS,
    json: bool = given.JSON,
) -> None:
    """Hold one hose against one job."""
    options: dict[str, Any] = {**locals(), "set": set_}
    job = given.job_from(file, options)
    from hoseselect.application.pick import check_hose

    answer = check_hose(hose, job, catalogue_in_use(catalog), units=known_units(units))
    if json:
        write_json(answer.as_json())
    else:
        from hoseselect.interfaces.cli.show_answer import show_check

        show_check(answer, units)
    raise typer.Exit(answer.exit_code)
