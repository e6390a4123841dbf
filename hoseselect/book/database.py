"""The file of the book: SQLite, opened for one piece of work, brought up to date on the way.

A change is one immediate transaction that waits for whoever writes; what was confirmed is on the
disk. The journal is written ahead (WAL), so that readers and one writer do not wait for one
another, and a process that is killed leaves a sound file.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from hoseselect.files.open_file import reason_of
from hoseselect.knowledge.errors import InputError

WAIT = 5.0
"""Seconds for which a till waits while another one writes."""

STEPS = (
    """
    CREATE TABLE jobs (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        asked_at TEXT NOT NULL,
        command TEXT NOT NULL,
        options TEXT NOT NULL,
        units TEXT NOT NULL,
        service TEXT NOT NULL,
        name TEXT NOT NULL,
        note TEXT NOT NULL,
        job TEXT NOT NULL,
        verdict TEXT NOT NULL,
        hose TEXT NOT NULL,
        cut_mm REAL,
        altered_from INTEGER NOT NULL DEFAULT 0
    );
    """,
    """
    ALTER TABLE jobs ADD COLUMN fitted TEXT NOT NULL DEFAULT '';
    ALTER TABLE jobs ADD COLUMN fitted_hose TEXT NOT NULL DEFAULT '';
    ALTER TABLE jobs ADD COLUMN fitted_on TEXT NOT NULL DEFAULT '';
    ALTER TABLE jobs ADD COLUMN recheck_on TEXT NOT NULL DEFAULT '';
    ALTER TABLE jobs ADD COLUMN done_on TEXT NOT NULL DEFAULT '';
    """,
)
"""What makes each version of the book of the one before it; a step is never changed, only added."""

EXPECTED = "a job book; it stays as it is: move it aside, and a new one is begun"
OWNER_ONLY = 0o600, 0o700


@contextmanager
def opened(file: Path) -> Iterator[sqlite3.Connection]:
    """Give the book for one piece of work, made or brought up to date where it has to be.

    Parameters
    ----------
    file : of the book

    Raises
    ------
    InputError
        when it cannot be opened, read or written, or is no book.
    """
    try:
        _make(file)
        connection = sqlite3.connect(file, timeout=WAIT, isolation_level=None)
        try:
            _bring_up_to_date(connection, file)
            yield connection
        finally:
            connection.close()
    except sqlite3.Error as error:
        raise InputError(str(file), *_told(error)) from None
    except OSError as error:
        raise InputError(str(file), reason_of(error), WRITABLE) from None
    except ValueError:  # a name that no file can have
        raise InputError(ascii(str(file)), "no name of a file", WRITABLE) from None


WRITABLE = "a job book that can be read and written"


@contextmanager
def changing(file: Path) -> Iterator[sqlite3.Connection]:
    """Give the book for one change: all of it is kept when the block ends, or nothing.

    Raises
    ------
    InputError
        when it cannot be opened, read or written, or is no book.
    """
    with opened(file) as connection, _transaction(connection):
        yield connection


@contextmanager
def _transaction(connection: sqlite3.Connection) -> Iterator[None]:
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):
            connection.execute("ROLLBACK")
        raise


def _make(file: Path) -> None:
    """Make folder and file where they are not there, for the user's eyes alone."""
    own_file, own_folder = OWNER_ONLY
    file.parent.mkdir(own_folder, parents=True, exist_ok=True)
    os.close(os.open(file, os.O_RDWR | os.O_CREAT, own_file))


def _bring_up_to_date(connection: sqlite3.Connection, file: Path) -> None:
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA secure_delete = ON")
    with suppress(sqlite3.OperationalError):  # another till does the same at this moment
        connection.execute("PRAGMA journal_mode = WAL")
    if _version(connection) == len(STEPS):
        return
    with _transaction(connection):
        version = _version(connection)
        if version > len(STEPS):
            raise InputError(
                str(file),
                f"a job book of version {version}",
                f"one of version {len(STEPS)} at most",
            )
        if version == 0 and connection.execute("SELECT 1 FROM sqlite_master").fetchone():
            raise InputError(str(file), "a database of something else", EXPECTED)
        for step in STEPS[version:]:
            for statement in step.split(";"):
                connection.execute(statement)
        connection.execute(f"PRAGMA user_version = {len(STEPS)}")


def _version(connection: sqlite3.Connection) -> int:
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    return int(version)


def _told(error: sqlite3.Error) -> tuple[str, str]:
    """Return what was found and expected, in plain words."""
    name = getattr(error, "sqlite_errorname", "")
    for start, words in REASONS.items():
        if name.startswith(start):
            return words
    return f"what cannot be used ({error})", WRITABLE


REASONS = {
    "SQLITE_NOTADB": ("a damaged file or another one", EXPECTED),
    "SQLITE_CORRUPT": ("a damaged file", EXPECTED),
    "SQLITE_ERROR": ("a damaged file or another one", EXPECTED),
    "SQLITE_BUSY": ("a book that another program does not let go of", WRITABLE),
    "SQLITE_READONLY": ("a file that cannot be written", WRITABLE),
    "SQLITE_CANTOPEN": ("a file that cannot be opened", WRITABLE),
    "SQLITE_FULL": ("no room on the disk", WRITABLE),
    "SQLITE_IOERR": ("a disk that fails, or is full", WRITABLE),
    "SQLITE_PERM": ("no permission", WRITABLE),
}
"""What is told of an error of the library, by the beginning of its name."""
