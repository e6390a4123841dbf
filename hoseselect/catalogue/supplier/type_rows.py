"""What the rows of one hose type say of it: the same in all of them, for it holds for every size.

Nothing that one row says is lent to another that says nothing: a marking of one size may be none of
the next, and where a limit is not stated one is estimated, which may be the higher one. So rows of
a type that part are refused, by the row that says less.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.supplier.rows import SheetRow, SheetRows

NAMING = frozenset({"hose_type", "description"})
"""What only names a type, and may stand once."""

MOST_NAMED = 3
"""Sizes that one complaint names at most."""

TypeRow = tuple[SheetRow, dict[str, str]]
"""A row and what it states of its hose type."""


def type_cells(
    kind: str, told: Sequence[TypeRow], sheet: SheetRows, complaints: list[Complaint]
) -> dict[str, str]:
    """Return what the rows of one hose type state of it.

    Parameters
    ----------
    kind : the hose type
    told : its rows
    sheet : the sheet
    complaints : rows that state something else, or nothing, are added
    """
    first: dict[str, tuple[str, int]] = {}
    for row, cells in told:
        for name, text in cells.items():
            first.setdefault(name, (text, row.number))
    for row, cells in told:
        for name, (text, line) in first.items():
            said = cells.get(name, "")
            if said != text and (said or name not in NAMING):
                expected = f"'{text}', as line {line} says of the hose type '{kind}'"
                found = _shown(row, name, said)
                complaints.append(sheet.complaint(row, name, found, expected + _hint(row, name)))
    return {name: text for name, (text, _) in first.items()}


def _shown(row: SheetRow, name: str, said: str) -> str:
    raw = row.raw.get(name, said)
    if said:
        return f"'{raw}'"
    return f"'{raw}', which states nothing" if raw else "an empty cell"


def _hint(row: SheetRow, name: str) -> str:
    """Return how a sheet is brought in that leaves cells empty and means the one above."""
    return "" if row.raw.get(name) else "; fill_down where the cell above is meant"


def silent(
    kind: str,
    rows: Iterable[SheetRow],
    stated: Mapping[str, str],
    held: Mapping[str, str],
    sheet: SheetRows,
) -> list[Complaint]:
    """Return complaints about new sizes that leave out what the catalogue says of their type.

    Parameters
    ----------
    kind : the hose type
    rows : of sizes that the catalogue does not hold
    stated : what the sheet states of the type
    held : what the catalogue says of the type
    sheet : the sheet
    """
    left_out = [name for name in sheet.columns if name not in NAMING and name not in stated]
    expected = f", as the catalogue says of the hose type '{kind}'"
    return [
        sheet.complaint(row, name, _shown(row, name, ""), f"'{held[name]}'{expected}")
        for row in rows
        for name in left_out
        if held.get(name)
    ]


def changed_for_others(
    kind: str,
    row: SheetRow,
    changes: Mapping[str, tuple[str, str]],
    others: Sequence[str],
    sheet: SheetRows,
) -> list[Complaint]:
    """Return complaints about a change of a type that would bear on sizes not in the sheet.

    Parameters
    ----------
    kind : the hose type
    row : first row of the type
    changes : what the catalogue says and what the sheet says, by heading of the catalogue
    others : sizes of the type that the catalogue holds and the sheet does not list
    sheet : the sheet
    """
    if not others:
        return []
    return [
        sheet.complaint(
            row,
            name,
            _shown(row, name, new),
            f"{repr(old) if old else 'an empty cell'}, as the catalogue says of the hose type"
            f" '{kind}', or a line for every size of it: there is none for {_named(others)}",
        )
        for name, (old, new) in changes.items()
        if name not in NAMING
    ]


def _named(sizes: Sequence[str]) -> str:
    if len(sizes) > MOST_NAMED:
        return f"{', '.join(sizes[:MOST_NAMED])} and {len(sizes) - MOST_NAMED} more"
    return " and ".join(filter(None, (", ".join(sizes[:-1]), sizes[-1])))
