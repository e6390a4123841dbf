"""What one rule says of one job and one hose, at the end of what was assumed that tells."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.engine import RuleResult
from hoseselect.judging.registry import Rule

LIMIT = "{"
"""What words have in them where they quote the limit of the hose."""


@dataclass(frozen=True, eq=False)
class Told:
    """What one rule says of one job and one hose, at the end that tells.

    Parameters
    ----------
    rule, comparison : the rule and its figures
    row, column : place in them
    bore : of the hose [mm]
    verdict : of the rule
    end : verdict of the end that tells
    other : place of the figures at the other end
    best : verdict at the better end of what was assumed
    doubted : whether the figures rest on an assumption
    gentle : whether what is assumed can be seen to at the vehicle
    units : "mm" or "in": in which the figures are told
    """

    rule: Rule
    comparison: Comparison
    row: int
    column: int
    bore: float
    verdict: Verdict
    end: Verdict
    other: int
    best: Verdict
    doubted: bool
    gentle: bool
    units: str = "mm"

    def at(self, values: Array, row: int | None = None) -> float:
        """Return one figure, of the end that tells where no other row is named."""
        array = np.asarray(values)
        if array.ndim < 2:
            array = np.atleast_2d(array)
        row = (self.row if row is None else row) if array.shape[0] > 1 else 0
        return float(array[row, self.column if array.shape[1] > 1 else 0])

    @property
    def matters(self) -> bool:
        """Whether the rule has anything to say: it applies, or does not accept."""
        applies = self.comparison.applies
        return applies is None or self.verdict is not Verdict.ACCEPT or bool(self.at(applies))

    @property
    def assumed(self) -> bool:
        """Whether the hose is conditional only because of what was assumed."""
        return self.verdict is Verdict.CONDITIONAL and self.end is Verdict.ACCEPT

    @cached_property
    def has_check(self) -> bool:
        """Whether somebody can see to it at the vehicle, by the hose's own limit.

        It is so where the rule has words for it and would pass a hose whose figures are known.
        """
        words: str = self.rule.row["check"]
        figures = [self.at(self.comparison.demand)]
        if LIMIT not in words:
            figures.append(self.at(self.comparison.limit))
        open_to_see = (self.doubted and self.gentle) or any(map(math.isnan, figures))
        return self.verdict is Verdict.CONDITIONAL and bool(words) and open_to_see

    @cached_property
    def figures(self) -> tuple[float, float]:
        """Demand and limit as they are shown."""
        return self.at(self.comparison.demand), self.shown_limit(self.end)

    def shown_limit(self, verdict: Verdict) -> float:
        """Return the limit that a sentence quotes: the one that a verdict turns on."""
        comparison = self.comparison
        limit = self.at(comparison.limit)
        if comparison.caution is None:
            return limit
        quoted = quotes_caution(self.rule)[verdict] or not math.isfinite(limit)
        return self.at(comparison.caution) if quoted else limit

    @property
    def at_best(self) -> bool:
        """Whether known figures keep a condition at the better end, and others are refused."""
        figures = self.comparison.demand, self.comparison.limit
        known = all(math.isfinite(self.at(values, self.other)) for values in figures)
        return self.best is Verdict.CONDITIONAL and known

    @property
    def passing_limit(self) -> float:
        """Up to which figure the rule passes a hose, without a condition of its own if it can."""
        caution, limit = self.comparison.caution, self.at(self.comparison.limit)
        return limit if caution is None or self.at_best else self.at(caution)

    @cached_property
    def note(self) -> str:
        """Words of the rule for this job and hose."""
        return "" if self.comparison.note is None else self.comparison.note(self.row, self.column)


def quotes_caution(rule: Rule) -> Array:
    """Return at which verdicts the caution is quoted and not the limit, shape (verdicts,)."""
    words = rule.row["quotes_caution"].split(";")
    return np.array([verdict.word in words for verdict in Verdict])


def told(result: RuleResult, hoses: HoseColumns, row: int, size: int, units: str = "mm") -> Told:
    """Return what one rule says of one hose size for one job.

    Parameters
    ----------
    result : of the rule
    hoses : the columns it ran on
    row : position of the job
    size : position of the hose size
    units : "mm" or "in"
    """
    column = int(hoses.sizes.type_index[size]) if result.rule.axis == "type" else size
    place, doubted = result.telling(row, column)
    ends = int(result.place[row]), int(result.other_place[row])
    return Told(
        rule=result.rule,
        comparison=result.comparison,
        row=place,
        column=column,
        bore=float(hoses.sizes.bore[size]),
        verdict=Verdict(int(result.codes[result.kind[row], column])),
        end=Verdict(int(result.end_codes[place, column])),
        other=ends[0] if ends[1] == place else ends[1],
        best=Verdict(int(min(result.end_codes[end, column] for end in ends))),
        doubted=doubted,
        gentle=bool(result.gentle[row]),
        units=units,
    )
