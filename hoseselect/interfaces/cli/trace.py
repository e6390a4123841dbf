"""`hoseselect trace`: what a photo of the old hose measures."""

from __future__ import annotations

from pathlib import Path

import typer

from hoseselect.interfaces.cli.common import Screen, one_of, write_json
from hoseselect.interfaces.cli.job_input import JSON
from hoseselect.interfaces.traced_words import told
from hoseselect.knowledge.errors import InputError

HELP = """Measure the old formed hose in a photo of it beside a sheet of known size.

FILE is a sheet with the headings kind, x, y: a line is a "corner" of the sheet of paper (four, in
any order), a point on the middle of the "hose" as seen (from end to end, ten or more on each bend),
or a further point on an "edge" of the paper; x and y are pixels from the upper left corner of the
picture as it is shown. The photo is looked at on this machine and kept nowhere.

A hose that does not lie flat takes a second photo: see docs/how-to/photo.md.

Examples:

  hoseselect trace hose.jpg --points taps.csv --outside-diameter "19 mm"

  hoseselect trace hose.jpg --points rough.csv --outside-diameter 19 --suggest-points taps.csv
"""
SHEET = one_of("--sheet", ("a4", "letter", "card"), "What lies beside the hose.")


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("trace", help=HELP)(trace)


def trace(
    photo: Path = typer.Argument(..., metavar="PHOTO", help="Photo, JPEG, PNG or WebP."),
    points: Path = typer.Option(..., "--points", metavar="FILE", help="Points tapped in it."),
    sheet: str = SHEET,
    outside_diameter: str = typer.Option(
        "unknown", "--outside-diameter", help="Outside diameter of the hose."
    ),
    suggest: Path | None = typer.Option(
        None,
        "--suggest-points",
        metavar="OUT",
        help="Write points on the middle of the hose, by its edges in the photo, for you to check.",
    ),
    side: Path | None = typer.Option(
        None, "--side", metavar="PHOTO", help="Second photo, from the side: a route in space."
    ),
    side_points: Path | None = typer.Option(
        None, "--side-points", metavar="FILE", help="Points tapped in it."
    ),
    json: bool = JSON,
) -> None:
    """Measure a hose."""
    from hoseselect.application.trace import Shot, suggest_points
    from hoseselect.application.trace import trace as measure
    from hoseselect.files.picture_file import read_picture
    from hoseselect.interfaces.sheets.points_sheet import points_text, read_points
    from hoseselect.quantities.read import read_quantity

    diameter = read_quantity(outside_diameter, "length", "--outside-diameter")
    if (side is None) != (side_points is None):
        raise InputError("--side", "one of --side and --side-points", "both of them, or none")
    shot = Shot(read_picture(photo), read_points(points))
    if suggest is not None:
        from hoseselect.files.write_files import write_files

        proposal = suggest_points(shot, sheet=sheet, outside_diameter=diameter)
        write_files({suggest: points_text(proposal.points)}, (photo, points))
        count = len(proposal.points.hose)
        if json:
            write_json({"points": count, "found_share": round(proposal.found, 3)})
            return
        screen = Screen()
        screen.item(f"{count} points in {suggest.name}; edges found at {proposal.found:.0%}", 0)
        screen.item("Look at them over the photo before they are used.", 0)
        return
    second = None
    if side is not None and side_points is not None:
        second = Shot(read_picture(side), read_points(side_points))
    traced = measure(shot, second, sheet=sheet, outside_diameter=diameter)
    if json:
        write_json(traced.as_json())
        return
    screen = Screen()
    *lines, run = told(traced)
    for line in lines:
        screen.item(line.lstrip(), len(line) - len(line.lstrip()))
    screen.line(run)
