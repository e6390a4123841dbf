"""The book in use, and a job that is named by its number in it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from hoseselect.interfaces.in_use import book_in_use
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.book.entry import Entry

JOB_NUMBER = re.compile(r"#?([0-9]{1,12})", re.ASCII)


def job_number(path: Path) -> int | None:
    """Return the number of the book that stands in place of a job file, None for a job file.

    Raises
    ------
    InputError
        when it may be either.
    """
    match = JOB_NUMBER.fullmatch(str(path))
    if match is None:
        return None
    if path.exists():
        found = f"'{path}', which is a file too"
        raise InputError("JOB", found, "the file by a name such as job.toml, or another folder")
    return int(match[1])


def entry_of(number: int) -> Entry:
    """Return a line of the book.

    Raises
    ------
    InputError
        when no book is kept, it cannot be used, or it has no such line.
    """
    from hoseselect.book.job_book import JobBook

    file = book_in_use()
    if file is None:
        raise InputError(f"job {number}", "no job book, which is switched off", "a job file")
    return JobBook(file).entry(number)
