"""What is in use, for whoever asks: catalogue, settings, job book, the day of today."""

from __future__ import annotations

import datetime
import os
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.catalogue.columns import Catalogue
    from hoseselect.settings.settings import Settings

TODAY = "HOSESELECT_TODAY"
"""Environment variable with the day to which the age of rolls is counted, in place of the clock."""


def catalogue_in_use(option: str | None) -> Catalogue:
    """Return the catalogue: option, environment variable, configuration file, built-in.

    It knows what is usual in the shop, as the shop has set it.
    """
    from hoseselect.catalogue.locate import find_catalogue
    from hoseselect.catalogue.read import read_catalogue

    own = settings_in_use()
    found = read_catalogue(find_catalogue(option, os.environ), today())
    return replace(found, usual=own.usual, currency=own.currency)


def settings_in_use() -> Settings:
    """Return what the shop has set.

    Raises
    ------
    InputError
        when its file cannot be read, or something in it cannot be used.
    """
    from hoseselect.files.settings_file import settings_file
    from hoseselect.settings.change import settings_of

    return settings_of(settings_file())


def not_ahead(day: datetime.date, place: str) -> datetime.date:
    """Return a day on which something was done.

    Raises
    ------
    InputError
        when it is still to come.
    """
    if day > today():
        raise InputError(place, day.isoformat(), f"today, {today().isoformat()}, or a day before")
    return day


def today() -> datetime.date:
    """Return the day of today: what the environment says, else the clock.

    Raises
    ------
    InputError
        when the environment names no day.
    """
    told = os.environ.get(TODAY)
    if not told:
        return datetime.date.today()
    try:
        return datetime.date.fromisoformat(told)
    except ValueError:
        raise InputError(TODAY, f"'{told}'", "a day as year-month-day") from None


def book_in_use() -> Path | None:
    """Return the file of the book; None where no book is kept."""
    from hoseselect.book.place import book_file

    own = settings_in_use()
    return book_file(os.environ, kept=own.book, told=own.book_file)


def now() -> datetime.datetime:
    """Return day and time of the till."""
    return datetime.datetime.combine(today(), datetime.datetime.now().time())
