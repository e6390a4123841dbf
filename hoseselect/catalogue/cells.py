"""A catalogue file as text cells: encoding, headings and count of cells."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from pathlib import Path

from hoseselect.catalogue.complaint import Complaint, Severity
from hoseselect.catalogue.file_form import CatalogueField, CatalogueFile
from hoseselect.catalogue.headings import about_file, name_columns
from hoseselect.files.open_file import read_bytes
from hoseselect.files.sheet_line import MOST_LETTERS_OF_A_CELL, Fault
from hoseselect.knowledge.errors import InputError


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
    whole : whether the file could be read to its end
    """

    table: CatalogueFile
    lines: tuple[int, ...]
    numbers: dict[str, int]
    texts: dict[str, tuple[str, ...]]
    dropped: frozenset[str] = frozenset()
    whole: bool = True

    def __len__(self) -> int:
        return len(self.lines)

    @property
    def unread(self) -> frozenset[str] | None:
        """Names of rows that could not be read; None where it is not known which rows there are."""
        return self.dropped if self.numbers and self.whole else None

    @property
    def complete(self) -> bool:
        """Whether every row of the file could be read."""
        return self.unread is not None and not self.unread

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


def empty(table: CatalogueFile) -> Cells:
    """Return the cells of a file without rows."""
    return Cells(table, (), {}, {})


def read_cells(folder: Path, table: CatalogueFile, complaints: list[Complaint]) -> Cells:
    """Read one file; what is wrong with its form is added to the complaints."""
    path = folder / table.file
    if not path.exists():
        if path.is_symlink():
            complaints.append(about_file(table, 0, "a link to nothing", "the file itself"))
        elif not table.optional:
            complaints.append(about_file(table, 0, "no such file", f"{table.file} in the folder"))
        return empty(table)
    text = read_text(path, table, complaints)
    if text == "":
        return empty(table)
    rows, whole = split(text, table, complaints)
    if not rows:
        complaints.append(about_file(table, 0, "an empty file", "a line of headings"))
        return empty(table)
    (heading_line, first), *body = rows
    headings = tuple(map(str.strip, first))
    numbers = name_columns(heading_line, headings, table, complaints)
    if not numbers:
        return empty(table)
    lines, kept, dropped = [], [], set()
    for line, cells in body:
        if not any(map(str.strip, cells)):
            complaints.append(
                Complaint("warning", table.file, line, 0, "", "a row of empty cells", "no such row")
            )
        elif len(cells) != len(headings):
            complaints.append(wrong_count(table, line, len(cells), len(headings)))
            dropped.add(cells[0].strip())
        else:
            lines.append(line)
            kept.append(cells)
    columns = list(zip(*kept, strict=True)) or [()] * len(headings)
    if _may_hold_blanks(text):
        columns = [_without_blanks(column) for column in columns]
    texts = {name: columns[n - 1] for name, n in numbers.items()}
    return Cells(table, tuple(lines), numbers, texts, frozenset(dropped), whole)


EDGES = (", ", " ,", '" ', ' "', "\n ", " \n", "\r ", " \r", '"\n', '\n"', '"\r', '\r"')
OTHER_BLANKS = "\t\x0b\x0c\x1c\x1d\x1e\x1f"


def _may_hold_blanks(text: str) -> bool:
    """Return whether a cell of a file may have blanks round it; quick where none has."""
    return (
        not text.isascii()
        or text[-1:] == " "
        or any(mark in text for mark in (*EDGES, *OTHER_BLANKS))
    )


def _without_blanks(column: tuple[str, ...]) -> tuple[str, ...]:
    """Return the cells of a column without blanks round them; each distinct one is cut once."""
    blank = {text: bare for text in set(column) if (bare := text.strip()) != text}
    return tuple(blank.get(text, text) for text in column) if blank else column


def read_text(path: Path, table: CatalogueFile, complaints: list[Complaint]) -> str:
    """Return the text of a file, "" with a complaint when it cannot be read."""
    try:
        data = read_bytes(path, "a file that can be read")
    except InputError as error:
        complaints.append(about_file(table, 0, error.found, error.expected))
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
    text: str, table: CatalogueFile, complaints: list[Complaint]
) -> tuple[list[tuple[int, list[str]]], bool]:
    """Return the rows of the text, and whether these are all.

    Each row comes as it stands, with its first line; blank lines are left out. A row that cannot be
    parted into cells ends them.
    """
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows: list[tuple[int, list[str]]] = []
    line = 1
    try:
        for cells in reader:
            if cells:
                rows.append((line, cells))
            line = reader.line_num + 1
    except csv.Error as error:
        complaints.append(about_file(table, line, *_unparted(error)))
        return rows, False
    return rows, True


def _unparted(error: csv.Error) -> Fault:
    if "field limit" in str(error):
        return Fault(f"a cell of more than {MOST_LETTERS_OF_A_CELL} letters", "a shorter one")
    return Fault("a quotation mark without its partner", "cells with paired quotation marks")


def wrong_count(table: CatalogueFile, line: int, found: int, expected: int) -> Complaint:
    """Return the complaint about a row with too few or too many cells."""
    count = f"{found} cells" if found != 1 else "1 cell"
    hint = " (a comma inside a cell, such as a decimal comma, parts it)" if found > expected else ""
    return about_file(table, line, count, f"{expected} cells, as many as headings{hint}")


def require(cells: Cells, row: int, field: CatalogueField, complaints: list[Complaint]) -> None:
    """Complain of an empty cell where the field needs one and its column is there."""
    if field.required and field.name in cells.numbers:
        complaints.append(
            cells.complaint("error", row, field.name, "an empty cell", field.description)
        )
