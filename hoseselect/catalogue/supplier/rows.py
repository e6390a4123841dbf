"""The rows of a supplier's sheet as cells of a catalogue; what cannot be mapped is told."""

from __future__ import annotations

from dataclasses import dataclass

from hoseselect.catalogue.complaint import Complaint, Severity
from hoseselect.catalogue.supplier.cells import CellReader
from hoseselect.catalogue.supplier.headings import Headings, find_headings
from hoseselect.catalogue.supplier.mapping import MappedColumn, Mapping
from hoseselect.catalogue.supplier.sheet import SupplierSheet
from hoseselect.catalogue.supplier.units import unit_in_heading, working_unit
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.read import read_quantity


@dataclass(frozen=True)
class SheetRow:
    """One row of a sheet.

    Parameters
    ----------
    place : its place in the sheet
    number : its line in the file
    cells : what the sheet states, by the heading of the catalogue; not stated = left out
    raw : the same cells as they stand in the sheet
    """

    place: int
    number: int
    cells: dict[str, str]
    raw: dict[str, str]


@dataclass(frozen=True)
class SheetRows:
    """The rows of a sheet.

    Parameters
    ----------
    sheet : the sheet
    columns : place of each mapped column, by the heading of the catalogue
    names : its heading in the sheet
    rows : the rows
    """

    sheet: SupplierSheet
    columns: dict[str, int]
    names: dict[str, str]
    rows: tuple[SheetRow, ...]

    def complaint(
        self,
        row: SheetRow,
        heading: str,
        found: str,
        expected: str,
        severity: Severity = "error",
    ) -> Complaint:
        """Return a complaint about a cell, or about the line where its column is not mapped."""
        column = self.columns.get(heading, -1)
        if column < 0 and heading:
            found = f"{found} for {heading}"
        name = self.names.get(heading, "")
        return self.sheet.complaint(severity, row.place, column, name, found, expected)


def read_rows(sheet: SupplierSheet, mapping: Mapping, complaints: list[Complaint]) -> SheetRows:
    """Return the rows below the headings.

    Parameters
    ----------
    sheet : the sheet as it stands
    mapping : how it is read
    complaints : what cannot be mapped is added
    """
    wanted = [column.heading for column in mapping.columns.values()]
    headings = find_headings(sheet, wanted, mapping.headings)
    columns = _columns(sheet, mapping, headings, complaints)
    _unmapped(sheet, headings, columns, complaints)
    names = {name: mapping.columns[name].heading for name in columns}
    first = headings.rows.stop
    made = _read(sheet, mapping, columns, names, first, complaints) if columns else []
    if columns and not made:
        complaints.append(
            Complaint("error", sheet.file, 0, 0, "", "no row below the headings", "rows of hose")
        )
    _hidden(sheet, columns, names, first, complaints)
    return SheetRows(sheet, columns, names, tuple(made))


def _columns(
    sheet: SupplierSheet, mapping: Mapping, headings: Headings, complaints: list[Complaint]
) -> dict[str, int]:
    """Return the place of each mapped column; complain of headings missing, doubled or doubtful."""
    places: dict[str, int] = {}
    row = max(headings.rows.stop - 1, 0)
    for name, column in mapping.columns.items():
        found = headings.places(column.heading)
        if not found:
            near = headings.nearest(column.heading)
            hint = f", perhaps '{near}'" if near else ""
            expected = f"the heading that columns.{name} of the mapping names{hint}"
            complaints.append(
                sheet.complaint("error", row, -1, "", f"no heading '{column.heading}'", expected)
            )
            continue
        if len(found) > 1:
            complaints.append(
                sheet.complaint(
                    "error",
                    row,
                    found[1],
                    column.heading,
                    f"the heading '{column.heading}' a second time",
                    "a heading that stands once, or the whole of a heading on more than one line",
                )
            )
        places[name] = found[0]
        _doubt_unit(sheet, column, headings, row, found[0], complaints)
    return places


def _doubt_unit(
    sheet: SupplierSheet,
    column: MappedColumn,
    headings: Headings,
    row: int,
    place: int,
    complaints: list[Complaint],
) -> None:
    """Warn where the heading itself names another unit than the mapping."""
    stated = unit_in_heading(headings.names[place], column.field)
    if not stated or not working_unit(column.field):
        return
    if not _same_unit(stated, column.unit, column):
        complaints.append(
            sheet.complaint(
                "warning",
                row,
                place,
                column.heading,
                f"the unit '{stated}' in the heading",
                f"'{column.unit}', as the mapping says",
            )
        )


def _same_unit(one: str, other: str, column: MappedColumn) -> bool:
    kind = {"kPa": "pressure", "degC": "temperature", "deg": "angle"}.get(
        column.field.unit, "length"
    )
    try:
        sizes = [read_quantity(f"1 {unit}", kind, "") for unit in (one, other)]
    except InputError:
        return True
    return abs(sizes[0]) == abs(sizes[1])


def _unmapped(
    sheet: SupplierSheet, headings: Headings, columns: dict[str, int], complaints: list[Complaint]
) -> None:
    taken = set(columns.values())
    for place, name in enumerate(headings.names):
        if name and place not in taken:
            row = max(headings.rows.stop - 1, 0)
            complaints.append(
                sheet.complaint(
                    "warning", row, place, name, f"the heading '{name}'", "a column in the mapping"
                )
            )


def _read(
    sheet: SupplierSheet,
    mapping: Mapping,
    columns: dict[str, int],
    names: dict[str, str],
    first: int,
    complaints: list[Complaint],
) -> list[SheetRow]:
    readers = {
        name: CellReader(mapping.columns[name].field, mapping.columns[name].unit, mapping)
        for name in columns
    }
    above: dict[str, str] = {}
    made = []
    repeated = {sheet.rows[row] for row in range(first)}
    for place in range(first, len(sheet.rows)):
        number, texts = sheet.numbers[place], sheet.rows[place]
        if number in mapping.skip_lines or texts in repeated:
            continue
        cells: dict[str, str] = {}
        raw: dict[str, str] = {}
        for name, column in columns.items():
            text = "" if (place, column) in sheet.spread else texts[column]
            if mapping.columns[name].fill_down:
                text = above[name] = text or above.get(name, "")
            raw[name] = text
            try:
                fault = sheet.unreadable.get((place, column))
                if fault is None and working_unit(mapping.columns[name].field):
                    fault = sheet.shown.get((place, column))
                if fault:
                    raise InputError("", *fault)
                cells[name] = readers[name].read(text)
            except InputError as error:
                complaints.append(
                    sheet.complaint(
                        "error", place, column, names[name], error.found, error.expected
                    )
                )
        stated = {name: text for name, text in cells.items() if text}
        if any(raw.values()):
            made.append(SheetRow(place, number, stated, raw))
    return made


def _hidden(
    sheet: SupplierSheet,
    columns: dict[str, int],
    names: dict[str, str],
    first: int,
    complaints: list[Complaint],
) -> None:
    """Warn that something was read that the reader of the sheet does not see."""
    for name, column in columns.items():
        if column in sheet.hidden_columns:
            complaints.append(
                sheet.complaint(
                    "warning",
                    max(first - 1, 0),
                    column,
                    names[name],
                    "a hidden column, read all the same",
                    "a column to see",
                )
            )
    for row in sorted(sheet.hidden_rows):
        if row >= first:
            complaints.append(
                sheet.complaint(
                    "warning", row, -1, "", "a hidden line, read all the same", "a line to see"
                )
            )
