"""Rows from a sheet into a catalogue folder, checked before anything is put in place."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.file_form import CatalogueFile
from hoseselect.catalogue.read import examine
from hoseselect.catalogue.supplier.assemble import Batch, Entry
from hoseselect.catalogue.supplier.rows import SheetRow, SheetRows
from hoseselect.catalogue.supplier.type_rows import changed_for_others, silent
from hoseselect.catalogue.tables import HOSE_SIZES, HOSE_TYPES, TABLES
from hoseselect.catalogue.write import (
    FILE,
    csv_text,
    descriptor_text,
    staged,
    stored_rows,
    write_files,
)

BROUGHT_IN = "Brought in from suppliers' sheets. A cell left empty means: not stated."


@dataclass
class Merged:
    """The files of a catalogue with the rows of a sheet in them.

    Parameters
    ----------
    files : text of each file that changes, by its name
    origin : row of the sheet that each line comes from, by file and line
    added, replaced : how many rows of each file
    complaints : what stands in the catalogue already
    """

    files: dict[str, str] = field(default_factory=dict)
    origin: dict[tuple[str, int], SheetRow] = field(default_factory=dict)
    added: dict[str, int] = field(default_factory=dict)
    replaced: dict[str, int] = field(default_factory=dict)
    complaints: list[Complaint] = field(default_factory=list)


def merge(folder: Path, batch: Batch, sheet: SheetRows, *, replace: bool) -> Merged:
    """Return the files of a catalogue with the rows of a sheet put in.

    Parameters
    ----------
    folder : the catalogue; a new one where there is none
    batch : rows for each file
    sheet : where they come from
    replace : rows of the same name take over what the sheet states
    """
    merged = Merged()
    for table in TABLES:
        if table.file in batch or not (folder / table.file).exists():
            _merge_file(folder, table, batch.get(table.file, []), sheet, replace, merged)
    if HOSE_TYPES.file in batch and (folder / HOSE_TYPES.file).exists():
        merged.complaints.extend(_of_held_types(folder, batch, sheet, replace=replace))
    if not (folder / FILE).exists():
        name = folder.resolve().name or "catalogue"
        merged.files[FILE] = descriptor_text(name, f"Catalogue {name}", BROUGHT_IN)
    return merged


def _merge_file(
    folder: Path,
    table: CatalogueFile,
    entries: list[Entry],
    sheet: SheetRows,
    replace: bool,
    merged: Merged,
) -> None:
    path = folder / table.file
    headings, rows = stored_rows(path) if path.exists() else (list(table.headings), [])
    places = {row[table.key]: place for place, row in enumerate(rows)}
    merged.added[table.file] = merged.replaced[table.file] = 0
    for entry in entries:
        place = places.get(entry.key)
        if place is None:
            place = places[entry.key] = len(rows)
            rows.append({**entry.defaults, **entry.cells})
            merged.added[table.file] += 1
        elif replace:
            changed = {**rows[place], **entry.cells}
            merged.replaced[table.file] += changed != rows[place]
            rows[place] = changed
        else:
            merged.complaints.extend(_held_already(table, entry, rows[place], sheet))
            continue
        merged.origin[table.file, place + 2] = entry.row  # below the line of headings, from 1
    merged.files[table.file] = csv_text(headings, rows)


def _held_already(
    table: CatalogueFile, entry: Entry, old: dict[str, str], sheet: SheetRows
) -> list[Complaint]:
    """Return the complaints about a row that the catalogue holds; a type that agrees is welcome."""
    if table is not HOSE_TYPES:
        found = f"'{entry.key}', which the catalogue holds already"
        return [sheet.complaint(entry.row, table.key, found, "a new name, or --replace")]
    return [
        sheet.complaint(
            entry.row,
            name,
            f"'{entry.row.raw.get(name, text)}'",
            f"'{old.get(name, '')}', as the catalogue says of the hose type '{entry.key}',"
            " or --replace",
        )
        for name, text in entry.cells.items()
        if not _equal(old.get(name, ""), text)
    ]


def _of_held_types(
    folder: Path, batch: Batch, sheet: SheetRows, *, replace: bool
) -> list[Complaint]:
    """Return complaints about what would be lent to sizes of a type that nobody said it of."""
    types = {row["hose_type"]: row for row in stored_rows(folder / HOSE_TYPES.file)[1]}
    held = {row["hose_size"]: row for row in stored_rows(folder / HOSE_SIZES.file)[1]}
    sizes = batch[HOSE_SIZES.file]
    listed = {entry.key for entry in sizes}
    made = []
    for entry in batch[HOSE_TYPES.file]:
        old, kind = types.get(entry.key), entry.key
        if old is None:
            continue
        new = [s.row for s in sizes if s.key not in held and s.cells.get("hose_type") == kind]
        made += silent(kind, new, entry.cells, old, sheet)
        if replace:
            others = [k for k, r in held.items() if r["hose_type"] == kind and k not in listed]
            made += changed_for_others(kind, entry.row, _changes(old, entry), others, sheet)
    return made


def _changes(old: dict[str, str], entry: Entry) -> dict[str, tuple[str, str]]:
    """Return what a row of the catalogue says and what the sheet says where they differ."""
    pairs = {name: (old.get(name, ""), text) for name, text in entry.cells.items()}
    return {name: pair for name, pair in pairs.items() if not _equal(*pair)}


def _equal(one: str, other: str) -> bool:
    if one == other:
        return True
    try:
        return float(one) == float(other)
    except ValueError:
        return False


def put_in_place(
    folder: Path, merged: Merged, sheet: SheetRows, *, allowed: bool
) -> tuple[bool, list[Complaint]]:
    """Check the catalogue as it would be; put it in place where that is allowed and it is sound.

    Parameters
    ----------
    folder : the catalogue folder
    merged : its files
    sheet : the sheet, for complaints
    allowed : whether it may be put in place

    Returns
    -------
    whether it was put in place, and the complaints about it, by place in the sheet

    Raises
    ------
    CatalogueError
        when the place cannot be written.
    """
    with staged(folder) as stage:
        write_files(stage.path, merged.files)
        _, found = examine(stage.path, prints=True)
        complaints = _translated(found, merged, sheet)
        stage.wanted = allowed and not any(c.severity == "error" for c in complaints)
    return stage.wanted, complaints


def _translated(found: list[Complaint], merged: Merged, sheet: SheetRows) -> list[Complaint]:
    """Return complaints by place in the sheet; odd rows that were there before are left alone."""
    made = []
    for complaint in found:
        row = merged.origin.get((complaint.file, complaint.line))
        if row is not None:
            made.append(
                sheet.complaint(
                    row,
                    complaint.heading,
                    complaint.found,
                    complaint.expected,
                    complaint.severity,
                )
            )
        elif complaint.severity == "error":
            made.append(complaint)
    return made
