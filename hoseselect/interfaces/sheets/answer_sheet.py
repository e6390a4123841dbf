"""A sheet of answers as CSV or XLSX, written whole or not at all."""

from __future__ import annotations

import csv
import os
import re
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any, Protocol

from hoseselect.knowledge.errors import InputError

Cell = str | float | None
RUN_BY_SPREADSHEETS = ("=", "+", "-", "@", "\t", "\r")
MOST_ROWS = 1_048_576
MOST_LETTERS = 32_767
"""What one sheet of a workbook, and one of its cells, can hold."""

FORMS = (".csv", ".xlsx")
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][+-]?\d+)?")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffe\uffff]")


class RowWriter(Protocol):
    """Takes rows of cells."""

    def write(self, rows: Sequence[Sequence[Cell]]) -> None:
        """Write some rows."""
        ...


def harmless(text: str) -> str:
    """Return a text that no spreadsheet runs: what looks like a formula gets a mark before it.

    Plain numbers stay as they are.

    Examples
    --------
    >>> harmless("=1+1"), harmless("-65"), harmless("-65 kPa"), harmless("12 mm")
    ("'=1+1", '-65', "'-65 kPa", '12 mm')
    """
    shown = _CONTROL.sub("\ufffd", text)
    looks_run = shown.lstrip(" \u00a0").startswith(RUN_BY_SPREADSHEETS)
    return f"'{shown}" if looks_run and not _NUMBER.fullmatch(shown.strip()) else shown


@contextmanager
def answer_sheet(path: Path, separator: str = ",") -> Iterator[RowWriter]:
    """Give a writer of rows; the file appears when all of them are written, or not at all.

    Parameters
    ----------
    path : ends in .csv or .xlsx
    separator : of the cells of a CSV file; with a semicolon figures have a decimal comma

    Raises
    ------
    InputError
        when it cannot be written.
    """
    if path.suffix.lower() not in FORMS:
        raise InputError("--output", f"'{path.name}'", f"a name that ends in {' or '.join(FORMS)}")
    if path.is_dir() or not path.parent.is_dir():
        raise InputError("--output", f"'{path}'", "a file in a folder that is there")
    try:
        handle = tempfile.NamedTemporaryFile(  # noqa: SIM115
            dir=path.parent, prefix=f".{path.name}.", suffix=path.suffix.lower(), delete=False
        )
    except OSError as error:
        reason = (error.strerror or "cannot be written").lower()
        raise InputError(str(path), reason, "a folder that can be written to") from None
    handle.close()
    held = Path(handle.name)
    mask = os.umask(0)
    os.umask(mask)
    held.chmod(0o666 & ~mask)
    try:
        if path.suffix.lower() == ".csv":
            with held.open("w", encoding="utf-8-sig", newline="", errors="replace") as stream:
                yield _Csv(csv.writer(stream, delimiter=separator), separator)
        else:
            book = _Xlsx()
            yield book
            book.save(held)
        held.replace(path)
    finally:
        held.unlink(missing_ok=True)


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
        text = _CONTROL.sub("\ufffd", cell)[:MOST_LETTERS]
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
