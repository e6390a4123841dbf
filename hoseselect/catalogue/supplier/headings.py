"""The headings of a supplier's sheet: which lines they stand on and which columns they name."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from hoseselect.catalogue.supplier.sheet import SupplierSheet
from hoseselect.quantities.spelling import near_spellings

SAMPLE = 30
"""Lines looked at to find the headings."""

MOST_LINES = 3
"""Headings may stand on so many lines, as where "Bore" is merged over "min" and "max"."""


@dataclass(frozen=True)
class Headings:
    """The headings of a sheet.

    Parameters
    ----------
    rows : places of the rows they stand on
    names : heading of each column, all lines of it joined
    lowest : heading of each column on the last line alone
    """

    rows: range
    names: tuple[str, ...]
    lowest: tuple[str, ...]

    def places(self, heading: str) -> list[int]:
        """Return the columns with a heading, by its whole name or else by its last line."""
        for names in (self.names, self.lowest):
            found = [k for k, name in enumerate(names) if name and plain(name) == plain(heading)]
            if found:
                return found
        return []

    def nearest(self, heading: str) -> str:
        """Return the heading of the sheet most like this one, "" where none is."""
        names = {plain(name): name for name in self.names if name}
        return "".join(names[near] for near in near_spellings(plain(heading), names))


def plain(heading: str) -> str:
    """Return a heading as it is compared: small letters, single blanks."""
    return " ".join(heading.split()).casefold()


def headings_on(sheet: SupplierSheet, rows: range) -> Headings:
    """Return the headings that stand on some rows.

    An upper heading stands over the empty cells to its right as long as the line below it goes on.
    A line with nothing but a title is no heading.
    """
    lines = [[] if _is_title(sheet.rows[row]) else list(sheet.rows[row]) for row in rows]
    lines = [line for line in lines if line]
    for upper, lower in pairwise(lines):
        over = ""
        for column, cell in enumerate(upper):
            if cell:
                over = cell
            elif lower[column]:
                upper[column] = over
            else:
                over = ""
    names = []
    for column in range(len(sheet.rows[0]) if sheet.rows else 0):
        parts = dict.fromkeys(line[column] for line in lines if line[column])
        names.append(" ".join(parts))
    lowest = tuple(lines[-1]) if lines else ()
    return Headings(rows, tuple(names), lowest)


def _is_title(cells: tuple[str, ...]) -> bool:
    """Return whether a line holds one text alone, at its start or merged over the whole line."""
    return len(cells) > 1 and cells[0] != "" and set(cells) <= {cells[0], ""}


def find_headings(sheet: SupplierSheet, wanted: Iterable[str], lines: tuple[int, int]) -> Headings:
    """Return the headings: on the lines named, else where most of the wanted ones stand.

    Parameters
    ----------
    sheet : the sheet
    wanted : headings that the mapping names
    lines : first and last line of the headings; 0, 0 = find them
    """
    if lines != (0, 0):
        rows = [r for r, number in enumerate(sheet.numbers) if lines[0] <= number <= lines[1]]
        return headings_on(sheet, range(rows[0], rows[-1] + 1) if rows else range(0))
    best, most = headings_on(sheet, range(0)), 0
    names = list(wanted)
    for count in range(1, MOST_LINES + 1):
        for first in range(min(SAMPLE, len(sheet.rows) - count + 1)):
            found = headings_on(sheet, range(first, first + count))
            score = sum(bool(found.places(name)) for name in names)
            if score > most:
                best, most = found, score
    return best
