"""A supplier's sheet as lines of text cells, from CSV or XLSX."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from hoseselect.catalogue.complaint import Complaint, Severity
from hoseselect.files.open_sheet import open_sheet
from hoseselect.files.sheet_line import Fault, SheetLine, column_letters
from hoseselect.files.text_sheet import TextSheet, Wording
from hoseselect.knowledge.errors import InputError

WORDING = Wording(
    "sheet.name of the mapping",
    "sheet.encoding of the mapping",
    "a file saved as UTF-8, or its encoding in the mapping, such as 'cp1252'",
)


@dataclass(frozen=True)
class SupplierSheet:
    """The cells of one sheet as it stands.

    Parameters
    ----------
    file : name of the file
    numbers : line of the file of each row, from 1
    rows : text cells of each row, without blanks around them; all rows of one length
    unreadable : what is wrong with single cells, by (place of the row, place of the column)
    shown : figures that are shown otherwise than they are stored, by the same places
    spread : cells that only repeat a merged cell beside them, (place of row, place of column)
    hidden_columns : places of the columns that are hidden
    hidden_rows : places of the rows that are hidden
    cell_names : whether cells have names such as "C12"
    """

    file: str
    numbers: tuple[int, ...]
    rows: tuple[tuple[str, ...], ...]
    unreadable: dict[tuple[int, int], Fault] = field(default_factory=dict)
    shown: dict[tuple[int, int], Fault] = field(default_factory=dict)
    spread: frozenset[tuple[int, int]] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    hidden_rows: frozenset[int] = frozenset()
    cell_names: bool = False

    def complaint(
        self, severity: Severity, row: int, column: int, heading: str, found: str, expected: str
    ) -> Complaint:
        """Return a complaint about one cell; its name stands before the heading where it has one.

        Parameters
        ----------
        row, column : places, from 0; column -1 for the line as a whole
        """
        line = self.numbers[row] if self.numbers else 1
        name = f"{column_letters(column)}{line}" if self.cell_names and column >= 0 else ""
        words = " ".join(word for word in (name, heading) if word)
        return Complaint(severity, self.file, line, column + 1, words, found, expected)


def read_sheet(
    path: Path, *, name: str = "", separator: str = "", encoding: str = ""
) -> SupplierSheet:
    """Read a sheet.

    A merged cell stands for every cell it covers; where it is merged sideways below the headings,
    the copies are marked as `spread`. A formula is read as the value stored with it.

    Parameters
    ----------
    path : CSV (or any text with separators) or XLSX
    name : sheet of a workbook; default the first that is not hidden
    separator : what parts the cells of a text; default found out
    encoding : of a text; default UTF-8, or UTF-16 where the file says so

    Raises
    ------
    InputError
        when the file cannot be read.
    """
    given = open_sheet(
        path, name=name, separator=separator, encoding=encoding, strict=True, wording=WORDING
    )
    cell_names = not isinstance(given, TextSheet)
    return _sheet(path.name, given.lines(), given.hidden_columns, cell_names=cell_names)


def _sheet(
    file: str, lines: Iterable[SheetLine], hidden_columns: frozenset[int], *, cell_names: bool
) -> SupplierSheet:
    """Return the lines in which something of their own stands."""
    kept = [line for line in lines if not line.empty and not line.copied]
    if not kept:
        raise InputError(file, "an empty file or sheet", "a sheet with a line of headings")
    return SupplierSheet(
        file=file,
        numbers=tuple(line.line for line in kept),
        rows=same_length([[" ".join(cell.split()) for cell in line.cells] for line in kept]),
        unreadable={(row, k): f for row, line in enumerate(kept) for k, f in line.faults.items()},
        shown={(row, k): f for row, line in enumerate(kept) for k, f in line.shown.items()},
        spread=frozenset(
            (row, column)
            for row, line in enumerate(kept)
            for column, first in line.merged.items()
            if column > first
        ),
        hidden_columns=hidden_columns,
        hidden_rows=frozenset(row for row, line in enumerate(kept) if line.hidden),
        cell_names=cell_names,
    )


def same_length(rows: Sequence[Sequence[str]]) -> tuple[tuple[str, ...], ...]:
    """Return the rows filled up with empty cells to one length."""
    width = max((len(row) for row in rows), default=0)
    return tuple((*row, *[""] * (width - len(row))) for row in rows)
