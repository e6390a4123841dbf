"""What all commands share: options of few words, JSON, the screen."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence
from textwrap import wrap
from typing import Any

import typer

from hoseselect.catalogue.complaint import printable
from hoseselect.knowledge.errors import InputError

WIDTH, HEIGHT = 80, 24
WIDEST = 120
"""Columns that a wide terminal is used to: longer lines are read badly."""


def one_of(
    flag: str,
    words: Sequence[str],
    help_text: str,
    also: Mapping[str, str] | None = None,
    usual: Callable[[], str] | None = None,
) -> Any:
    """Return an option that takes one of few words; the first is usual; capitals do not matter.

    Another word gives the one sentence that every fault gives, and exit code 2.

    Parameters
    ----------
    flag, help_text : of the option
    words : that it takes
    also : other words for those
    usual : what the shop has set, in place of the first word
    """

    def known(text: str) -> str:
        typed = text.strip().casefold()
        word = (also or {}).get(typed, typed)
        if word not in words:
            raise InputError(flag, f"'{text}'", ", ".join(words[:-1]) + f" or {words[-1]}")
        return word

    return typer.Option(
        ... if usual else words[0],
        flag,
        default_factory=usual,
        show_default=f"{words[0]}, or as set by `settings`" if usual else True,
        help=help_text,
        parser=known,
        metavar=f"[{'|'.join(words)}]",
        autocompletion=lambda incomplete: [word for word in words if word.startswith(incomplete)],
    )


def write_json(value: Any) -> None:
    """Write a value as JSON; unknown numbers are null."""
    from hoseselect.interfaces.json_text import ascii_only, json_text

    text, encoding = json_text(value), sys.stdout.encoding or ""
    shown = (text if "utf" in encoding.lower() else ascii_only(text)) + "\n"
    for start in range(0, len(shown), AT_ONCE):
        sys.stdout.write(shown[start : start + AT_ONCE])


AT_ONCE = 30_000
"""Letters: of one long write the rest is lost unseen where the reader leaves in the middle."""


def only_with_json(top: int | None, *, json: bool) -> None:
    """Refuse a count of hoses that no JSON is to hold.

    Raises
    ------
    InputError
        when hoses are counted and no JSON is asked for.
    """
    if top is not None and not json:
        raise InputError("--top", f"{top} without --json", "--json beside it")


class Screen:
    """Lines of text: bold headings on a terminal, plain text of 80 columns in a pipe."""

    def __init__(self) -> None:
        self._bold = None
        self.width, self.height = WIDTH, HEIGHT
        if sys.stdout.isatty():
            from rich.console import Console

            console = Console(highlight=False, markup=False, emoji=False)
            self.width = min(console.width, WIDEST)
            self._bold = console

    def line(self, text: str, *, bold: bool = False) -> None:
        """Write one line, without what a terminal would obey."""
        text = printable(text)
        if bold and self._bold is not None:
            from rich.text import Text

            self._bold.print(Text(text, style="bold"))
        else:
            sys.stdout.write(f"{text}\n")

    def heading(self, text: str) -> None:
        """Write a heading with a blank line before it."""
        self.line("")
        for line in wrap(text, self.width):
            self.line(line, bold=True)

    def item(self, text: str, indent: int = 2) -> None:
        """Write a text wrapped and indented, without trailing blanks."""
        space = " " * indent
        hanging = space + ("  " if text.startswith(("- ", "[")) else "")
        for line in wrap(
            text,
            self.width,
            initial_indent=space,
            subsequent_indent=hanging,
            break_on_hyphens=False,
        ):
            self.line(line)
