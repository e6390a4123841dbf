"""Bring a supplier's sheet into a catalogue folder, by a mapping of headings and units."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoseselect.application.check_catalogue import complaint_json
from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.read import read_catalogue
from hoseselect.catalogue.supplier.assemble import assemble
from hoseselect.catalogue.supplier.mapping import Mapping
from hoseselect.catalogue.supplier.mapping_file import read_mapping
from hoseselect.catalogue.supplier.merge import merge, put_in_place
from hoseselect.catalogue.supplier.rows import read_rows
from hoseselect.catalogue.supplier.sheet import SupplierSheet, read_sheet
from hoseselect.catalogue.write import refuse_occupied, sole_use

UNUSABLE = 2


@dataclass(frozen=True)
class CatalogueImport:
    """What came of a sheet.

    Parameters
    ----------
    folder : the catalogue folder
    written : whether it was written; nothing is where there is an error that may not be left out
    made : whether the folder is new
    added, replaced : rows put into each file of the catalogue, by its name
    left_out : lines of the sheet that were left out for their errors
    complaints : errors and warnings, by file, line and column of the sheet
    """

    folder: Path
    written: bool
    made: bool
    added: dict[str, int]
    replaced: dict[str, int]
    left_out: tuple[int, ...]
    complaints: tuple[Complaint, ...]

    @property
    def errors(self) -> tuple[Complaint, ...]:
        """What could not be mapped."""
        return tuple(c for c in self.complaints if c.severity == "error")

    @property
    def warnings(self) -> tuple[Complaint, ...]:
        """What is suspicious."""
        return tuple(c for c in self.complaints if c.severity == "warning")

    @property
    def exit_code(self) -> int:
        """0 where the folder was written, else 2."""
        return 0 if self.written else UNUSABLE

    def as_json(self) -> dict[str, Any]:
        """Return it for JSON."""
        return {
            "folder": str(self.folder),
            "written": self.written,
            "made": self.made,
            "added": dict(self.added),
            "replaced": dict(self.replaced),
            "left_out_lines": list(self.left_out),
            "errors": len(self.errors),
            "warnings": len(self.warnings),
            "complaints": [complaint_json(c) for c in self.complaints],
        }


def import_catalogue(
    sheet_file: Path,
    mapping_file: Path,
    folder: Path,
    *,
    replace: bool = False,
    leave_out: bool = False,
) -> CatalogueImport:
    """Bring a sheet into a catalogue folder, which is made or added to, whole or not at all.

    Parameters
    ----------
    sheet_file : CSV or XLSX
    mapping_file : mapping in TOML
    folder : catalogue folder; a new one is made where there is none
    replace : a row that the folder holds already takes over what the sheet states
    leave_out : lines with errors are left out, the others are brought in

    Raises
    ------
    InputError
        when the sheet or the mapping cannot be read at all.
    CatalogueError
        when the folder holds a catalogue with faults, or cannot be written.
    """
    mapping = read_mapping(mapping_file)
    sheet = read_sheet(
        sheet_file, name=mapping.name, separator=mapping.separator, encoding=mapping.encoding
    )
    return import_sheet(sheet, mapping, folder, replace=replace, leave_out=leave_out)


def import_sheet(
    sheet: SupplierSheet,
    mapping: Mapping,
    folder: Path,
    *,
    replace: bool = False,
    leave_out: bool = False,
) -> CatalogueImport:
    """Bring a sheet that was read into a catalogue folder; else as `import_catalogue`.

    Raises
    ------
    InputError
        when a constant of the mapping cannot be read.
    CatalogueError
        when the folder holds a catalogue with faults, or cannot be written.
    """
    with sole_use(folder):
        return _brought_in(sheet, mapping, folder, replace=replace, leave_out=leave_out)


def _brought_in(
    sheet: SupplierSheet, mapping: Mapping, folder: Path, *, replace: bool, leave_out: bool
) -> CatalogueImport:
    occupied = folder.is_dir() and any(folder.iterdir())
    if occupied:
        read_catalogue(folder)
    elif not folder.is_dir():
        refuse_occupied(folder)
    complaints: list[Complaint] = []
    rows = read_rows(sheet, mapping, complaints)
    lines = {row.number for row in rows.rows}
    left = _faulty(complaints, sheet.file, lines)
    while True:
        batch, fresh = assemble(rows, left, mapping)
        merged = merge(folder, batch, rows, replace=replace)
        fresh += merged.complaints
        errors = [c for c in (*complaints, *fresh) if c.severity == "error"]
        allowed = all(leave_out and c.line in left for c in errors) and left != lines
        written, more = put_in_place(folder, merged, rows, allowed=allowed)
        fresh += more
        new = _faulty(fresh, sheet.file, lines) - left
        if written or not leave_out or not new:
            break
        complaints += [c for c in fresh if c.line in new]
        left |= new
    every = sorted(dict.fromkeys([*complaints, *fresh]), key=lambda complaint: complaint.order)
    return CatalogueImport(
        folder=folder,
        written=written,
        made=written and not occupied,
        added=merged.added if written else {},
        replaced=merged.replaced if written else {},
        left_out=tuple(sorted(left)) if written else (),
        complaints=tuple(every),
    )


def _faulty(complaints: list[Complaint], file: str, lines: set[int]) -> set[int]:
    """Return the lines of the sheet that have an error."""
    return {
        c.line for c in complaints if c.severity == "error" and c.file == file and c.line in lines
    }
