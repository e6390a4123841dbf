"""A job that the JSON interface or a view was asked gets its number in the book."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import MAXYEAR, MINYEAR, date
from typing import Any

from hoseselect.answer.answer import Answer
from hoseselect.application.cut import CutResult
from hoseselect.book.entry import asked_of
from hoseselect.book.job_book import JobBook
from hoseselect.book.note import LONGEST_SHOWN, known_text
from hoseselect.interfaces.in_use import not_ahead, now, today
from hoseselect.interfaces.page.shop import Shop
from hoseselect.knowledge.errors import InputError


def the_book(shop: Shop) -> JobBook:
    """Return the job book of the shop.

    Raises
    ------
    InputError
        when none is kept.
    """
    if shop.book is None:
        raise InputError("job book", "none, it is switched off", "a book: `settings set book on`")
    return JobBook(shop.book)


def written_down(
    shop: Shop,
    job: Mapping[str, Any],
    told: Answer | CutResult,
    units: str,
    *,
    command: str,
    options: Mapping[str, Any] | None = None,
    note: str = "",
) -> int:
    """Write a job into the book and return its number.

    Parameters
    ----------
    shop : whose book
    job : keys as in a job file
    told : the answer
    units : "mm" or "in"
    command : that asks so
    options : what else was asked for, by name
    note : of the shop

    Raises
    ------
    InputError
        when no book is kept, or it cannot be used.
    """
    asked = asked_of(told, job, command, units, options=options, note=known_text(note, "note"))
    return the_book(shop).add(asked, now())


def day_done(text: str) -> date:
    """Return the day on which something was done; today where none is told.

    Raises
    ------
    InputError
        when it is no day, or still to come.
    """
    return not_ahead(day_told(text, "on"), "on")


def day_told(text: str, place: str) -> date:
    """Return a day; today where none is told.

    Raises
    ------
    InputError
        when it is no day.
    """
    plain = text.strip()
    if not plain:
        return today()
    try:
        found = date.fromisoformat(plain)
    except ValueError:
        raise InputError(place, ascii(plain)[:LONGEST_SHOWN], "a day such as 2031-05-30") from None
    if not MINYEAR < found.year < MAXYEAR:
        raise InputError(place, plain, "a day such as 2031-05-30")
    return found
