"""`hoseselect cut`: how long to cut."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from hoseselect.interfaces.cli import job_input as given
from hoseselect.interfaces.cli.common import catalogue_in_use, known_units, write_json
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.application.cut import CutResult

HELP = """Say how long to cut, from the parts of the sum, for a route and a hose.

With --hose the length is given only where that hose suits the job. Without it, --radius names the
least bend radius that the route must respect.

Examples:

  hoseselect cut job.toml --hose K04-13

  hoseselect cut -s "PCV hose" -n 13 --run "60; 90 deg at 110 mm; 180" --radius "80 mm"
"""


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("cut", help=HELP)(cut)


def cut(
    file: Path | None = given.FILE,
    code: str | None = given.CODE,
    service: str | None = given.SERVICE,
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
    set_: list[str] | None = given.SET,
    hose: str | None = typer.Option(None, "--hose", help="Hose size of the catalogue."),
    radius: str | None = typer.Option(
        None, "--radius", help="Least bend radius on the centreline, without a hose."
    ),
    draw: Path | None = typer.Option(None, "--draw", help="Write a drawing of the route, in SVG."),
    catalog: str | None = given.CATALOG,
    units: str = given.UNITS,
    json: bool = given.JSON,
) -> None:
    """Plan the cut."""
    options: dict[str, Any] = {**locals(), "set": set_}
    job = given.job_from(file, options)
    known_units(units)
    from hoseselect.application.cut import cut_for_hose, cut_for_radius
    from hoseselect.quantities.read import read_quantity

    if hose is not None:
        result = cut_for_hose(hose, job, catalogue_in_use(catalog), units)
    else:
        least = 0.0 if radius is None else read_quantity(radius, "length", "--radius", minimum=0.0)
        result = cut_for_radius(least, job, units)
    if draw is not None and result.plan is not None:
        _draw(result, draw, units, () if file is None else (file,))
    if json:
        write_json(result.as_json())
    else:
        from hoseselect.interfaces.cli.show_cut import show_cut_result

        show_cut_result(result, units)
    raise typer.Exit(result.exit_code)


def _draw(result: CutResult, path: Path, units: str, read: tuple[Path, ...]) -> None:
    """Write the drawing of a planned route."""
    if path.suffix.lower() != ".svg":
        raise InputError("--draw", f"'{path.name}'", "a name that ends in .svg")
    from hoseselect.files.write_files import write_files
    from hoseselect.interfaces.drawing.route_drawing import route_drawing
    from hoseselect.interfaces.wording import job_title

    if result.geometry is None:
        raise InputError("--draw", "a route without a shape", "a free route or a run")
    drawing = route_drawing(result.geometry, result.plan, job_title(result.job), units)
    write_files({path: drawing}, read)
