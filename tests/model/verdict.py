"""The verdict of one hose size for one job: every rule at both ends, and the worst decides."""

from __future__ import annotations

import math
from functools import cache
from typing import Any, NamedTuple

from . import bend, fit, flow, fluid, heat, marking, pressure, route, stock
from .compare import ACCEPT, CONDITIONAL, NOTHING, RANK, Said
from .free import Shape
from .job import Job
from .registry import RULES, Hose
from .tables import by, rows, words
from .unknown import Ends, both_ends, of_both, question

GROUPS = (fluid, marking, heat, pressure, fit, bend, route, flow, stock)
HARD = "unknown"


class Found(NamedTuple):
    """What one rule finds of a hose.

    The figures are of the end that tells: of the worse verdict, the adverse one where both say the
    same. `doubted` is whether they rest on an assumption, `check` whether somebody is asked to see
    to something at the vehicle.
    """

    verdict: str
    demand: float | None
    limit: float | None
    doubted: bool
    check: bool
    applies: bool


NOTHING_FOUND = Found(ACCEPT, None, None, doubted=False, check=False, applies=False)


class Doubt(NamedTuple):
    """What of that which a rule reads is not known, and how far that can be seen to."""

    assumed: tuple[str, ...]
    open_ended: bool
    hard: bool
    gentle: bool


def doubt(code: str, ends: Ends) -> Doubt:
    """Return what a rule reads of a job that is assumed."""
    assumed = tuple(name for name in RULES[code].reads if name in ends.assumed)
    doubts = {question(name)["doubt"] for name in assumed}
    return Doubt(
        assumed, not ends.open_ended.isdisjoint(assumed), HARD in doubts, bool(doubts - {HARD})
    )


def find(code: str, ends: Ends, own: Doubt, hose: Hose) -> Found:
    """Return what one rule finds."""
    says = RULES[code].says
    adverse = says(ends.adverse, hose)
    favourable = says(ends.favourable, hose) if own.assumed else adverse
    if adverse is NOTHING and favourable is NOTHING:
        return NOTHING_FOUND
    verdict = of_both(adverse, favourable, open_ended=own.open_ended, hard=own.hard)
    doubted = own.open_ended or adverse != favourable
    tells = adverse
    if RANK[favourable.verdict] > RANK[adverse.verdict]:
        tells = favourable
    to_see, quotes_limit, quotes = row_of(code)
    not_known = tells.demand is None or (tells.limit is None and not quotes_limit)
    check = verdict == CONDITIONAL and to_see and ((doubted and own.gentle) or not_known)
    applies = adverse.applies or favourable.applies
    limit = told_limit(tells, quotes)
    return Found(verdict, tells.demand, limit, doubted and applies, check, tells.applies)


@cache
def row_of(code: str) -> tuple[bool, bool, tuple[str, ...]]:
    """Return whether a rule has words for a check, quotes its limit there; and its caution when."""
    row = by("rules", "code")[code]
    return row["check"] != "", "{limit}" in row["check"], words(row["quotes_caution"])


def told_limit(said: Said, quotes: tuple[str, ...]) -> float | None:
    """Return the limit that is told: the caution at the verdicts that quote it."""
    unlimited = said.limit is None or math.isinf(said.limit)
    return said.caution if said.band and (said.verdict in quotes or unlimited) else said.limit


@cache
def codes() -> tuple[str, ...]:
    """Return the codes of the rules in the order in which they decide."""
    return tuple(row["code"] for row in rows("rules"))


def doubts_of(ends: Ends) -> dict[str, Doubt]:
    """Return the doubt of every rule about a job."""
    return {code: doubt(code, ends) for code in codes()}


def judge(ends: Ends, doubts: dict[str, Doubt], hose: Hose) -> dict[str, Any]:
    """Return the findings by code, the verdict, the rule that decides, what was taken as usual."""
    findings = {code: find(code, ends, doubts[code], hose) for code in codes()}
    worst = max((found.verdict for found in findings.values()), key=RANK.__getitem__)
    decides = next(code for code, found in findings.items() if found.verdict == worst)
    return {
        "findings": findings,
        "verdict": worst,
        "decided_by": None if worst == ACCEPT else decides,
        "usual": {
            question(name)["input"]
            for code, found in findings.items()
            if found.doubted
            for name in doubts[code].assumed
        },
    }


def judge_job(
    job: Job, hoses: dict[str, Hose], shapes: dict[str, Shape] | None = None
) -> dict[str, dict[str, Any]]:
    """Return what is said of every size of a shelf; `shapes`: of each on a free route."""
    ends = both_ends(job)
    doubts = doubts_of(ends)
    made = {}
    for name, hose in hoses.items():
        if shapes is not None:
            ends = both_ends(job | shapes[name])
            doubts = doubts_of(ends)
        made[name] = judge(ends, doubts, hose)
    return made
