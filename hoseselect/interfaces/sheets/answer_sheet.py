"""A sheet of answers as CSV or XLSX, written whole or not at all."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any, Protocol

from hoseselect.files.harmless import CONTROL, harmless
from hoseselect.files.sheet_line import MOST_ROWS
from hoseselect.files.write_files import drafts
from hoseselect.knowledge.errors import InputError

Cell = str | float | None
MOST_LETTERS = 32_767
"""What one cell of a workbook can hold."""

FORMS = (".csv", ".xlsx")


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
    path : ends in .csv or .xlsx
    separator : of the cells of a CSV file; with a semicolon figures have a decimal comma
    inputs : files that were read, which are never written over

    Raises
    ------
    InputError
        when it cannot be written.
    """
    if path.suffix.lower() not in FORMS:
        raise InputError("--output", f"'{path.name}'", f"a name that ends in {' or '.join(FORMS)}")
    with drafts([path], inputs) as (draft,):
        if path.suffix.lower() == ".csv":
            with draft.open("w", encoding="utf-8-sig", newline="", errors="replace") as stream:
                yield _Csv(csv.writer(stream, delimiter=separator), separator)
        else:
            book = _Xlsx()
            yield book
            book.save(draft)


class _Csv:
    def __init__(self, writer: Any, separator: str) -> None:
        self.writer = writer
        self.comma = separator == ";"

    def write(self, rows: Sequence[Sequence[Cell]]) -> None:
        """Write some rows."""
        self.writer.writerows([[self._text(cell) for cell in row] for row in rows])

    def _text(self, cell: Cell) -> str:
        if cell is None:
            return ""
        if isinstance(cell, str):
            return harmless(cell)
        text = f"{cell:.12g}"
        return text.replace(".", ",") if self.comma else text


class _Xlsx:
    def __init__(self) -> None:
        self.cell_class: Any = import_module("openpyxl.cell").WriteOnlyCell
        self.book: Any = import_module("openpyxl").Workbook(write_only=True)
        self.sheet: Any = self.book.create_sheet("answers")
        self.sheet.freeze_panes = "A2"
        self.rows = 0

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
            self.sheet.append([self._cell(cell) for cell in row])

    def _cell(self, cell: Cell) -> Any:
        if not isinstance(cell, str):
            return cell
        text = CONTROL.sub("\ufffd", cell)[:MOST_LETTERS]
        if not text:
            return None
        if not text.startswith("="):
            return text
        written = self.cell_class(self.sheet, value=text)
        written.data_type = "s"  # text, whatever it looks like
        return written

    def save(self, path: Path) -> None:
        """Save the workbook."""
        self.book.save(path)
