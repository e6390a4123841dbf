"""A catalogue file as text cells: encoding, headings and count of cells."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from pathlib import Path

from hoseselect.catalogue.complaint import Complaint, Severity
from hoseselect.catalogue.fields import Table


@dataclass(frozen=True)
class Cells:
    """The cells of one file, by heading.

    Parameters
    ----------
    table : the form of the file
    lines : line of the file of each row, from 1
    numbers : number of each known column, from 1; headings that are missing are left out
    texts : cells of each known column, without blanks around them
    dropped : first cells of the rows left out because of their count of cells
    """

    table: Table
    lines: tuple[int, ...]
    numbers: dict[str, int]
    texts: dict[str, tuple[str, ...]]
    dropped: frozenset[str] = frozenset()

    def __len__(self) -> int:
        return len(self.lines)

    def column(self, heading: str) -> tuple[str, ...]:
        """Return the cells of a column; all empty where the heading is missing."""
        return self.texts.get(heading, ("",) * len(self))

    def complaint(
        self, severity: Severity, row: int, heading: str, found: str, expected: str
    ) -> Complaint:
        """Return a complaint about one cell."""
        number = self.numbers.get(heading, 0)
        return Complaint(
            severity, self.table.file, self.lines[row], number, heading, found, expected
        )


def empty(table: Table) -> Cells:
    """Return the cells of a file without rows."""
    return Cells(table, (), {}, {})


def about_file(table: Table, line: int, found: str, expected: str) -> Complaint:
    """Return an error about a whole line, or with line 0 about the whole file."""
    return Complaint("error", table.file, line, 0, "", found, expected)


def read_cells(folder: Path, table: Table, complaints: list[Complaint]) -> Cells:
    """Read one file; what is wrong with its form is added to the complaints."""
    path = folder / table.file
    if not path.exists():
        if not table.optional:
            complaints.append(about_file(table, 0, "no such file", f"{table.file} in the folder"))
        return empty(table)
    text = read_text(path, table, complaints)
    if text == "":
        return empty(table)
    rows = split(text, table, complaints)
    if not rows:
        complaints.append(about_file(table, 0, "an empty file", "a line of headings"))
        return empty(table)
    (heading_line, headings), *body = rows
    numbers = name_columns(heading_line, headings, table, complaints)
    if not numbers:
        return empty(table)
    lines, kept, dropped = [], [], set()
    for line, cells in body:
        if not any(cells):
            complaints.append(
                Complaint("warning", table.file, line, 0, "", "a row of empty cells", "no such row")
            )
        elif len(cells) != len(headings):
            complaints.append(wrong_count(table, line, len(cells), len(headings)))
            dropped.add(cells[0])
        else:
            lines.append(line)
            kept.append(cells)
    texts = {name: tuple(cells[n - 1] for cells in kept) for name, n in numbers.items()}
    return Cells(table, tuple(lines), numbers, texts, frozenset(dropped))


def read_text(path: Path, table: Table, complaints: list[Complaint]) -> str:
    """Return the text of a file, "" with a complaint when it cannot be read."""
    try:
        data = path.read_bytes()
    except OSError as error:
        reason = error.strerror or "an unreadable file"
        complaints.append(about_file(table, 0, reason, "a file that can be read"))
        return ""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        complaints.append(about_file(table, 0, "a file saved as UTF-16", "a file saved as UTF-8"))
        return ""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        found = f"byte {data[error.start]:#04x}, which is not UTF-8"
        complaints.append(about_file(table, line, found, "a file saved as UTF-8"))
        return ""
    if text.strip() == "":
        complaints.append(about_file(table, 0, "an empty file", "a line of headings"))
        return ""
    return text


def split(
    text: str, table: Table, complaints: list[Complaint]
) -> list[tuple[int, tuple[str, ...]]]:
    """Return the rows of the text, each with the line it starts on; blank lines are left out."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows: list[tuple[int, tuple[str, ...]]] = []
    line = 1
    try:
        for cells in reader:
            if cells:
                rows.append((line, tuple(cell.strip() for cell in cells)))
            line = reader.line_num + 1
    except csv.Error:
        complaints.append(
            about_file(
                table,
                line,
                "a quotation mark without its partner",
                "cells with paired quotation marks",
            )
        )
    return rows


def wrong_count(table: Table, line: int, found: int, expected: int) -> Complaint:
    """Return the complaint about a row with too few or too many cells."""
    count = f"{found} cells" if found != 1 else "1 cell"
    hint = " (a comma inside a cell, such as a decimal comma, parts it)" if found > expected else ""
    return about_file(table, line, count, f"{expected} cells, as many as headings{hint}")


def name_columns(
    line: int, headings: tuple[str, ...], table: Table, complaints: list[Complaint]
) -> dict[str, int]:
    """Return the number of each known heading; complain of missing, extra and doubled ones."""
    if len(headings) == 1 and any(mark in headings[0] for mark in ";\t"):
        mark = "semicolons" if ";" in headings[0] else "tabulators"
        complaints.append(about_file(table, line, f"cells parted by {mark}", "commas"))
        return {}
    numbers: dict[str, int] = {}
    strange: list[tuple[int, str]] = []
    for number, heading in enumerate(headings, start=1):
        if heading in numbers:
            complaints.append(
                Complaint(
                    "error",
                    table.file,
                    line,
                    number,
                    heading,
                    f"the heading '{heading}' a second time",
                    "every heading once",
                )
            )
        elif heading in table.headings:
            numbers[heading] = number
        else:
            strange.append((number, heading))
    missing = [name for name in table.headings if name not in numbers]
    for number, heading in strange:
        meant = meant_heading(heading, missing, table)
        if meant:
            missing.remove(meant)
            complaints.append(
                Complaint(
                    "error",
                    table.file,
                    line,
                    number,
                    heading,
                    f"the heading '{heading}'",
                    f"'{meant}'{unit_hint(meant, table)}",
                )
            )
        else:
            complaints.append(
                Complaint(
                    "warning",
                    table.file,
                    line,
                    number,
                    heading,
                    f"the heading '{heading}', which is not read",
                    "no such column",
                )
            )
    complaints.extend(
        about_file(table, line, f"no column '{name}'", f"a column '{name}'") for name in missing
    )
    return numbers


def meant_heading(heading: str, missing: list[str], table: Table) -> str:
    """Return the missing heading this one stands for, "" when there is none.

    The same words in other letters or with blanks, without the unit or with another unit.
    """
    plain = heading.lower().replace(" ", "_").replace("-", "_")
    for name in missing:
        stem = name.rsplit("_", 1)[0] if table.field(name).unit not in ("", "money") else name
        if plain == name or (stem and plain in (stem, *(f"{stem}_{u}" for u in OTHER_UNITS))):
            return name
    return ""


OTHER_UNITS = (
    "mm",
    "cm",
    "m",
    "in",
    "inch",
    "inches",
    "ft",
    "kpa",
    "bar",
    "mbar",
    "psi",
    "mpa",
    "pa",
    "inhg",
    "mmhg",
    "degc",
    "c",
    "degf",
    "f",
    "k",
    "deg",
    "rad",
)
"""Units a heading may end in by mistake."""


def unit_hint(name: str, table: Table) -> str:
    """Return a reminder of the unit of a column."""
    unit = table.field(name).unit
    return f" with numbers in {unit}" if unit not in ("", "money") else ""
