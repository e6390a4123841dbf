"""Jobs that a rule cannot tell apart: it is run once on each of their kind.

A rule reads few columns, and a sheet repeats itself: the same service, the same nipple. The rows
that are alike in the columns a rule reads get one evaluation, and share its result.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, fields

import numpy as np

from hoseselect.judging.assume import Assumed
from hoseselect.judging.columns import Array, JobColumns
from hoseselect.judging.view import JobView

COLUMNS = tuple(field.name for field in fields(JobColumns))
BITS = 62  # flags that a whole number of 64 bits holds with room for its sign
# Up to which span counting is quicker than sorting: cells a row, and cells in any case.
ROOM_A_ROW, ROOM = 16, 64


@dataclass(frozen=True, eq=False)
class Kinds:
    """Rows sorted into kinds.

    Parameters
    ----------
    kind : of each row, from 0, shape (n,)
    first : a row of each kind, shape (k,)
    """

    kind: Array
    first: Array

    def __len__(self) -> int:
        """Return the number of kinds."""
        return len(self.first)

    @staticmethod
    def of(codes: Array, span: int) -> Kinds:
        """Return the kinds of whole numbers from 0 up to a span."""
        if len(codes) == 1:
            return ONE
        return _sorted(codes) if span > _room(len(codes)) else _compact(codes, span)


ONE = Kinds(np.zeros(1, dtype=np.int64), np.zeros(1, dtype=np.int64))
"""The kind of a single row."""


class DistinctJobs:
    """Filled jobs, both ends one below the other, sorted into kinds for each rule.

    Parameters
    ----------
    filled : n jobs at both ends of what is assumed
    """

    def __init__(self, filled: Assumed) -> None:
        self.filled = filled
        self.jobs = len(filled.adverse)
        self._columns: dict[str, Array] = {}
        self._codes: dict[str, Kinds] = {}
        self._kinds: dict[tuple[str, ...], Kinds] = {}

    def kinds(self, names: Collection[str]) -> Kinds:
        """Return the 2 n rows, adverse ends first, sorted by what stands in some columns."""
        known = tuple(name for name in COLUMNS if name in names)
        if known not in self._kinds:
            rows = 2 * self.jobs
            found = Kinds(np.zeros(rows, dtype=np.int64), np.zeros(min(rows, 1), dtype=np.int64))
            for name in known:
                found = both(found, self._column(name))
            self._kinds[known] = found
        return self._kinds[known]

    def view(self, rows: Array | None = None) -> JobView:
        """Return a view of some of the 2 n rows, or of all."""
        if rows is None:
            return JobView(self._stacked, 2 * self.jobs)
        return JobView(lambda name: self._stacked(name)[rows], len(rows))

    def _stacked(self, name: str) -> Array:
        if name not in self._columns:
            ends = [getattr(end, name) for end in (self.filled.adverse, self.filled.favourable)]
            self._columns[name] = np.concatenate(ends)
        return self._columns[name]

    def _column(self, name: str) -> Kinds:
        if name not in self._codes:
            adverse, favourable = (
                getattr(end, name) for end in (self.filled.adverse, self.filled.favourable)
            )
            if favourable is adverse:
                once = kinds_of(adverse)
                self._codes[name] = Kinds(np.concatenate([once.kind, once.kind]), once.first)
            else:
                self._codes[name] = kinds_of(self._stacked(name))
        return self._codes[name]


def kinds_of(column: Array) -> Kinds:
    """Return the kinds of one column; rows of many figures each are taken as all unlike."""
    rows = len(column)
    if rows == 1:
        return ONE
    if column.ndim == 2 and column.shape[1] == 1:
        values = column[:, 0]
    elif column.dtype == bool and column.shape[1] <= BITS:
        values = column @ (np.int64(1) << np.arange(column.shape[1], dtype=np.int64))
    else:
        return Kinds(np.arange(rows), np.arange(rows))
    if values.dtype == bool:
        return Kinds.of(values.astype(np.int64), 2)
    if values.dtype.kind == "i":
        low = values.min(initial=0)
        return Kinds.of(values - low, int(values.max(initial=0) - low) + 1)
    return _sorted(values)


def kinds_of_all(columns: tuple[Array, ...]) -> Kinds:
    """Return the kinds of rows alike in all columns."""
    first, *others = (kinds_of(column) for column in columns)
    for other in others:
        first = both(first, other)
    return first


def both(one: Kinds, other: Kinds) -> Kinds:
    """Return the kinds of rows alike in both."""
    rows = len(one.kind)
    if len(other) <= 1 or len(one) == rows:
        return one
    if len(one) <= 1 or len(other) == rows:
        return other
    return Kinds.of(one.kind * len(other) + other.kind, len(one) * len(other))


def _sorted(values: Array) -> Kinds:
    """Return kinds of figures by sorting; NaN is one kind."""
    if not len(values):
        return Kinds(np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64))
    order = np.argsort(values)
    ranked = values[order]
    new = np.ones(len(values), dtype=bool)
    np.not_equal(ranked[1:], ranked[:-1], out=new[1:])
    if values.dtype.kind == "f":
        unknown = int(np.isnan(ranked).sum())
        new[len(values) - unknown + 1 :] = False
    kind = np.empty(len(values), dtype=np.int64)
    kind[order] = np.cumsum(new) - 1
    return Kinds(kind, order[new])


def _room(rows: int) -> int:
    """Return up to which span of whole numbers counting is quicker than sorting."""
    return ROOM_A_ROW * rows + ROOM


def _compact(codes: Array, span: int) -> Kinds:
    """Return kinds of whole numbers from 0 up to a span, without sorting."""
    first = np.full(span, -1, dtype=np.int64)
    first[codes[::-1]] = np.arange(len(codes) - 1, -1, -1)
    there = np.flatnonzero(first >= 0)
    place = np.empty(span, dtype=np.int64)
    place[there] = np.arange(len(there))
    return Kinds(place[codes], first[there])
