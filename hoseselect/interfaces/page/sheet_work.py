"""What becomes of a sheet that was sent: headings are mapped, jobs answered, rolls planned."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from hoseselect.application.run_batch import BatchSummary, Cell, run_batch
from hoseselect.catalogue.columns import Catalogue
from hoseselect.files.sheet_line import SheetLine
from hoseselect.intake.heading_map import drafted, kept_headings
from hoseselect.intake.job_headings import FREE, KEEP, NOTES, PREFIX, plain_heading
from hoseselect.intake.job_sheet import JobSheet, job_sheet
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.interfaces.page.upload import Upload
from hoseselect.interfaces.sheets.answer_sheet import answer_sheet
from hoseselect.interfaces.sheets.order_sheet import COLUMNS, LEAST_COLUMNS, read_orders
from hoseselect.knowledge.errors import InputError
from hoseselect.rolls.plan import RollOptions, RollPlan, plan_rolls
from hoseselect.rolls.stock import lengths_or_usual, stock_of

MOST_FREE = 20
"""Jobs on free routes in a sheet: each takes a second or two; common practice, no source."""
MOST_PIECES = 5_000
PLANNING = 3.0
"""Seconds after which no better plan is looked for."""


@dataclass(frozen=True)
class Heading:
    """A heading of a sheet and what it stands for.

    Parameters
    ----------
    heading : as it stands
    key : of a job file; "keep" = a column of the shop's own
    unit : of bare numbers; empty = the working unit
    sure : whether nobody need look at it
    """

    heading: str
    key: str
    unit: str = ""
    sure: bool = False

    @property
    def meant(self) -> str:
        """What it stands for, as a file of headings says it."""
        return f"{self.key} [{self.unit}]" if self.unit and self.key != KEEP else self.key


@dataclass(frozen=True)
class Answers:
    """The answers to a sheet.

    Parameters
    ----------
    headings, rows : of the sheet of answers
    summary : how many lines have each verdict
    """

    headings: tuple[str, ...]
    rows: list[tuple[Cell, ...]]
    summary: BatchSummary


def is_list_of_lengths(upload: Upload) -> bool:
    """Return whether a sheet is a list of lengths to cut, and no sheet of jobs."""
    first: Sequence[str] = next((line.cells for line in upload.lines if not line.empty), [])
    names = {cell.strip().lower().replace(" ", "_") for cell in first}
    return set(LEAST_COLUMNS) <= names <= {*COLUMNS, ""}


def headings_of(upload: Upload, catalogue: Catalogue, chosen: Mapping[str, str]) -> list[Heading]:
    """Return what the headings of a sheet stand for: as chosen, as the shop keeps, as they hint.

    Parameters
    ----------
    upload : the sheet
    catalogue : whose folder may keep what headings stand for
    chosen : "map.N" the key and "unit.N" the unit of the heading at place N; empty = not chosen

    Raises
    ------
    InputError
        when no line looks like headings.
    """
    kept, found = kept_headings(None, catalogue.folder), []
    for place, draft in enumerate(drafted(upload.lines, upload.name)):
        plain = plain_heading(draft.heading)
        meant, sure = draft.meant or KEEP, draft.sure
        if plain in kept:
            meant, sure = kept[plain], True
        elif plain.startswith(PREFIX) or plain.split("_")[0] in NOTES:
            meant, sure = KEEP, True
        key, _, unit = meant.partition(" [")
        unit = unit.removesuffix("]")
        if f"map.{place}" in chosen:
            key, unit, sure = chosen[f"map.{place}"], chosen.get(f"unit.{place}", ""), True
        found.append(Heading(draft.heading, key, unit.strip(), sure))
    return found


def answered(
    upload: Upload, headings: Sequence[Heading], catalogue: Catalogue, units: str
) -> Answers:
    """Return the answers to a sheet of jobs.

    Raises
    ------
    InputError
        when a heading cannot be used, or too many of its lines are on free routes.
    """
    sheet = _jobs(upload, headings)
    free = any(use.key.startswith(FREE) for use in sheet.uses)
    lines = list(sheet.lines)
    if free and sum(not line.empty for line in lines) > MOST_FREE:
        expected = f"at most {MOST_FREE} lines here, or `hoseselect batch`"
        raise InputError("sheet", "many jobs on free routes", expected)
    rows: list[tuple[Cell, ...]] = []
    again = JobSheet(sheet.uses, sheet.row, iter(lines), sheet.decimal)
    summary = run_batch(again, catalogue, rows.extend, units=units)
    return Answers(tuple(map(str, rows[0])), rows[1:], summary)


def _refuse_alike(headings: Sequence[Heading]) -> None:
    """Refuse headings that differ in capitals alone, of which one would count for both.

    Raises
    ------
    InputError
        when there are two.
    """
    met: dict[str, str] = {}
    for one in headings:
        plain = plain_heading(one.heading)
        if plain and plain in met:
            found = f"the headings '{met[plain]}' and '{one.heading}', which are read as one"
            raise InputError(
                "sheet", found, "headings that differ in more than capitals and blanks"
            )
        met[plain] = one.heading


def _jobs(upload: Upload, headings: Sequence[Heading]) -> JobSheet:
    lines: Iterator[SheetLine] = iter(upload.lines)
    _refuse_alike(headings)
    mapped = {
        plain_heading(one.heading): one.meant
        for one in headings
        if one.meant and not plain_heading(one.heading).startswith(PREFIX)
    }
    return job_sheet(lines, upload.name, (), upload.hidden_columns, upload.separator, mapped)


def answers_file(answers: Answers, ending: str, separator: str = ",") -> bytes:
    """Return a sheet of answers as a file.

    Parameters
    ----------
    answers : to the sheet
    ending : "csv" or "xlsx"
    separator : of the cells of a CSV file
    """
    with _own_file(f"answers.{ending}") as path:
        with answer_sheet(path, separator) as writer:
            writer.write([answers.headings])
            writer.write(answers.rows)
        return path.read_bytes()


def planned(content: bytes, ending: str, catalogue: Catalogue, saw: str, keep: str) -> RollPlan:
    """Return how the lengths of a sheet, or of a sheet of answers, are cut from the rolls.

    Parameters
    ----------
    content : of the sheet
    ending : "csv" or "xlsx"
    catalogue : with the rolls
    saw, keep : length lost in a cut, and least remnant worth keeping, as typed; empty = usual

    Raises
    ------
    InputError
        when a cell, a hose or a length cannot be used, or there are too many pieces.
    """
    with _own_file(f"lengths.{ending}") as path:
        path.write_bytes(content)
        orders = read_orders(path, catalogue.sizes.hose_size)
    pieces = sum(order.count for order in orders)
    if not 1 <= pieces <= MOST_PIECES:
        raise InputError("sheet", f"{pieces} pieces to cut", f"1 to {MOST_PIECES}")
    lost, worth = lengths_or_usual(saw.strip() or "unknown", keep.strip() or "unknown")
    return plan_rolls(orders, stock_of(catalogue), RollOptions(lost, worth, time_limit=PLANNING))


@contextmanager
def _own_file(name: str) -> Iterator[Path]:
    """Give a place for a file that is gone after it."""
    with TemporaryDirectory(prefix="hoseselect-") as folder:
        yield Path(folder) / name


def keys_to_choose() -> list[str]:
    """Return what a heading can stand for: a column of the shop's own, then the keys."""
    return [KEEP, *sheet_keys()]
