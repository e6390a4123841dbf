"""Findings of a job, each distinct one made once: most rules say the same of many hoses."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from hoseselect.answer.report import finding
from hoseselect.domain.finding import Finding
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.engine import FIGURES, RuleResult
from hoseselect.judging.registry import Rule

OF_THE_BORE = ("{gap}", "{stretch}", "{over}", "{under}")
"""Places of a sentence that are told by the bore of the hose, beside the figures of the rule."""
SIZES_OF_A_HOSE = 1000
"""So many sizes' figures cost about as much as the findings of one hose; measured."""

Key = tuple[float, bytes, tuple[str, ...]]


@dataclass(frozen=True, eq=False, repr=False)
class SharedFindings:
    """What the rules say of one job, a finding for all hoses of which they say the same.

    Parameters
    ----------
    results : of the rules, in the order that decides
    hoses : the columns they ran on
    row : position of the job
    units : "mm" or "in"
    """

    results: tuple[RuleResult, ...]
    hoses: HoseColumns
    row: int
    units: str
    asked: list[int] = field(default_factory=list)

    @cached_property
    def of_rules(self) -> tuple[RuleFindings, ...]:
        """What each rule says of the job, in the order that decides."""
        return tuple(RuleFindings(own, self.hoses, self.row, self.units) for own in self.results)

    def of(self, size: int) -> tuple[Finding, ...]:
        """Return one finding for every rule on a hose size, in the order that decides.

        The first hoses that are asked about may be the only ones: their findings are made as they
        are, until more is asked than the figures of all sizes cost.
        """
        if len(self.asked) <= len(self.hoses.sizes) // SIZES_OF_A_HOSE:
            self.asked.append(size)
            made = (finding(own, self.hoses, self.row, size, self.units) for own in self.results)
            return tuple(made)
        return tuple(own.of(size) for own in self.of_rules)


class RuleFindings:
    """What one rule says of one job, a finding for all hoses of which it says the same.

    Parameters
    ----------
    result, hoses, row, units : as for `SharedFindings`
    """

    def __init__(self, result: RuleResult, hoses: HoseColumns, row: int, units: str) -> None:
        self.result, self.hoses, self.row, self.units = result, hoses, row, units
        self.of_bore = tells_of_bore(result.rule)
        self.of_type = result.rule.axis == "type"
        self.figures = [figures.tobytes() for figures in _figures(result, row)]
        self.ends = {int(result.place[row]), int(result.other_place[row])}
        words = (result.comparison.note, result.comparison.source)
        self.words = [tell for tell in words if tell is not None]
        self.kept: dict[Key, Finding] = {}
        self.at: dict[int, Finding] = {}

    def of(self, size: int) -> Finding:
        """Return the finding on a hose size."""
        column = int(self.hoses.sizes.type_index[size]) if self.of_type else size
        if column in self.at and not self.of_bore:
            return self.at[column]
        bore = float(self.hoses.sizes.bore[size]) if self.of_bore else 0.0
        said = tuple([tell(end, column) for tell in self.words for end in self.ends])
        key = bore, self.figures[column], said
        if key not in self.kept:
            self.kept[key] = finding(self.result, self.hoses, self.row, size, self.units)
        self.at[column] = self.kept[key]
        return self.kept[key]


def tells_of_bore(rule: Rule) -> bool:
    """Return whether a sentence of a rule is told by the bore of the hose as well."""
    return any(place in text for text in rule.row.cells.values() for place in OF_THE_BORE)


def _figures(result: RuleResult, row: int) -> Array:
    """Return the figures and codes of a rule at both ends for one job, shape (t or m, k)."""
    across = result.end_codes.shape[1]
    made = [result.codes[result.kind[row]]]
    for end in (int(result.place[row]), int(result.other_place[row])):
        made.append(result.end_codes[end])
        for name in FIGURES:
            values = getattr(result.comparison, name)
            if values is not None:
                of_jobs = np.atleast_2d(values)
                made.append(np.broadcast_to(of_jobs[end if len(of_jobs) > 1 else 0], (across,)))
    return np.stack([np.asarray(own, dtype=np.float64) for own in made], axis=1)
