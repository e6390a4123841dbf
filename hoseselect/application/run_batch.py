"""A sheet of jobs in, a sheet of answers out: the rules of `pick`, on many lines at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import islice
from typing import Any, NamedTuple, Protocol

from hoseselect.answer.answer import Answer
from hoseselect.answer.line_answer import (
    BETWEEN,
    ERROR,
    LineAnswer,
    cells,
    headings,
    of_answer,
)
from hoseselect.application.answer_many import answer_many, at_once
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job
from hoseselect.intake.job_headings import ColumnUse
from hoseselect.intake.job_sheet import JobSheet, SheetLine
from hoseselect.intake.sheet_reader import LineFault, SheetReader
from hoseselect.knowledge.errors import InputError, SolveError

Cell = str | float | None
_Key = int | tuple[str, ...]
"""The cells that decide a line, or its number where it stands for itself."""

MOST_KEPT = 10_000
"""Answers to lines that are kept for lines that say the same, a matter of memory."""

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

    def add(self, other: BatchSummary) -> None:
        """Count the lines that follow."""
        self.lines += other.lines
        self.verdicts += other.verdicts
        self.errors += other.errors[: ERRORS_SHOWN - len(self.errors)]

    def as_json(self) -> dict[str, Any]:
        """Return the summary as plain values."""
        return {
            "lines": self.lines,
            "verdicts": dict(sorted(self.verdicts.items())),
            "first_errors": list(self.errors),
        }


class _Told(NamedTuple):
    """What is told of lines that say the same.

    Parameters
    ----------
    answer : to each of them; that to a line with faults has no words yet
    cells : of the answer
    faults : that cost the line its answer
    """

    answer: LineAnswer
    cells: tuple[Cell, ...] = ()
    faults: tuple[LineFault, ...] = ()


class Block(NamedTuple):
    """What comes of some lines.

    Parameters
    ----------
    rows : of the sheet of answers
    summary : what became of the lines
    """

    rows: list[tuple[Cell, ...]]
    summary: BatchSummary


class Mapped(Protocol):
    """Answers blocks of lines wherever it likes, and gives what comes of them in their order."""

    def __call__(
        self, answered: Callable[[Sequence[SheetLine]], Block], blocks: Iterable[list[SheetLine]], /
    ) -> Iterable[Block]:
        """Return what comes of each block."""
        ...


class Batch:
    """Answers the lines of one sheet.

    Parameters
    ----------
    uses : what each column is for
    catalogue : what the shop sells
    units : "mm" or "in": the workshop step of the cut, and the unit of lengths in the answers
    decimal : sign of decimals in the figures of the sheet
    """

    def __init__(
        self,
        uses: Sequence[ColumnUse],
        catalogue: Catalogue,
        units: str = "mm",
        decimal: str = ".",
    ) -> None:
        self.uses = tuple(uses)
        self.catalogue = catalogue
        self.units = units
        self.decimal = decimal
        self.reader = SheetReader(self.uses, units=units, decimal=decimal)
        self._kept: dict[_Key, _Told] = {}

    def __reduce__(self) -> tuple[Any, ...]:
        """Tell another process what it is made of: its reader is made anew there."""
        return Batch, (self.uses, self.catalogue, self.units, self.decimal)

    def headings(self) -> tuple[str, ...]:
        """Return the headings of the answers: the sheet's own, then those of the answers."""
        carried = tuple(use.heading for use in self.uses if use.carried)
        return carried + headings(self.units)

    def block(self, lines: Sequence[SheetLine]) -> Block:
        """Return the rows of the sheet of answers to some lines, and what became of them.

        It rests on nothing but the lines: blocks may be answered anywhere, in any order.

        Parameters
        ----------
        lines : below the headings
        """
        carried = [place for place, use in enumerate(self.uses) if use.carried]
        nothing = (None,) * len(headings(self.units))
        rows: list[tuple[Cell, ...]] = []
        summary = BatchSummary()
        for line, told in zip(lines, self._lines_told(lines), strict=True):
            own = line.cells
            if len(own) < len(self.uses):
                own = own + [""] * (len(self.uses) - len(own))
            if told is not None:
                summary.count(told.answer)
            rows.append((*[own[place] for place in carried], *(told.cells if told else nothing)))
        return Block(rows, summary)

    def answers(self, lines: Sequence[SheetLine]) -> list[LineAnswer | None]:
        """Return the answer to each line; None for an empty line."""
        return [told and told.answer for told in self._lines_told(lines)]

    def _lines_told(self, lines: Sequence[SheetLine]) -> list[_Told | None]:
        """Return what is told of each line; None for an empty one.

        Lines that say the same are answered once; some of the answers are kept for the lines that
        follow.
        """
        keys: list[_Key | None] = []
        new: dict[_Key, SheetLine] = {}
        for line in lines:
            key: _Key | None = None
            if not line.empty:
                key = self.reader.deciding(line) or line.number
                if key not in self._kept:
                    new.setdefault(key, line)
            keys.append(key)
        found = dict(zip(new, self._told(list(new.values())), strict=True))
        told = [
            None if key is None else self._of_line(found.get(key) or self._kept[key], line.number)
            for key, line in zip(keys, lines, strict=True)
        ]
        if len(self._kept) > MOST_KEPT:
            self._kept.clear()
        self._kept |= {key: one for key, one in found.items() if not isinstance(key, int)}
        return told

    def _of_line(self, told: _Told, row: int) -> _Told:
        """Return what is told of one of the lines that say the same."""
        if not told.faults:
            return told
        words = BETWEEN.join(str(fault.at(row)) for fault in told.faults)
        answer = LineAnswer(ERROR, error=words)
        return _Told(answer, cells(answer, self.units))

    def _told(self, lines: Sequence[SheetLine]) -> list[_Told]:
        """Return what is told of lines of which no two say the same; none is empty."""
        read = [self.reader.read(line) for line in lines]
        plain = [job for job in read if isinstance(job, Job) and job.route.free is None]
        answered = iter(answer_many(plain, self.catalogue, units=self.units))
        told: list[_Told] = []
        for found in read:
            if isinstance(found, Job) and found.route.free is not None:
                told.append(self._alone(found))
            elif isinstance(found, Job):
                told.append(self._written(next(answered)))
            else:
                told.append(_Told(LineAnswer(ERROR), (), found or ()))
        return told

    def _alone(self, job: Job) -> _Told:
        """Return the answer to a free route; one that has no shape costs its own line alone."""
        try:
            (answer,) = answer_many([job], self.catalogue, units=self.units)
            return self._written(answer)
        except (SolveError, InputError) as error:
            fault = LineFault(0, (), error.place, error.found, error.expected)
            return _Told(LineAnswer(ERROR), (), (fault,))

    def _written(self, answer: Answer) -> _Told:
        told = of_answer(answer)
        return _Told(told, cells(told, self.units))


def run_batch(
    sheet: JobSheet,
    catalogue: Catalogue,
    write: Callable[[Sequence[tuple[Cell, ...]]], None],
    *,
    units: str = "mm",
    progress: Callable[[int], None] | None = None,
    mapped: Mapped = map,
) -> BatchSummary:
    """Answer every line of a sheet, in its order.

    Parameters
    ----------
    sheet : of jobs
    catalogue : what the shop sells
    write : takes rows of cells, the headings first
    units : "mm" or "in"
    progress : is told how many lines have been answered so far
    mapped : answers blocks of lines, in this process where nothing else is given
    """
    batch = Batch(sheet.uses, catalogue, units, sheet.decimal)
    summary = BatchSummary()
    write([batch.headings()])
    done = 0
    lines = iter(sheet.lines)
    blocks = iter(lambda: list(islice(lines, at_once(catalogue))), [])
    for rows, own in mapped(batch.block, blocks):
        write(rows)
        summary.add(own)
        done += len(rows)
        if progress is not None:
            progress(done)
    return summary
