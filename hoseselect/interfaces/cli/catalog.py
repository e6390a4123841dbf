"""`hoseselect catalog`: what is in the catalogue."""

from __future__ import annotations

import math
from typing import Any

import typer

from hoseselect.interfaces.cli import job_input as given
from hoseselect.interfaces.cli.common import catalogue_in_use, item, screen, write_json

app = typer.Typer(
    help="The catalogue in use: list its hoses, show one, check a folder.",
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
    from hoseselect.application.catalogue_view import list_sizes, list_types

    catalogue = catalogue_in_use(catalog)
    rows = list_types(catalogue) if hose_type is None else list_sizes(catalogue, hose_type)
    if json:
        write_json(rows)
        return
    _write_table(rows)


@app.command("show", help="Show one hose type or hose size with all that the catalogue states.")
def show_hose(
    hose: str = typer.Argument(..., help="Hose type or hose size."),
    catalog: str | None = given.CATALOG,
    json: bool = given.JSON,
) -> None:
    """Show one hose."""
    from hoseselect.application.catalogue_view import show

    found = show(catalogue_in_use(catalog), hose)
    if json:
        write_json(found)
        return
    console = screen()
    for key, value in found.items():
        item(
            console,
            f"{key.replace('_', ' '):<34}{'not stated' if value in (None, '') else value}",
            0,
        )


def _write_table(rows: list[dict[str, Any]]) -> None:
    from rich.table import Table

    console = screen()
    written = Table(box=None, pad_edge=False, show_edge=False)
    for key in rows[0] if rows else ():
        written.add_column(key.replace("_", " "), overflow="fold")
    for row in rows:
        written.add_row(*(_cell(value) for value in row.values()))
    console.print(written)


def _cell(value: Any) -> str:
    if value is None or (isinstance(value, float) and math.isnan(value)):
        return "-"
    return f"{value:g}" if isinstance(value, float) else str(value)
