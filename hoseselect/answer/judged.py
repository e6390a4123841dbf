"""Jobs that were judged together: one at the counter, many of a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from hoseselect.answer.fitting_sizes import sizes_that_fit
from hoseselect.cutplan.lengths import on_tape
from hoseselect.cutplan.plan_cut import job_lengths
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import Assumed, assume
from hoseselect.judging.columns import Array, HoseColumns, JobColumns
from hoseselect.judging.engine import Judgement, RuleResult, combine, evaluate
from hoseselect.judging.job_columns import job_columns
from hoseselect.rules.manual import all_rules

if TYPE_CHECKING:
    from hoseselect.cutplan.free_plan import FreePlan


@dataclass(frozen=True, eq=False, repr=False)
class Judged:
    """What the rules say of n jobs and m sizes.

    Parameters
    ----------
    jobs : as asked
    hoses : the columns of a catalogue
    filled : the jobs with what was assumed
    results : of every rule, in the order that decides
    judgement : the worst of them
    cut, least : the longest and the shortest length that the cut may come to, on the tape of the
        workshop, shape (n, 1) or (1, m) [mm]; NaN not known
    free : the plan of a free route, of a job that is judged alone
    """

    jobs: JobColumns
    hoses: HoseColumns
    filled: Assumed
    results: tuple[RuleResult, ...]
    judgement: Judgement
    cut: Array
    least: Array
    free: FreePlan | None = None

    @cached_property
    def refusals(self) -> Array:
        """How many rules refuse each size, shape (n, m)."""
        return refusals(self.results, np.arange(len(self.jobs)), self.hoses)

    @cached_property
    def tried(self) -> dict[tuple[str, bool], Any]:
        """What came of questions to a job that stands alone, by input and whether of both ends."""
        return {}


def refusals(results: Sequence[RuleResult], rows: Array, hoses: HoseColumns) -> Array:
    """Return how many rules refuse each size for some jobs, shape (r, m)."""
    count: Array = np.zeros((len(rows), len(hoses.sizes)), dtype=np.int16)
    for result in results:
        count += result.size_codes(rows, hoses) == Verdict.REJECT
    return count


def judged(
    jobs: Sequence[Job], hoses: HoseColumns, units: str = "mm", named: Array | None = None
) -> Judged:
    """Return what the rules say of jobs that no stop has met.

    Parameters
    ----------
    jobs : n jobs; one on a free route, whose figures differ by size, stands alone
    hoses : the columns of a catalogue
    units : "mm" or "in": the workshop step of the cut
    named : sizes that were asked for by name, shape (m,); None = none. A free route is solved for
        these and for what goes on both nipples: the rest is refused whatever its bend
    """
    free: FreePlan | None = None
    if len(jobs) == 1 and jobs[0].route.free is not None:
        from hoseselect.cutplan.free_columns import with_free
        from hoseselect.cutplan.free_plan import plan_free

        fit = sizes_that_fit(jobs[0], hoses)
        looked = None if not fit.any() else fit if named is None else fit | named
        free = plan_free(jobs[0], hoses, looked)
        if free is not None:
            from hoseselect.cutplan.free_cut import free_spread
            from hoseselect.cutplan.free_fall import with_fall

            told = job_columns(jobs)
            columns = with_free(with_fall(told, free, jobs[0]), free, jobs[0], hoses)
            cut = np.vectorize(on_tape, otypes=[float])(columns.cut_length, units)
            return judged_columns(columns, hoses, free, (cut, cut - free_spread(jobs[0])))
        not_solved = job_columns(jobs)
        needed = np.zeros_like(not_solved.window_needed)
        return judged_columns(not_solved.change(window_needed=needed), hoses)
    lengths = job_lengths(jobs, units)
    cuts = lengths.cut[:, None], lengths.least[:, None]
    return judged_columns(job_columns(jobs, lengths), hoses, None, cuts)


def judged_columns(
    jobs: JobColumns,
    hoses: HoseColumns,
    free: FreePlan | None = None,
    cuts: tuple[Array, Array] | None = None,
) -> Judged:
    """Return what the rules say of jobs in columns.

    Parameters
    ----------
    jobs, hoses : columns
    free : the plan of a free route
    cuts : longest and shortest that the cuts may come to [mm]; None = as they are judged
    """
    filled = assume(jobs)
    results = evaluate(jobs, hoses, all_rules(), filled)
    cut, least = (jobs.cut_length, jobs.cut_length) if cuts is None else cuts
    return Judged(jobs, hoses, filled, results, combine(results, hoses), cut, least, free)
