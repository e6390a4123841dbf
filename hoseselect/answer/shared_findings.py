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

Key = tuple[object, ...]


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
    kept: dict[Key, Finding] = field(default_factory=dict)
    figures: dict[int, Array] = field(default_factory=dict)
    at: dict[tuple[int, int], Finding] = field(default_factory=dict)

    @cached_property
    def of_bore(self) -> tuple[bool, ...]:
        """Whether the sentences of each rule are told by the bore of the hose as well."""
        return tuple(tells_of_bore(result.rule) for result in self.results)

    def of(self, size: int) -> tuple[Finding, ...]:
        """Return one finding for every rule on a hose size, in the order that decides.

        The first hoses that are asked about may be the only ones: their findings are made as they
        are, until more is asked than the figures of all sizes cost.
        """
        if len(self.asked) <= len(self.hoses.sizes) // SIZES_OF_A_HOSE:
            self.asked.append(size)
            made = (finding(own, self.hoses, self.row, size, self.units) for own in self.results)
            return tuple(made)
        return tuple(self._finding(position, size) for position in range(len(self.results)))

    def _finding(self, position: int, size: int) -> Finding:
        result = self.results[position]
        of_bore = self.of_bore[position]
        of_type = result.rule.axis == "type"
        column = int(self.hoses.sizes.type_index[size]) if of_type else size
        known = self.at.get((position, column))
        if known is not None and not of_bore:
            return known
        bore = float(self.hoses.sizes.bore[size]) if of_bore else 0.0
        key = (position, bore, *self._told(position, column))
        if key not in self.kept:
            self.kept[key] = finding(result, self.hoses, self.row, size, self.units)
        self.at[position, column] = self.kept[key]
        return self.kept[key]

    def _told(self, position: int, column: int) -> Key:
        """Return what a finding is made of beside the bore: figures, codes, words of both ends."""
        result = self.results[position]
        if position not in self.figures:
            self.figures[position] = _figures(result, self.row)
        ends = {int(result.place[self.row]), int(result.other_place[self.row])}
        words = (result.comparison.note, result.comparison.source)
        said = tuple(tell(end, column) for tell in words if tell is not None for end in ends)
        return (self.figures[position][column].tobytes(), said)


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
