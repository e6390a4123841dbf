"""What is assumed where a job leaves something unknown, and how far that may carry a verdict.

Each unknown input has a plausible range with an adverse and a favourable end. The rules are run
at both. What holds at both ends holds; where they differ the hose is unknown, or conditional
where the person at the vehicle can see to it (a leak to mend, a look inside the old hose).
An assumption never yields a plain accept.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import NO, UNKNOWN, YES, Array, JobColumns
from hoseselect.judging.services import fluid_mask, service_columns
from hoseselect.knowledge.load import Row, limit, table


@dataclass(frozen=True, eq=False, repr=False)
class Assumed:
    """Jobs filled at both ends of every plausible range.

    Parameters
    ----------
    adverse, favourable : the jobs with unknown columns filled
    doubted : per column, where a value was assumed, shape (n, 1)
    """

    adverse: JobColumns
    favourable: JobColumns
    doubted: dict[str, Array]

    @property
    def any(self) -> bool:
        """Whether anything was assumed."""
        return any(mask.any() for mask in self.doubted.values())


@cache
def gentle_columns() -> frozenset[str]:
    """Return the columns whose doubt makes a hose conditional, not unknown."""
    rows = table("questions").where(doubt="conditional")
    return frozenset(name for row in rows for name in row["columns"].split(";"))


@cache
def duty_range(field: str) -> tuple[Array, Array]:
    """Return favourable and adverse end of a duty per service, each (services,); NaN none."""
    columns = service_columns()
    ends = np.full((2, len(columns.names)), np.nan)
    for row in table("service_duty").where(field=field):
        ends[:, columns.index[row["service"]]] = row.number("favourable"), row.number("adverse")
    return ends[0], ends[1]


def assume(jobs: JobColumns) -> Assumed:
    """Fill what is unknown at the adverse and at the favourable end of its plausible range."""
    ends: list[dict[str, Array]] = [{}, {}]
    doubted: dict[str, Array] = {}
    for row in table("questions"):
        _FILLERS[row["kind"]](row, jobs, ends, doubted)
    adverse, favourable = (jobs.change(**end) for end in ends)
    return Assumed(_ordered(jobs, adverse), _ordered(jobs, favourable), doubted)


def _keep(
    row: Row, jobs: JobColumns, ends: list[dict[str, Array]], doubted: dict[str, Array]
) -> None:
    """Leave it unknown: no end of a range may stand in for it."""


def _put(
    name: str,
    where: Array,
    values: tuple[Array, Array],
    jobs: JobColumns,
    ends: list[dict[str, Array]],
    doubted: dict[str, Array],
) -> None:
    """Put adverse and favourable values into a column where it is unknown."""
    if not where.any():
        return
    for end, value in zip(ends, values, strict=True):
        column = end.get(name, getattr(jobs, name))
        end[name] = np.where(where, value, column)
    doubted[name] = doubted.get(name, False) | where


def _fill_number(
    row: Row, jobs: JobColumns, ends: list[dict[str, Array]], doubted: dict[str, Array]
) -> None:
    if row["adverse"] == "":
        return
    name = row["columns"]
    values = np.array(row.number("adverse")), np.array(row.number("favourable"))
    _put(name, np.isnan(getattr(jobs, name)), values, jobs, ends, doubted)


def _fill_answer(
    row: Row, jobs: JobColumns, ends: list[dict[str, Array]], doubted: dict[str, Array]
) -> None:
    name = row["columns"]
    code = {"yes": np.array(YES), "no": np.array(NO)}
    values = code[row["adverse"]], code[row["favourable"]]
    _put(name, getattr(jobs, name) == UNKNOWN, values, jobs, ends, doubted)


def _fill_duty(
    row: Row, jobs: JobColumns, ends: list[dict[str, Array]], doubted: dict[str, Array]
) -> None:
    name = row["columns"]
    favourable, adverse = duty_range(name)
    values = adverse[jobs.service], favourable[jobs.service]
    column = getattr(jobs, name)
    partner = {"fluid_steady": "fluid_peak", "air_steady": "air_peak"}.get(name)
    if partner:  # a stated peak may last: it is the adverse end of an unknown steady figure
        peak = getattr(jobs, partner)
        values = np.where(np.isnan(peak), values[0], peak), np.fmin(values[1], peak)
    where = np.isnan(column) & ~np.isnan(values[0])
    if name == "pressure_max":  # a stated spike is the highest pressure there is
        spike = jobs.pressure_spike
        values = np.where(np.isnan(spike), values[0], spike), np.fmin(values[1], spike)
    if name == "pressure_spike":
        values = np.fmax(values[0], jobs.pressure_max), np.fmax(values[1], jobs.pressure_max)
    if name == "pressure_max":  # what a boosted line sees must be told
        boosted = service_columns().boost_possible[jobs.service] & (
            (jobs.turbo == YES) & (jobs.sees_boost != NO) | (jobs.sees_boost == YES)
        )
        where &= ~boosted
    _put(name, where, values, jobs, ends, doubted)


def _fill_fluids(
    row: Row, jobs: JobColumns, ends: list[dict[str, Array]], doubted: dict[str, Array]
) -> None:
    if row["input"] == "fluids":
        extra = service_columns().fluids_default[jobs.service[:, 0]]
        where = (jobs.fluids_known == UNKNOWN) & extra.any(axis=1, keepdims=True)
        values = jobs.fluids | extra, jobs.fluids
    else:
        extra = fluid_mask((row["adverse"],))[None, :]
        where = jobs.drips_known == UNKNOWN
        values = jobs.drips | extra, jobs.drips
    _put(row["columns"], where, values, jobs, ends, doubted)


def _fill_measured_on(
    row: Row, jobs: JobColumns, ends: list[dict[str, Array]], doubted: dict[str, Array]
) -> None:
    """Let a nipple with one known diameter be measured on the plain part or on the bead."""
    end = row["end"]
    nipple, bead = getattr(jobs, f"nipple_{end}"), getattr(jobs, f"bead_{end}")
    least, most = limit("bead-over-nipple-min"), limit("bead-over-nipple-max")
    measured_on = getattr(jobs, f"measured_on_{end}")
    one = (getattr(jobs, f"has_bead_{end}") == YES) & np.isnan(bead) & ~np.isnan(nipple)
    either = one & (measured_on == UNKNOWN)
    middle = (least + most) / 2
    _put(f"nipple_{end}", either, (nipple, nipple - middle), jobs, ends, {})
    _put(f"bead_{end}", either, (nipple + most, nipple), jobs, ends, {})
    _put(f"measured_on_{end}", either, (np.array(YES), np.array(NO)), jobs, ends, doubted)
    on_bead = one & (measured_on == NO)
    _put(f"nipple_{end}", on_bead, (nipple - most, nipple - least), jobs, ends, doubted)
    _put(f"bead_{end}", on_bead, (nipple, nipple), jobs, ends, {})


def _fill_bead(
    row: Row, jobs: JobColumns, ends: list[dict[str, Array]], doubted: dict[str, Array]
) -> None:
    end = row["end"]
    nipple, bead = getattr(jobs, f"nipple_{end}"), getattr(jobs, f"bead_{end}")
    has = getattr(jobs, f"has_bead_{end}")
    where = np.isnan(bead) & ~np.isnan(nipple) & (has != NO)
    least, most = limit("bead-over-nipple-min"), limit("bead-over-nipple-max")
    smaller = np.where(has == UNKNOWN, most, least)
    _put(f"bead_{end}", where, (nipple + most, nipple + smaller), jobs, ends, doubted)


_FILLERS = {
    "number": _fill_number,
    "answer": _fill_answer,
    "duty": _fill_duty,
    "fluids": _fill_fluids,
    "measured-on": _fill_measured_on,
    "bead": _fill_bead,
    "route": _keep,
    "keep": _keep,
}


def _ordered(stated: JobColumns, filled: JobColumns) -> JobColumns:
    """Return filled jobs whose assumed peaks are not below what is steady."""
    return filled.change(
        fluid_peak=np.maximum(filled.fluid_peak, filled.fluid_steady),
        air_peak=np.maximum(filled.air_peak, filled.air_steady),
        pressure_max=np.where(
            np.isnan(stated.pressure_max),
            np.maximum(filled.pressure_max, filled.pressure_min),
            filled.pressure_max,
        ),
    )


def combine(adverse: Array, favourable: Array, doubted: Array, hard: Array) -> Array:
    """Return one verdict from those at the two ends.

    Parameters
    ----------
    adverse, favourable : verdict codes at the two ends, shape (n, k)
    doubted : where a column the rule reads was assumed, shape (n, 1)
    hard : where that doubt cannot be seen to by the person at the vehicle, shape (n, 1)
    """
    verdicts = len(Verdict)
    ends = np.uint8(verdicts) * favourable.astype(np.uint8) + adverse.astype(np.uint8)
    ends = ends + np.uint8(verdicts**2) * (hard + np.uint8(2) * doubted)
    return _combined().take(ends)


@cache
def _combined() -> Array:
    """Return the verdict for every pair of ends, first without doubt: [hard + 2 doubted] apart."""
    codes = range(len(Verdict))
    return np.array(
        [
            _one_verdict(adverse, favourable, hard=hard) if doubted else adverse
            for doubted in (False, True)
            for hard in (False, True)
            for favourable in codes
            for adverse in codes
        ],
        dtype=np.int8,
    )


def _one_verdict(adverse: int, favourable: int, *, hard: bool) -> int:
    worse, better = max(adverse, favourable), min(adverse, favourable)
    if better >= Verdict.UNKNOWN:
        return better
    if worse <= Verdict.CONDITIONAL:
        return Verdict.CONDITIONAL
    return Verdict.UNKNOWN if hard else Verdict.CONDITIONAL
