"""Opening a file that is read: a regular one of sane size, or one sentence."""

from __future__ import annotations

import stat
from pathlib import Path

from hoseselect.knowledge.errors import InputError

MOST_BYTES = 256_000_000
"""Of a file that is read at once."""


def refuse_no_file(path: Path, expected: str) -> None:
    """Refuse what is no regular file: a folder, a device that never ends, a pipe that never starts.

    Parameters
    ----------
    path : the file
    expected : what it should be, for the sentence

    Raises
    ------
    InputError
        when it is not there, or no regular file.
    """
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError) as error:
        raise InputError(str(path), reason_of(error), expected) from None
    if not stat.S_ISREG(mode):
        found = "a folder" if stat.S_ISDIR(mode) else "a device or a pipe"
        raise InputError(str(path), found, expected)


def read_bytes(path: Path, expected: str, most: int = MOST_BYTES) -> bytes:
    """Return what stands in a file.

    Parameters
    ----------
    path : the file
    expected : what it should be, for the sentence
    most : bytes that are read at most

    Raises
    ------
    InputError
        when it cannot be read, or is longer.
    """
    refuse_no_file(path, expected)
    try:
        with path.open("rb") as stream:
            data = stream.read(most + 1)
    except OSError as error:
        raise InputError(str(path), reason_of(error), expected) from None
    if len(data) > most:
        raise InputError(str(path), f"more than {most // 1_000_000} MB", expected)
    return data


def reason_of(error: Exception) -> str:
    """Return why the system refused, as a part of a sentence."""
    reason = getattr(error, "strerror", None) or "a file that cannot be read"
    return reason[:1].lower() + reason[1:]
