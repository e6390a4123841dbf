"""A sheet of an XLSX workbook as text cells: merged cells filled, formulas by their last value."""

from __future__ import annotations

import datetime
import io
from pathlib import Path
from typing import Any

from hoseselect.catalogue.supplier.sheet import Sheet
from hoseselect.knowledge.errors import InputError

Workbook = Any
Worksheet = Any

ERROR_VALUES = "#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!"
SIGNIFICANT = 15
"""Figures of a number that a spreadsheet shows at most; the rest is binary rounding."""


def read_workbook(path: Path, data: bytes, name: str = "") -> Sheet:
    """Read one sheet of a workbook.

    A merged cell stands for every cell it covers; where it is merged sideways below the headings,
    the copies are marked as `spread`. A formula is read as the value stored with it.

    Parameters
    ----------
    path : the file, for complaints
    data : its bytes
    name : name of the sheet; default the first that is not hidden

    Raises
    ------
    InputError
        when it is no workbook, or has no such sheet.
    """
    book = _opened(path, data, values=False)
    sheet = _sheet(book, path, name)
    values = _stored_values(path, data, sheet)
    merged, spread = _merged(sheet)
    hidden_rows = {n - 1 for n, row in sheet.row_dimensions.items() if row.hidden}
    hidden_columns = _hidden_columns(sheet)
    numbers: list[int] = []
    rows: list[tuple[str, ...]] = []
    unreadable: dict[tuple[int, int], tuple[str, str]] = {}
    spread_places: set[tuple[int, int]] = set()
    hidden: set[int] = set()
    for index, cells in enumerate(sheet.iter_rows()):
        texts: list[str] = []
        own = False
        faults: dict[int, tuple[str, str]] = {}
        for column, cell in enumerate(cells):
            place = merged.get((index, column), (index, column))
            text, fault = _cell_text(_value(sheet, values, place, cell, (index, column)))
            texts.append(text)
            own = own or (place == (index, column) and bool(text or fault[0]))
            if fault[0]:
                faults[column] = fault
        if not own:  # nothing, or nothing but copies of merged cells above
            continue
        row = len(rows)
        unreadable.update({(row, column): fault for column, fault in faults.items()})
        spread_places.update((row, c) for c in range(len(texts)) if (index, c) in spread)
        if index in hidden_rows:
            hidden.add(row)
        numbers.append(index + 1)
        rows.append(tuple(texts))
    if not rows:
        raise InputError(f"{path.name} ({sheet.title})", "an empty sheet", "a line of headings")
    return Sheet(
        file=path.name,
        numbers=tuple(numbers),
        rows=tuple(rows),
        unreadable=unreadable,
        spread=frozenset(spread_places),
        hidden_columns=frozenset(hidden_columns),
        hidden_rows=frozenset(hidden),
        cell_names=True,
    )


def _opened(path: Path, data: bytes, *, values: bool) -> Workbook:
    import warnings
    from importlib import import_module

    load_workbook = import_module("openpyxl").load_workbook  # it has no type hints
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # parts of a workbook that hold no cells
            return load_workbook(io.BytesIO(data), data_only=values)
    except Exception as error:  # the library lets errors of many kinds through
        raise InputError(
            path.name, f"a workbook that cannot be read ({error})", "a workbook saved as XLSX"
        ) from None


def _sheet(book: Workbook, path: Path, name: str) -> Worksheet:
    sheets = {sheet.title: sheet for sheet in book.worksheets}
    if name:
        if name not in sheets:
            raise InputError(f"{path.name}: sheet.name", f"'{name}'", "one of " + ", ".join(sheets))
        return sheets[name]
    shown = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]
    if not shown:
        raise InputError(path.name, "no sheet that is shown", "sheet.name in the mapping")
    return shown[0]


def _stored_values(path: Path, data: bytes, sheet: Worksheet) -> Worksheet | None:
    """Return the sheet with values in place of formulas; None where it has no formula."""
    if any(cell.data_type == "f" for row in sheet.iter_rows() for cell in row):
        return _opened(path, data, values=True)[sheet.title]
    return None


def _merged(
    sheet: Worksheet,
) -> tuple[dict[tuple[int, int], tuple[int, int]], set[tuple[int, int]]]:
    """Return for every covered cell the one it repeats, and which repeat one to their left."""
    origin: dict[tuple[int, int], tuple[int, int]] = {}
    spread: set[tuple[int, int]] = set()
    for area in sheet.merged_cells.ranges:
        first = (area.min_row - 1, area.min_col - 1)
        for row in range(area.min_row - 1, area.max_row):
            for column in range(area.min_col - 1, area.max_col):
                origin[row, column] = first
                if column > first[1]:
                    spread.add((row, column))
    return origin, spread


def _hidden_columns(sheet: Worksheet) -> set[int]:
    """Return the places of hidden columns; one entry may stand for a span of them."""
    hidden: set[int] = set()
    for dimension in sheet.column_dimensions.values():
        if dimension.hidden:
            dimension.reindex()
            hidden.update(range(dimension.min - 1, dimension.max))
    return hidden


def _value(
    sheet: Worksheet,
    values: Worksheet | None,
    place: tuple[int, int],
    cell: Any,
    here: tuple[int, int],
) -> Any:
    """Return what stands in a cell, or in the merged cell that covers it."""
    source = cell if place == here else sheet.cell(place[0] + 1, place[1] + 1)
    if source.data_type != "f" or values is None:
        return source.value
    stored = values.cell(place[0] + 1, place[1] + 1).value
    return _Empty() if stored is None else stored


class _Empty:
    """A formula whose value was never stored."""


def _cell_text(value: Any) -> tuple[str, tuple[str, str]]:
    """Return a cell as text, and what is wrong with it: found and expected, both "" for nothing."""
    fine = ("", "")
    if value is None:
        return "", fine
    if isinstance(value, bool):
        return ("yes" if value else "no"), fine
    if isinstance(value, (int, float)):
        return f"{value:.{SIGNIFICANT}g}", fine
    if isinstance(value, datetime.datetime):
        clock = value.time() != datetime.time()
        return (value.isoformat(" ") if clock else value.date().isoformat()), fine
    if isinstance(value, (datetime.date, datetime.time, datetime.timedelta)):
        return str(value), fine
    if isinstance(value, _Empty):
        return "", ("a formula without a stored value", "the value; save the workbook once more")
    text = " ".join(str(value).split())
    if text in ERROR_VALUES:
        return text, (f"the error {text}", "a value, or an empty cell for 'not stated'")
    return text, fine
