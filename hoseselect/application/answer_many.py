"""The answers to many jobs at once: the rules, the order and the sentences of `pick`."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hoseselect.answer.ask_many import first_questions
from hoseselect.answer.line_answer import (
    BETWEEN,
    NAMED_OTHERS,
    LineAnswer,
    condition_words,
)
from hoseselect.answer.report import reason
from hoseselect.answer.way_out import (
    ADVICE,
    BENT,
    MATERIAL_GROUPS,
    reducer_words,
    way_out_words,
)
from hoseselect.application.rank_many import Ranking, rank_many
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job, Nipple
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import Assumed, assume
from hoseselect.judging.columns import Array, HoseColumns, JobColumns
from hoseselect.judging.engine import (
    Judgement,
    SharedResult,
    combine_kinds,
    evaluate_kinds,
)
from hoseselect.judging.services import service_columns


def answer_many(
    jobs: JobColumns, hoses: HoseColumns, catalogue: Catalogue
) -> tuple[LineAnswer, ...]:
    """Return the answer to each job.

    Parameters
    ----------
    jobs : n jobs that no stop has met, with their lengths
    hoses : the columns of the catalogue
    catalogue : what the shop sells
    """
    if not len(jobs):
        return ()
    filled = assume(jobs)
    results = tuple(evaluate_kinds(jobs, hoses, filled))
    judgement = combine_kinds(results, hoses)
    ranking = rank_many(jobs.service[:, 0], results, judgement, hoses)
    best = ranking.best
    every = np.arange(len(jobs))
    best_codes = np.stack([shared.codes_at(every, best, hoses) for shared in results], axis=1)
    writer = _Writer(
        jobs=jobs,
        filled=filled,
        hoses=hoses,
        catalogue=catalogue,
        results=results,
        judgement=judgement,
        ranking=ranking,
        questions=first_questions(jobs, hoses, results),
        best_codes=best_codes,
        obstacles=_obstacles(results, judgement, hoses),
        reasons=_reasons(results, judgement, best, best_codes, hoses),
    )
    return tuple(writer.answer(row) for row in range(len(jobs)))


def _reasons(
    results: tuple[SharedResult, ...],
    judgement: Judgement,
    best: Array,
    best_codes: Array,
    hoses: HoseColumns,
) -> dict[tuple[int, int], str]:
    """Return the reasons that are told, by rule and job; those alike are written once.

    Parameters
    ----------
    results, judgement : of n jobs
    best : the leading hose of each job, shape (n,)
    best_codes : verdict codes of that hose, shape (n, rules)
    hoses : the columns of the catalogue
    """
    every = np.arange(len(best))
    deciding = np.maximum(judgement.decided_by[every, best], 0)
    suits = judgement.codes[every, best] <= Verdict.CONDITIONAL
    told = (best_codes == Verdict.CONDITIONAL) & suits[:, None]
    told[every, deciding] = True
    written: dict[tuple[int, int], str] = {}
    for position, shared in enumerate(results):
        rows = np.flatnonzero(told[:, position])
        if not len(rows):
            continue
        alike = np.stack([shared.kind, shared.place, shared.other_place, best], axis=1)[rows]
        _, first, kind = np.unique(alike, axis=0, return_index=True, return_inverse=True)
        pairs = shared.at(rows[first], best[rows[first]], hoses)
        sentences = [reason(pairs, pair, 0) for pair in range(len(first))]
        for row, place in zip(rows.tolist(), kind.reshape(-1).tolist(), strict=True):
            written[position, row] = sentences[place]
    return written


@dataclass(frozen=True, eq=False)
class _Obstacles:
    """What stands in the way of the nearest hoses, for each job.

    Parameters
    ----------
    place : of each job here, shape (n,); nothing is worked out for jobs that a hose suits
    alone : per rule of which there is advice, whether it alone refuses a hose
    bent : whether the bend refuses a hose that would stand the rest
    """

    place: Array
    alone: dict[str, Array]
    bent: Array


def _obstacles(
    results: tuple[SharedResult, ...], judgement: Judgement, hoses: HoseColumns
) -> _Obstacles:
    stuck = judgement.codes.min(axis=1) > Verdict.CONDITIONAL
    rows = np.flatnonzero(stuck)
    refused = np.zeros((len(rows), len(hoses.sizes)), dtype=np.int16)
    material, bent = np.zeros_like(refused, dtype=bool), np.zeros_like(refused, dtype=bool)
    advised: dict[str, Array] = {}
    for shared in results:
        refuses = shared.size_codes(rows, hoses) == Verdict.REJECT
        refused += refuses
        if shared.rule.group in MATERIAL_GROUPS:
            material |= refuses
        if shared.rule.code in BENT:
            bent |= refuses
        if shared.rule.code in ADVICE:
            advised[shared.rule.code] = refuses
    alone = {code: (own & (refused == 1)).any(axis=1) for code, own in advised.items()}
    return _Obstacles(np.cumsum(stuck) - 1, alone, (bent & ~material).any(axis=1))


@dataclass(frozen=True, eq=False)
class _Writer:
    """Writes the answers to jobs that were judged together."""

    jobs: JobColumns
    filled: Assumed
    hoses: HoseColumns
    catalogue: Catalogue
    results: tuple[SharedResult, ...]
    judgement: Judgement
    ranking: Ranking
    questions: list[str]
    best_codes: Array
    obstacles: _Obstacles
    reasons: dict[tuple[int, int], str]

    def answer(self, row: int) -> LineAnswer:
        """Return the answer to one job."""
        leading = self.ranking.of_job(row)
        size = int(leading[0])
        verdict = Verdict(int(self.judgement.codes[row, size]))
        position = int(self.judgement.decided_by[row, size])
        rule = self.results[position].rule.code if position >= 0 else ""
        suits = verdict.suits
        conditional = np.flatnonzero(self.best_codes[row] == Verdict.CONDITIONAL) if suits else ()
        names = self.hoses.sizes.name
        return LineAnswer(
            verdict=verdict.word,
            hose=str(names[size]) if suits else "",
            bore=float(self.hoses.sizes.bore[size]) if suits else math.nan,
            cut=float(self.jobs.cut_length[row, 0]) if suits else math.nan,
            decided_by=rule,
            reason=self.reasons[max(position, 0), row],
            conditions=BETWEEN.join(
                condition_words(self.results[place].rule.code, self.reasons[int(place), row])
                for place in conditional
            ),
            way_out=BETWEEN.join(self._way_out(row, suits=suits)),
            ask_next=self.questions[row],
            others="; ".join(map(str, names[leading[1 : 1 + NAMED_OTHERS]])) if suits else "",
        )

    def _way_out(self, row: int, *, suits: bool) -> tuple[str, ...]:
        job = Job(
            service=service_columns().names[int(self.jobs.service[row, 0])],
            nipple_a=Nipple(outside_diameter=float(self.jobs.nipple_a[row, 0])),
            nipple_b=Nipple(outside_diameter=float(self.jobs.nipple_b[row, 0])),
        )
        if suits:
            return reducer_words(job, self.catalogue)
        one = self.filled.adverse.take(slice(row, row + 1))
        place = self.obstacles.place[row]
        alone = [code for code, told in self.obstacles.alone.items() if told[place]]
        bent = bool(self.obstacles.bent[place])
        return way_out_words(job, Assumed(one, one, {}), self.catalogue, alone, bent=bent)
