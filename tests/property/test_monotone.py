"""A hundred thousand changes for the worse, each on every hose: no verdict may get better.

Jobs are made at random in columns, so that all of them run through the rules together. A change
makes one thing harsher, or takes one thing away that was known and at its best.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import cache

import numpy as np
import pytest
from random_columns import Random, column, jobs_at_random

from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.locate import BUILT_IN
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import NO, NOT_NAMED, UNKNOWN, YES, Array, HoseColumns, JobColumns
from hoseselect.judging.engine import judge
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import limit, table
from hoseselect.rules.manual import all_rules

CHANGES = 100_000
AT_ONCE = 4_000
Change = Callable[[JobColumns, Random], tuple[JobColumns, JobColumns]]


@cache
def hoses() -> HoseColumns:
    return hose_columns(read_catalogue(next(folder for folder in BUILT_IN if folder.is_dir())))


# --- changes for the worse ------------------------------------------------------------------------


def step(random: Random, jobs: JobColumns, most: float) -> Array:
    return column(random.uniform(0.0, most, len(jobs)))


def further(names: str, most: float, end: float = math.nan) -> Change:
    """Move figures on by the same random step, down by a negative one, no further than an end."""

    def change(jobs: JobColumns, random: Random) -> tuple[JobColumns, JobColumns]:
        by = np.sign(most) * step(random, jobs, abs(most))
        moved = {
            name: (np.fmin if most > 0 else np.fmax)(getattr(jobs, name) + by, end)
            for name in names.split()
        }
        return jobs, jobs.change(**moved)

    return change


def longer_as_hot_as_the_peak(what: str) -> Change:
    def change(jobs: JobColumns, random: Random) -> tuple[JobColumns, JobColumns]:
        steady, peak = getattr(jobs, f"{what}_steady"), getattr(jobs, f"{what}_peak")
        return jobs, jobs.change(**{f"{what}_steady": steady + random.random() * (peak - steady)})

    return change


def answered(name: str, kind: int, harsh: int, **beside: int) -> Change:
    """Give the harsh answer in place of the kind one."""

    def change(jobs: JobColumns, random: Random) -> tuple[JobColumns, JobColumns]:
        same = {other: np.full_like(jobs.service, code) for other, code in beside.items()}
        before = jobs.change(**{**same, name: np.full_like(jobs.service, kind)})
        return before, before.change(**{name: np.full_like(jobs.service, harsh)})

    return change


def more_pressure(jobs: JobColumns, random: Random) -> tuple[JobColumns, JobColumns]:
    """Boost is told in both, so that a pressure above zero is no news of it."""
    told = np.full_like(jobs.service, YES)
    before = jobs.change(sees_boost=told, boost_stated=told, turbo=told)
    by = step(random, jobs, 600)
    higher = {name: getattr(jobs, name) + by for name in ("pressure_max", "pressure_spike")}
    return before, before.change(**higher)


def larger_bead(jobs: JobColumns, random: Random) -> tuple[JobColumns, JobColumns]:
    beaded = np.full_like(jobs.service, YES)
    small = jobs.nipple_a + 0.5
    before = jobs.change(
        has_bead_a=beaded, has_bead_b=beaded, bead_a=small, bead_b=jobs.nipple_b + 0.5
    )
    return before, before.change(bead_a=small + step(random, jobs, 6))


def one_more(name: str) -> Change:
    """Add a constituent at random to what flows or drips."""

    def change(jobs: JobColumns, random: Random) -> tuple[JobColumns, JobColumns]:
        before = getattr(jobs, name)
        more = np.zeros_like(before)
        more[np.arange(len(jobs)), random.integers(before.shape[1], size=len(jobs))] = True
        return jobs, jobs.change(**{name: before | more})

    return change


def not_all_known(name: str) -> Change:
    """Add that others may be there too."""

    def change(jobs: JobColumns, random: Random) -> tuple[JobColumns, JobColumns]:
        return jobs, jobs.change(**{f"{name}_known": np.full_like(jobs.service, UNKNOWN)})

    return change


def forgotten(name: str, best: float, *, unknown: float = np.nan) -> Change:
    """Take away a figure or answer that was known and at its best."""

    def change(jobs: JobColumns, random: Random) -> tuple[JobColumns, JobColumns]:
        known = getattr(jobs, name)
        before = jobs.change(**{name: np.full_like(known, best)})
        return before, before.change(**{name: np.full_like(known, unknown)})

    return change


def forgotten_bead(jobs: JobColumns, random: Random) -> tuple[JobColumns, JobColumns]:
    """Take away that there is a bead, and how large it is, where it is a small one."""
    answer = jobs.has_bead_a
    before = jobs.change(has_bead_a=np.full_like(answer, YES), bead_a=jobs.nipple_a + 0.5)
    return before, before.change(
        has_bead_a=np.full_like(answer, UNKNOWN), bead_a=np.full_like(jobs.bead_a, np.nan)
    )


def forgotten_duty(name: str) -> Change:
    """Take away a duty that was known and at the favourable end of what is usual."""
    ends = np.full(len(service_columns().names), np.nan)
    for row in table("service_duty").where(field=name):
        ends[service_columns().index[row["service"]]] = row.number("favourable")

    def change(jobs: JobColumns, random: Random) -> tuple[JobColumns, JobColumns]:
        known = getattr(jobs, name)
        usual = ends[jobs.service]
        mild = {name: np.where(np.isnan(usual), known, usual)}
        if name.endswith("_steady"):
            peak = name.replace("_steady", "_peak")
            mild[name] = np.minimum(mild[name], getattr(jobs, peak))
        if name.endswith("_peak"):
            steady = name.replace("_peak", "_steady")
            mild[name] = np.maximum(mild[name], getattr(jobs, steady))
        if name == "pressure_spike":
            mild[name] = np.fmax(usual, jobs.pressure_max)
        if name == "pressure_max":
            mild[name] = np.minimum(mild[name], jobs.pressure_spike)
        before = jobs.change(**mild)
        gone = before.change(**{name: np.full_like(known, np.nan)})
        if name in {"pressure_max", "pressure_spike"}:
            before, gone = boost_told(before), boost_told(gone)
        return before, gone

    return change


def boost_told(jobs: JobColumns) -> JobColumns:
    """Return jobs in which the highest pressure that is stated tells whether it is boost."""
    highest = np.fmax(jobs.pressure_max, jobs.pressure_spike)
    told = highest > limit("crankcase-pressure-highest")
    return jobs.change(boost_stated=np.where(told, YES, NO))


DUTIES = ("fluid_steady", "fluid_peak", "air_steady", "air_peak", "coldest_start", "pressure_min",
          "pressure_max", "pressure_spike")  # fmt: skip
WORSE: dict[str, Change] = {
    "hotter fluid": further("fluid_steady fluid_peak", 60),
    "hotter peak of the fluid": further("fluid_peak", 60),
    "fluid as hot as its peak for longer": longer_as_hot_as_the_peak("fluid"),
    "hotter air": further("air_steady air_peak", 60),
    "hotter peak of the air": further("air_peak", 60),
    "air as hot as its peak for longer": longer_as_hot_as_the_peak("air"),
    "colder": further("coldest_start", -40),
    "deeper suction": further("pressure_min", -100, -101.3),
    "more pressure": more_pressure,
    "higher spike": further("pressure_spike", 600),
    "tighter": further("tightest_radius", -300, 2),
    "shorter lead": further("lead", -100, 0),
    "more movement": further("movement", 80),
    "fewer supports": further("supports", 800),
    "shorter nipple": further("usable_a", -40, 1),
    "shorter nipple B": further("usable_b", -40, 1),
    "larger bead": larger_bead,
    "nearer to the exhaust": further("heat_source_distance", -300, 0),
    "no shield": answered("heat_source_shielded", YES, NO),
    "a low spot": answered("low_spot", NO, YES),
    "no fall": answered("fall", YES, NO),
    "in fuel": answered("submerged", NO, YES),
    "turbocharged": answered("turbo", NO, YES, sees_boost=UNKNOWN, boost_stated=NO),
    "boosted": answered("sees_boost", NO, YES, turbo=YES),
    "threaded": answered("threaded", NO, YES),
    "something inside": answered("insert", YES, NOT_NAMED),
    "one more fluid": one_more("fluids"),
    "one more drip": one_more("drips"),
    "perhaps other fluids": not_all_known("fluids"),
    "perhaps other drips": not_all_known("drips"),
    "bend not known": forgotten("tightest_radius", 1000.0),
    "movement not known": forgotten("movement", 0.0),
    "supports not known": forgotten("supports", 20.0),
    "length of the nipple not known": forgotten("usable_a", 60.0),
    "length of nipple B not known": forgotten("usable_b", 60.0),
    "distance not known": forgotten("heat_source_distance", 1000.0),
    "shield not known": forgotten("heat_source_shielded", YES, unknown=UNKNOWN),
    "low spot not known": forgotten("low_spot", NO, unknown=UNKNOWN),
    "fall not known": forgotten("fall", YES, unknown=UNKNOWN),
    "submerged not known": forgotten("submerged", NO, unknown=UNKNOWN),
    "turbo not known": forgotten("turbo", NO, unknown=UNKNOWN),
    "boost not known": forgotten("sees_boost", NO, unknown=UNKNOWN),
    "insert not known": forgotten("insert", NO, unknown=UNKNOWN),
    "bead not known": forgotten_bead,
    "measuring place not known": forgotten("measured_on_b", YES, unknown=UNKNOWN),
    **{f"{name} not known": forgotten_duty(name) for name in DUTIES},
}
"""Every change for the worse by its name."""


def verdicts_of(jobs: JobColumns) -> Array:
    return judge(jobs, hoses(), all_rules()).codes


def chunks(count: int) -> Iterator[int]:
    while count > 0:
        yield min(count, AT_ONCE)
        count -= AT_ONCE


EACH = -(-CHANGES // len(WORSE))


@pytest.mark.parametrize("name", WORSE)
def test_no_change_for_the_worse_improves_a_verdict(name: str) -> None:
    """All changes together are a hundred thousand, each on every hose of the catalogue."""
    random = np.random.default_rng(sorted(WORSE).index(name))
    suited = 0
    for count in chunks(EACH):
        before, after = WORSE[name](jobs_at_random(random, count), random)
        first, second = verdicts_of(before), verdicts_of(after)
        better = np.argwhere(second < first)
        assert len(better) == 0, told(before, after, better[0])
        suited += int((first <= Verdict.CONDITIONAL).any(axis=1).sum())
    assert suited > EACH / 20  # not held against refusals alone


def told(before: JobColumns, after: JobColumns, pair: Array) -> str:
    """Return which job and hose got better, and by which rule."""
    row, size = pair
    words = [service_columns().names[int(before.service[row, 0])], str(hoses().sizes.name[size])]
    for jobs in (before, after):
        judgement = judge(jobs.take(slice(row, row + 1)), hoses(), all_rules())
        rule = int(judgement.decided_by[0, size])
        words.append(
            f"{Verdict(int(judgement.codes[0, size])).word} by"
            f" {all_rules()[rule].code if rule >= 0 else 'none'}"
        )
    return "; ".join(words)


def test_a_nipple_that_is_not_known_is_no_better_than_the_best_that_fits() -> None:
    """The bore of the old hose stands in for it only as far as some nipple makes the hose suit."""
    random = np.random.default_rng(7)
    jobs = jobs_at_random(random, 300)
    gone = np.full_like(jobs.nipple_a, np.nan)
    unknown = jobs.change(old_bore=jobs.nipple_a, nipple_a=gone, nipple_b=gone, bead_a=gone,
                          bead_b=gone)  # fmt: skip
    best = np.full((len(jobs), len(hoses().sizes)), np.int8(Verdict.REJECT))
    for bore in np.unique(hoses().sizes.bore):
        nipple = np.full_like(gone, bore)
        known = jobs.change(nipple_a=nipple, nipple_b=nipple, bead_a=nipple + 0.5,
                            bead_b=nipple + 0.5)  # fmt: skip
        best = np.minimum(best, verdicts_of(known))
    found = verdicts_of(unknown)
    assert (found >= best).all()
    assert (found >= Verdict.CONDITIONAL).all()
    assert (found == Verdict.CONDITIONAL).any()
