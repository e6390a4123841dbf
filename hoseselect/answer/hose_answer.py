"""The answer for one hose size, from what the rules said of all of them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from hoseselect.answer.answer import HoseAnswer
from hoseselect.answer.report import finding
from hoseselect.catalogue.columns import Catalogue
from hoseselect.cutplan.plan_cut import cut_length, plan_cut
from hoseselect.domain.cut import CutPlan
from hoseselect.domain.finding import Finding
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.engine import RuleResult
from hoseselect.judging.registry import rules

if TYPE_CHECKING:
    from hoseselect.cutplan.free_columns import FreePlan
    from hoseselect.domain.geometry import RouteGeometry


@dataclass(frozen=True, eq=False)
class AnswerMaker:
    """What is known of all sizes, from which the answer for one is made.

    Parameters
    ----------
    job, catalogue, columns, results : the question and what the rules said
    codes, decided : verdict codes and deciding rules of the sizes, shape (m,)
    worst : worst relative margins, shape (m,)
    units : "mm" or "in"
    free : the plan of a free route, or None
    best : position of the size that is shown first: for it everything is worked out
    """

    job: Job
    catalogue: Catalogue
    columns: HoseColumns
    results: tuple[RuleResult, ...]
    codes: Array
    decided: Array
    worst: Array
    units: str
    free: FreePlan | None = None
    best: int = -1

    @cached_property
    def conditions(self) -> Array:
        """Number of conditional findings of each size, shape (m,)."""
        count = np.zeros(len(self.columns.sizes), dtype=np.int64)
        for result in self.results:
            conditional = result.codes[0] == Verdict.CONDITIONAL
            if result.rule.axis == "type":
                conditional = conditional[self.columns.sizes.type_index]
            count += conditional
        return count

    def geometry(self, size: int) -> RouteGeometry | None:
        """Return how a size lies on its route; None where the route has no shape."""
        outside = float(self.catalogue.sizes.outside_diameter[size])
        if self.free is not None and self.free.sizes[size].lie is not None:
            from hoseselect.cutplan.free_geometry import free_geometry

            return free_geometry(self.job, self.free, size, outside)
        if self.job.route.kind == "run":
            from hoseselect.cutplan.route_geometry import run_geometry

            return run_geometry(self.job, outside)
        return None

    def answer(self, size: int) -> HoseAnswer:
        """Return the answer for one size."""
        sizes, types = self.catalogue.sizes, self.catalogue.types
        row = int(sizes.type_index[size])
        position = int(self.decided[size])
        return HoseAnswer(
            hose=str(sizes.hose_size[size]),
            hose_type=str(sizes.hose_type[size]),
            description=types.description[row],
            print_line=types.print_line[row],
            marking=types.marking[row],
            bore=float(sizes.bore[size]),
            outside_diameter=float(sizes.outside_diameter[size]),
            verdict=Verdict(int(self.codes[size])),
            decided_by=rules()[position].code if position >= 0 else "",
            margin=float(self.worst[size]),
            price=float(sizes.price_per_m[size]),
            conditions=int(self.conditions[size]),
            write_findings=lambda: self._findings(size),
            write_deciding=lambda: self._finding(max(position, 0), size),
            plan_cut=lambda: self._cut(size),
            draw=lambda: self.geometry(size),
        )

    def _findings(self, size: int) -> tuple[Finding, ...]:
        return tuple(self._finding(position, size) for position in range(len(self.results)))

    def _finding(self, position: int, size: int) -> Finding:
        return finding(self.results[position], self.columns, 0, size)

    def _cut(self, size: int) -> CutPlan | None:
        """Return the cut plan; None where a part of the length is still to be measured."""
        if self.free is not None:
            from hoseselect.cutplan.free_cut import plan_free_cut

            measured = size == self.best
            return plan_free_cut(self.job, self.free, self.catalogue, size, measured=measured)
        if math.isnan(cut_length(self.job, self.units)):
            return None
        return plan_cut(self.job, self.catalogue, size, self.units)
