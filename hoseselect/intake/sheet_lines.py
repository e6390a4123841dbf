"""Lines of a sheet of jobs with their cells read, column by column."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from hoseselect.intake.sheet_cells import BLANK, Column
from hoseselect.judging.columns import Array


class Lines:
    """Some lines of a sheet with their cells read.

    Parameters
    ----------
    columns : readers of the columns, by key
    texts : cells of each column, by key; all of one length
    """

    def __init__(self, columns: Mapping[str, Column], texts: Mapping[str, list[str]]) -> None:
        self.columns = columns
        self.codes = {key: columns[key].codes(cells) for key, cells in texts.items()}
        self.number = len(next(iter(texts.values())))

    def faulty(self) -> Array:
        """Return which lines have a cell that cannot be used, shape (n,)."""
        found = np.zeros(self.number, dtype=bool)
        for key, codes in self.codes.items():
            faults = self.columns[key].faulty()
            if faults.any():
                found |= faults[codes]
        return found

    def given(self, key: str) -> Array:
        """Return where a column has something in its cell, shape (n,)."""
        if key not in self.codes:
            return np.zeros(self.number, dtype=bool)
        given: Array = np.not_equal(self.codes[key], BLANK)
        return given

    def figures(self, key: str) -> Array:
        """Return a column of figures, NaN where not known, shape (n,)."""
        return self.mapped(key, _figure, np.nan)

    def mapped(self, key: str, meaning: Callable[[Any], Any], blank: Any) -> Array:
        """Return what each cell means, shape (n, ...); cells that cannot be used count as empty."""
        if key not in self.codes:
            return np.repeat(np.array([blank]), self.number, axis=0)
        code = getattr(meaning, "__code__", None)
        name = f"{meaning.__qualname__}:{getattr(code, 'co_firstlineno', 0)}"
        found: Array = self.columns[key].meanings(name, meaning, blank)[self.codes[key]]
        return found

    def words(self, key: str, codes: Mapping[str, int], blank: str = "unknown") -> Array:
        """Return a column of words as whole numbers, shape (n,)."""
        return self.mapped(key, lambda word: codes[word], codes[blank])


def _figure(value: Any) -> float:
    return float(value)
