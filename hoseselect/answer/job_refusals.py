"""Why no hose whatever may be cut for a job: what the rules refuse of every hose there could be.

The rules of the ends and of the way are run on hoses that nobody made: of every bore about the
nipples, with a wall of plain rubber and with one of textile, and with nothing else to say of them.
What all of those are refused for lies in the job.
"""

from __future__ import annotations

import math
from dataclasses import fields
from typing import Any

import numpy as np

from hoseselect.answer.report import finding
from hoseselect.cutplan.plan_cut import job_lengths
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import YES, HoseColumns, RollColumns, SizeColumns, TypeColumns
from hoseselect.judging.engine import RuleResult, evaluate
from hoseselect.judging.job_columns import job_columns
from hoseselect.knowledge.load import limit
from hoseselect.quantities.shown import shown
from hoseselect.rules.manual import all_rules

OF_THE_JOB = (
    *("fit-ends", "fit-stretch", "fit-loose", "fit-bead-stretch", "fit-measured", "fit-bead"),
    *("fit-engagement", "route-fall", "route-insert", "route-movement"),
)
UNNAMED = "route-insert"
"""What was found in the old hose and nobody can name is not known, and stops a cut all the same."""
BORES = 32
PER_CENT = 100.0


def job_refusals(job: Job, units: str) -> tuple[str, ...]:
    """Return why no hose may be cut for a job, in the order that decides; empty where one may.

    Parameters
    ----------
    job : that no stop has met
    units : "mm" or "in"
    """
    hoses = _any_hose(job)
    jobs = job_columns([job], job_lengths([job], units))
    rules = [rule for rule in all_rules() if rule.code in OF_THE_JOB]
    results = evaluate(jobs, hoses, rules)
    refused = [result for result in results if _refuses_all(result)]
    if refused:
        told = (finding(result, hoses, 0, 0, units) for result in refused)
        return tuple(f"{found.code}: {found.reason}" for found in told)
    worst = np.max([result.codes[result.kind[0]] for result in results], axis=0)
    if worst.min() < Verdict.REJECT:
        return ()
    return (_no_one_bore(job, units),)


def _no_one_bore(job: Job, units: str) -> str:
    """Return why no bore goes on both nipples and over their beads."""
    ends = sorted((job.nipple_a.outside_diameter, job.nipple_b.outside_diameter))
    small, large = (shown(size, "mm", units) for size in ends)
    if large != small:
        return f"fit-stretch: no one hose fits {small} and {large}: two pieces and a reducer"
    return f"fit-bead-stretch: no hose that holds on {small} goes over the bead"


def _refuses_all(result: RuleResult) -> bool:
    """Return whether a rule refuses a job whatever the hose."""
    least = int(result.codes[result.kind[0]].min())
    unnamed = result.rule.code == UNNAMED and least == Verdict.UNKNOWN
    return least == Verdict.REJECT or unnamed


def _any_hose(job: Job) -> HoseColumns:
    """Return hoses of every bore about the nipples, of which nothing else is known."""
    ends = [job.nipple_a.outside_diameter, job.nipple_b.outside_diameter]
    known = [size for size in ends if not math.isnan(size)] or [math.nan]
    widest = 1 + limit("stretch-textile-loose-reject") / PER_CENT
    tightest = 1 + limit("stretch-unreinforced-reject") / PER_CENT
    bores = np.linspace(min(known) / tightest, max(known) / widest, BORES)
    bores[0] = min(known) / widest  # the widest that still holds: what suits unequal ends best
    sizes: dict[str, Any] = {own.name: np.full(2 * BORES, math.nan) for own in fields(SizeColumns)}
    plain = np.arange(2 * BORES) < BORES
    sizes |= {
        "name": np.array(["any"] * 2 * BORES),
        "type_index": np.zeros(2 * BORES, dtype=int),
        "bore": np.tile(bores, 2),
        "unreinforced": plain,
        "reinforcement_known": np.ones(2 * BORES, dtype=bool),
        "helix": np.zeros(2 * BORES, dtype=bool),
        "soft_cover": np.zeros(2 * BORES, dtype=bool),
    }
    types: dict[str, Any] = {own.name: np.full(1, math.nan) for own in fields(TypeColumns)}
    types |= {"name": np.array(["any"]), "made_for_clamps": np.full(1, YES)}
    none: Any = np.full(0, math.nan)
    rolls = RollColumns(none, (), none, none, none, none, none)
    return HoseColumns(TypeColumns(**types), SizeColumns(**sizes), rolls, (), ())
