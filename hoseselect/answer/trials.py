"""The questions that are open for some jobs, each with the answers that are tried."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from hoseselect.judging.assume import Assumed, duty_ends, heat_source_asked
from hoseselect.judging.columns import NO, NOT_NAMED, UNKNOWN, YES, Array, JobColumns
from hoseselect.judging.services import fluid_mask, in_tank, service_columns
from hoseselect.knowledge.load import Row, limit, table

LENGTH_FOR_TRIAL = 300.0
HIGHEST_FOR_TRIAL = (0.0, 1000.0)
"""Lowest and highest pressure tried where a service has no usual one [kPa]."""
FLUIDS_FOR_TRIAL = {
    "fuel": ("petrol-e0", "petrol-e10", "petrol-e85"),
    "diesel": ("diesel-b7", "diesel-b20", "diesel-b100"),
}
Changes = list[dict[str, Array]]


@dataclass(frozen=True, eq=False)
class Trial:
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


def open_trials(jobs: JobColumns, filled: Assumed, wanted: str) -> Iterator[Trial]:
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
            for rows, names in _about((row, partner), both, filled):
                yield from _trial(row, rows, names, joint, both=True)
            mask = mask & ~both
        mask = mask & ~asked_with_a.get(row["input"], np.zeros(len(jobs), dtype=bool))
        for rows, names in _about((row,), mask, filled):
            yield from _trial(row, rows, names, changes, both=False)


def _about(
    asked: Sequence[Row], mask: Array, filled: Assumed
) -> Iterator[tuple[Array, frozenset[str]]]:
    """Yield the columns that questions are about, with those filled for want of an answer.

    They come with the positions of the jobs of which that is so: what is filled in one job makes
    no question of another.
    """
    own = frozenset(name for row in asked for name in row["columns"].split(";"))
    further = [f for f in filled.fillings if f.because in own and f.column not in own]
    apart = np.zeros(len(mask), dtype=np.int64)
    for number, filling in enumerate(further):
        apart += filling.where[:, 0].astype(np.int64) << number
    for kind in np.unique(apart[mask]).tolist():
        names = (f.column for number, f in enumerate(further) if kind >> number & 1)
        yield np.flatnonzero(mask & (apart == kind)), own.union(names)


def _trial(
    row: Row, rows: Array, names: frozenset[str], changes: Changes, *, both: bool
) -> Iterator[Trial]:
    if changes:
        taken = [{name: column[rows] for name, column in change.items()} for change in changes]
        yield Trial(row["input"], both, rows, names, taken)


def _variants(row: Row, jobs: JobColumns) -> tuple[Array, Changes]:
    """Return which jobs leave an input unknown, shape (n,), and what each answer changes."""
    names = row["columns"].split(";")
    column = getattr(jobs, names[0])
    match row["kind"]:
        case "fluids":
            return _fluid_variants(row, jobs)
        case "answer" | "keep" | "measured-on":
            mask = column[:, 0] == UNKNOWN
            if names[0] == "insert":  # what nobody can name is asked about until it is named
                mask |= column[:, 0] == NOT_NAMED
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
    tried = [jobs.fluids | fluids for fluids in trials]
    inside = in_tank(jobs.service)
    return mask, [{"fluids": t, "bath": t & inside, "fluids_known": known} for t in tried]


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
