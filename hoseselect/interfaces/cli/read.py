"""`hoseselect read`: what the print on a hose means."""

from __future__ import annotations

import typer

from hoseselect.interfaces.cli.common import Screen, write_json

HELP = """Say what the print on a hose means by published standards, and what it does not prove.

Example:

  hoseselect read "SAE 30R7 3/8 in 2024"

  hoseselect read "EPDM 16 mm 20 BAR 03/25"
"""


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("read", help=HELP)(read)


def read(
    text: str = typer.Argument(..., metavar="PRINT", help="The printed line."),
    json: bool = typer.Option(False, "--json", help="Write JSON."),
) -> None:
    """Read a printed line."""
    from hoseselect.application.read import read_print

    result = read_print(text)
    if json:
        write_json(result.as_json())
        raise typer.Exit(result.exit_code)
    console = Screen()
    console.item(f"Print: {result.text}", 0)
    for stop in result.stops:
        console.line("")
        console.item(f"[!] STOP: {stop}", 0)
    for marking in result.markings:
        console.heading(f"'{marking.found}' is {marking.title}")
        console.item(marking.meaning)
        console.item(marking.does_not_prove)
        for figure in marking.figures:
            console.item(figure)
        if marking.suits:
            console.item(f"[+] for: {', '.join(marking.suits)}")
        for part in marking.in_part:
            console.item(f"[~] in part for {part}")
        if marking.never:
            console.item(f"[x] never for: {', '.join(marking.never)}")
        console.item(f"source: {marking.source}")
    if result.sizes:
        console.heading(f"Sizes in the print: {', '.join(result.sizes)}")
    told = {
        "Polymers in the print": result.polymers,
        "Pressures in the print": result.pressures,
        "May be the date of make": result.dates,
        "Standards of which no more is known": result.forms,
    }
    for heading, lines in told.items():
        if lines:
            console.heading(heading)
        for line in lines:
            console.item(line)
    console.line("")
    for note in result.notes:
        console.item(note, 0)
    raise typer.Exit(result.exit_code)
