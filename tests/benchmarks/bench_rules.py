"""Jobs a second through all rules on the built-in catalogue, and how much a plain loop takes.

Run it as a program. One core; figures of one run can be compared with each other only.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from time import process_time

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "aids"))

from random_jobs import random_jobs

from hoseselect.application.answer_many import AT_ONCE
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan.plan_cut import job_lengths
from hoseselect.judging.columns import HoseColumns, JobColumns
from hoseselect.judging.engine import judge
from hoseselect.judging.job_columns import job_columns
from hoseselect.rules.manual import all_rules
from hoseselect.rules.stop import stops

JOBS = 24_000
PLAIN = 60
ROUNDS = 3
SCATTERED = (
    *("fluid_steady", "fluid_peak", "air_steady", "air_peak", "coldest_start", "pressure_min"),
    *("pressure_max", "nipple_a", "nipple_b", "tip_length", "tightest_radius", "cut_length"),
)
"""Columns whose figures are all made different in the second run."""


def parts(count: int) -> list[JobColumns]:
    """Return random jobs that no stop meets, as columns of one row each."""
    found: list[JobColumns] = []
    for job in random_jobs(5):
        if len(found) == count:
            return found
        if not stops(job):
            found.append(job_columns([job], job_lengths([job])))
    return found


def mixed_jobs(count: int) -> tuple[JobColumns, HoseColumns]:
    """Return jobs, varied so that blocks are not mere repeats of each other, and the hoses."""
    jobs = JobColumns.stack(parts(max(1, count // 4)))
    rows = np.random.default_rng(1).integers(0, len(jobs), count)
    mixed = jobs.take(rows).change(
        fluid_steady=jobs.fluid_steady[np.roll(rows, 1)],
        nipple_a=jobs.nipple_a[np.roll(rows, 2)],
        nipple_b=jobs.nipple_b[np.roll(rows, 2)],
    )
    return mixed, hose_columns(read_catalogue(find_catalogue(None, {})))


def scattered(jobs: JobColumns) -> JobColumns:
    """Return the jobs with figures of which hardly two are equal."""
    chance = np.random.default_rng(5)
    changed = {}
    for name in SCATTERED:
        column = getattr(jobs, name)
        changed[name] = column * (1 + 0.01 * chance.random(column.shape))
    return jobs.change(**changed)


def in_blocks(jobs: JobColumns, hoses: HoseColumns) -> int:
    """Judge jobs as a sheet does, some at a time; return how many hoses suit."""
    suit = 0
    for start in range(0, len(jobs), AT_ONCE):
        some = jobs.take(np.arange(start, min(start + AT_ONCE, len(jobs))))
        suit += int((judge(some, hoses, all_rules()).codes < 2).sum())
    return suit


def one_by_one(jobs: Sequence[JobColumns], hoses: HoseColumns) -> int:
    """Judge jobs one after another by the same rules; return how many hoses suit."""
    return sum(int((judge(job, hoses, all_rules()).codes < 2).sum()) for job in jobs)


def fastest(work: Callable[[], int]) -> tuple[float, int]:
    """Return the seconds of the core in the best of some rounds, and the result."""
    best, result = float("inf"), 0
    for _ in range(ROUNDS):
        start = process_time()
        result = work()
        best = min(best, process_time() - start)
    return best, result


def report(title: str, jobs: JobColumns, hoses: HoseColumns) -> str:
    """Return one line of the report."""
    some = [jobs.take(np.array([row])) for row in range(PLAIN)]
    whole, _ = fastest(lambda: in_blocks(jobs, hoses))
    plain, suit = fastest(lambda: one_by_one(some, hoses))
    assert suit == in_blocks(jobs.take(np.arange(PLAIN)), hoses)
    rate, plain_rate = len(jobs) / whole, PLAIN / plain
    return (
        f"{title:34} {rate:9.0f} jobs/s in blocks of {AT_ONCE}, {plain_rate:7.1f} jobs/s one by"
        f" one: {rate / plain_rate:6.0f} times"
    )


def main() -> list[str]:
    """Measure and report."""
    mixed, hoses = mixed_jobs(JOBS)
    head = f"{len(all_rules())} rules, {len(hoses.sizes)} hose sizes, {JOBS} jobs, one core"
    return [
        head,
        report("figures as people type them", mixed, hoses),
        report("hardly two figures alike", scattered(mixed), hoses),
    ]


if __name__ == "__main__":
    print("\n".join(main()))  # noqa: T201
