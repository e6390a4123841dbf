"""What to find out next: each unknown input is varied over its plausible range.

An input counts where it changes the verdict of a hose that nothing else refuses; the input that
settles most hoses comes first. All jobs that leave an input unknown are tried at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np

from hoseselect.answer.judged import Judged, refusals
from hoseselect.answer.values import Question
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import Assumed, assume, duty_ends, heat_source_asked
from hoseselect.judging.columns import NO, UNKNOWN, YES, Array, HoseColumns, JobColumns
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import RuleResult, run_rule
from hoseselect.judging.services import fluid_mask, service_columns
from hoseselect.knowledge.load import Row, limit, table

NAMED_HOSES = 8
LENGTH_FOR_TRIAL = 300.0
HIGHEST_FOR_TRIAL = (0.0, 1000.0)
"""Lowest and highest pressure tried where a service has no usual one [kPa]."""
FLUIDS_FOR_TRIAL = {
    "fuel": ("petrol-e0", "petrol-e10", "petrol-e85"),
    "diesel": ("diesel-b7", "diesel-b20", "diesel-b100"),
}
Changes = list[dict[str, Array]]


class Asked(NamedTuple):
    """A question before its words are written.

    Parameters
    ----------
    field : input as in the table of questions
    both : whether it is asked of both nipples
    decides : bits of the hose sizes whose verdict it would settle
    verdicts : bits of the verdicts that it decides between
    """

    field: str
    both: bool
    decides: bytes
    verdicts: int


@dataclass(frozen=True, eq=False)
class _Trial:
    """One question to some jobs.

    Parameters
    ----------
    field, both : of the question
    rows : positions of the jobs, shape (r,)
    names : columns that the question is about
    changes : per plausible answer, the columns that it changes, each of shape (r, ...)
    """

    field: str
    both: bool
    rows: Array
    names: frozenset[str]
    changes: Changes


def ask_next(said: Judged, wanted: str = "") -> list[tuple[Asked, ...]]:
    """Return for each job the questions that would change a verdict, most decisive first.

    Parameters
    ----------
    said : what the rules say of the jobs
    wanted : the one input to look at; empty = all
    """
    ranked: list[list[tuple[int, int, Asked]]] = [[] for _ in range(len(said.jobs))]
    for trial in _trials(said.jobs, said.filled, wanted):
        for place, entry in _changing(said, trial):
            ranked[place].append(entry)
    for own_questions in ranked:
        own_questions.sort(key=lambda entry: entry[:2])
    return [tuple(asked for _, _, asked in own_questions) for own_questions in ranked]


def _changing(said: Judged, trial: _Trial) -> list[tuple[int, tuple[int, int, Asked]]]:
    """Return the positions of the jobs of which a question changes a verdict, and how it ranks.

    A job that stands alone is asked about more than once: what was tried is not tried again.
    """
    key = trial.field, trial.both
    if key in said.tried:
        kept: list[tuple[int, tuple[int, int, Asked]]] = said.tried[key]
        return kept
    found: list[tuple[int, tuple[int, int, Asked]]] = []
    jobs, hoses = said.jobs, said.hoses
    reading = [result for result in said.results if trial.names & result.rule.reads]
    open_to_it = said.refusals[trial.rows] == refusals(reading, trial.rows, hoses)
    some = np.flatnonzero(open_to_it.any(axis=1))
    if len(some) and reading:
        rows, open_to_it = trial.rows[some], open_to_it[some]
        own = _worst(reading, rows, hoses)
        tried = _tried(jobs, trial, some, reading, hoses)
        most, least = np.maximum(own, tried.max(axis=0)), np.minimum(own, tried.min(axis=0))
        changed = (most != least) & open_to_it
        held_up = (changed & (own == Verdict.UNKNOWN)).sum(axis=1).tolist()
        count = changed.sum(axis=1).tolist()
        told = np.flatnonzero(changed.any(axis=1))
        decides = np.packbits(changed[told], axis=1)
        seen = np.bitwise_or.reduce(np.left_shift(np.uint8(1), tried.view(np.uint8)), axis=0)[told]
        verdicts = np.bitwise_or.reduce(np.where(changed[told], seen, 0), axis=1).tolist()
        for number, place in enumerate(told.tolist()):
            asked = Asked(trial.field, trial.both, decides[number].tobytes(), verdicts[number])
            found.append((rows[place], (-held_up[place], -count[place], asked)))
    if len(jobs) == 1:
        said.tried[key] = found
    return found


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
    trial: _Trial,
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


def _trials(jobs: JobColumns, filled: Assumed, wanted: str) -> Iterator[_Trial]:
    """Yield every question that is open for some jobs, in the order of the table."""
    by_input = {row["input"]: row for row in table("questions")}
    asked_with_a: dict[str, Array] = {}
    for row in table("questions"):
        if wanted and row["input"] != wanted:
            continue
        mask, changes = _variants(row, jobs)
        partner_input = row["input"].replace("nipple_a.", "nipple_b.")
        if partner_input != row["input"]:
            partner = by_input[partner_input]
            other_mask, other_changes = _variants(partner, jobs)
            both = mask & other_mask
            asked_with_a[partner_input] = both
            joint = [{**a, **b} for a, b in zip(changes, other_changes, strict=True)]
            names = _names(row, filled) | _names(partner, filled)
            yield from _trial(row, both, names, joint, both=True)
            mask = mask & ~both
        mask = mask & ~asked_with_a.get(row["input"], np.zeros(len(jobs), dtype=bool))
        yield from _trial(row, mask, _names(row, filled), changes, both=False)


def _names(row: Row, filled: Assumed) -> frozenset[str]:
    """Return the columns that a question is about, with those that are filled for want of it."""
    asked = frozenset(row["columns"].split(";"))
    return asked.union(f.column for f in filled.fillings if f.because in asked)


def _trial(
    row: Row, mask: Array, names: frozenset[str], changes: Changes, *, both: bool
) -> Iterator[_Trial]:
    rows = np.flatnonzero(mask)
    if len(rows) and changes:
        taken = [{name: column[rows] for name, column in change.items()} for change in changes]
        yield _Trial(row["input"], both, rows, names, taken)


def _variants(row: Row, jobs: JobColumns) -> tuple[Array, Changes]:
    """Return which jobs leave an input unknown, shape (n,), and what each answer changes."""
    names = row["columns"].split(";")
    column = getattr(jobs, names[0])
    match row["kind"]:
        case "fluids":
            return _fluid_variants(row, jobs)
        case "answer" | "keep" | "measured-on":
            mask = column[:, 0] == UNKNOWN
            if row["kind"] == "measured-on":
                mask &= _bead_not_measured(row["end"], jobs)
            if names[0] == "sees_boost":  # nothing can be boosted without a turbo
                mask &= jobs.turbo[:, 0] != NO
            return mask, [{names[0]: np.full_like(column, answer)} for answer in (1, 0)]
        case "bead":
            end = row["end"]
            nipple = getattr(jobs, f"nipple_{end}")
            mask = _bead_not_measured(end, jobs) & ~np.isnan(nipple[:, 0])
            over = (limit("bead-over-nipple-min"), limit("bead-over-nipple-max"))
            return mask, [{names[0]: nipple + figure} for figure in over]
        case "distance":
            told = jobs.heat_source_shielded != UNKNOWN
            aged = jobs.heat_aged == YES
            asked = heat_source_asked(jobs.service, jobs.fluid_peak, told, aged)
            mask = np.isnan(column) & asked
            return mask[:, 0], [{names[0]: np.full_like(column, d)} for d in _plausible(row)]
        case "route":
            radii = _plausible(row)
            length = np.full_like(column, LENGTH_FOR_TRIAL)
            mask = np.isnan(column[:, 0])
            return mask, [{names[0]: length, names[1]: np.full_like(column, r)} for r in radii]
        case "duty":
            return _duty_variants(names[0], jobs)
        case _:
            mask = np.isnan(column[:, 0])
            if names[0] == "tightest_radius":  # asked about together with the whole route
                mask &= ~np.isnan(jobs.tip_length[:, 0])
            figures = _plausible(row) or [
                row.number(end) for end in ("favourable", "adverse") if row[end] != ""
            ]
            return mask, [{names[0]: np.full_like(column, figure)} for figure in figures]


def _bead_not_measured(end: str, jobs: JobColumns) -> Array:
    has_bead = getattr(jobs, f"has_bead_{end}")[:, 0] == YES
    not_measured: Array = has_bead & np.isnan(getattr(jobs, f"bead_{end}")[:, 0])
    return not_measured


def _plausible(row: Row) -> list[float]:
    return [float(text) for text in row["plausible"].split(";") if text]


def _duty_variants(name: str, jobs: JobColumns) -> tuple[Array, Changes]:
    ends = np.array(duty_ends(name, jobs))
    if name == "pressure_max":
        no_range = np.isnan(ends).any(axis=0)
        ends = np.where(no_range, np.reshape(HIGHEST_FOR_TRIAL, (2, 1, 1)), ends)
    mask = np.isnan(getattr(jobs, name)[:, 0]) & ~np.isnan(ends).all(axis=0)[:, 0]
    ends = np.where(np.isnan(ends), ends[::-1], ends)
    return mask, [{name: end} for end in ends]


def _fluid_variants(row: Row, jobs: JobColumns) -> tuple[Array, Changes]:
    if row["columns"] == "drips":
        mask = jobs.drips_known[:, 0] == UNKNOWN
        kinds = [jobs.drips, jobs.drips | fluid_mask(("engine-oil",))[None, :]]
        return mask, [{"drips": k, "drips_known": np.full_like(jobs.service, YES)} for k in kinds]
    trials = _fluids_for_trial()[:, jobs.service[:, 0]]
    mask = (jobs.fluids_known[:, 0] == UNKNOWN) & trials.any(axis=(0, 2))
    known = np.full_like(jobs.service, YES)
    return mask, [{"fluids": jobs.fluids | fluids, "fluids_known": known} for fluids in trials]


@cache
def _fluids_for_trial() -> Array:
    """Return which fluids are tried in each service, shape (trials, services, fluids)."""
    columns = service_columns()
    count = max(len(fluids) for fluids in FLUIDS_FOR_TRIAL.values())
    masks = np.zeros((count, len(columns.names), len(columns.fluids)), dtype=bool)
    for place, group in enumerate(columns.group):
        fluids = FLUIDS_FOR_TRIAL.get(group, ())
        for number in range(count if fluids else 0):
            masks[number, place] = fluid_mask((fluids[number % len(fluids)],))
    return masks
