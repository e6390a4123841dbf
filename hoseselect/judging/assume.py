"""What is assumed where a job leaves something unknown, and how far that may carry a verdict.

Each unknown input has a plausible range with an adverse and a favourable end. The rules are run
at both. What holds at both ends holds; where they differ the hose is unknown, or conditional
where the person at the vehicle can see to it (a leak to mend, a look inside the old hose).
An assumption never yields a plain accept.

Of heat and pressure the ends are those that are usual in the service. A peak that is told may
last: it is the adverse end of what is steady, and no peak that is assumed lies below what is
steady. A line that is steadily at its usual peak peaks higher, nobody knows by how much, and stays
in doubt at either end. What a line with boost sees must be told.

Where no fluid is named, the usual one of the service flows at worst, and at best what every fuel
or oil of its kind holds. A fluid of another family, or one beside others that nobody names, leaves
that doubt. What drips, where it is not known, is oil at worst. A nipple that was measured on its
bead is thinner by the usual height of a bead; a bead that was not measured stands as high.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np

from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import NO, UNKNOWN, YES, Array, JobColumns
from hoseselect.judging.services import fluid_mask, in_tank, service_columns
from hoseselect.judging.usual import ends_in_shop
from hoseselect.knowledge.load import Row, limit, table


@dataclass(frozen=True, eq=False, repr=False)
class Filling:
    """Values put into one column.

    Parameters
    ----------
    column : that was filled
    because : column of the input that is not known, mostly the same
    where : in which jobs, shape (n, 1)
    open_ended : in which of them it may be worse than the adverse value, shape (n, 1)
    """

    column: str
    because: str
    where: Array
    open_ended: Array


@dataclass(frozen=True, eq=False, repr=False)
class Assumed:
    """Jobs filled at both ends of every plausible range.

    Parameters
    ----------
    adverse, favourable : the jobs with unknown columns filled
    fillings : what was filled
    """

    adverse: JobColumns
    favourable: JobColumns
    fillings: tuple[Filling, ...] = ()

    @cached_property
    def doubted(self) -> dict[str, Array]:
        """Where a value was assumed, by the column of the input, each of shape (n, 1)."""
        found: dict[str, Array] = {}
        for filling in self.fillings:
            found[filling.because] = found.get(filling.because, False) | filling.where
        return found

    def hard(self, columns: Collection[str]) -> Array:
        """Return where doubt of some columns cannot be seen to at the vehicle, shape (n,).

        Where they were not filled, and differ all the same, the doubt is a hard one.
        """
        gentle = np.zeros(len(self.adverse), dtype=bool)
        hard = gentle.copy()
        for filling in self.fillings:
            if filling.column in columns:
                kind = gentle if filling.because in gentle_columns() else hard
                kind |= filling.where[:, 0]
        return hard | ~gentle

    def gentle(self, columns: Collection[str]) -> Array:
        """Return where one of the columns was assumed that can be seen to, shape (n,)."""
        found = np.zeros(len(self.adverse), dtype=bool)
        for filling in self.fillings:
            if filling.column in columns and filling.because in gentle_columns():
                found |= filling.where[:, 0]
        return found

    def open_ended(self, columns: Collection[str]) -> Array:
        """Return where one of the columns may be worse than what was tried, shape (n,).

        A set of fluids may hold others; a line that is steadily as hot as the usual peak of its
        service peaks higher, nobody knows by how much.
        """
        found = np.zeros(len(self.adverse), dtype=bool)
        for filling in self.fillings:
            if filling.column in columns:
                found |= filling.open_ended[:, 0]
        return found


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


def duty_ends(field: str, jobs: JobColumns) -> tuple[Array, Array]:
    """Return favourable and adverse end of a duty for some jobs, each (n, 1); NaN none.

    Where the old hose was sucked flat, the suction may be as deep as any line usually sees.
    """
    favourable, adverse = (end[jobs.service] for end in duty_range(field))
    favourable, adverse = ends_in_shop(field, jobs, favourable, adverse)
    if field == "pressure_min":
        deepest = np.nanmin(duty_range(field)[1])
        adverse = np.where(jobs.sucked_flat == YES, deepest, adverse)
    return favourable, adverse


def assume(jobs: JobColumns) -> Assumed:
    """Fill what is unknown at the adverse and at the favourable end of its plausible range."""
    put = _Filler(jobs)
    for row in table("questions"):
        _FILLERS[row["kind"]](row, jobs, put)
    adverse, favourable = (_ordered(jobs, jobs.change(**end)) for end in put.ends)
    return Assumed(adverse, favourable, tuple(put.fillings))


class _Filler:
    """Puts values into columns where they are unknown, and notes it."""

    def __init__(self, jobs: JobColumns) -> None:
        self.jobs = jobs
        self.ends: tuple[dict[str, Array], dict[str, Array]] = ({}, {})
        self.fillings: list[Filling] = []

    def __call__(
        self,
        name: str,
        where: Array,
        values: tuple[Array, Array],
        because: str = "",
        open_ended: Array | None = None,
    ) -> None:
        """Put adverse and favourable values into a column.

        Parameters
        ----------
        name : of the column
        where : in which jobs, shape (n, 1)
        values : adverse and favourable
        because : column of the input that is not known; empty = the column itself
        open_ended : in which of them it may be worse than the adverse value; None = in none
        """
        if not where.any():
            return
        for end, value in zip(self.ends, values, strict=True):
            end[name] = np.where(where, value, end.get(name, getattr(self.jobs, name)))
        further = np.zeros_like(where) if open_ended is None else where & open_ended
        self.fillings.append(Filling(name, because or name, where, further))


def _keep(row: Row, jobs: JobColumns, put: _Filler) -> None:
    """Leave it unknown: no end of a range may stand in for it."""


def _fill_number(row: Row, jobs: JobColumns, put: _Filler) -> None:
    if row["adverse"] == "":
        return
    name = row["columns"]
    values = np.array(row.number("adverse")), np.array(row.number("favourable"))
    put(name, np.isnan(getattr(jobs, name)), values)


def _fill_answer(row: Row, jobs: JobColumns, put: _Filler) -> None:
    name = row["columns"]
    code = {"yes": np.array(YES), "no": np.array(NO)}
    values = code[row["adverse"]], code[row["favourable"]]
    put(name, getattr(jobs, name) == UNKNOWN, values)


def _fill_duty(row: Row, jobs: JobColumns, put: _Filler) -> None:
    name = row["columns"]
    favourable, adverse = duty_ends(name, jobs)
    values = adverse, favourable
    column = getattr(jobs, name)
    partner = {"fluid_steady": "fluid_peak", "air_steady": "air_peak"}.get(name)
    if partner:  # a stated peak may last: it is the adverse end of an unknown steady figure
        peak = getattr(jobs, partner)
        values = np.where(np.isnan(peak), values[0], peak), np.fmin(values[1], peak)
    where = np.isnan(column) & ~np.isnan(values[0])
    steady = {"fluid_peak": "fluid_steady", "air_peak": "air_steady"}.get(name, "pressure_max")
    beyond = getattr(jobs, steady) >= values[0]
    if name == "pressure_max":  # a stated spike is the highest pressure there is
        spike = jobs.pressure_spike
        values = np.where(np.isnan(spike), values[0], spike), np.fmin(values[1], spike)
    if name == "pressure_spike":
        values = np.fmax(values[0], jobs.pressure_max), np.fmax(values[1], jobs.pressure_max)
    if name == "pressure_max":  # what a boosted line sees must be told
        made_for_it = service_columns().boost_usual[jobs.service] & (jobs.turbo == YES)
        sees = (jobs.sees_boost == YES) | made_for_it & (jobs.sees_boost != NO)
        where &= ~(service_columns().boost_possible[jobs.service] & sees)
    put(name, where, values, open_ended=beyond if name in PEAKS else None)


PEAKS = ("fluid_peak", "air_peak", "pressure_spike")


def _fill_fluids(row: Row, jobs: JobColumns, put: _Filler) -> None:
    if row["input"] == "fluids":
        told = jobs.usual_fluids.any(axis=1, keepdims=True)
        usual = service_columns().fluids_default[jobs.service[:, 0]]
        extra = np.where(told, jobs.usual_fluids, usual)
        mildest = service_columns().fluids_mildest[jobs.service[:, 0]]
        where = jobs.fluids_known == UNKNOWN
        values = jobs.fluids | extra, jobs.fluids | mildest
        put("bath", where & in_tank(jobs.service), values, "fluids", where)
    else:
        extra = fluid_mask((row["adverse"],))[None, :]
        where = jobs.drips_known == UNKNOWN
        values = jobs.drips | extra, jobs.drips
    put(row["columns"], where, values, open_ended=where)


def _fill_measured_on(row: Row, jobs: JobColumns, put: _Filler) -> None:
    """Let the plain part of a nipple that was measured on its bead be smaller.

    Where it is not told where the caliper sat, the figure is the one that was asked for: that of
    the plain part. A rule of its own says that somebody must see to it.
    """
    end = row["end"]
    nipple, bead = getattr(jobs, f"nipple_{end}"), getattr(jobs, f"bead_{end}")
    least, most = limit("bead-over-nipple-min"), limit("bead-over-nipple-max")
    measured_on = getattr(jobs, f"measured_on_{end}")
    one = (getattr(jobs, f"has_bead_{end}") == YES) & np.isnan(bead) & ~np.isnan(nipple)
    on_bead = one & (measured_on == NO)
    put(f"nipple_{end}", on_bead, (nipple - most, nipple - least))
    put(f"bead_{end}", on_bead, (nipple, nipple))


def _fill_bead(row: Row, jobs: JobColumns, put: _Filler) -> None:
    end = row["end"]
    nipple, bead = getattr(jobs, f"nipple_{end}"), getattr(jobs, f"bead_{end}")
    has = getattr(jobs, f"has_bead_{end}")
    where = np.isnan(bead) & ~np.isnan(nipple) & (has != NO)
    least, most = limit("bead-over-nipple-min"), limit("bead-over-nipple-max")
    demanded = service_columns().bead_required[jobs.service]  # without one the line is refused
    smaller = np.where((has == UNKNOWN) & ~demanded, most, least)
    put(f"bead_{end}", where, (nipple + most, nipple + smaller))


_FILLERS = {
    "number": _fill_number,
    "answer": _fill_answer,
    "duty": _fill_duty,
    "fluids": _fill_fluids,
    "measured-on": _fill_measured_on,
    "bead": _fill_bead,
    "route": _keep,
    "distance": _keep,
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


def heat_source_asked(
    service: Array, fluid_peak: Array, shielded: Array, heat_aged: Array
) -> Array:
    """Return where the distance to a heat source is asked for, shape (n, 1).

    It is on a line that runs hot by its service or as stated, where a shield is spoken of, and
    where heat killed the old hose.

    Parameters
    ----------
    service : index into the table of services
    fluid_peak : [degC]
    shielded : whether it was told that there is a shield or none
    heat_aged : whether the old hose died of heat
    """
    _, adverse = duty_range("fluid_peak")
    hottest = np.fmax(adverse[service], fluid_peak)
    return (hottest > limit("heat-source-asked-from")) | shielded | heat_aged


def of_both_ends(adverse: Array, favourable: Array, doubted: Array, hard: Array) -> Array:
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
