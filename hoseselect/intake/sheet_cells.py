"""Cells of a sheet of jobs as a job file would have them."""

from __future__ import annotations

import re

from hoseselect.intake.door import MOST_KEPT, checked_text
from hoseselect.intake.sheet_keys import SheetKey
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.spelling import plain_text

BARE = re.compile(r"[-+]?[0-9.,'\s/]+")
SUCTION = re.compile(r"\b(vacuum|vac|suction|depression)\b", re.IGNORECASE)
CLOCK = re.compile(r"\d{4}-\d{2}-\d{2}(?: \d{2}:\d{2}:\d{2}(?:\.\d+)?)?")
FORMULA_SIGNS = ("=", "+", "-", "@")


class Column(dict[str, "str | InputError"]):
    """What the cells of one column say, each distinct text looked at once.

    Parameters
    ----------
    key : of the job file
    unit : of bare numbers, from the heading; empty = the working unit
    """

    def __init__(self, key: SheetKey, unit: str = "") -> None:
        super().__init__()
        self.key = key
        self.unit = unit

    def __missing__(self, text: str) -> str | InputError:
        """Return a cell as a job file would have it; empty = left out, an error = no such text."""
        if len(self) >= MOST_KEPT:
            self.clear()
        try:
            found: str | InputError = self.typed(text)
        except InputError as error:
            found = error
        self[text] = found
        return found

    def typed(self, text: str) -> str:
        """Return a cell as a job file would have it.

        Raises
        ------
        InputError
            when no job file may hold it.
        """
        clean = clean_cell(text)
        checked_text(clean)
        if not self.key.unit:
            return clean
        if CLOCK.fullmatch(clean):
            found = f"the date {clean}"
            expected = "a figure (spreadsheets make dates of 3/8: format the cell as text)"
            raise InputError("", found, expected)
        return with_unit(clean, self.unit)


def clean_cell(text: str) -> str:
    """Return a cell without needless blanks, and without the mark that keeps it from being run."""
    clean = " ".join(text.split())
    if clean.startswith("'") and clean[1:2] in FORMULA_SIGNS:
        return clean[1:]
    return clean


def with_unit(text: str, unit: str) -> str:
    """Return a bare number with the unit of its heading.

    Examples
    --------
    >>> with_unit("230", "degF"), with_unit("110 degC", "degF"), with_unit("-20", "inHg vacuum")
    ('230 degF', '110 degC', '-20 inHg')
    """
    if not unit:
        return text
    plain = plain_text(text)
    if not BARE.fullmatch(plain):
        return text
    if plain.startswith("-") and SUCTION.search(unit):
        unit = SUCTION.sub(" ", unit).strip()  # the sign says suction already
    return f"{plain} {unit}"
