"""A sheet from a Parquet file, line by line: the names of the columns, then what stands in them.

Texts stay as they are and go through the same door as those of a CSV file; a number is the bare
number in figures. Texts are read by their distinct values, so that many copies of one take the room
of one.
"""

from __future__ import annotations

import datetime
import decimal
import math
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any

from hoseselect.files.sheet_line import MOST_COLUMNS, Fault, SheetLine
from hoseselect.knowledge.errors import InputError

EXPECTED = "a Parquet file"
NEEDED = "pip install 'hoseselect[parquet]'"

AT_ONCE = 1000
"""Lines that are unpacked at once."""

MOST_LINES = 100_000_000
MOST_OF_A_GROUP = 1_000_000_000
"""Bytes unpacked of one group of lines, which may be held as a whole."""

MOST_LETTERS = 131_072
"""Of a cell, as in a CSV file."""

SIGNIFICANT, SIGNIFICANT_SINGLE = 15, 7
"""Figures of a number that are told; the rest is binary rounding."""

TEXTS = ("string", "large_string")
NO_CELL = Fault("a list, a table or bytes in one cell", "a text or a number")
TOO_LONG = Fault(f"a cell of more than {MOST_LETTERS} letters", "a shorter one")


def parquet() -> Any:
    """Return the library that reads and writes Parquet files.

    Raises
    ------
    InputError
        when it is not installed.
    """
    try:
        return import_module("pyarrow.parquet")
    except ImportError:
        raise InputError("Parquet", "no library for it here", NEEDED) from None


class ParquetSheet:
    """Lines of a Parquet file.

    Parameters
    ----------
    path : the file

    Raises
    ------
    InputError
        when it is none, is damaged or beyond measure, or nothing is installed that reads it.
    """

    separator = ""
    hidden_columns: frozenset[int] = frozenset()

    def __init__(self, path: Path) -> None:
        self.path = path
        self.share = 0.0
        with self._opened() as file:
            self._refuse_beyond_measure(file.metadata)

    @contextmanager
    def _opened(self) -> Iterator[Any]:
        """Give the file; every damage becomes one sentence."""
        library = parquet()
        try:
            with self.path.open("rb") as stream:
                fields = library.ParquetFile(stream).schema_arrow
                texts = [field.name for field in fields if str(field.type) in TEXTS]
                stream.seek(0)
                yield library.ParquetFile(stream, read_dictionary=texts)
        except InputError:
            raise
        except (Exception, RecursionError) as error:
            told = " ".join(str(error).split())[:80] or type(error).__name__
            found = f"a file that cannot be read ({ascii(told)[1:-1]})"
            raise InputError(self.path.name, found, EXPECTED) from None

    def _refuse_beyond_measure(self, told: Any) -> None:
        found = ""
        if told.num_columns > MOST_COLUMNS:
            found = f"{told.num_columns} columns"
        elif not 0 <= told.num_rows <= MOST_LINES:
            found = f"{told.num_rows} lines"
        else:
            sizes = (told.row_group(k).total_byte_size for k in range(told.num_row_groups))
            largest = max(sizes, default=0)
            if not 0 <= largest <= MOST_OF_A_GROUP:
                found = f"{largest} bytes in one group of lines"
        if found:
            raise InputError(self.path.name, found, "a sheet that is not beyond measure")

    def lines(self) -> Iterator[SheetLine]:
        """Yield the names of the columns as the first line, then each line.

        Raises
        ------
        InputError
            when the file is damaged.
        """
        with self._opened() as file:
            yield SheetLine(1, [str(name) for name in file.schema_arrow.names], line=1)
            number, whole = 1, max(1, file.metadata.num_rows)
            for batch in file.iter_batches(AT_ONCE):
                columns = [_cells(column) for column in batch.columns]
                for cells in zip(*columns, strict=True):
                    number += 1
                    faults = {k: one for k, one in enumerate(cells) if isinstance(one, Fault)}
                    texts = ["" if isinstance(one, Fault) else one for one in cells]
                    yield SheetLine(number, texts, faults=faults, line=number)
                self.share = (number - 1) / whole


def _cells(column: Any) -> list[str | Fault]:
    """Return the cells of a column of some lines."""
    if hasattr(column, "dictionary"):
        distinct = _cells(column.dictionary)
        places = column.indices.to_pylist()
        return ["" if place is None else distinct[place] for place in places]
    kind = str(column.type)
    figures = SIGNIFICANT_SINGLE if kind in {"float", "halffloat"} else SIGNIFICANT
    if kind.startswith(("list", "large_list", "struct", "map", "fixed_size", "binary", "large_b")):
        return ["" if value is None else NO_CELL for value in column]
    return [_cell(value, figures) for value in column.to_pylist()]


def _cell(value: Any, figures: int) -> str | Fault:
    if value is None or (isinstance(value, float) and math.isnan(value)):
        return ""
    if isinstance(value, str):
        return value if len(value) <= MOST_LETTERS else TOO_LONG
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.{figures}g}"
    if isinstance(value, int | decimal.Decimal):
        return f"{value}"
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    return NO_CELL
