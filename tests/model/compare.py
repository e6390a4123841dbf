"""Demand against limit: how a comparison becomes a verdict.

What is not known is neither within a limit nor beyond it: the verdict is unknown. Figures that
are equal but for the rounding of decimals, 1e-9 of the limit, are equal.
"""

from __future__ import annotations

from typing import NamedTuple

ACCEPT, CONDITIONAL, UNKNOWN, REJECT = "accept", "conditional", "unknown", "reject"
ORDER = (ACCEPT, CONDITIONAL, UNKNOWN, REJECT)
"""The verdicts, worst last."""
RANK = {verdict: place for place, verdict in enumerate(ORDER)}

SAME = 1e-9


class Said(NamedTuple):
    """What one rule says of one job and one hose, everything that is assumed being so.

    `caution` is the figure up to which a hose is accepted, where a `band` lies between it and the
    limit. A rule that has nothing to say of a job does not apply, and accepts.
    """

    verdict: str
    demand: float | None = None
    limit: float | None = None
    caution: float | None = None
    band: bool = False
    applies: bool = True


NOTHING = Said(ACCEPT, applies=False)


def within(demand: float | None, limit: float | None, *, least: bool = False) -> bool | None:
    """Return whether a demand keeps a limit; None where one of them is not known.

    `least`: the demand must be at least the limit, and else at most.
    """
    if demand is None or limit is None:
        return None
    if abs(limit) == float("inf"):
        return demand >= limit if least else demand <= limit
    eased = max(abs(limit), 1.0) * SAME
    return demand >= limit - eased if least else demand <= limit + eased


def plain(demand: float | None, limit: float | None, *, least: bool = False) -> Said:
    """Accept within the limit, reject beyond it."""
    kept = within(demand, limit, least=least)
    verdict = UNKNOWN if kept is None else ACCEPT if kept else REJECT
    return Said(verdict, demand, limit)


def banded(
    demand: float | None, caution: float | None, limit: float | None, *, least: bool = False
) -> Said:
    """Accept up to the caution, conditional between it and the limit, reject beyond that."""
    kept, careful = within(demand, limit, least=least), within(demand, caution, least=least)
    if kept is False:
        verdict = REJECT
    elif kept is None or careful is None:
        verdict = UNKNOWN
    else:
        verdict = ACCEPT if careful else CONDITIONAL
    return Said(verdict, demand, limit, caution, band=True)


def estimated(
    demand: float | None, sure: float | None, end: float | None, *, least: bool = False
) -> Said:
    """Conditional within the sure end of an estimate, reject beyond the other, else unknown."""
    if within(demand, end, least=least) is False:
        verdict = REJECT
    else:
        verdict = CONDITIONAL if within(demand, sure, least=least) else UNKNOWN
    return Said(verdict, demand, end, sure, band=True)


def to_measure(said: Said) -> Said:
    """Return the same; what is not known can be measured at the vehicle, and is conditional."""
    return said._replace(verdict=CONDITIONAL) if said.verdict == UNKNOWN else said
