"""`hoseselect settings`: what the shop has set once, for every job that is silent about it."""

from __future__ import annotations

import typer

from hoseselect.interfaces.cli.common import Screen, write_json
from hoseselect.interfaces.in_use import settings_in_use

HELP = """What the shop has set: coldest start, worst fuel, cap pressure, units, paper, currency,
catalogue, book. It counts where a job is silent; what a job says always counts.

Examples:

  hoseselect settings

  hoseselect settings set coldest_start "-20 degC"

  hoseselect settings unset coldest_start
"""
JSON = typer.Option(False, "--json", help="Write JSON.")
KEY = typer.Argument(..., help="What, as `hoseselect settings` names it.", metavar="KEY")
VALUE = typer.Argument(..., help="With its unit, where it has one.", metavar="VALUE")

# A value such as "-20 degC" is no option.
BARE = {"ignore_unknown_options": True}

app = typer.Typer(help=HELP, rich_markup_mode=None)


@app.callback(invoke_without_command=True)
def show(ctx: typer.Context, json: bool = JSON) -> None:
    """Show what is set."""
    if ctx.invoked_subcommand is None:
        _show(json=json)


@app.command("set", help="Set one value.", context_settings=BARE)
def set_value(key: str = KEY, value: str = VALUE, json: bool = JSON) -> None:
    """Set one value."""
    from hoseselect.files.settings_file import settings_file
    from hoseselect.settings.change import set_one

    set_one(settings_file(), _plain(key), value)
    _show(json=json)


@app.command("unset", help="Take one value away.")
def unset_value(key: str = KEY, json: bool = JSON) -> None:
    """Take one value away."""
    from hoseselect.files.settings_file import settings_file
    from hoseselect.settings.change import unset

    unset(settings_file(), _plain(key))
    _show(json=json)


def _plain(key: str) -> str:
    return key.strip().casefold().replace("-", "_").replace(" ", "_")


def _show(*, json: bool) -> None:
    """Show what is set, and what holds where nothing is."""
    from hoseselect.files.settings_file import settings_file
    from hoseselect.interfaces.in_use import book_in_use
    from hoseselect.settings.change import typed_settings
    from hoseselect.settings.settings import MEANINGS

    settings_in_use()  # what cannot be used is said first
    path, book = settings_file(), book_in_use()
    typed = typed_settings(path)
    if json:
        own = {key: typed.get(key) for key in MEANINGS}
        write_json({"file": str(path), "book_in_use": book and str(book), **own})
        return
    screen = Screen()
    screen.line(f"{path}{'' if path.exists() else ' (not there yet)'}")
    for key, meaning in MEANINGS.items():
        value = typed.get(key, "not set")
        shown = ", ".join(map(str, value)) if isinstance(value, list) else value
        screen.item(f"{key} = {shown}", 2)
        screen.item(meaning, 6)


def register(parent: typer.Typer) -> None:
    """Add the commands on settings."""
    parent.add_typer(app, name="settings")
