"""What all commands share: the catalogue in use, JSON, the screen."""

from __future__ import annotations

import json
import os
import sys
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from rich.console import Console

    from hoseselect.catalogue.columns import Catalogue

WIDTH = 80
UNIT_WORDS = ("mm", "in")


def catalogue_in_use(option: str | None) -> Catalogue:
    """Return the catalogue: option, environment variable, configuration file, built-in."""
    from hoseselect.catalogue.locate import find_catalogue
    from hoseselect.catalogue.read import read_catalogue

    return read_catalogue(find_catalogue(option, os.environ))


def known_units(text: str) -> str:
    """Return the units to show first.

    Raises
    ------
    InputError
        when they are neither mm nor in.
    """
    if text not in UNIT_WORDS:
        raise InputError("--units", f"'{text}'", " or ".join(UNIT_WORDS))
    return text


def write_json(value: Any) -> None:
    """Write a value as JSON; unknown numbers are null."""
    sys.stdout.write(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False) + "\n")


def heading(console: Console, text: str) -> None:
    """Write a heading with a blank line before it."""
    from rich.text import Text

    console.print()
    console.print(Text(text, style="bold"))


def item(console: Console, text: str, indent: int = 2) -> None:
    """Write a line, wrapped and indented, without trailing blanks."""
    from rich.text import Text

    space = " " * indent
    hanging = space + ("  " if text.startswith(("- ", "[")) else "")
    for line in wrap(text, console.width, initial_indent=space, subsequent_indent=hanging):
        console.print(Text(line))


def screen() -> Console:
    """Return the console: bold on a terminal, plain text in a pipe, at most 80 columns wide."""
    from rich.console import Console

    console = Console(highlight=False, markup=False, emoji=False)
    console.width = min(console.width, WIDTH) if console.is_terminal else WIDTH
    return console
