"""A sheet of jobs in, a sheet of answers out: the rules of `pick`, on many lines at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from typing import Any

import numpy as np

from hoseselect.answer.line_answer import (
    BETWEEN,
    ERROR,
    LineAnswer,
    cells,
    headings,
    of_answer,
)
from hoseselect.application.answer_many import answer_many
from hoseselect.application.pick import pick_hose
from hoseselect.application.sheet_jobs import sheet_jobs
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.intake.job_headings import ColumnUse, cell_name
from hoseselect.intake.job_sheet import JobSheet, SheetLine
from hoseselect.intake.read_job import JobError, read_job
from hoseselect.intake.sheet_cells import Column, clean_cell
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.intake.sheet_lines import Lines
from hoseselect.knowledge.errors import InputError

Cell = str | float | None
AT_ONCE = 6000
"""Lines that are judged together, a matter of memory and speed."""

ERRORS_SHOWN = 20


@dataclass
class BatchSummary:
    """What became of a sheet.

    Parameters
    ----------
    lines : with something in them
    verdicts : how many lines have each verdict
    errors : sentences of the first lines that could not be answered
    """

    lines: int = 0
    verdicts: Counter[str] = field(default_factory=Counter)
    errors: list[str] = field(default_factory=list)

    def count(self, answer: LineAnswer) -> None:
        """Count one line."""
        self.lines += 1
        self.verdicts[answer.verdict] += 1
        if answer.verdict == ERROR and len(self.errors) < ERRORS_SHOWN:
            self.errors.append(answer.error)

    def as_json(self) -> dict[str, Any]:
        """Return the summary as plain values."""
        return {
            "lines": self.lines,
            "verdicts": dict(sorted(self.verdicts.items())),
            "first_errors": list(self.errors),
        }


class Batch:
    """Answers the lines of one sheet.

    Parameters
    ----------
    uses : what each column is for
    catalogue : what the shop sells
    units : "mm" or "in": the workshop step of the cut, and the unit of lengths in the answers
    """

    def __init__(self, uses: Sequence[ColumnUse], catalogue: Catalogue, units: str = "mm") -> None:
        self.uses = tuple(uses)
        self.catalogue = catalogue
        self.units = units
        self.hoses = hose_columns(catalogue)
        self.places = {use.key: place for place, use in enumerate(self.uses) if use.key}
        self.columns = {
            use.key: Column(sheet_keys()[use.key], use.unit) for use in self.uses if use.key
        }

    def headings(self) -> tuple[str, ...]:
        """Return the headings of the answers: the sheet's own, then those of the answers."""
        carried = tuple(use.heading for use in self.uses if use.carried)
        return carried + headings(self.units)

    def rows(
        self, lines: Iterator[SheetLine], summary: BatchSummary
    ) -> Iterator[list[tuple[Cell, ...]]]:
        """Yield the rows of the sheet of answers, some at a time, in the order of the lines.

        Parameters
        ----------
        lines : below the headings
        summary : counts what became of them
        """
        carried = [place for place, use in enumerate(self.uses) if use.carried]
        nothing = (None,) * len(headings(self.units))
        while block := list(islice(lines, AT_ONCE)):
            rows: list[tuple[Cell, ...]] = []
            for line, answer in zip(block, self.answers(block), strict=True):
                own: tuple[Cell, ...] = tuple(
                    line.cells[place] if place < len(line.cells) else "" for place in carried
                )
                if answer is None:
                    rows.append(own + nothing)
                else:
                    summary.count(answer)
                    rows.append(own + cells(answer, self.units))
            yield rows

    def answers(self, lines: Sequence[SheetLine]) -> list[LineAnswer | None]:
        """Return the answer to each line; None for an empty line."""
        texts = {key: _texts(lines, place) for key, place in self.places.items()}
        read = Lines(self.columns, texts)
        jobs = sheet_jobs(read, self.units)
        broken = np.array([bool(line.fault or self._cell_faults(line)) for line in lines])
        plain = np.flatnonzero(~(jobs.odd | broken))
        told = iter(answer_many(jobs.columns.take(plain), self.hoses, self.catalogue))
        easy = set(plain.tolist())
        return [
            next(told) if place in easy else self._one_by_one(line, read, place)
            for place, line in enumerate(lines)
        ]

    def _one_by_one(self, line: SheetLine, read: Lines, place: int) -> LineAnswer | None:
        """Return the answer to a line of which something is unusual or wrong."""
        if line.empty:
            return None
        sentences = self._faults(line, read, place)
        if sentences:
            return LineAnswer(ERROR, error=BETWEEN.join(sentences))
        try:
            values = self._values(line)
            job = read_job(values, ROW, self.units)
            return of_answer(pick_hose(job, self.catalogue, units=self.units))
        except JobError as error:
            said = [self._with_cells(line, sentence) for sentence in error.sentences]
        except InputError as error:
            said = [self._with_cells(line, str(error))]
        return LineAnswer(ERROR, error=BETWEEN.join(said))

    def _cell_faults(self, line: SheetLine) -> list[tuple[int, str, str]]:
        """Return what is wrong with the form of cells: place, found and expected."""
        faults = [
            (place, *fault)
            for place, fault in line.faults.items()
            if place >= len(self.uses) or self.uses[place].key
        ]
        for place, cell in enumerate(line.cells):
            outside = place >= len(self.uses) or not self.uses[place].heading
            if outside and cell.strip():
                faults.append((place, f"'{cell.strip()[:40]}' below no heading", "an empty cell"))
        return faults

    def _faults(self, line: SheetLine, read: Lines, row: int) -> list[str]:
        """Return one sentence for every cell that cannot be used."""
        if line.fault:
            return [f"row {line.number}: {line.fault}"]
        faults = self._cell_faults(line)
        known = {place for place, _, _ in faults}
        for key, place in self.places.items():
            fault = self.columns[key].faults[int(read.codes[key][row])]
            if fault is not None and place not in known:
                faults.append((place, fault.found, fault.expected))
        return [
            f"{cell_name(line.number, place)} {self._key(place)}: found {found}; expected {wanted}"
            for place, found, wanted in sorted(faults)
        ]

    def _key(self, place: int) -> str:
        return self.uses[place].key if place < len(self.uses) and self.uses[place].key else "(cell)"

    def _values(self, line: SheetLine) -> dict[str, Any]:
        """Return a line as a job file would have it."""
        values: dict[str, Any] = {}
        for key, place in self.places.items():
            if place < len(line.cells) and clean_cell(line.cells[place]):
                *tables, name = key.split(".")
                inner = values
                for table in tables:
                    inner = inner.setdefault(table, {})
                inner[name] = self.columns[key].as_typed(line.cells[place])
        return values

    def _with_cells(self, line: SheetLine, sentence: str) -> str:
        """Return a sentence about a job with the names of the cells that it is about."""
        rest = sentence.removeprefix(f"{ROW}: ")
        table, sign, said = rest.partition(":")
        if rest.startswith("found ") or not sign:
            table, said = "", rest
        said = f" {said} "
        near = [
            place
            for key, place in self.places.items()
            if (table and f"{key}.".startswith(f"{table}.")) or (not table and _named(key, said))
        ]
        filled = [p for p in near if p < len(line.cells) and line.cells[p].strip()] or near
        told = [p for p in filled if _named(self.uses[p].key, said)] or filled
        names = ", ".join(cell_name(line.number, place) for place in sorted(told))
        return f"{names or f'row {line.number}'} {rest}"


ROW = "row"


def _named(key: str, said: str) -> bool:
    """Return whether a sentence names the last part of a key."""
    return f" {key.rpartition('.')[2]} " in said


def _texts(lines: Sequence[SheetLine], place: int) -> list[str]:
    return [
        line.cells[place] if place < len(line.cells) and place not in line.faults else ""
        for line in lines
    ]


def run_batch(
    sheet: JobSheet,
    catalogue: Catalogue,
    write: Callable[[Sequence[tuple[Cell, ...]]], None],
    *,
    units: str = "mm",
    progress: Callable[[int], None] | None = None,
) -> BatchSummary:
    """Answer every line of a sheet, in its order.

    Parameters
    ----------
    sheet : of jobs
    catalogue : what the shop sells
    write : takes rows of cells, the headings first
    units : "mm" or "in"
    progress : is told how many lines have been answered so far
    """
    batch = Batch(sheet.uses, catalogue, units)
    summary = BatchSummary()
    write([batch.headings()])
    done = 0
    for rows in batch.rows(sheet.lines, summary):
        write(rows)
        done += len(rows)
        if progress is not None:
            progress(done)
    return summary
