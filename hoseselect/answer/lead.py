"""What is told of the hose that leads: enough for a line of a sheet, without all the others."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.answer.judged import Judged
from hoseselect.answer.sentences import reason
from hoseselect.answer.told import told
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array


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
    conditions : code and reason of every rule on which a hose that suits depends
    cut : the length to cut a hose that suits [mm]; NaN where it is not known
    """

    hose: str
    bore: float
    verdict: Verdict
    decided_by: str
    reason: str
    conditions: tuple[tuple[str, str], ...]
    cut: float


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
    cut = said.jobs.cut_length
    cuts = cut[:, 0] if cut.shape[1] == 1 else cut[every, best]
    cuts = np.where(suits, cuts, np.nan)
    names, bores = said.hoses.sizes.name, said.hoses.sizes.bore
    rules = [result.rule.code for result in said.results]
    return [
        Lead(
            hose=str(names[size]),
            bore=float(bores[size]),
            verdict=Verdict(verdict),
            decided_by=rules[by] if by >= 0 else "",
            reason=reasons[max(by, 0), row],
            conditions=tuple((rules[k], reasons[k, row]) for k in places),
            cut=length,
        )
        for row, (size, verdict, by, places, length) in enumerate(
            zip(
                best.tolist(),
                verdicts.tolist(),
                decided.tolist(),
                (np.flatnonzero(own).tolist() for own in depends),
                cuts.tolist(),
                strict=True,
            )
        )
    ]


def _reasons(
    said: Judged, best: Array, depends: Array, deciding: Array, units: str
) -> dict[tuple[int, int], str]:
    """Return the reasons that are told, by rule and job; those alike are written once.

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
    written: dict[tuple[int, int], str] = {}
    for position, result in enumerate(said.results):
        rows = np.flatnonzero(wanted[:, position])
        if not len(rows):
            continue
        alike = (result.kind, result.place, result.other_place, best)
        known: dict[tuple[int, ...], str] = {}
        places = zip(*(column[rows].tolist() for column in alike), strict=True)
        for row, key in zip(rows.tolist(), places, strict=True):
            if key not in known:
                known[key] = reason(told(result, said.hoses, row, key[-1], units))
            written[position, row] = known[key]
    return written
