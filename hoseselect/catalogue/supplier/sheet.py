"""A supplier's sheet as lines of text cells, from CSV or XLSX."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from hoseselect.catalogue.complaint import Complaint, Severity
from hoseselect.knowledge.errors import InputError

SEPARATORS = ",;\t|"
SAMPLE = 30
"""Lines looked at to find the separator and the headings."""


@dataclass(frozen=True)
class Sheet:
    """The cells of one sheet as it stands.

    Parameters
    ----------
    file : name of the file
    numbers : line of the file of each row, from 1
    rows : text cells of each row, without blanks around them; all rows of one length
    unreadable : what is wrong with single cells, by (place of the row, place of the column)
    spread : cells that only repeat a merged cell beside them, (place of row, place of column)
    hidden_columns : places of the columns that are hidden
    hidden_rows : places of the rows that are hidden
    cell_names : whether cells have names such as "C12"
    """

    file: str
    numbers: tuple[int, ...]
    rows: tuple[tuple[str, ...], ...]
    unreadable: dict[tuple[int, int], tuple[str, str]] = field(default_factory=dict)
    spread: frozenset[tuple[int, int]] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    hidden_rows: frozenset[int] = frozenset()
    cell_names: bool = False

    def complaint(
        self, severity: Severity, row: int, column: int, heading: str, found: str, expected: str
    ) -> Complaint:
        """Return a complaint about one cell; its name stands before the heading where it has one.

        Parameters
        ----------
        row, column : places, from 0; column -1 for the line as a whole
        """
        line = self.numbers[row] if self.numbers else 1
        name = f"{column_letters(column)}{line}" if self.cell_names and column >= 0 else ""
        words = " ".join(word for word in (name, heading) if word)
        return Complaint(severity, self.file, line, column + 1, words, found, expected)


def column_letters(column: int) -> str:
    """Return the letters of a column, from 0.

    Examples
    --------
    >>> column_letters(0), column_letters(27)
    ('A', 'AB')
    """
    letters = ""
    number = column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def read_sheet(path: Path, *, name: str = "", separator: str = "", encoding: str = "") -> Sheet:
    """Read a sheet.

    Parameters
    ----------
    path : CSV (or any text with separators) or XLSX
    name : sheet of a workbook; default the first that is not hidden
    separator : what parts the cells of a text; default found out
    encoding : of a text; default UTF-8, or UTF-16 where the file says so

    Raises
    ------
    InputError
        when the file cannot be read.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        reason = (error.strerror or "an unreadable file").lower()
        raise InputError(str(path), reason, "a sheet, CSV or XLSX") from None
    if data[:4] == b"PK\x03\x04":
        from hoseselect.catalogue.supplier.workbook import read_workbook

        return read_workbook(path, data, name)
    if data[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        raise InputError(path.name, "an old or locked workbook", "a workbook saved as XLSX, or CSV")
    return read_text_sheet(path.name, data, separator, encoding)


def read_text_sheet(file: str, data: bytes, separator: str, encoding: str) -> Sheet:
    """Read a sheet of text cells.

    Parameters
    ----------
    file : name of the file, for complaints
    data : the file
    separator, encoding : as for `read_sheet`

    Raises
    ------
    InputError
        when it is no such text.
    """
    text = _decoded(file, data, encoding)
    if not text.strip():
        raise InputError(file, "an empty file", "a sheet with a line of headings")
    mark = separator or found_separator(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    numbers: list[int] = []
    rows: list[list[str]] = []
    line = 1
    try:
        for cells in reader:
            stripped = [" ".join(cell.split()) for cell in cells]
            if any(stripped):
                numbers.append(line)
                rows.append(stripped)
            line = reader.line_num + 1
    except csv.Error as error:
        found = f"cells that cannot be parted ({error})"
        raise InputError(f"{file}:{line}", found, "paired quotation marks") from None
    return Sheet(file, tuple(numbers), same_length(rows))


def same_length(rows: Sequence[Sequence[str]]) -> tuple[tuple[str, ...], ...]:
    """Return the rows filled up with empty cells to one length."""
    width = max((len(row) for row in rows), default=0)
    return tuple((*row, *[""] * (width - len(row))) for row in rows)


def found_separator(text: str) -> str:
    """Return what parts the cells: what occurs most evenly in the first lines."""
    lines = [line for line in text.splitlines()[: 2 * SAMPLE] if line.strip()][:SAMPLE]

    def evenness(mark: str) -> tuple[int, int]:
        counts = [len(next(csv.reader([line], delimiter=mark), [])) for line in lines]
        usual = max(set(counts), key=lambda count: (counts.count(count), count))
        return (counts.count(usual) if usual > 1 else 0, usual)

    return max(SEPARATORS, key=evenness)


def _decoded(file: str, data: bytes, encoding: str) -> str:
    marked = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    chosen = encoding or ("utf-16" if marked else "utf-8-sig")
    try:
        text = data.decode(chosen)
    except LookupError:
        raise InputError("sheet.encoding", f"'{encoding}'", "such as utf-8 or cp1252") from None
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise InputError(
            f"{file}:{line}",
            f"byte {data[error.start]:#04x}, which is not {chosen.removesuffix('-sig').upper()}",
            "a file saved as UTF-8, or its encoding in the mapping, such as 'cp1252'",
        ) from None
    if "\0" in text:
        raise InputError(file, "a file that is no text", "a sheet, CSV or XLSX")
    return text
