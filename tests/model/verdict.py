"""The verdict of one hose size for one job: every rule at both ends, and the worst decides."""

from __future__ import annotations

import math

from typing import Any, NamedTuple

from . import bend, fit, flow, fluid, heat, marking, pressure, route, stock
from .compare import ACCEPT, CONDITIONAL, NOTHING, ORDER, Said
from .job import Job
from .registry import RULES, Hose
from .tables import by, rows, words
from .unknown import both_ends, of_both, question

GROUPS = (fluid, marking, heat, pressure, fit, bend, route, flow, stock)
HARD = "unknown"


class Found(NamedTuple):
    """What one rule finds: the verdict, the figures of the end that tells, what is to be seen to."""

    verdict: str
    demand: float | None
    limit: float | None
    doubted: bool
    check: bool


class Ends(NamedTuple):
    """A job at both ends of what is not known."""

    adverse: Job
    favourable: Job
    assumed: set[str]
    open_ended: set[str]


def ends_of(job: Job) -> Ends:
    """Return a job at both ends of what is not known."""
    return Ends(*both_ends(job))


def order() -> list[str]:
    """Return the codes of the rules in the order in which they decide."""
    return [row["code"] for row in rows("rules")]


def find(code: str, job: Job, ends: Ends, hose: Hose) -> Found:
    """Return what one rule finds."""
    own = RULES[code]
    adverse = own.says(ends.adverse, hose)
    assumed = [name for name in own.reads if name in ends.assumed]
    favourable = own.says(ends.favourable, hose) if assumed else adverse
    open_ended = not ends.open_ended.isdisjoint(assumed)
    hard = any(doubt_of(name) == HARD for name in assumed)
    gentle = any(doubt_of(name) != HARD for name in assumed)
    verdict = of_both(adverse, favourable, open_ended=open_ended, hard=hard)
    doubted = open_ended or adverse != favourable
    tells = max(adverse, favourable, key=lambda said: ORDER.index(said.verdict))
    if adverse.verdict == favourable.verdict:
        tells = adverse
    quoted = told_limit(code, tells)
    demand = tells.demand if tells.applies else None
    words = by("rules", "code")[code]["check"]
    not_known = tells.demand is None or ("{limit}" not in words and tells.limit is None)
    open_to_see = (doubted and gentle) or not_known
    check = verdict == CONDITIONAL and bool(words) and open_to_see
    applies = adverse.applies or favourable.applies
    return Found(verdict, demand, quoted, doubted and applies, check)


def told_limit(code: str, said: Said) -> float | None:
    """Return the limit that is told: the caution at the verdicts that quote it."""
    if not said.applies:
        return None
    quotes = words(by("rules", "code")[code]["quotes_caution"])
    unlimited = said.limit is None or math.isinf(said.limit)
    return said.caution if said.band and (said.verdict in quotes or unlimited) else said.limit


def doubt_of(column: str) -> str:
    """Return what an unknown fact makes of a hose: unknown, or conditional."""
    return question(column)["doubt"]


def judge(job: Job, ends: Ends, hose: Hose) -> dict[str, Any]:
    """Return the findings by code, the verdict, and the rules that decide it."""
    findings = {code: find(code, job, ends, hose) for code in order()}
    worst = max((found.verdict for found in findings.values()), key=ORDER.index)
    decides = [code for code, found in findings.items() if found.verdict == worst]
    return {
        "findings": findings,
        "verdict": worst,
        "decided_by": None if worst == ACCEPT else decides[0],
        "usual": {
            question(name)["input"]
            for code, found in findings.items()
            if found.doubted
            for name in RULES[code].reads
            if name in ends.assumed
        },
    }


__all__ = ["CONDITIONAL", "NOTHING", "judge"]
