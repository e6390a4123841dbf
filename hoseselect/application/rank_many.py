"""The order of the hoses for many jobs at once, as `pick` has it for one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoseselect.answer.report import own_margins
from hoseselect.application.pick import SNUG, made_for
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.engine import Judgement, SharedResult
from hoseselect.judging.services import service_columns


@dataclass(frozen=True, eq=False)
class Ranking:
    """The hoses that lead for each job: all that suit, or the nearest where none does.

    Parameters
    ----------
    sizes : positions of hose sizes, best first, job after job, shape (p,)
    start : where each job begins among them, shape (n + 1,)
    """

    sizes: Array
    start: Array

    @property
    def best(self) -> Array:
        """The first hose of each job, shape (n,)."""
        best: Array = self.sizes[self.start[:-1]]
        return best

    def of_job(self, row: int) -> Array:
        """Return the leading hoses of one job, best first."""
        sizes: Array = self.sizes[self.start[row] : self.start[row + 1]]
        return sizes


def rank_many(
    services: Array, results: Sequence[SharedResult], judgement: Judgement, hoses: HoseColumns
) -> Ranking:
    """Return the leading hoses of every job.

    Parameters
    ----------
    services : index of each job's service, shape (n,)
    results, judgement : of n jobs on m sizes
    hoses : the columns they ran on
    """
    codes, decided = judgement.codes, judgement.decided_by
    least = codes.min(axis=1, keepdims=True)
    late = np.where(codes == least, decided, -1).max(axis=1, keepdims=True)
    nearest = (codes == least) & (decided == late)
    leading = np.where(least <= Verdict.CONDITIONAL, codes <= Verdict.CONDITIONAL, nearest)
    rows, sizes = np.nonzero(leading)
    worst = _worst_margins(results, rows, sizes, hoses)
    made_for_it = np.zeros(len(rows), dtype=bool)
    for service in np.unique(services):
        of_service = services[rows] == service
        marked = made_for(service_columns().names[service], hoses)
        made_for_it[of_service] = marked[sizes[of_service]]
    order = np.lexsort((hoses.sizes.name[sizes], -worst, ~made_for_it, codes[rows, sizes], rows))
    start = np.concatenate([[0], np.cumsum(np.bincount(rows, minlength=len(codes)))])
    return Ranking(sizes[order], start)


def _worst_margins(
    results: Sequence[SharedResult], rows: Array, sizes: Array, hoses: HoseColumns
) -> Array:
    """Return the worst relative margin of each pair of job and size, shape (p,)."""
    worst = np.full(len(rows), np.inf)
    for shared in results:
        rule = shared.rule
        counts = rule.group != "fit" or rule.code in SNUG
        if counts and rule.row["scale"] != "none":
            worst = np.fmin(worst, own_margins(shared.at(rows, sizes, hoses))[:, 0])
    return worst
