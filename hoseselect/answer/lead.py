"""What is told of the hose that leads: enough for a line of a sheet, without all the others."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.answer.judged import Judged
from hoseselect.answer.looks import Look, looks
from hoseselect.answer.sentences import check_words, reason
from hoseselect.answer.told import Told, told
from hoseselect.cutplan.plan_cut import cut_is_believed
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array


@dataclass(frozen=True)
class Condition:
    """A rule on which a hose that suits depends.

    Parameters
    ----------
    code : of the rule
    reason : what it says
    check, look : what must be seen to at the vehicle, and where; empty = nothing can be
    assumed : whether only an assumption stands in the way
    """

    code: str
    reason: str
    check: str = ""
    look: str = ""
    assumed: bool = False


@dataclass(frozen=True)
class Lead:
    """The first hose: the best that suits, or the nearest where none does.

    Parameters
    ----------
    hose : id of the size
    bore : [mm]
    verdict : the worst finding
    decided_by : code of the first rule with that verdict; empty where all accept
    reason : what that rule says; where all accept, the first rule
    conditions : every rule on which a hose that suits depends
    place : of the size in the catalogue
    cut : the length to cut a hose that suits, the longest that it may come to [mm]; NaN where it is
        not known
    least : the shortest that it may come to, by what is not known [mm]
    """

    hose: str
    bore: float
    verdict: Verdict
    decided_by: str
    reason: str
    conditions: tuple[Condition, ...]
    place: int
    cut: float
    least: float

    @property
    def looks(self) -> tuple[Look, ...]:
        """What to see to at the vehicle before anything flows."""
        return looks(self.conditions)

    @property
    def cut_length(self) -> float:
        """The length to cut, as of any hose of an answer [mm]."""
        return self.cut

    @property
    def believed(self) -> bool:
        """Whether the cut is known, and no guess in it may shift it by more than its tolerance."""
        return cut_is_believed(self.least, self.cut)


def leads(said: Judged, best: Array, units: str = "mm") -> list[Lead]:
    """Return what is told of the first hose of each job.

    Parameters
    ----------
    said : n jobs on m sizes
    best : position of the first hose of each job, shape (n,)
    units : "mm" or "in": in which the sentences tell their figures
    """
    every = np.arange(len(best))
    verdicts = said.judgement.codes[every, best]
    decided = said.judgement.decided_by[every, best]
    suits = verdicts <= Verdict.CONDITIONAL
    codes = np.stack([r.codes_at(every, best, said.hoses) for r in said.results], axis=1)
    depends = (codes == Verdict.CONDITIONAL) & suits[:, None]
    reasons = _reasons(said, best, depends, np.maximum(decided, 0), units)
    cuts, leasts = (
        np.where(suits, own[:, 0] if own.shape[1] == 1 else own[every, best], np.nan)
        for own in (said.cut, said.least)
    )
    names, bores = said.hoses.sizes.name, said.hoses.sizes.bore
    rules = [result.rule.code for result in said.results]
    return [
        Lead(
            hose=str(names[size]),
            bore=float(bores[size]),
            verdict=Verdict(verdict),
            decided_by=rules[by] if by >= 0 else "",
            reason=reasons[max(by, 0), row].reason,
            conditions=tuple(reasons[k, row] for k in places),
            place=size,
            cut=length,
            least=least,
        )
        for row, (size, verdict, by, places, length, least) in enumerate(
            zip(
                best.tolist(),
                verdicts.tolist(),
                decided.tolist(),
                (np.flatnonzero(own).tolist() for own in depends),
                cuts.tolist(),
                leasts.tolist(),
                strict=True,
            )
        )
    ]


def _reasons(
    said: Judged, best: Array, depends: Array, deciding: Array, units: str
) -> dict[tuple[int, int], Condition]:
    """Return what rules say that are told, by rule and job; those alike are written once.

    Parameters
    ----------
    said : n jobs on m sizes
    best : the first hose of each job, shape (n,)
    depends : on which rules it depends, shape (n, rules)
    deciding : the rule that decides, shape (n,)
    units : "mm" or "in"
    """
    wanted = depends.copy()
    wanted[np.arange(len(best)), deciding] = True
    written: dict[tuple[int, int], Condition] = {}
    for position, result in enumerate(said.results):
        rows = np.flatnonzero(wanted[:, position])
        if not len(rows):
            continue
        alike = (result.kind, result.place, result.other_place, best)
        known: dict[tuple[int, ...], Condition] = {}
        places = zip(*(column[rows].tolist() for column in alike), strict=True)
        for row, key in zip(rows.tolist(), places, strict=True):
            if key not in known:
                known[key] = _condition(told(result, said.hoses, row, key[-1], units))
            written[position, row] = known[key]
    return written


def _condition(own: Told) -> Condition:
    check = check_words(own)
    look = own.rule.row["look"] if check else ""
    return Condition(own.rule.code, reason(own, check), check, look, own.assumed)
