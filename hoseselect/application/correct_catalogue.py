"""Correct one cell of a shop's catalogue, or take the last correction back.

The folder is changed as a whole or not at all, by one till at a time. Whoever corrects a cell says
what stood there: a cell that somebody else has changed meanwhile is left alone. What would make the
catalogue unusable, or less usable than it is, is refused; what is merely odd is told.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from hoseselect.book.job_book import MINUTES
from hoseselect.catalogue.complaint import Complaint, printable
from hoseselect.catalogue.corrections import Correction, kept_corrections, write_corrections
from hoseselect.catalogue.locate import BUILT_IN
from hoseselect.catalogue.one_cell import Row, row_at, row_with, with_row
from hoseselect.catalogue.read import examine
from hoseselect.catalogue.tables import TABLES
from hoseselect.catalogue.write import sole_use, staged
from hoseselect.files.harmless import harmless
from hoseselect.files.open_file import read_bytes
from hoseselect.knowledge.errors import CatalogueError

LONGEST = 500
"""Letters of a cell."""
EXPECTED = "a file of the catalogue that can be read"


@dataclass(frozen=True)
class Spot:
    """A cell, and what whoever corrects it saw there.

    Parameters
    ----------
    file : of the catalogue
    line : on which its row starts, from 1
    column : from 1
    key : first cell of the row
    old : what stood in the cell
    """

    file: str
    line: int
    column: int
    key: str
    old: str


@dataclass(frozen=True)
class Corrected:
    """What came of a correction.

    Parameters
    ----------
    correction : of the cell
    warnings : what is odd about its row now
    """

    correction: Correction
    warnings: tuple[Complaint, ...]


def is_built_in(folder: Path) -> bool:
    """Return whether a folder is the built-in catalogue, which stays as it is."""
    return any(place.is_dir() and place.samefile(folder) for place in BUILT_IN)


def correct_cell(
    folder: Path, spot: Spot, new: str, when: datetime, today: date | None = None
) -> Corrected:
    """Put something else into a cell.

    Parameters
    ----------
    folder : of the catalogue
    spot : the cell
    new : what is to stand there
    when : day and time of the till
    today : to which the age of rolls is counted

    Raises
    ------
    CatalogueError
        when the catalogue is the built-in one or cannot be written, somebody else has changed the
        cell, or the catalogue would be worse for it.
    InputError
        when another till changes it for too long.
    """
    _refuse_built_in(folder)
    value = _cell_text(new, spot)
    with sole_use(folder):
        text = _text(folder, spot.file)
        row, heading = _row(text, spot)
        correction = Correction(
            when.strftime(MINUTES),
            file=spot.file,
            line=spot.line,
            column=spot.column,
            heading=heading,
            key=spot.key,
            old=spot.old,
            new=value,
            before=row.raw,
            after=row_with(row, spot.column, value),
        )
        steps = [*kept_corrections(folder), correction]
        found = _put(folder, correction.file, with_row(text, row, correction.after), steps, today)
    odd = (c for c in found if (c.file, c.line) == (spot.file, spot.line))
    return Corrected(correction, tuple(odd))


def take_back(folder: Path, last: Correction, today: date | None = None) -> Correction:
    """Take the last correction back, letter for letter.

    Parameters
    ----------
    folder : of the catalogue
    last : what is taken for the last correction
    today : to which the age of rolls is counted

    Raises
    ------
    CatalogueError
        when it is not the last one any more, its row has been changed since, or the catalogue
        would be worse for it.
    InputError
        when another till changes it for too long.
    """
    _refuse_built_in(folder)
    with sole_use(folder):
        steps = kept_corrections(folder)
        if not steps or steps[-1] != last:
            found = "another correction, made meanwhile"
            raise CatalogueError("take back", found, "the last correction, looked at again")
        text = _text(folder, last.file)
        row = row_at(text, last.line)
        if row is None or row.raw != last.after:
            found = f"a row that was changed since by other means, line {last.line} of {last.file}"
            raise CatalogueError("take back", found, "the row as it was corrected")
        _put(folder, last.file, with_row(text, row, last.before), steps[:-1], today)
    return last


def _put(
    folder: Path, file: str, text: str, steps: list[Correction], today: date | None
) -> list[Complaint]:
    """Put a file and the list of corrections in place; return what the catalogue is told of then.

    Raises
    ------
    CatalogueError
        with the first new error that the catalogue would have; the folder stays as it is.
    """
    _, before = examine(folder, prints=True, today=today)
    with staged(folder) as stage:
        (stage.path / file).write_bytes(text.encode("utf-8"))
        write_corrections(stage.path, steps)
        _, after = examine(stage.path, prints=True, today=today)
        known = {(c.file, c.heading, c.found) for c in before if c.severity == "error"}
        worse = [c for c in after if c.severity == "error"
                 and (c.file, c.heading, c.found) not in known]  # fmt: skip
        if worse:
            raise worse[0].error
    return [c for c in after if c not in before]


def _refuse_built_in(folder: Path) -> None:
    if is_built_in(folder):
        found = "the built-in catalogue, which stays as it is"
        raise CatalogueError("catalogue", found, "one of your own: `hoseselect catalog new`")


def _cell_text(new: str, spot: Spot) -> str:
    value = new.strip()
    place = f"{printable(spot.file)}:{spot.line}:{spot.column}"
    if not value.isprintable():
        raise CatalogueError(place, ascii(value)[:LONGEST], "text without control characters")
    if len(value) > LONGEST:
        raise CatalogueError(place, f"{len(value)} letters", f"at most {LONGEST}")
    if harmless(value) != value:
        raise CatalogueError(place, f"'{value}', which a spreadsheet would run", "plain text")
    return value


def _text(folder: Path, file: str) -> str:
    """Return the text of a file of the catalogue, a mark of its encoding included."""
    if file not in {table.file for table in TABLES}:
        raise CatalogueError("file", f"'{printable(file)}'", "a file of the catalogue")
    try:
        return read_bytes(folder / file, EXPECTED).decode("utf-8")
    except UnicodeDecodeError:
        raise CatalogueError(file, "a file that is not UTF-8", EXPECTED) from None


def _row(text: str, spot: Spot) -> tuple[Row, str]:
    """Return the row of a cell and the heading of its column.

    Raises
    ------
    CatalogueError
        when there is no such cell, or it holds something else.
    """
    place = f"{spot.file}:{spot.line}:{spot.column}"
    head, row = row_at(text, 1), row_at(text, spot.line)
    if (
        head is None
        or row is None
        or spot.line == 1
        or not (0 < spot.column <= min(len(row.cells), len(head.cells)))
    ):
        raise CatalogueError(place, "no such cell", "a cell of the catalogue")
    stands = row.cells[spot.column - 1].strip(), row.cells[0].strip()
    if stands != (spot.old, spot.key):
        found = f"'{printable(stands[0])}' in the row of '{printable(stands[1])}', not"
        found += f" '{printable(spot.old)}' any more: somebody changed it meanwhile"
        raise CatalogueError(place, found, "the cell looked at again")
    return row, head.cells[spot.column - 1].strip().removeprefix("\ufeff")
