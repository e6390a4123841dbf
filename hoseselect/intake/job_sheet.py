"""A sheet of jobs as lines of text cells, read as they are asked for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, islice

from hoseselect.files.sheet_line import Fault, SheetLine, decimal_sign
from hoseselect.intake.job_headings import (
    ColumnUse,
    cell_name,
    column_uses,
    key_of,
    plain_heading,
    split_unit,
)
from hoseselect.intake.sheet_cells import clean_cell
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.knowledge.errors import InputError

__all__ = ["JobSheet", "SheetLine", "job_sheet"]

LOOKED_AT = 20
"""Lines that are not empty among which the headings must stand."""

MOST_BLANK = 1000
"""Lines in all that are looked at for them."""

MERGED = Fault("a cell merged with its neighbours", "one cell a column")


@dataclass(frozen=True)
class JobSheet:
    """A sheet of jobs.

    Parameters
    ----------
    uses : what each column is for
    row : of the headings, from 1
    lines : below the headings
    decimal : sign of decimals in its figures
    """

    uses: tuple[ColumnUse, ...]
    row: int
    lines: Iterator[SheetLine]
    decimal: str = "."


def job_sheet(
    lines: Iterable[SheetLine],
    file: str,
    keep: Sequence[str] = (),
    hidden: frozenset[int] = frozenset(),
    separator: str = "",
    mapped: Mapping[str, str] | None = None,
) -> JobSheet:
    """Return a sheet whose headings are found; titles above them are left out.

    Parameters
    ----------
    lines : of the sheet
    file : name, for complaints
    keep : headings of columns that are carried over unread
    hidden : places of hidden columns
    separator : what parts the cells of a text; empty = a workbook
    mapped : what a shop's own headings stand for, by the headings as they are compared

    Raises
    ------
    InputError
        when no line of headings is found, or a heading cannot be used.
    """
    rest = iter(lines)
    first: list[SheetLine] = []
    for line in rest:
        first.append(line)
        if sum(not line.empty for line in first) == LOOKED_AT or len(first) == MOST_BLANK:
            break
    if all(line.empty for line in first):
        raise InputError(file, "an empty sheet", "a line of headings, such as 'service'")
    place = _heading_place(first, file, mapped or {})
    head = first[place]
    above = _filled(first[place - 1].cells) if place else []
    groups = [above[k] if k < len(above) else "" for k in range(len(head.cells))]
    uses = column_uses(head.cells, groups, head.number, keep, mapped)
    for column in sorted(hidden):
        if column < len(uses) and uses[column].key:
            found = f"a hidden column '{uses[column].key}'"
            expected = "it shown, or taken out: what nobody sees would decide"
            raise InputError(cell_name(head.number, column), found, expected)
    body = chain(islice(first, place + 1, None), rest)
    return JobSheet(uses, head.number, _doubted(body, uses), decimal_sign(separator))


def _doubted(lines: Iterable[SheetLine], uses: Sequence[ColumnUse]) -> Iterator[SheetLine]:
    """Yield lines with a fault for what a spreadsheet shows otherwise than it stores it.

    Cells merged with their neighbours hold one answer for many; a figure with a fraction or a unit
    in its number format is stored without it.
    """
    forms = sheet_keys()
    figures = {k for k, use in enumerate(uses) if use.key and forms[use.key].kind != "text"}
    for line in lines:
        if not line.merged and not line.shown:
            yield line
            continue
        told = {k: fault for k, fault in line.shown.items() if k in figures}
        told |= {k: MERGED for k in line.merged if line.cells[k].strip()}
        yield replace(line, faults={**line.faults, **told})


def _heading_place(lines: list[SheetLine], file: str, mapped: Mapping[str, str]) -> int:
    """Return which line holds the headings: the first with a column of services.

    Headings of two lines, the upper one merged, have it in both; then it is the lower one.
    """
    for place, line in enumerate(lines):
        columns = [k for k, cell in enumerate(line.cells) if _is_service(cell, mapped)]
        if columns:
            after = lines[place + 1].cells if place + 1 < len(lines) else []
            below = any(k < len(after) and _is_service(after[k], mapped) for k in columns)
            return place + 1 if below else place
    for line in lines:
        if line.fault:
            raise InputError(f"{file}: row {line.number}", *line.fault)
    raise InputError(
        f"{file}: row {lines[0].number}",
        "no heading 'service'",
        "a line of headings, keys of a job file; --suggest-headings drafts what others stand for",
    )


def _is_service(cell: str, mapped: Mapping[str, str]) -> bool:
    clean = clean_cell(cell)
    meant = mapped.get(plain_heading(clean), clean)
    return key_of(split_unit(meant)[0]) == "service"


def _filled(cells: Sequence[str]) -> list[str]:
    """Return the cells of a line of groups; an empty one repeats the one to its left."""
    filled: list[str] = []
    for cell in cells:
        filled.append(cell if cell.strip() or not filled else filled[-1])
    return filled
