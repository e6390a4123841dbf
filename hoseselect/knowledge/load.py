"""The published tables shipped with the package, read once and kept.

Every row of every table ends with `source_id`, `locator` and `status`.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from hoseselect.knowledge.errors import KnowledgeError

TABLES_FOLDER = Path(__file__).parent / "tables"

STATUS_WORDS = {
    "read": "read",
    "second-hand": "second-hand",
    "from-memory": "from memory",
    "common-practice": "common practice, no source",
    "computed": "computed",
}


@dataclass(eq=False, repr=False, slots=True)
class Row:
    """One fact: its cells by heading."""

    table: str
    line: int
    cells: dict[str, str]

    def __getitem__(self, heading: str) -> str:
        """Return the cell's text.

        Raises
        ------
        KnowledgeError
            when the table has no such heading.
        """
        try:
            return self.cells[heading]
        except KeyError:
            place = f"{self.table}.csv:{self.line}"
            raise KnowledgeError(place, f"no column {heading}", "it") from None

    def number(self, heading: str) -> float:
        """Return the cell as a number; an empty cell is NaN.

        Raises
        ------
        KnowledgeError
            when the cell is neither empty nor a number.
        """
        text = self[heading]
        if text == "":
            return math.nan
        try:
            return float(text)
        except ValueError as error:
            place = f"{self.table}.csv:{self.line}:{heading}"
            raise KnowledgeError(place, f"'{text}'", "a number") from error

    def yes(self, heading: str) -> bool:
        """Return whether the cell says yes."""
        return self[heading] == "yes"

    @property
    def source(self) -> str:
        """Where the fact comes from, in one line, with how far it can be trusted."""
        return cite(self["source_id"], self["locator"], self["status"])


@dataclass(frozen=True)
class KnowledgeTable:
    """A published table: rows in file order."""

    name: str
    rows: tuple[Row, ...]
    _index: dict[tuple[str, ...], dict[tuple[str, ...], list[Row]]] = field(
        default_factory=dict, repr=False, compare=False
    )

    def __iter__(self) -> Iterator[Row]:
        """Iterate over the rows."""
        return iter(self.rows)

    def __len__(self) -> int:
        """Return the number of rows."""
        return len(self.rows)

    def where(self, **cells: str) -> list[Row]:
        """Return the rows whose cells equal the given ones, in file order."""
        return list(self._by(tuple(cells)).get(tuple(cells.values()), ()))

    def has(self, **cells: str) -> bool:
        """Return whether a row with these cells stands in the table."""
        return tuple(cells.values()) in self._by(tuple(cells))

    def row(self, **cells: str) -> Row:
        """Return the one row with these cells.

        Raises
        ------
        KnowledgeError
            when there is none.
        """
        found = self._by(tuple(cells)).get(tuple(cells.values()))
        if not found:
            wanted = ", ".join(f"{name} {text}" for name, text in cells.items())
            raise KnowledgeError(f"{self.name}.csv", f"no row for {wanted}", "such a row")
        return found[0]

    def column(self, heading: str) -> list[str]:
        """Return a column's texts."""
        return [row[heading] for row in self.rows]

    def _by(self, headings: tuple[str, ...]) -> dict[tuple[str, ...], list[Row]]:
        """Return the rows by their cells under some headings."""
        if headings not in self._index:
            made: dict[tuple[str, ...], list[Row]] = {}
            if self.rows:
                _ = [self.rows[0][heading] for heading in headings]  # complains of a wrong one
            for row in self.rows:
                cells = row.cells
                made.setdefault(tuple([cells[heading] for heading in headings]), []).append(row)
            self._index[headings] = made
        return self._index[headings]


@cache
def table(name: str) -> KnowledgeTable:
    """Read one of the shipped tables.

    Raises
    ------
    KnowledgeError
        when the file is missing or a row has the wrong number of cells.
    """
    return read_table(TABLES_FOLDER / f"{name}.csv")


def read_table(path: Path) -> KnowledgeTable:
    """Read a table of the form of the shipped ones.

    Raises
    ------
    KnowledgeError
        when the file is missing or a row has the wrong number of cells.
    """
    name = path.stem
    if not path.is_file():
        raise KnowledgeError(f"{name}.csv", "no such table", "a table shipped with the package")
    with path.open(encoding="utf-8", newline="") as stream:
        reader = csv.reader(stream)
        headings = next(reader)
        rows = []
        for cells in reader:
            if not cells:
                continue
            if len(cells) != len(headings):
                raise KnowledgeError(
                    f"{name}.csv:{reader.line_num}", f"{len(cells)} cells", f"{len(headings)}"
                )
            rows.append(Row(name, reader.line_num, dict(zip(headings, cells, strict=True))))
    return KnowledgeTable(name, tuple(rows))


def cite(source_id: str, locator: str, status: str) -> str:
    """Return a source as one line: body, title, edition, place, and how far to trust it.

    Raises
    ------
    KnowledgeError
        when the source is not listed.
    """
    text = publication(source_id, locator)
    return text if source_id in NO_PUBLICATION else f"{text} ({STATUS_WORDS[status]})"


NO_PUBLICATION = {
    "common-practice": STATUS_WORDS["common-practice"],
    "catalogue": "the hose's figure, as the catalogue states it",
    "from-memory": STATUS_WORDS["from-memory"],
}


@cache
def publication(source_id: str, locator: str = "-") -> str:
    """Return a source as one line: body, title, edition, place.

    Raises
    ------
    KnowledgeError
        when the source is not listed.
    """
    row = table("sources").row(source_id=source_id)
    words = [row["author_or_body"], row["title"], row["edition"], locator]
    text = ", ".join(word for word in words if word not in {"", "-"})
    return NO_PUBLICATION.get(source_id, text)


def limit(name: str) -> float:
    """Return one named figure of the table of limits, in its working unit.

    Raises
    ------
    KnowledgeError
        when the figure is not listed.
    """
    return _limit_row(name).number("value")


def limit_source(name: str) -> str:
    """Return where a named figure comes from."""
    return _limit_row(name).source


@cache
def _limit_row(name: str) -> Row:
    return table("limits").row(limit=name)
