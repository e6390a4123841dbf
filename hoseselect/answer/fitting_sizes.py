"""Which sizes of a catalogue go on both nipples, whatever else is wrong with them."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import assume
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.engine import RuleResult, evaluate
from hoseselect.judging.job_columns import job_columns
from hoseselect.rules.manual import all_rules

FIT = "fit"


def fits(results: Iterable[RuleResult], row: int, hoses: HoseColumns) -> Array:
    """Return which sizes no rule of fit refuses, shape (m,).

    Parameters
    ----------
    results : of rules, of which those of fit are asked
    row : position of the job
    hoses : the columns that the rules ran on
    """
    refused = _refused(results, row, hoses)
    return ~np.any(refused, axis=0) if refused else np.ones(len(hoses.sizes), dtype=bool)


def _refused(results: Iterable[RuleResult], row: int, hoses: HoseColumns) -> list[Array]:
    """Return which sizes each rule of fit refuses, each of shape (m,)."""
    return [
        result.size_codes(np.array([row]), hoses)[0] == Verdict.REJECT
        for result in results
        if result.rule.group == FIT
    ]


def sizes_that_fit(job: Job, hoses: HoseColumns) -> Array:
    """Return which sizes go on both nipples, shape (m,).

    A rule that refuses every size speaks of the nipple and not of the bore, and is left out.
    """
    jobs = job_columns([job])
    rules = tuple(rule for rule in all_rules() if rule.group == FIT)
    refused = _refused(evaluate(jobs, hoses, rules, assume(jobs)), 0, hoses)
    by_bore = [sizes for sizes in refused if not sizes.all()]
    return ~np.any(by_bore, axis=0) if by_bore else np.ones(len(hoses.sizes), dtype=bool)


def thickest_that_fits(job: Job, hoses: HoseColumns) -> int | None:
    """Return the position of the thickest size that goes on both nipples; None where none does."""
    outside = np.where(sizes_that_fit(job, hoses), hoses.sizes.outside_diameter, np.nan)
    return None if np.isnan(outside).all() else int(np.nanargmax(outside))
