"""Rows of a sheet into rows of catalogue files: types gathered, names made, constants put in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.file_form import CatalogueField, CatalogueFile
from hoseselect.catalogue.supplier.cells import CellReader, name_from
from hoseselect.catalogue.supplier.mapping import Mapping
from hoseselect.catalogue.supplier.rows import SheetRow, SheetRows
from hoseselect.catalogue.supplier.type_rows import TypeRow, type_cells
from hoseselect.catalogue.supplier.units import number_text
from hoseselect.catalogue.tables import HOSE_SIZES, HOSE_TYPES
from hoseselect.knowledge.errors import InputError

OF_TYPE = frozenset(HOSE_TYPES.headings) - {"hose_type"}
RADIUS, OUTSIDE = "least_bend_radius_mm", "outside_diameter_mm"


@dataclass
class Entry:
    """One row for a file of the catalogue.

    Parameters
    ----------
    key : name of the row
    cells : what is stated, by heading
    defaults : what a new row gets where nothing is stated
    row : where it stands in the sheet; of a type, where it stands first
    """

    key: str
    cells: dict[str, str]
    defaults: dict[str, str]
    row: SheetRow


Batch = dict[str, list[Entry]]
"""Rows for each file of the catalogue, by its name."""


def constants(mapping: Mapping) -> tuple[dict[str, str], dict[str, dict[str, str]]]:
    """Return the constants of the mapping as cells: for every row, and by hose type.

    Raises
    ------
    InputError
        when one cannot be read.
    """
    by_type = {
        name_from(name): _constant_cells(values, mapping, f"types.{name}")
        for name, values in mapping.types.items()
    }
    return _constant_cells(mapping.constants, mapping, "constants"), by_type


def _constant_cells(values: dict[str, str], mapping: Mapping, place: str) -> dict[str, str]:
    made = {}
    for name, text in values.items():
        field = _field(name, mapping)
        try:
            made[name] = CellReader(field, _catalogue_unit(field), mapping).read(text)
        except InputError as error:
            where = f"{mapping.file}: {place}.{name}"
            raise InputError(where, error.found, error.expected) from None
    return made


def _field(name: str, mapping: Mapping) -> CatalogueField:
    tables = [table for table in mapping.tables if name in table.headings]
    return tables[0].field(name)


def _catalogue_unit(field: CatalogueField) -> str:
    return "" if field.unit in {"money", "Shore A"} else field.unit


def assemble(
    sheet: SheetRows, skip: Iterable[int], mapping: Mapping
) -> tuple[Batch, list[Complaint]]:
    """Return the rows for the catalogue and what contradicts itself in them.

    Parameters
    ----------
    sheet : the rows of the sheet
    skip : lines that are left out
    mapping : constants and how radii were measured

    Raises
    ------
    InputError
        when a constant of the mapping cannot be read.
    """
    complaints: list[Complaint] = []
    every, by_type = constants(mapping)
    batch: Batch = {table.file: [] for table in mapping.tables}
    types: dict[str, list[TypeRow]] = {}
    seen: dict[str, int] = {}
    left = set(skip)
    own = mapping.tables[-1]
    own_columns, own_key = frozenset(own.headings), own.key
    for row in sheet.rows:
        if row.number in left:
            continue
        kind = row.cells.get("hose_type", every.get("hose_type", ""))
        stated = {**every, **by_type.get(kind, {}), **row.cells}
        if HOSE_TYPES in mapping.tables and kind:
            types.setdefault(kind, []).append((row, _of_type(stated)))
        cells = {name: text for name, text in stated.items() if name in own_columns and text}
        if own is HOSE_SIZES:
            _centreline(cells, row, mapping, sheet, complaints)
            if "hose_size" not in cells and kind and "bore_mm" in cells:
                cells["hose_size"] = f"{kind}-{cells['bore_mm']}"
        key = cells.get(own_key, "")
        if not key:
            _nameless(own, row, cells, kind, sheet, complaints)
        elif key in seen:
            found = f"'{key}' a second time"
            expected = f"every name once (first on line {seen[key]})"
            if own.key not in sheet.columns:
                expected += f"; a column for {own.key} would part them"
            complaints.append(sheet.complaint(row, own.key, found, expected))
        else:
            seen[key] = row.number
            batch[own.file].append(Entry(key, cells, {}, row))
    if HOSE_TYPES in mapping.tables:
        batch[HOSE_TYPES.file] = _types(types, sheet, complaints)
    return batch, complaints


def _types(
    told: dict[str, list[TypeRow]], sheet: SheetRows, complaints: list[Complaint]
) -> list[Entry]:
    """Return the hose types that the rows describe, in their order."""
    made = []
    for kind, rows in told.items():
        cells = {"hose_type": kind, **type_cells(kind, rows, sheet, complaints)}
        first = rows[0][0]
        description = {"description": first.raw.get("hose_type", kind)}
        made.append(Entry(kind, cells, description, first))
    return made


def _of_type(stated: dict[str, str]) -> dict[str, str]:
    """Return what a row states of its hose type."""
    return {name: text for name, text in stated.items() if name in OF_TYPE and text}


def _centreline(
    cells: dict[str, str],
    row: SheetRow,
    mapping: Mapping,
    sheet: SheetRows,
    complaints: list[Complaint],
) -> None:
    """Add half the outside diameter to a bend radius measured on the inside of the bend."""
    column = mapping.columns.get(RADIUS)
    if column is None or column.measured != "inside" or RADIUS not in row.cells:
        return
    if OUTSIDE not in cells:
        complaints.append(
            sheet.complaint(
                row,
                RADIUS,
                f"'{row.raw[RADIUS]}' measured on the inside of the bend",
                "an outside diameter, half of which is added",
            )
        )
        return
    cells[RADIUS] = number_text(float(cells[RADIUS]) + 0.5 * float(cells[OUTSIDE]))


def _nameless(
    own: CatalogueFile,
    row: SheetRow,
    cells: dict[str, str],
    kind: str,
    sheet: SheetRows,
    complaints: list[Complaint],
) -> None:
    """Complain of a row for which there is no name."""
    if own is not HOSE_SIZES or own.key in sheet.columns:
        complaints.append(
            sheet.complaint(row, own.key, "an empty cell", own.field(own.key).description)
        )
        return
    for heading, missing in (("hose_type", not kind), ("bore_mm", "bore_mm" not in cells)):
        if missing:
            description = own.field(heading).description
            complaints.append(sheet.complaint(row, heading, "an empty cell", description))
