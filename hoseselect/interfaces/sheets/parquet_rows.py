"""Rows of a sheet of answers as a Parquet file, group by group."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any

from hoseselect.answer.line_answer import FIGURES
from hoseselect.files.harmless import CONTROL
from hoseselect.files.parquet_sheet import parquet
from hoseselect.intake.job_headings import PREFIX

Cell = str | float | None

GROUP = 2000
"""Rows that stand together at least, but for the last."""


@contextmanager
def parquet_rows(path: Path) -> Iterator[ParquetRows]:
    """Give a writer of rows, the names of the columns first.

    Figures of answers are numbers, everything else is text; what is empty is null.

    Parameters
    ----------
    path : the file

    Raises
    ------
    InputError
        when nothing is installed that writes Parquet files.
    """
    rows = ParquetRows(path)
    try:
        yield rows
        rows.flush()
    finally:
        rows.close()


class ParquetRows:
    """Writes rows in groups; `parquet_rows` gives one."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.library: Any = parquet()
        self.arrow: Any = import_module("pyarrow")
        self.schema: Any = None
        self.writer: Any = None
        self.waiting: list[Sequence[Cell]] = []

    def write(self, rows: Sequence[Sequence[Cell]]) -> None:
        """Write some rows."""
        if self.writer is None and rows:
            self._begin(rows[0])
            rows = rows[1:]
        self.waiting += rows
        if len(self.waiting) >= GROUP:
            self.flush()

    def _begin(self, headings: Sequence[Cell]) -> None:
        """Write the names of the columns; one that stands there twice gets its number."""
        seen: dict[str, int] = {}
        fields = []
        for heading in map(str, headings):
            seen[heading] = seen.get(heading, 0) + 1
            name = heading if seen[heading] == 1 else f"{heading} ({seen[heading]})"
            own = heading.partition(" [")[0]
            figure = own.startswith(PREFIX) and own.removeprefix(PREFIX) in FIGURES
            kind = self.arrow.float64() if figure else self.arrow.string()
            fields.append(self.arrow.field(CONTROL.sub("\ufffd", name), kind))
        self.schema = self.arrow.schema(fields)
        self.writer = self.library.ParquetWriter(self.path, self.schema)

    def flush(self) -> None:
        """Write the rows that wait as a group."""
        if not self.waiting:
            return
        columns = [
            self.arrow.array(map(_value, column), type=field.type)
            for column, field in zip(zip(*self.waiting, strict=True), self.schema, strict=True)
        ]
        table = self.arrow.Table.from_arrays(columns, schema=self.schema)
        self.writer.write_table(table, row_group_size=len(self.waiting))
        self.waiting = []

    def close(self) -> None:
        """Close the file."""
        if self.writer is not None:
            self.writer.close()


def _value(cell: Cell) -> Cell:
    return CONTROL.sub("\ufffd", cell) or None if isinstance(cell, str) else cell
