"""A sheet of an XLSX workbook, line by line: merged cells filled, formulas by their stored value.

The library of workbooks reads it, in two goes: what the sheet says beside its cells stands at its
end. It is not read through pandas, which keeps neither number formats nor merged and hidden cells
and holds the whole sheet at once.
"""

from __future__ import annotations

import datetime
import warnings
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any, NamedTuple

from openpyxl import load_workbook
from openpyxl.utils.cell import coordinate_to_tuple
from openpyxl.worksheet._reader import FORMULA_TAG, VALUE_TAG, WorkSheetParser

from hoseselect.files.number_format import shows_otherwise
from hoseselect.files.sheet_line import MOST_COLUMNS, MOST_ROWS, Fault, SheetLine
from hoseselect.files.text_sheet import USUAL, Wording
from hoseselect.knowledge.errors import InputError

ERROR_VALUES = "#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!"
TRUE = ("1", "true")
SIGNIFICANT = 15
"""Figures of a number that a spreadsheet shows at most; the rest is binary rounding."""

MOST_UNPACKED = 2_000_000_000
HARMLESS = 20_000_000
MOST_TIMES = 100
"""Bytes of a part unpacked, at most; above HARMLESS no more than so many times as packed."""

SHEETS = "xl/worksheets/"
MOST_AT_ONCE = 100_000_000
MOST_OF_A_ROW = 8_000_000
"""Bytes unpacked: of a part that is no sheet, and of a row, which are kept as a whole."""

EXPECTED = "a workbook saved as XLSX"
WITHOUT_VALUE = Fault("a formula without a stored value", "the value; save the workbook once more")


class Area(NamedTuple):
    """A merged area: rows from 1, columns from 0, the last ones included."""

    top: int
    bottom: int
    left: int
    right: int


class Content(NamedTuple):
    """What stands in a cell, with what is wrong with it and how it is shown."""

    text: str = ""
    fault: Fault | None = None
    shown: Fault | None = None


NOTHING = Content()


class WorkbookSheet:
    """Lines of one sheet.

    Parameters
    ----------
    path : the file
    name : of the sheet; empty = the first that is shown
    wording : how complaints call the options

    Raises
    ------
    InputError
        when it is no workbook, is damaged or beyond measure, or has no such sheet.
    """

    separator = ""

    def __init__(self, path: Path, name: str = "", wording: Wording = USUAL) -> None:
        # parts of a workbook that hold no cells
        warnings.filterwarnings("ignore", module="openpyxl")
        self.file = path.name
        self.share = 0.0
        self.stream = path.open("rb")
        try:
            with self._readable():
                _refuse_beyond_measure(self.file, self.stream)
                self.book: Any = load_workbook(self.stream, read_only=True, data_only=True)
                self.sheet = self._chosen(name, wording)
                with self.sheet._get_source() as stream:
                    self.layout = _Layout(stream)
                    self.layout.read()
                self.hidden_columns = self.layout.hidden_columns()
        except InputError:
            self.stream.close()
            raise

    @contextmanager
    def _readable(self) -> Iterator[None]:
        """Turn every damage of a file into one sentence: the library lets many kinds through."""
        try:
            yield
        except InputError:
            raise
        except Exception as error:
            told = " ".join(str(error).split())[:80] or type(error).__name__
            found = f"a workbook that cannot be read ({told})"
            raise InputError(self.file, found, EXPECTED) from None

    def _chosen(self, name: str, wording: Wording) -> Any:
        sheets = {sheet.title: sheet for sheet in self.book.worksheets}
        if name:
            if name not in sheets:
                raise InputError(wording.sheet, f"'{name}'", "one of " + ", ".join(sheets))
            return sheets[name]
        shown = [sheet for sheet in sheets.values() if sheet.sheet_state == "visible"]
        if not shown:
            raise InputError(self.file, "no sheet that is shown", f"{wording.sheet} with its name")
        return shown[0]

    def lines(self) -> Iterator[SheetLine]:
        """Yield the lines; cells that cannot be read are named.

        Raises
        ------
        InputError
            when the sheet is damaged.
        """
        merged = _Merged(self.layout.areas())
        self.sheet.reset_dimensions()
        rows = iter(self.sheet.iter_rows())
        number = 0
        try:
            while True:
                with self._readable():
                    cells = next(rows, None)
                    if cells is None:
                        return
                    number += 1
                    found = [self._content(cell, number, k) for k, cell in enumerate(cells)]
                    own = any(content is not NOTHING for content in found)
                    beside = merged.fill(number, found)
                self.share = number / max(self.layout.last, number)
                yield _line(number, found, beside, own, number in self.layout.hidden_rows)
        finally:
            self.stream.close()

    def _content(self, cell: Any, row: int, column: int) -> Content:
        value = cell.value
        if value is None:
            if (row, column) in self.layout.without_value:
                return Content("", WITHOUT_VALUE)
            return NOTHING
        text, fault = cell_text(value)
        if fault is None and not text:
            return NOTHING
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            form = cell.number_format
            if form and shows_otherwise(form):
                found = f"{text} shown by the number format '{form}'"
                expected = "text with its unit, or a plain number format"
                return Content(text, fault, Fault(found, expected))
        return Content(text, fault)


def _line(
    number: int, found: list[Content], merged: dict[int, int], own: bool, hidden: bool
) -> SheetLine:
    return SheetLine(
        number,
        [content.text for content in found],
        {k: content.fault for k, content in enumerate(found) if content.fault},
        line=number,
        merged=merged,
        shown={k: content.shown for k, content in enumerate(found) if content.shown},
        copied=not own and any(content is not NOTHING for content in found),
        hidden=hidden,
    )


class _Merged:
    """Fills merged cells with what stands in the first of them."""

    def __init__(self, areas: list[Area]) -> None:
        self.waiting = sorted(areas, reverse=True)
        self.open: dict[Area, Content] = {}

    def fill(self, number: int, found: list[Content]) -> dict[int, int]:
        """Fill one row; return the first column of its area for each cell merged sideways."""
        while self.waiting and self.waiting[-1].top <= number:
            area = self.waiting.pop()
            self.open[area] = found[area.left] if area.left < len(found) else NOTHING
        for area in [area for area in self.open if area.bottom < number]:
            del self.open[area]
        if len(self.open) > MOST_COLUMNS:
            raise InputError(f"row {number}", "merged areas one over the other", EXPECTED)
        beside: dict[int, int] = {}
        for area, content in self.open.items():
            found.extend([NOTHING] * (area.right + 1 - len(found)))
            found[area.left : area.right + 1] = [content] * (area.right + 1 - area.left)
            if area.right > area.left:
                beside.update(dict.fromkeys(range(area.left, area.right + 1), area.left))
        return beside


class _Metered:
    """A stream of a sheet that ends where a row goes on and on: the library keeps all of it."""

    def __init__(self, stream: IO[bytes]) -> None:
        self.stream = stream
        self.since_row = 0

    def read(self, size: int = -1) -> bytes:
        """Return the next bytes.

        Raises
        ------
        InputError
            when no row ends for too long.
        """
        data = self.stream.read(size)
        self.since_row += len(data)
        if self.since_row > MOST_OF_A_ROW:
            found = f"more than {MOST_OF_A_ROW // 1_000_000} MB without the end of a row"
            raise InputError("sheet", found, EXPECTED)
        return data


class _Layout(WorkSheetParser):  # type: ignore[misc]
    """What a sheet says beside its values; its cells are counted and not kept."""

    def __init__(self, stream: IO[bytes]) -> None:
        self.metered = _Metered(stream)
        super().__init__(self.metered, [])
        self.row_counter: int = 0
        self.last = 0
        self.widest = 0
        self.hidden_rows: set[int] = set()
        self.without_value: set[tuple[int, int]] = set()

    def read(self) -> None:
        """Read the sheet to its end.

        Raises
        ------
        InputError
            when it has more rows or columns than a workbook can.
        """
        for number, _ in self.parse():
            self.last = max(self.last, number)

    def parse_row(self, row: Any) -> tuple[int, tuple[()]]:
        """Count the cells of a row; note formulas whose value was never stored."""
        self.metered.since_row = 0
        number = int(row.get("r", self.row_counter + 1))
        self.row_counter = number
        if not 1 <= number <= MOST_ROWS:
            raise InputError(f"row {number}", "a row", f"at most {MOST_ROWS} of them")
        width = len(row) and max(len(row), _column(row[-1], len(row)))
        if width > MOST_COLUMNS:
            raise InputError(f"row {number}", f"{width} columns", f"at most {MOST_COLUMNS}")
        self.widest = max(self.widest, width)
        if row.get("hidden") in TRUE:
            self.hidden_rows.add(number)
        for place, cell in enumerate(row, start=1):
            if cell.find(FORMULA_TAG) is not None and not cell.findtext(VALUE_TAG):
                self.without_value.add((number, _column(cell, place) - 1))
        return number, ()

    def hidden_columns(self) -> frozenset[int]:
        """Return the places of hidden columns; one entry may stand for a span of them."""
        return frozenset(
            place
            for entry in self.column_dimensions.values()
            if entry.get("hidden") in TRUE
            for place in range(max(int(entry["min"]), 1) - 1, min(int(entry["max"]), MOST_COLUMNS))
        )

    def areas(self) -> list[Area]:
        """Return the merged areas, as far as the sheet itself goes."""
        ranges = [] if self.merged_cells is None else self.merged_cells.mergeCell
        widest = max(self.widest, *(r.min_col for r in ranges), 1)
        return [
            Area(r.min_row, r.max_row, r.min_col - 1, min(r.max_col, widest) - 1) for r in ranges
        ]


def _column(cell: Any, place: int) -> int:
    """Return the column of a cell, from 1; one without a name stands at its place."""
    name = cell.get("r")
    return coordinate_to_tuple(name)[1] if name else place


def _refuse_beyond_measure(file: str, stream: IO[bytes]) -> None:
    """Refuse what unpacks to far more than any sheet.

    Raises
    ------
    InputError
        when a part of the workbook does.
    """
    with zipfile.ZipFile(stream) as archive:
        for part in archive.infolist():
            whole = MOST_UNPACKED if part.filename.startswith(SHEETS) else MOST_AT_ONCE
            most = max(HARMLESS, min(whole, MOST_TIMES * part.compress_size))
            if part.file_size > most:
                size = f"{part.file_size / 1e6:.0f} MB out of {part.compress_size / 1e6:.1f} MB"
                raise InputError(file, f"a part that unpacks to {size}", EXPECTED)


def cell_text(value: Any) -> tuple[str, Fault | None]:
    """Return what stands in a cell as text, and what is wrong with it."""
    if isinstance(value, bool):
        return ("yes" if value else "no"), None
    if isinstance(value, (int, float)):
        return f"{value:.{SIGNIFICANT}g}", None
    if isinstance(value, datetime.datetime):
        clock = value.time() != datetime.time()
        return (value.isoformat(" ") if clock else value.date().isoformat()), None
    text = " ".join(str(value).split())
    if text in ERROR_VALUES:
        return text, Fault(f"the error {text}", "a value, or an empty cell for 'not stated'")
    return text, None
