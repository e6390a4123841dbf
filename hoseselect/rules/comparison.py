"""Demand against limit, and the one comparator that makes verdicts and margins of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from hoseselect.domain.verdict import Verdict
from hoseselect.rules.columns import Array

# Figures typed in decimal must compare as typed: 4.2 on 3.5 is a stretch of 20 %, not a hair more.
RELATIVE_TOLERANCE = 1e-9


@dataclass(frozen=True)
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
    applies : where false the rule does not apply and accepts
    note : words for the reason, by row and column
    source : source of the limit, by row and column, where it is not the rule's own
    """

    demand: Array
    limit: Array
    sense: Literal["at_most", "at_least"] = "at_most"
    caution: Array | None = None
    estimated: Array | None = None
    applies: Array | None = None
    note: Callable[[int, int], str] | None = None
    source: Callable[[int, int], str] | None = None


def verdicts(comparison: Comparison) -> Array:
    """Return the verdict codes of a comparison, as int8 of the broadcast shape."""
    at_most = comparison.sense == "at_most"
    limit = _eased(comparison.limit, at_most)
    demand = comparison.demand
    beyond = demand > limit if at_most else demand < limit
    if comparison.caution is None:
        within = demand <= limit if at_most else demand >= limit
        code = _plain_codes(within, beyond)
    else:
        caution = _eased(comparison.caution, at_most)
        within = demand <= caution if at_most else demand >= caution
        not_beyond = demand <= limit if at_most else demand >= limit
        between = not_beyond & ~within & ~np.isnan(caution)
        code = _plain_codes(within, beyond)
        code = np.where(between, np.int8(Verdict.CONDITIONAL), code)
    if comparison.estimated is not None:
        estimated = comparison.estimated
        code = np.where(
            estimated & (code <= Verdict.CONDITIONAL),
            np.where(within, np.int8(Verdict.CONDITIONAL), np.int8(Verdict.UNKNOWN)),
            code,
        )
    if comparison.applies is not None:
        code = code * np.asarray(comparison.applies, dtype=np.int8)
    return code


def _plain_codes(within: Array, beyond: Array) -> Array:
    """Return 0 where within, 3 where beyond, 2 where neither (something is NaN)."""
    code = np.full(within.shape, Verdict.UNKNOWN, dtype=np.int8)
    code -= within.view(np.int8) * np.int8(2)
    code += beyond.view(np.int8)
    return code


def _eased(limit: Array, at_most: bool) -> Array:
    """Return the limit moved outwards by the rounding of decimal figures."""
    hair = RELATIVE_TOLERANCE * np.maximum(1.0, np.abs(limit))
    return limit + hair if at_most else limit - hair


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
