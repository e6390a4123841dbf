"""What to find out next: each unknown input is varied over its plausible range.

An input counts where it changes the verdict of a hose that nothing else refuses; the input that
settles most hoses comes first. All jobs that leave an input unknown are tried at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np

from hoseselect.answer.judged import Judged, refusals
from hoseselect.answer.trials import Trial, open_trials
from hoseselect.answer.values import Question
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import assume
from hoseselect.judging.columns import Array, HoseColumns, JobColumns
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import RuleResult, run_rule
from hoseselect.knowledge.load import table

NAMED_HOSES = 8
Ranked = tuple[int, tuple[int, int, "Asked"]]
"""Position of a job, and a question with how many sizes it holds up and decides, most first."""


class Asked(NamedTuple):
    """A question before its words are written.

    Parameters
    ----------
    field : input as in the table of questions
    both : whether it is asked of both nipples
    decides : bits of the hose sizes whose verdict it would settle
    verdicts : bits of the verdicts that it decides between
    holds_up : bits of the hose sizes that are unknown for want of it, and would be settled
    """

    field: str
    both: bool
    decides: bytes
    verdicts: int
    holds_up: bytes = b""

    def holds(self, place: int) -> bool:
        """Return whether a hose size, by its place, is unknown for want of it."""
        byte, bit = divmod(place, 8)
        return len(self.holds_up) > byte and bool(self.holds_up[byte] >> (7 - bit) & 1)


def ask_next(said: Judged, wanted: str = "") -> list[tuple[Asked, ...]]:
    """Return for each job the questions that would change a verdict, most decisive first.

    Parameters
    ----------
    said : what the rules say of the jobs
    wanted : the one input to look at; empty = all
    """
    ranked: list[list[tuple[int, int, Asked]]] = [[] for _ in range(len(said.jobs))]
    trials: Iterable[Trial] = open_trials(said.jobs, said.filled, wanted)
    if len(said.jobs) == 1:
        trials = list(trials)
        _try_at_once(said, trials)
    for trial in trials:
        for place, entry in _changing(said, trial):
            ranked[place].append(entry)
    for own_questions in ranked:
        own_questions.sort(key=lambda entry: entry[:2])
    return [tuple(asked for _, _, asked in own_questions) for own_questions in ranked]


def _changing(said: Judged, trial: Trial) -> list[Ranked]:
    """Return the jobs of which a question changes a verdict.

    A job that stands alone is asked about more than once: what was tried is not tried again.
    """
    key = trial.field, trial.both
    if key in said.tried:
        kept: list[Ranked] = said.tried[key]
        return kept
    reading, open_to_it = _reading(said, trial)
    some = np.flatnonzero(open_to_it.any(axis=1))
    if not len(some) or not reading:
        return []
    tried = _tried(said.jobs, trial, some, reading, said.hoses)
    own = _worst(reading, trial.rows[some], said.hoses)
    return _ranked(trial, some, open_to_it[some], own, tried)


def _reading(said: Judged, trial: Trial) -> tuple[list[RuleResult], Array]:
    """Return the rules that read what a question is about, and which sizes they alone refuse."""
    reading = [result for result in said.results if trial.names & result.rule.reads]
    return reading, said.refusals[trial.rows] == refusals(reading, trial.rows, said.hoses)


def _ranked(trial: Trial, some: Array, open_to_it: Array, own: Array, tried: Array) -> list[Ranked]:
    """Return the jobs of which a question changes a verdict.

    Parameters
    ----------
    trial : the question
    some : places among its rows, shape (r,)
    open_to_it : sizes that nothing else refuses, shape (r, m)
    own : worst verdict codes as it is, shape (r, m)
    tried : the same for each plausible answer, shape (answers, r, m)
    """
    most, least = np.maximum(own, tried.max(axis=0)), np.minimum(own, tried.min(axis=0))
    changed = (most != least) & open_to_it
    held = changed & (own == Verdict.UNKNOWN)
    held_up = held.sum(axis=1).tolist()
    count = changed.sum(axis=1).tolist()
    told = np.flatnonzero(changed.any(axis=1))
    decides, holds_up = (np.packbits(sizes[told], axis=1) for sizes in (changed, held))
    seen = np.bitwise_or.reduce(np.left_shift(np.uint8(1), tried.view(np.uint8)), axis=0)[told]
    verdicts = np.bitwise_or.reduce(np.where(changed[told], seen, 0), axis=1).tolist()
    found = []
    for number, place in enumerate(told.tolist()):
        sizes = decides[number].tobytes(), verdicts[number], holds_up[number].tobytes()
        asked = Asked(trial.field, trial.both, *sizes)
        row = int(trial.rows[some[place]])
        found.append((row, (-held_up[place], -count[place], asked)))
    return found


def _try_at_once(said: Judged, trials: Sequence[Trial]) -> None:
    """Try every question to a job that stands alone, all plausible answers together.

    What comes of each is kept with what was judged.
    """
    open_ones: list[tuple[Trial, list[RuleResult], Array, int]] = []
    answers: list[JobColumns] = []
    for trial in trials:
        if (trial.field, trial.both) in said.tried:
            continue
        reading, open_to_it = _reading(said, trial)
        if not reading or not open_to_it.any():
            said.tried[trial.field, trial.both] = []
            continue
        open_ones.append((trial, reading, open_to_it, len(answers)))
        answers += [said.jobs.change(**change) for change in trial.changes]
    if not open_ones:
        return
    distinct = DistinctJobs(assume(JobColumns.stack(answers)))
    run: dict[str, RuleResult] = {}
    for trial, reading, open_to_it, start in open_ones:
        for result in reading:
            if result.rule.code not in run:
                run[result.rule.code] = run_rule(result.rule, distinct, said.hoses)
        rows = np.arange(start, start + len(trial.changes))
        tried = _worst([run[result.rule.code] for result in reading], rows, said.hoses)
        own = _worst(reading, trial.rows, said.hoses)
        said.tried[trial.field, trial.both] = _ranked(
            trial, np.zeros(1, dtype=int), open_to_it, own, tried[:, None, :]
        )


def question(asked: Asked, names: Array) -> Question:
    """Return a question in words.

    Parameters
    ----------
    asked : what is to be asked
    names : of the hose sizes, shape (m,)
    """
    field, sentence = words(asked)
    bits = np.unpackbits(np.frombuffer(asked.decides, dtype=np.uint8), count=len(names))
    return Question(
        field=field,
        question=sentence,
        why=table("questions").row(input=asked.field)["why"],
        decides=tuple(np.sort(names[bits.astype(bool)])[:NAMED_HOSES].tolist()),
        verdicts=tuple(v.word for v in Verdict if asked.verdicts >> v & 1),
    )


def words(asked: Asked) -> tuple[str, str]:
    """Return the key of a job file that a question is about, and its sentence."""
    row = table("questions").row(input=asked.field)
    if asked.both:
        return (
            asked.field.replace("nipple_a", "nipples"),
            row["question_both"],
        )
    return asked.field, row["question"]


def _worst(results: Sequence[RuleResult], rows: Array, hoses: HoseColumns) -> Array:
    worst = np.zeros((len(rows), len(hoses.sizes)), dtype=np.int8)
    for result in results:
        np.maximum(worst, result.size_codes(rows, hoses), out=worst)
    return worst


def _tried(
    jobs: JobColumns,
    trial: Trial,
    some: Array,
    reading: Sequence[RuleResult],
    hoses: HoseColumns,
) -> Array:
    """Return the worst verdict codes for each plausible answer, shape (answers, r, m)."""
    taken = jobs.take(trial.rows[some])
    answers = [
        taken.change(**{name: column[some] for name, column in change.items()})
        for change in trial.changes
    ]
    distinct = DistinctJobs(assume(JobColumns.stack(answers)))
    results = [run_rule(result.rule, distinct, hoses) for result in reading]
    every = np.arange(len(some) * len(answers))
    return _worst(results, every, hoses).reshape(len(answers), len(some), -1)
