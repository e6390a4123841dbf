"""The most decisive question for each of many jobs, as `ask_next` finds it for one.

Each unknown input is varied over its plausible range for all jobs that leave it unknown at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from hoseselect.answer.ask_next import FLUIDS_FOR_TRIAL, LENGTH_FOR_TRIAL
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import assume, duty_range
from hoseselect.judging.columns import UNKNOWN, YES, Array, HoseColumns, JobColumns
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import SharedResult, run_on_kinds
from hoseselect.judging.services import fluid_mask, service_columns
from hoseselect.knowledge.load import Row, limit, table

Changes = list[dict[str, Array]]
HIGHEST_FOR_TRIAL = (0.0, 1000.0)
"""Lowest and highest pressure tried where a service has no usual one [kPa]."""


@dataclass(frozen=True, eq=False)
class _Trial:
    """One question to some jobs.

    Parameters
    ----------
    rows : positions of the jobs, shape (r,)
    names : columns that the question is about
    changes : per plausible answer, the columns that it changes, each of shape (r, ...)
    words : the question, with its field
    """

    rows: Array
    names: frozenset[str]
    changes: Changes
    words: str


def first_questions(
    jobs: JobColumns, hoses: HoseColumns, results: Sequence[SharedResult]
) -> list[str]:
    """Return for each job what to find out first, with its field; empty where nothing counts.

    Parameters
    ----------
    jobs : n jobs
    hoses : t types, m sizes
    results : of every rule on those jobs
    """
    refused = _refusals(results, np.arange(len(jobs)), hoses)
    best = np.zeros(len(jobs), dtype=np.int64)
    first = [""] * len(jobs)
    for trial in _trials(jobs):
        reading = [k for k, shared in enumerate(results) if trial.names & set(shared.rule.needs)]
        own_refusals = _refusals([results[k] for k in reading], trial.rows, hoses)
        open_to_it = refused[trial.rows] == own_refusals
        some = np.flatnonzero(open_to_it.any(axis=1))
        if not len(some):
            continue
        rows, open_to_it = trial.rows[some], open_to_it[some]
        own = _worst_own([results[k] for k in reading], rows, hoses)
        tried = _tried(jobs, trial, some, [results[k] for k in reading], hoses)
        changed = (np.maximum(own, tried[0]) != np.minimum(own, tried[1])) & open_to_it
        held_up = (changed & (own == Verdict.UNKNOWN)).sum(axis=1)
        count = changed.sum(axis=1)
        weight = held_up * (len(hoses.sizes) + 1) + count
        for place in np.flatnonzero((count > 0) & (weight > best[rows])):
            best[rows[place]] = weight[place]
            first[int(rows[place])] = trial.words
    return first


def _refusals(results: Sequence[SharedResult], rows: Array, hoses: HoseColumns) -> Array:
    """Return how many rules refuse each size for some jobs, shape (r, m)."""
    count: Array = np.zeros((len(rows), len(hoses.sizes)), dtype=np.int16)
    for shared in results:
        count += shared.size_codes(rows, hoses) == Verdict.REJECT
    return count


def _worst_own(results: Sequence[SharedResult], rows: Array, hoses: HoseColumns) -> Array:
    worst = np.zeros((len(rows), len(hoses.sizes)), dtype=np.int8)
    for shared in results:
        np.maximum(worst, shared.size_codes(rows, hoses), out=worst)
    return worst


def _tried(
    jobs: JobColumns,
    trial: _Trial,
    some: Array,
    reading: Sequence[SharedResult],
    hoses: HoseColumns,
) -> tuple[Array, Array]:
    """Return the worst and the best verdict codes over the plausible answers, each (r, m)."""
    taken = jobs.take(trial.rows[some])
    answers = [
        taken.change(**{name: column[some] for name, column in change.items()})
        for change in trial.changes
    ]
    filled = assume(JobColumns.stack(answers))
    distinct = DistinctJobs(filled)
    results = [run_on_kinds(shared.rule, filled, distinct, hoses) for shared in reading]
    every = np.arange(len(some) * len(answers))
    codes = _worst_own(results, every, hoses).reshape(len(answers), len(some), -1)
    return codes.max(axis=0), codes.min(axis=0)


def _trials(jobs: JobColumns) -> Iterator[_Trial]:
    """Yield every question that is open for some jobs, in the order of the table."""
    by_input = {row["input"]: row for row in table("questions")}
    asked_with_a: dict[str, Array] = {}
    for row in table("questions"):
        mask, changes = _variants(row, jobs)
        partner_input = row["input"].replace("nipple_a.", "nipple_b.")
        if partner_input != row["input"]:
            partner = by_input[partner_input]
            other_mask, other_changes = _variants(partner, jobs)
            both = mask & other_mask
            asked_with_a[partner_input] = both
            names = frozenset({*row["columns"].split(";"), partner["columns"]})
            joint = [{**a, **b} for a, b in zip(changes, other_changes, strict=True)]
            yield from _trial(row, both, names, joint, both=True)
            mask &= ~both
        mask &= ~asked_with_a.get(row["input"], np.zeros(len(jobs), dtype=bool))
        yield from _trial(row, mask, frozenset(row["columns"].split(";")), changes, both=False)


def _trial(
    row: Row, mask: Array, names: frozenset[str], changes: Changes, *, both: bool
) -> Iterator[_Trial]:
    rows = np.flatnonzero(mask)
    if not len(rows):
        return
    field, words = row["input"], row["question"]
    if both:
        field = field.replace("nipple_a", "nipples")
        words = words.replace("nipple A", "each nipple")
    taken = [{name: column[rows] for name, column in change.items()} for change in changes]
    yield _Trial(rows, names, taken, f"{field}: {words}")


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
                mask &= _bead_not_measured(names[0][-1], jobs)
            return mask, [{names[0]: np.full_like(column, answer)} for answer in (1, 0)]
        case "bead":
            end = names[0][-1]
            nipple = getattr(jobs, f"nipple_{end}")
            mask = _bead_not_measured(end, jobs) & ~np.isnan(nipple[:, 0])
            over = (limit("bead-over-nipple-min"), limit("bead-over-nipple-max"))
            return mask, [{names[0]: nipple + figure} for figure in over]
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
    ends = np.array([end[jobs.service] for end in duty_range(name)])
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
