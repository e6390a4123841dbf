"""The book: jobs written down, found again, and what became of them."""

from __future__ import annotations

import json
import math
import sqlite3
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any

from hoseselect.book.database import EXPECTED, changing, opened
from hoseselect.book.entry import Asked, Entry
from hoseselect.knowledge.errors import InputError

MINUTES = "%Y-%m-%d %H:%M"
COLUMNS = (
    *("asked_at", "command", "options", "units", "service", "name", "note", "job"),
    *("verdict", "hose", "cut_mm", "altered_from"),
)
AFTER = ("fitted", "fitted_hose", "fitted_on", "recheck_on", "done_on")
"""Columns of what became of a job."""

SELECT = f"SELECT number, {', '.join((*COLUMNS, *AFTER))} FROM jobs"
ALL = -1
"""As many as there are."""


class JobBook:
    """A shop's book of jobs in one file, which several tills may use at once.

    Parameters
    ----------
    file : of the book
    """

    def __init__(self, file: Path) -> None:
        self.file = file

    def add(self, asked: Asked, when: datetime) -> int:
        """Write a job down and return its number, once it is on the disk.

        Raises
        ------
        InputError
            when the book cannot be used.
        """
        marks = ", ".join("?" * len(COLUMNS))
        plain = {name: getattr(asked, name) for name in PLAIN}
        row = {
            **plain,
            "asked_at": when.strftime(MINUTES),
            "options": _written(asked.options),
            "job": _written(asked.job),
            "cut_mm": None if math.isnan(asked.cut) else asked.cut,
        }
        with changing(self.file) as connection:
            found = connection.execute(
                f"INSERT INTO jobs ({', '.join(COLUMNS)}) VALUES ({marks})",
                [row[name] for name in COLUMNS],
            )
            return int(found.lastrowid or 0)

    def entry(self, number: int) -> Entry:
        """Return a job by its number.

        Raises
        ------
        InputError
            when there is none, or the book cannot be used.
        """
        found = self._select("WHERE number = ?", (number,))
        if not found:
            raise InputError(f"job {number}", "no such job in the book", NUMBER)
        return found[0]

    def find(
        self,
        *,
        note: str = "",
        service: str = "",
        hose: str = "",
        since: date | None = None,
        until: date | None = None,
        most: int = ALL,
    ) -> list[Entry]:
        """Return the jobs of which all of this is true, newest first.

        Parameters
        ----------
        note : words that stand in the note or the name, capitals do not matter
        service : words that stand in the id of the service
        hose : words that stand in the hose that was offered or fitted
        since, until : days, both counted in
        most : how many; ALL = every one

        Raises
        ------
        InputError
            when the book cannot be used.
        """
        wanted = {
            "note || ' ' || name": note,
            "service": service.replace(" ", "-"),
            "hose || ' ' || fitted_hose": hose,
        }
        where = [f"instr(folded({column}), ?)" for column, text in wanted.items() if text]
        values: list[Any] = [text.casefold() for text in wanted.values() if text]
        for sign, day in ((">=", since), ("<=", until)):
            if day is not None:
                where.append(f"substr(asked_at, 1, 10) {sign} ?")
                values.append(day.isoformat())
        clause = f"WHERE {' AND '.join(where)}" if where else ""
        return self._select(f"{clause} ORDER BY number DESC LIMIT ?", (*values, most))

    def due(self, day: date) -> list[Entry]:
        """Return the fitted hoses that are to be looked at again by a day, longest overdue first.

        Raises
        ------
        InputError
            when the book cannot be used.
        """
        clause = (
            "WHERE fitted = 'yes' AND done_on = '' AND recheck_on != '' AND recheck_on <= ?"
            " ORDER BY recheck_on, number"
        )
        return self._select(clause, (day.isoformat(),))

    def fit(self, number: int, hose: str, day: date, recheck: date) -> None:
        """Note that a hose was fitted, and when it is to be looked at again.

        Raises
        ------
        InputError
            when there is no such job, or the book cannot be used.
        """
        told = ("yes", hose, day.isoformat(), recheck.isoformat(), "")
        self._change(number, dict(zip(AFTER, told, strict=True)))

    def not_fitted(self, number: int) -> None:
        """Note that nothing was fitted.

        Raises
        ------
        InputError
            when there is no such job, or the book cannot be used.
        """
        self._change(number, dict(zip(AFTER, ("no", "", "", "", ""), strict=True)))

    def done(self, number: int, day: date) -> None:
        """Note that a fitted hose was looked at again.

        Raises
        ------
        InputError
            when there is no such job, none of it was fitted, or not until later, or the book cannot
            be used.
        """
        entry = self.entry(number)
        if entry.fitted != "yes":
            found = "a job of which nothing was fitted"
            raise InputError(f"job {number}", found, f"`book fitted {number} yes` first")
        if day.isoformat() < entry.fitted_on:
            expected = f"a day from {entry.fitted_on}, on which it was fitted"
            raise InputError("looked at again", day.isoformat(), expected)
        self._change(number, {"done_on": day.isoformat()})

    def note(self, number: int, note: str) -> None:
        """Write another note beside a job.

        Raises
        ------
        InputError
            when there is no such job, or the book cannot be used.
        """
        self._change(number, {"note": note})

    def forget(self, number: int) -> None:
        """Take a job out of the book for good; its number is never given again.

        Raises
        ------
        InputError
            when there is no such job, or the book cannot be used.
        """
        with changing(self.file) as connection:
            gone = connection.execute("DELETE FROM jobs WHERE number = ?", (number,))
            _refuse_none(gone, number)
        with opened(self.file) as connection:
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def _change(self, number: int, values: Mapping[str, str]) -> None:
        put = ", ".join(f"{column} = ?" for column in values)
        with changing(self.file) as connection:
            changed = connection.execute(
                f"UPDATE jobs SET {put} WHERE number = ?", (*values.values(), number)
            )
            _refuse_none(changed, number)

    def _select(self, clause: str, values: Sequence[Any]) -> list[Entry]:
        if not self.file.exists() and not self.file.parent.is_file():
            return []
        with opened(self.file) as connection:
            connection.create_function("folded", 1, str.casefold, deterministic=True)
            rows = connection.execute(f"{SELECT} {clause}", tuple(values)).fetchall()
        names = ("number", *COLUMNS, *AFTER)
        try:
            return [_entry(dict(zip(names, row, strict=True))) for row in rows]
        except (ValueError, TypeError):
            raise InputError(str(self.file), "a damaged line", EXPECTED) from None


NUMBER = "the number of a job, as `hoseselect book list` shows it"


def _written(values: Mapping[str, Any]) -> str:
    return json.dumps(values, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _refuse_none(cursor: sqlite3.Cursor, number: int) -> None:
    if cursor.rowcount == 0:
        raise InputError(f"job {number}", "no such job in the book", NUMBER)


def _entry(row: Mapping[str, Any]) -> Entry:
    cut = row["cut_mm"]
    asked = Asked(
        job=json.loads(row["job"]),
        options=json.loads(row["options"]),
        cut=math.nan if cut is None else float(cut),
        **{name: row[name] for name in PLAIN},
    )
    return Entry(row["number"], row["asked_at"], asked, *(row[name] for name in AFTER))


PLAIN = ("command", "service", "verdict", "hose", "units", "name", "note", "altered_from")
