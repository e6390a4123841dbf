"""Note what was fitted on a job of the book, and when it is to be looked at again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from hoseselect.answer.answer import STOPPED
from hoseselect.book.job_book import JobBook
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit


@dataclass(frozen=True)
class Fitted:
    """What was noted.

    Parameters
    ----------
    hose : that was fitted
    recheck : day by which it is to be looked at again
    offered : whether it is the hose that was offered
    """

    hose: str
    recheck: date
    offered: bool


def note_fitted(
    book: JobBook, number: int, hose: str, day: date, recheck: date | None = None
) -> Fitted:
    """Note that a hose was fitted.

    Parameters
    ----------
    book : of the shop
    number : of the job
    hose : that was fitted; empty = the one that was offered
    day : on which it was fitted
    recheck : day of the re-check; None = the usual time after it

    Raises
    ------
    InputError
        when there is no such job, it is stopped, no hose is named, or the re-check comes before.
    """
    asked = book.entry(number).asked
    if asked.verdict == STOPPED:
        found = f"a hose fitted on job {number}, which is no job for hose and clamps"
        raise InputError("fitted", found, "no: what was fitted comes off before anything runs")
    which = hose or asked.hose
    if not which:
        raise InputError("hose", "nothing", "what was fitted: no hose was offered for this job")
    try:
        again = day + timedelta(days=limit("recheck-after")) if recheck is None else recheck
    except OverflowError:
        raise InputError("fitted on", day.isoformat(), "a day of our time") from None
    if again < day:
        raise InputError("recheck", again.isoformat(), f"a day after {day.isoformat()}")
    book.fit(number, which, day, again)
    return Fitted(which, again, which == asked.hose)
