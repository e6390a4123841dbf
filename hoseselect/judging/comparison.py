"""Demand against limit, and the one comparator that makes verdicts and margins of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np

from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array

# Figures typed in decimal must compare as typed: 4.2 on 3.5 is a stretch of 20 %, not a hair more.
RELATIVE_TOLERANCE = 1e-9


@dataclass(frozen=True, eq=False, repr=False)
class Comparison:
    """What a rule returns: arrays that broadcast to (n, t) or (n, m).

    Parameters
    ----------
    demand : what the job asks
    limit : beyond this the hose is refused
    sense : whether the demand must be at most or at least the limit
    caution : up to this the hose is accepted, between it and the limit conditional;
        None = no such band
    estimated : where true, `caution` and `limit` are the two ends of an estimate: within the sure
        end conditional, beyond the other end reject, between them unknown
    measurable : where true, what is not known is conditional: the hose in hand can be measured
    applies : where false the rule does not apply and accepts
    note : words for the reason, by row and column
    measured : what somebody measures at the vehicle for a limit, by row and limit, where that is
        another figure [mm]
    source : source of the limit, by row and column, where it is not the rule's own
    """

    demand: Array
    limit: Array
    sense: Literal["at_most", "at_least"] = "at_most"
    caution: Array | None = None
    estimated: Array | None = None
    measurable: Array | None = None
    applies: Array | None = None
    note: Callable[[int, int], str] | None = None
    measured: Callable[[int, float], float] | None = None
    source: Callable[[int, int], str] | None = None

    def at(self, rows: Array, columns: Array) -> Comparison:
        """Return the figures of pairs of job and hose without words, each of shape (p, 1)."""

        def one(array: Array) -> Array:
            down = rows if len(array) > 1 else np.zeros_like(rows)
            across = columns if array.shape[1] > 1 else np.zeros_like(columns)
            return array[down, across][:, None]

        figures: dict[str, Any] = {name: getattr(self, name) for name in FIGURES}
        for name, values in figures.items():
            figures[name] = None if values is None else one(np.atleast_2d(values))
        return replace(self, **figures, note=None, source=None)


FIGURES = ("demand", "limit", "caution", "estimated", "measurable", "applies")


def verdicts(comparison: Comparison) -> Array:
    """Return the verdict codes of a comparison, as int8 of the broadcast shape."""
    at_most = comparison.sense == "at_most"
    limit = eased(comparison.limit, at_most=at_most)
    demand = np.asarray(comparison.demand)
    beyond, not_beyond = _compared(demand, limit, at_most)
    if comparison.caution is None:
        within = not_beyond
        code = _plain_codes(within, beyond)
    else:
        caution = eased(comparison.caution, at_most=at_most)
        _, within = _compared(demand, caution, at_most)
        between = not_beyond & ~within & ~np.isnan(caution)
        code = _plain_codes(within, beyond)
        np.copyto(code, np.int8(Verdict.CONDITIONAL), where=between)
    if comparison.estimated is not None:
        estimated = comparison.estimated & (code <= Verdict.CONDITIONAL)
        np.copyto(code, np.int8(Verdict.UNKNOWN), where=estimated)
        np.copyto(code, np.int8(Verdict.CONDITIONAL), where=estimated & within)
    if comparison.measurable is not None:
        open_to_measure = comparison.measurable & (code == Verdict.UNKNOWN)
        code = np.where(open_to_measure, np.int8(Verdict.CONDITIONAL), code)
    if comparison.applies is not None:
        code = code * np.asarray(comparison.applies, dtype=np.int8)
    return code


def _compared(demand: Array, limit: Array, at_most: bool) -> tuple[Array, Array]:
    """Return where the demand is beyond the limit, and where it is not; NaN is neither.

    A column of demands against a row of limits is compared by places in the sorted limits: whole
    numbers of two bytes are compared much faster than figures, with the same result.
    """
    column = demand.ndim == 2 and demand.shape[1] == 1 and len(demand) > 1
    row = limit.ndim == 2 and len(limit) == 1 and limit.shape[1] > 1
    if not (column and row):
        if at_most:
            return demand > limit, demand <= limit
        return demand < limit, demand >= limit
    order = np.sort(limit[0])
    place = np.searchsorted(order, limit[0])
    side: Literal["left", "right"] = "left" if at_most else "right"
    small = np.int16 if len(order) < np.iinfo(np.int16).max else np.int64
    rank = np.searchsorted(order, demand[:, 0], side=side).astype(small)[:, None]
    columns = place.astype(small).reshape(1, -1)
    known = ~np.isnan(demand) & ~np.isnan(limit)
    beyond = rank > columns if at_most else rank <= columns
    beyond &= known
    known &= ~beyond
    return beyond, known


def _plain_codes(within: Array, beyond: Array) -> Array:
    """Return 0 where within, 3 where beyond, 2 where neither (something is NaN)."""
    code = np.full(within.shape, Verdict.UNKNOWN, dtype=np.int8)
    code -= within.view(np.int8) * np.int8(2)
    code += beyond.view(np.int8)
    return code


def eased(limit: Array, *, at_most: bool) -> Array:
    """Return the limit moved outwards by the rounding of decimal figures."""
    hair = np.atleast_1d(np.abs(np.asarray(limit, dtype=np.float64)))
    np.maximum(hair, 1.0, out=hair)
    hair *= RELATIVE_TOLERANCE if at_most else -RELATIVE_TOLERANCE
    hair += limit
    return hair


def relative_margin(demand: Array, limit: Array, *, at_most: bool, scale: Array) -> Array:
    """Return the relative margin; positive is good, NaN where it has no meaning.

    Parameters
    ----------
    demand, limit : in one unit
    at_most : sense of the comparison
    scale : what the difference is measured against, in the same unit
    """
    difference = limit - demand if at_most else demand - limit
    known = np.isfinite(difference) & np.isfinite(scale) & (scale > 0)
    return np.where(known, difference, np.nan) / np.where(known, scale, 1.0)
