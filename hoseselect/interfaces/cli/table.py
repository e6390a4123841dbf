"""A table of plain text: columns as wide as they need, words never cut."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import zip_longest
from textwrap import wrap
from typing import Any

GAP = 2


def table_lines(rows: Sequence[Mapping[str, Any]], width: int) -> list[str]:
    """Return the rows under their headings.

    Cells are wrapped between words. A word longer than its share of the width is kept whole, so
    that a line may become longer than the width rather than lose a letter.

    Parameters
    ----------
    rows : cells by heading; all rows have the headings of the first
    width : width of a line
    """
    if not rows:
        return []
    headings = [key.replace("_", " ") for key in rows[0]]
    cells = [[cell_text(value) for value in row.values()] for row in rows]
    right = [all(_is_figure(value) for value in column) for column in _columns(rows)]
    widths = column_widths([headings, *cells], width)
    lines = []
    for row in [headings, *cells]:
        wrapped = [
            wrap(cell, size, break_long_words=False, break_on_hyphens=False) or [""]
            for cell, size in zip(row, widths, strict=True)
        ]
        for parts in zip_longest(*wrapped, fillvalue=""):
            padded = [
                part.rjust(size) if to_right else part.ljust(size)
                for part, size, to_right in zip(parts, widths, right, strict=True)
            ]
            lines.append((" " * GAP).join(padded).rstrip())
    return lines


def column_widths(rows: Sequence[Sequence[str]], width: int) -> list[int]:
    """Return the width of each column: its longest word at least, its longest cell at most."""
    columns = list(zip(*rows, strict=True))
    least = [max(len(w) for cell in column for w in cell.split() or [""]) for column in columns]
    most = [max(len(cell) for cell in column) for column in columns]
    spare = width - sum(least) - GAP * (len(columns) - 1)
    widths = least[:]
    for place in sorted(range(len(columns)), key=lambda k: most[k] - least[k]):
        grown = max(0, min(most[place] - least[place], spare))
        widths[place] += grown
        spare -= grown
    return widths


def cell_text(value: Any) -> str:
    """Return a value as it stands in a cell; what is not stated is a dash."""
    if value is None or value == "" or (isinstance(value, float) and math.isnan(value)):
        return "-"
    if isinstance(value, float):
        return f"{value:g}"
    return str(value).replace(";", "; ")


def _columns(rows: Sequence[Mapping[str, Any]]) -> list[list[Any]]:
    return [[row[key] for row in rows] for key in rows[0]]


def _is_figure(value: Any) -> bool:
    return value is None or (isinstance(value, (int, float)) and not isinstance(value, bool))
