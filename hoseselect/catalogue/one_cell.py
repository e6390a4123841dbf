"""One cell of a catalogue file, changed where it stands: every other letter of the file stays."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

ENDS = ("\r\n", "\n", "\r")
WRITTEN = "\r\n"
"""End with which the library writes a row; a cell with a part of it inside is quoted."""


@dataclass(frozen=True)
class Row:
    """A row of a file as it is written.

    Parameters
    ----------
    line : of the file on which it starts, from 1
    cells : as they stand, blanks around them included
    raw : its letters, the end of its last line included
    """

    line: int
    cells: tuple[str, ...]
    raw: str


def row_at(text: str, line: int) -> Row | None:
    """Return the row that starts on a line; None where none does.

    Parameters
    ----------
    text : of the file
    line : from 1
    """
    lines = lines_of(text)
    start = 1
    while start <= line <= len(lines):
        reader = csv.reader(iter(lines[start - 1 :]), strict=True)
        try:
            cells = next(reader)
        except (csv.Error, StopIteration):
            return None
        if start == line:
            raw = "".join(lines[start - 1 : start - 1 + reader.line_num])
            return Row(line, tuple(cells), raw)
        start += reader.line_num
    return None


def lines_of(text: str) -> list[str]:
    """Return the lines of a text with their ends, as rows are counted by."""
    return list(io.StringIO(text, newline=""))


def with_row(text: str, row: Row, raw: str) -> str:
    """Return a text in which a row is written otherwise.

    Parameters
    ----------
    text : of the file
    row : as it stands there
    raw : letters in its place
    """
    before = "".join(lines_of(text)[: row.line - 1])
    return before + raw + text[len(before) + len(row.raw) :]


def row_with(row: Row, column: int, value: str) -> str:
    """Return the letters of a row in which one cell holds something else.

    Parameters
    ----------
    row : as it stands
    column : of the cell, from 1
    value : for the cell
    """
    cells = [*row.cells[: column - 1], value, *row.cells[column:]]
    end = next((end for end in ENDS if row.raw.endswith(end)), "")
    written = io.StringIO()
    csv.writer(written, lineterminator=WRITTEN).writerow(cells)
    return f"{written.getvalue().removesuffix(WRITTEN)}{end}"
