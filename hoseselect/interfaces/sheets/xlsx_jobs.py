"""A sheet of jobs from XLSX, line by line: merged cells filled, formulas by their stored value."""

from __future__ import annotations

import re
import warnings
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from typing import IO, Any
from xml.etree import ElementTree

from hoseselect.catalogue.supplier.workbook import _cell_text as cell_text
from hoseselect.intake.job_sheet import SheetLine
from hoseselect.knowledge.errors import InputError

Workbook = Any
Worksheet = Any
_REFERENCE = re.compile(r"([A-Z]+)(\d+)")
Area = tuple[int, int, int, int]


@dataclass
class Layout:
    """What a sheet says beside its values.

    Parameters
    ----------
    merged : areas as first row, last row (from 1), first and last column (from 0)
    hidden : places of hidden columns
    without_value : formulas whose value was never stored, (row from 1, column from 0)
    rows : number of rows
    """

    merged: list[Area] = field(default_factory=list)
    hidden: set[int] = field(default_factory=set)
    without_value: set[tuple[int, int]] = field(default_factory=set)
    rows: int = 0


class XlsxJobs:
    """Lines of the first sheet of a workbook that is shown, or of a named one.

    Parameters
    ----------
    path : the file
    name : of the sheet; empty = the first that is shown

    Raises
    ------
    InputError
        when it is no workbook, or has no such sheet.
    """

    def __init__(self, path: Path, name: str = "") -> None:
        self.path = path
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # parts of a workbook that hold no cells
                load_workbook = import_module("openpyxl").load_workbook  # it has no type hints
                self.book: Workbook = load_workbook(path, read_only=True, data_only=True)
        except OSError as error:
            reason = (error.strerror or "an unreadable file").lower()
            raise InputError(str(path), reason, "a sheet of jobs, CSV or XLSX") from None
        except Exception as error:  # the library lets errors of many kinds through
            found = f"a workbook that cannot be read ({error})"
            raise InputError(path.name, found, "a workbook saved as XLSX") from None
        self.sheet: Worksheet = self._chosen(name)
        with zipfile.ZipFile(path) as archive:
            part = str(self.sheet._worksheet_path).lstrip("/")
            with archive.open(part) as stream:
                self.layout = layout(stream)
        self.share = 0.0

    def _chosen(self, name: str) -> Worksheet:
        sheets = {sheet.title: sheet for sheet in self.book.worksheets}
        if name:
            if name not in sheets:
                raise InputError("--sheet", f"'{name}'", "one of " + ", ".join(sheets))
            return sheets[name]
        shown = [s for s in self.book.worksheets if s.sheet_state == "visible"]
        if not shown:
            raise InputError(self.path.name, "no sheet that is shown", "--sheet with its name")
        return shown[0]

    def lines(self) -> Iterator[SheetLine]:
        """Yield the lines; cells that cannot be read are named."""
        merged = _Merged(self.layout.merged)
        self.sheet.reset_dimensions()
        for number, values in enumerate(self.sheet.iter_rows(values_only=True), start=1):
            texts: list[str] = []
            faults: dict[int, tuple[str, str]] = {}
            for column, value in enumerate(values):
                text, fault = cell_text(value)
                texts.append(text)
                if fault[0]:
                    faults[column] = fault
                if (number, column) in self.layout.without_value:
                    faults[column] = (
                        "a formula without a stored value",
                        "the value; save the workbook once more",
                    )
            merged.fill(number, texts, faults)
            self.share = number / max(self.layout.rows, number)
            yield SheetLine(number, texts, faults)
        self.book.close()


class _Merged:
    """Fills merged cells: downwards they repeat; sideways below the headings they are refused."""

    def __init__(self, areas: list[Area]) -> None:
        self.waiting = sorted(areas, reverse=True)
        self.open: dict[Area, str] = {}

    def fill(self, number: int, texts: list[str], faults: dict[int, tuple[str, str]]) -> None:
        """Fill one row."""
        while self.waiting and self.waiting[-1][0] <= number:
            area = self.waiting.pop()
            column = area[2]
            self.open[area] = texts[column] if column < len(texts) else ""
        for area in [a for a in self.open if a[1] < number]:
            del self.open[area]
        for area, text in self.open.items():
            first, last = area[2], area[3]
            texts.extend("" for _ in range(last + 1 - len(texts)))
            for column in range(first, last + 1):
                texts[column] = text
                if last > first and text:
                    faults[column] = ("a cell merged with its neighbours", "one cell a column")


def layout(stream: IO[bytes]) -> Layout:
    """Return what the XML of a sheet says beside its values."""
    found = Layout()
    for _, element in ElementTree.iterparse(stream):
        match element.tag.rpartition("}")[2]:
            case "c":
                _formula(element, found)
            case "row":
                found.rows += 1
                element.clear()
            case "col" if element.get("hidden") in {"1", "true"}:
                first, last = int(element.get("min", "1")), int(element.get("max", "1"))
                found.hidden.update(range(first - 1, last))
            case "mergeCell":
                found.merged.append(_area(element.get("ref", "")))
            case _:
                pass
    return found


def _formula(cell: ElementTree.Element, found: Layout) -> None:
    parts = {part.tag.rpartition("}")[2]: part for part in cell}
    value = parts.get("v")
    if "f" in parts and (value is None or not value.text):
        row, column = _place(cell.get("r", "A1"))
        found.without_value.add((row, column))


def _area(reference: str) -> Area:
    first, _, last = reference.partition(":")
    (top, left), (bottom, right) = _place(first), _place(last or first)
    return top, bottom, left, right


def _place(reference: str) -> tuple[int, int]:
    """Return row from 1 and column from 0 of a cell's name."""
    match = _REFERENCE.fullmatch(reference)
    if match is None:
        return 1, 0
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - ord("A") + 1
    return int(match[2]), column - 1
