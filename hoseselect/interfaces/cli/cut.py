"""`hoseselect cut`: how long to cut."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import typer

from hoseselect.interfaces.cli.common import write_json
from hoseselect.interfaces.cli.job_input import (
    CATALOG,
    FULL,
    JSON,
    UNITS,
    JobInput,
    takes_a_job,
)
from hoseselect.interfaces.cli.keep import keep, with_number, write_number
from hoseselect.interfaces.in_use import catalogue_in_use
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.application.cut import CutResult
    from hoseselect.domain.job import Job

HELP = """Say how long to cut, from the parts of the sum, for a route and a hose.

With --hose the length is given only where that hose suits the job. Without it, --radius names the
least bend radius that the route must respect.

Examples:

  hoseselect cut job.toml --hose K04-13

  hoseselect cut -s "PCV hose" -n 13 --run "60; 90 deg at 110 mm; 180" --radius "80 mm"
"""


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("cut", help=HELP)(takes_a_job(cut))


def cut(
    given: JobInput,
    hose: str | None = typer.Option(None, "--hose", help="Hose size of the catalogue."),
    radius: str | None = typer.Option(
        None, "--radius", help="Least bend radius on the centreline, without a hose."
    ),
    outside_diameter: str | None = typer.Option(
        None,
        "--outside-diameter",
        help="Outside diameter of the hose, with --radius; else the thickest that fits.",
    ),
    draw: Path | None = typer.Option(None, "--draw", help="Write a drawing of the route, in SVG."),
    curve: Path | None = typer.Option(
        None, "--curve", help="Write radius and room against the length of the cut, in SVG."
    ),
    full: bool = FULL,
    catalog: str | None = CATALOG,
    units: str = UNITS,
    json: bool = JSON,
) -> None:
    """Plan the cut."""
    job = given.job()
    result = planned(job, hose, radius, outside_diameter, catalog, units, drawn=draw is not None)
    files: dict[Path, bytes | str] = {}
    if draw is not None:
        files |= _drawing(result, _svg_name(draw, "--draw"), units)
    if curve is not None:
        files |= _curve(result, _svg_name(curve, "--curve"), units)
    if files:
        from hoseselect.files.write_files import write_files

        write_files(files, given.inputs)
    asked = {"hose": hose, "radius": radius, "outside_diameter": outside_diameter}
    number = keep(given, "cut", result, units, asked)
    if json:
        write_json(with_number(result.as_json(), number))
    else:
        from hoseselect.interfaces.cli.show_cut import show_cut_first, show_cut_result

        (show_cut_result if full else show_cut_first)(result, units)
        write_number(number)
    raise typer.Exit(result.exit_code)


def planned(
    job: Job,
    hose: str | None,
    radius: str | None,
    outside_diameter: str | None,
    catalog: str | None,
    units: str,
    *,
    drawn: bool = False,
) -> CutResult:
    """Return the cut plan for a job, as the options of the command ask for it.

    Raises
    ------
    InputError
        when the hose is not known, or a part of the length is not.
    """
    from hoseselect.application.cut_as_asked import cut_as_asked

    return cut_as_asked(
        job,
        lambda: catalogue_in_use(catalog),
        hose=hose,
        radius=radius,
        outside_diameter=outside_diameter,
        units=units,
        drawn=drawn,
    )


def _svg_name(path: Path, option: str) -> Path:
    if path.suffix.lower() != ".svg":
        raise InputError(option, f"'{path.name}'", "a name that ends in .svg")
    return path


def _drawing(result: CutResult, path: Path, units: str) -> dict[Path, str]:
    """Return the drawing of a route that is planned, or of the best it allows where none works."""
    if result.stops:
        return {}
    geometry = result.geometry
    if result.plan is None and (geometry is None or not geometry.refused):
        return {}
    if geometry is None:
        raise InputError("--draw", "a route without a shape", "a free route or a run")
    from hoseselect.interfaces.drawing.route_drawing import route_drawing
    from hoseselect.interfaces.wording import job_title

    return {path: route_drawing(geometry, result.plan, job_title(result.job), units)}


def _curve(result: CutResult, path: Path, units: str) -> dict[Path, str]:
    """Return the curve of a hose on a free route that is planned."""
    if result.plan is None:
        return {}
    if result.curve is None:
        raise InputError("--curve", "a route without a curve", "a free route")
    if not result.plan.believed:
        found = "a length that rests on a guess"
        raise InputError("--curve", found, f"what is to be measured: {result.plan.measure[0]}")
    from hoseselect.interfaces.drawing.curve_drawing import curve_drawing
    from hoseselect.interfaces.wording import job_title

    return {path: curve_drawing(result.curve, units, job_title(result.job))}
