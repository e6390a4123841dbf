"""A job that was asked gets its number in the book; a book that cannot be used stops no answer."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from hoseselect.catalogue.complaint import printable
from hoseselect.interfaces.cli.common import Screen
from hoseselect.interfaces.in_use import book_in_use, now
from hoseselect.knowledge.errors import HoseselectError

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer
    from hoseselect.application.cut import CutResult
    from hoseselect.interfaces.cli.job_input import JobInput


def keep(
    given: JobInput,
    command: str,
    told: Answer | CutResult,
    units: str,
    options: Mapping[str, Any] | None = None,
    values: Mapping[str, Any] | None = None,
) -> int | None:
    """Write a job down; return its number, None where it has none.

    A job that was given by its number keeps that number, unless something of it was altered.

    Parameters
    ----------
    given : job, as it was given
    command : that asked
    told : the answer
    units : "mm" or "in"
    options : what else was asked for, by name
    values : the job with keys as in a job file, where it was asked for step by step
    """
    try:
        file = None if given.no_book else book_in_use()
        if file is None:
            return given.number
        from hoseselect.book.entry import asked_of
        from hoseselect.book.job_book import JobBook

        book = JobBook(file)
        job = given.values() if values is None else values
        if given.number is not None and not given.altered and job == given.values():
            if given.note:
                book.note(given.number, given.note)
            return given.number
        note, before = given.note or given.note_before, given.number or 0
        asked = asked_of(told, job, command, units, options=options, note=note, altered_from=before)
        return book.add(asked, now())
    except Exception as error:  # whatever is wrong with the book, the answer is given
        why = printable(str(error)) if isinstance(error, HoseselectError) else type(error).__name__
        sys.stderr.write(f"This job has no number, the job book cannot be used: {why}\n")
        return None


def write_number(number: int | None) -> None:
    """Write the number of a job below its answer."""
    if number is not None:
        Screen().line(f"Job {number}, in the book.")


def with_number(answer: dict[str, Any], number: int | None) -> dict[str, Any]:
    """Return an answer as plain values with the number of the job before it."""
    return {"number": number, **answer}
