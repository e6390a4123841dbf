"""Where the book is, and whether one is kept."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

VARIABLE = "HOSESELECT_BOOK"
"""Environment variable with the file of the book, or the word off."""

OFF = ("off", "no", "0", "false")
FILE = "jobs.sqlite"


def book_file(environment: Mapping[str, str], *, kept: bool = True, told: str = "") -> Path | None:
    """Return the file of the book; None where no book is kept.

    Parameters
    ----------
    environment : its variable wins over what the shop has set
    kept : whether the shop keeps a book
    told : file that the shop has set; empty = in the user's folder of data
    """
    named = environment.get(VARIABLE, "")
    if named.strip().casefold() in OFF or not (named or kept):
        return None
    if named or told:
        return Path(named or told)
    import platformdirs

    return Path(platformdirs.user_data_dir("hoseselect")) / FILE
