"""A sheet of answers as CSV, XLSX or Parquet, written whole or not at all."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any, Protocol, TextIO

from hoseselect.files.harmless import CONTROL, harmless
from hoseselect.files.sheet_line import MOST_ROWS
from hoseselect.files.write_files import drafts
from hoseselect.intake.job_headings import PREFIX
from hoseselect.interfaces.sheets.parquet_rows import parquet_rows
from hoseselect.knowledge.errors import InputError

Cell = str | float | None
MOST_KEPT = 20_000
"""Distinct texts that are looked at once, a matter of memory."""

MOST_LETTERS = 32_767
"""What one cell of a workbook can hold."""

END = "\r\n"
"""Of the lines of a CSV file."""

ENDS = "a name that ends in .csv, .xlsx or .parquet"
FORMS = (".csv", ".xlsx", ".parquet")


NARROW, WIDE = 14, 30  # columns [letters]
WIDTHS = {
    "verdict": 10,
    "hose": 12,
    "description": WIDE,
    "print_line": WIDE,
    "other_cuts": WIDE,
    "clamps": WIDE,
    "checks": 60,
    "conditions": 50,
    "taken_as_usual": 50,
    "roll": WIDE,
    "reason": 50,
    "way_out": 50,
    "ask": 60,
    "caution": 50,
    "other_hoses": WIDE,
    "error": 60,
}


class RowWriter(Protocol):
    """Takes rows of cells."""

    def write(self, rows: Sequence[Sequence[Cell]]) -> None:
        """Write some rows."""
        ...


@contextmanager
def answer_sheet(
    path: Path, separator: str = ",", inputs: Iterable[Path] = ()
) -> Iterator[RowWriter]:
    """Give a writer of rows; the file appears when all of them are written, or not at all.

    Parameters
    ----------
    path : ends in .csv, .xlsx or .parquet
    separator : of the cells of a CSV file; with a semicolon figures have a decimal comma
    inputs : files that were read, which are never written over

    Raises
    ------
    InputError
        when it cannot be written.
    """
    if path.suffix.lower() not in FORMS:
        raise InputError("--output", f"'{path.name}'", ENDS)
    with drafts([path], inputs) as (draft,):
        form = path.suffix.lower()
        if form == ".parquet":
            with parquet_rows(draft) as rows:
                yield rows
        elif form == ".csv":
            with draft.open("w", encoding="utf-8-sig", newline="", errors="replace") as stream:
                yield _Csv(stream, separator)
        else:
            book = _Xlsx()
            yield book
            book.save(draft)


class _Csv:
    def __init__(self, stream: TextIO, separator: str) -> None:
        self.stream = stream
        self.separator = separator
        self.fields = _Fields(separator)

    def write(self, rows: Sequence[Sequence[Cell]]) -> None:
        """Write some rows."""
        field, between = self.fields.__getitem__, self.separator.join
        self.stream.write("".join([between(map(field, row)) + END for row in rows]))


class _Fields(dict[Cell, str]):
    """Cells as fields of a CSV file, each distinct one written once."""

    def __init__(self, separator: str) -> None:
        super().__init__()
        self.comma = separator == ";"
        self.stream = io.StringIO()
        self.writer = csv.writer(self.stream, delimiter=separator, lineterminator=END)

    def __missing__(self, cell: Cell) -> str:
        if len(self) >= MOST_KEPT:
            self.clear()
        self.stream.seek(0)
        self.stream.truncate()
        self.writer.writerow([self._text(cell), ""])  # one empty field alone would be quoted
        return self.setdefault(cell, self.stream.getvalue()[: -1 - len(END)])

    def _text(self, cell: Cell) -> str:
        if cell is None:
            return ""
        if isinstance(cell, str):
            return harmless(cell)
        text = f"{cell:.12g}"
        return text.replace(".", ",") if self.comma else text


class _Xlsx:
    def __init__(self) -> None:
        self.letters: list[str] = []
        self.cell_class: Any = import_module("openpyxl.cell").WriteOnlyCell
        self.book: Any = import_module("openpyxl").Workbook(write_only=True)
        self.sheet: Any = self.book.create_sheet("answers")
        self.sheet.freeze_panes = "A2"
        self.rows = 0
        self.wrapped = self._styled(bold=False)
        self.head = self._styled(bold=True)

    def write(self, rows: Sequence[Sequence[Cell]]) -> None:
        """Write some rows.

        Raises
        ------
        InputError
            when a workbook cannot hold them.
        """
        self.rows += len(rows)
        if self.rows > MOST_ROWS:
            raise InputError("--output", f"more than {MOST_ROWS} rows", "a name that ends in .csv")
        for row in rows:
            if not self.letters:
                self.sheet.append(self._headings(row))
                continue
            self.sheet.append([self._cell(cell) for cell in row])

    def _headings(self, row: Sequence[Cell]) -> list[Any]:
        """Return the headings, once the columns are as wide as what stands in them."""
        letters = import_module("openpyxl.utils").get_column_letter
        self.letters = [letters(number) for number in range(1, len(row) + 1)]
        for letter, heading in zip(self.letters, map(str, row), strict=True):
            name = heading.partition(" [")[0].removeprefix(PREFIX)
            own = heading.startswith(PREFIX)
            width = WIDTHS.get(name, NARROW) if own else max(NARROW, min(len(heading), WIDE))
            self.sheet.column_dimensions[letter].width = width
        return [self._like(self.head, str(heading)) for heading in row]

    def _styled(self, *, bold: bool) -> Any:
        """Return a cell whose style others take over."""
        styles = import_module("openpyxl.styles")
        cell = self.cell_class(self.sheet)
        cell.alignment = styles.Alignment(wrap_text=True, vertical="top")
        cell.font = styles.Font(bold=bold)
        return cell

    def _like(self, styled: Any, text: str) -> Any:
        written = self.cell_class(self.sheet, value=text)
        written.data_type = "s"  # text, whatever it looks like
        written._style = styled._style
        return written

    def _cell(self, cell: Cell) -> Any:
        if not isinstance(cell, str):
            return cell
        text = CONTROL.sub("\ufffd", cell)[:MOST_LETTERS]
        if not text:
            return None
        if text.startswith("=") or len(text) > NARROW:
            return self._like(self.wrapped, text)
        return text

    def save(self, path: Path) -> None:
        """Save the workbook, its lines a list to filter."""
        if self.letters:
            self.sheet.auto_filter.ref = f"A1:{self.letters[-1]}{self.rows}"
        self.book.save(path)
