"""`hoseselect catalog`: what is in the catalogue, and a shop's own."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import typer

from hoseselect.interfaces.cli import job_input as given
from hoseselect.interfaces.cli.common import Screen, write_json
from hoseselect.interfaces.cli.table import table_lines
from hoseselect.interfaces.in_use import catalogue_in_use, today
from hoseselect.knowledge.errors import InputError

LISTS = ("hoses", "clamps", "fittings", "rolls")

NEW = """Write an empty catalogue folder for a shop.

Example:

  hoseselect catalog new our-hoses --example
"""
CHECK = """Say all that is wrong with a catalogue folder, and which services it covers.

Exit code 0: it can be used, with or without warnings. 2: it cannot.

Example:

  hoseselect catalog check our-hoses
"""
IMPORT = """Bring a supplier's sheet into a catalogue folder, whole or not at all.

Examples:

  hoseselect catalog import prices.xlsx --suggest > mapping.toml

  hoseselect catalog import prices.xlsx --mapping mapping.toml --into our-hoses
"""

NEW_FOLDER = typer.Argument(..., help="Where; nothing may stand there yet.")
FOLDER = typer.Argument(None, help="Catalogue folder; without it, the catalogue in use.")
SHEET = typer.Argument(..., help="The supplier's sheet: CSV or XLSX.")
INTO = typer.Option(None, "--into", help="Catalogue folder that is made or added to.")
MAPPING = typer.Option(None, "--mapping", "-m", help="Mapping of headings and units, in TOML.")

app = typer.Typer(
    help="The catalogue: list its hoses, show one; write, check and fill a shop's own.",
    no_args_is_help=True,
    rich_markup_mode=None,
)


@app.command("list", help="List the hose types, or the sizes of one type.")
def list_hoses(
    hose_type: str | None = typer.Argument(None, help="Hose type whose sizes are listed."),
    catalog: str | None = given.CATALOG,
    json: bool = given.JSON,
) -> None:
    """List hoses."""
    from hoseselect.application.list_catalogue import list_sizes, list_types

    catalogue = catalogue_in_use(catalog)
    rows = list_types(catalogue) if hose_type is None else list_sizes(catalogue, hose_type)
    if json:
        write_json(rows)
        return
    screen = Screen()
    for line in table_lines(rows, screen.width):
        screen.line(line)


@app.command("show", help="Show one hose type or hose size with all that the catalogue states.")
def show_hose(
    hose: str = typer.Argument(..., help="Hose type or hose size."),
    catalog: str | None = given.CATALOG,
    json: bool = given.JSON,
) -> None:
    """Show one hose."""
    from hoseselect.application.list_catalogue import show

    catalogue = catalogue_in_use(catalog)
    found = show(catalogue, hose)
    if json:
        write_json(found)
        return
    screen = Screen()
    for key, value in found.items():
        money = f" {catalogue.currency}" if key.startswith("price") else ""
        text = "not stated" if value in (None, "") else f"{value}{money}"
        screen.item(f"{key.replace('_', ' '):<34}{text}", 0)


@app.command("new", help=NEW)
def new(
    folder: Path = NEW_FOLDER,
    example: bool = typer.Option(False, "--example", help="With a few invented rows as examples."),
    title: str = typer.Option("", "--title", help="Title of the catalogue."),
    json: bool = given.JSON,
) -> None:
    """Write an empty catalogue folder for a shop."""
    from hoseselect.application.new_catalogue import new_catalogue

    made = new_catalogue(folder, example=example, title=title)
    if json:
        write_json(made.as_json())
    else:
        from hoseselect.interfaces.cli.show_catalog import show_new

        show_new(made)


@app.command("check", help=CHECK)
def check(
    folder: Path | None = FOLDER,
    catalog: str | None = given.CATALOG,
    json: bool = given.JSON,
) -> None:
    """Say all that is wrong with a catalogue folder, and which services it covers."""
    from hoseselect.application.check_catalogue import check_catalogue
    from hoseselect.catalogue.locate import find_catalogue

    place = find_catalogue(str(folder) if folder else catalog, os.environ)
    found = check_catalogue(place, today())
    if json:
        write_json(found.as_json())
    else:
        from hoseselect.interfaces.cli.show_catalog import show_check

        show_check(found)
    raise typer.Exit(found.exit_code)


@app.command("import", help=IMPORT)
def import_(
    sheet: Path = SHEET,
    folder: Path | None = INTO,
    mapping: Path | None = MAPPING,
    suggest: bool = typer.Option(
        False, "--suggest", help="Write a draft of a mapping from the headings, and nothing else."
    ),
    lists: str = typer.Option(
        "hoses", "--lists", help="With --suggest: hoses, clamps, fittings or rolls."
    ),
    replace: bool = typer.Option(
        False, "--replace", help="Rows the catalogue holds already take over what the sheet states."
    ),
    leave_out: bool = typer.Option(
        False, "--leave-out", help="Leave out lines with errors and bring in the others."
    ),
    json: bool = given.JSON,
) -> None:
    """Bring a supplier's sheet into a catalogue folder, whole or not at all."""
    if suggest:
        sys.stdout.write(_draft(sheet, mapping, lists))
        return
    if mapping is None:
        raise InputError(
            "--mapping", "nothing", "a mapping in TOML; --suggest writes a draft of it"
        )
    if folder is None:
        raise InputError("--into", "nothing", "the catalogue folder that is made or added to")
    from hoseselect.application.import_catalogue import import_catalogue

    result = import_catalogue(sheet, mapping, folder, replace=replace, leave_out=leave_out)
    if json:
        write_json(result.as_json())
    else:
        from hoseselect.interfaces.cli.show_catalog import show_import

        show_import(result)
    raise typer.Exit(result.exit_code)


def _draft(sheet: Path, mapping: Path | None, lists: str) -> str:
    """Return the draft of a mapping.

    Raises
    ------
    InputError
        when a mapping is given too, or no such list is known.
    """
    if mapping is not None:
        raise InputError("--suggest", "--mapping beside it", "one of the two")
    if lists not in LISTS:
        raise InputError("--lists", f"'{lists}'", ", ".join(LISTS))
    from hoseselect.catalogue.supplier.sheet import read_sheet
    from hoseselect.catalogue.supplier.suggest import suggest_mapping

    return suggest_mapping(read_sheet(sheet), lists)


def register(parent: typer.Typer) -> None:
    """Add the commands on catalogues."""
    parent.add_typer(app, name="catalog")
