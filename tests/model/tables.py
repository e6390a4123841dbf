"""The published tables, as dictionaries of rows."""

from __future__ import annotations

import csv
import math
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
TABLES = ROOT / "hoseselect" / "knowledge" / "tables"

Row = dict[str, str]


def read_rows(path: Path) -> list[Row]:
    """Return the rows of a CSV file; none where there is no such file."""
    if not path.exists():
        return []
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


@cache
def rows(table: str) -> list[Row]:
    """Return the rows of a published table."""
    return read_rows(TABLES / f"{table}.csv")


@cache
def by(table: str, key: str) -> dict[str, Row]:
    """Return the rows of a table in which every row has its own word, by that word."""
    return {row[key]: row for row in rows(table)}


@cache
def pairs(table: str, key: str, other: str) -> dict[tuple[str, str], Row]:
    """Return the rows of a table that is told by two words, by both of them."""
    return {(row[key], row[other]): row for row in rows(table)}


@cache
def where(table: str, key: str, value: str) -> list[Row]:
    """Return the rows of a table that have a word in one column."""
    return [row for row in rows(table) if row[key] == value]


def number(text: str) -> float | None:
    """Return a cell as a number; an empty one is not known."""
    return float(text) if text != "" else None


@cache
def limit(name: str) -> float:
    """Return a figure of the table of limits."""
    return float(by("limits", "limit")[name]["value"])


@cache
def constant(name: str) -> float:
    """Return a figure of the table of constants."""
    return float(by("formula_constants", "constant")[name]["value"])


def words(text: str) -> tuple[str, ...]:
    """Return the words of a list in a cell."""
    return tuple(word for word in text.split(";") if word)


def known(value: float) -> float | None:
    """Return a number of a job; NaN is not known."""
    return None if math.isnan(value) else float(value)


def in_class(table: str, over: str, up_to: str, value: float) -> Row | None:
    """Return the row whose class "over - up to" holds a value; None where none does."""
    for row in rows(table):
        low, high = number(row[over]), number(row[up_to])
        if value > (low or 0.0) and (high is None or value <= high):
            return row
    return None
