"""Cells of a sheet of jobs as a job file would have them."""

from __future__ import annotations

import re

from pydantic import TypeAdapter, ValidationError

from hoseselect.intake.cell_dates import is_date
from hoseselect.intake.door import MOST_KEPT, checked_text
from hoseselect.intake.sheet_keys import SheetKey
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.spelling import BREAKS, plain_text, without_unseen

BARE = re.compile(r"[-+]?[0-9.,'\s/]+")
OF_WORDS = {"text", "word", "answer", "service", "fluids"}
"""Kinds of fields without figures."""

THREE_AFTER_POINT = re.compile(r"(?<![0-9.,])([1-9][0-9]{0,2})\.([0-9]{3})(?![0-9.,])")
SUCTION = re.compile(r"\b(vacuum|vac|suction|depression)\b", re.IGNORECASE)
FORMULA_SIGNS = ("=", "+", "-", "@")


class Column(dict[str, "str | InputError"]):
    """What the cells of one column say, each distinct text looked at once.

    Parameters
    ----------
    key : of the job file
    unit : of bare numbers, from the heading; empty = the working unit
    decimal : "," where the sheet is known to be written with decimal commas, else "."
    """

    def __init__(self, key: SheetKey, unit: str = "", decimal: str = ".") -> None:
        super().__init__()
        self.key = key
        self.unit = unit
        self.decimal = decimal

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
        clean: str = checked_text(clean_cell(text), self.key.place)
        if self.decimal == "," and self.key.kind not in OF_WORDS:
            clean = self._without_points(clean)
        if not self.key.unit:
            return clean
        if is_date(clean):
            found = f"the date {clean}"
            expected = "a figure (spreadsheets make dates of 3/8: format the cell as text)"
            raise InputError("", found, expected)
        return with_unit(clean, self.unit)

    def _without_points(self, text: str) -> str:
        """Return a cell in which no point may part thousands as well as decimals.

        Raises
        ------
        InputError
            when the field takes both readings.
        """
        found = THREE_AFTER_POINT.search(text)
        if found is None:
            return text
        readings = (THREE_AFTER_POINT.sub(r"\1\2", text), text)
        possible = [one for one in readings if self._taken(with_unit(one, self.unit))]
        if len(possible) == 1:
            return possible[0]
        larger, smaller = found[1] + found[2], f"{found[1]},{found[2]}"
        raise InputError(
            "",
            f"'{text}' in a sheet with decimal commas, where the point may part thousands"
            f" ({larger}) or decimals ({smaller})",
            f"the figure without a point: {larger} or {smaller.rstrip('0').rstrip(',')}",
        )

    def _taken(self, text: str) -> bool:
        """Return whether the field takes a text."""
        try:
            TypeAdapter(self.key.annotation).validate_python(text)
        except ValidationError:
            return False
        return True


def clean_cell(text: str) -> str:
    """Return a cell without needless blanks, and without the mark that keeps it from being run."""
    clean = " ".join(without_unseen(text, BREAKS).split())
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
