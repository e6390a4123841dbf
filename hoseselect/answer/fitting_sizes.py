"""Which sizes of a catalogue go on both nipples, whatever else is wrong with them."""

from __future__ import annotations

import numpy as np

from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import assume
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.engine import evaluate
from hoseselect.judging.job_columns import job_columns
from hoseselect.rules.manual import all_rules

FIT = "fit"


def sizes_that_fit(job: Job, hoses: HoseColumns) -> Array:
    """Return which sizes go on both nipples, shape (m,).

    A rule that refuses every size speaks of the nipple and not of the bore, and is left out.
    """
    jobs = job_columns([job])
    rules = tuple(rule for rule in all_rules() if rule.group == FIT)
    one = np.array([0])
    refused = [
        result.size_codes(one, hoses)[0] == Verdict.REJECT
        for result in evaluate(jobs, hoses, rules, assume(jobs))
    ]
    by_bore = [sizes for sizes in refused if not sizes.all()]
    return ~np.any(by_bore, axis=0) if by_bore else np.ones(len(hoses.sizes), dtype=bool)


def thickest_that_fits(job: Job, hoses: HoseColumns) -> int | None:
    """Return the position of the thickest size that goes on both nipples; None where none does."""
    outside = np.where(sizes_that_fit(job, hoses), hoses.sizes.outside_diameter, np.nan)
    return None if np.isnan(outside).all() else int(np.nanargmax(outside))
