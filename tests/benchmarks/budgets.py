"""Every budget of the tool, each beside what a user would do instead, measured in one run.

A figure of one machine says little: what counts is the ratio to the budget, and the factor against
the other way on the same machine in the same minutes. Times are of the processor, summed over all
processes of a command, so that other work of the machine does not count as waiting; it still takes
room in caches, and a busy machine measures slower.
"""

from __future__ import annotations

import csv
import json
import random
import statistics
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from time import process_time
from typing import Any, NamedTuple, TypeVar

import numpy as np
from large_catalogue import repeat_catalogue
from random_jobs import nested, random_line

from hoseselect.application.pick import pick_hose
from hoseselect.application.run_batch import run_batch
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.files.open_sheet import open_sheet
from hoseselect.intake.job_sheet import job_sheet
from hoseselect.intake.read_job import read_job
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.interfaces.sheets.answer_sheet import answer_sheet
from hoseselect.knowledge.errors import InputError

JOBS = Path(__file__).parents[2] / "docs" / "jobs"
LIST = (
    *("name", "service", "fluids", "duty.fluid_steady", "duty.pressure_min", "duty.pressure_max"),
    *("nipples.outside_diameter", "nipples.bead", "nipples.measured_on", "nipples.usable_length"),
    *("route.measured", "route.tightest_radius", "features.insert", "features.turbo"),
)
"""Columns of a distributor's list."""

DIFFERENT = 400
"""Lines of it that differ in what decides; each has a number of its own."""

PICK = (sys.executable, "-m", "hoseselect", "pick")
ONE = (*PICK, "-s", "heater hose", "-n", "16 mm", "--bead", "yes", "--measured", "300 mm")
IMPORTS = (sys.executable, "-c", "import pandas, pint, pydantic, typer")
WATCH = """
import json, os, sys, time
start = time.perf_counter()
nowhere = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)]
child = os.posix_spawn(sys.argv[1], sys.argv[1:], os.environ, file_actions=nowhere)
_, code, used = os.wait4(child, 0)
wall = time.perf_counter() - start
print(json.dumps([code, used.ru_utime + used.ru_stime, wall, used.ru_maxrss / 1024]))
"""
"""Runs a command from a small process, whose own memory is not taken for that of the command."""


@dataclass(frozen=True)
class Amounts:
    """How much is measured.

    Parameters
    ----------
    runs : of each command, of which the quickest counts
    lines : of a sheet of jobs that all differ
    repeated : of a distributor's list
    loop : lines that are read and picked one by one
    jobs, single : judged by the rules at once, and one by one
    poses, windows : of natural bend
    sizes, against : hose sizes of a large catalogue, and lines of a sheet against it
    """

    runs: int = 5
    lines: int = 20_000
    repeated: int = 200_000
    loop: int = 1000
    jobs: int = 24_000
    single: int = 60
    poses: int = 200
    windows: int = 30
    sizes: int = 50_000
    against: int = 400

    def times(self, share: float) -> Amounts:
        """Return a share of it, one of each at least."""
        told = {field.name: getattr(self, field.name) for field in fields(self)}
        return Amounts(**{name: max(1, round(share * count)) for name, count in told.items()})


QUICK = Amounts(2, 3000, 20_000, 150, 6000, 20, 30, 5, 10_000, 100)


class Row(NamedTuple):
    """One budget.

    Parameters
    ----------
    what : is measured
    budget, measured, instead : in words: what is asked for, what it takes, what another way takes
    ratio : of what is measured to the budget; up to 1 it is met
    """

    what: str
    budget: str
    measured: str
    instead: str
    ratio: float


class Used(NamedTuple):
    """What a command took: seconds of the processor and of the clock, memory [MiB]."""

    processor: float
    wall: float
    memory: float


def used(command: Sequence[str]) -> Used:
    """Return what a command takes in processes of its own, which must end well."""
    words = [sys.executable, "-S", "-c", WATCH, *command]
    told = subprocess.run(words, check=True, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    code, *figures = json.loads(told.stdout)
    assert code == 0, command
    return Used(*figures)


def quickest(command: Sequence[str], runs: int) -> Used:
    """Return the least that a command takes in some runs."""
    return Used(*map(min, zip(*(used(command) for _ in range(runs)), strict=True)))


Found = TypeVar("Found")


def timed(work: Callable[[], Found]) -> tuple[float, Found]:
    """Return the seconds of the processor that some work takes, and what comes of it."""
    start = process_time()
    found = work()
    return process_time() - start, found


def different(count: int) -> Iterator[list[str]]:
    """Yield the rows of a sheet of jobs that all differ, the headings first."""
    chance, keys = random.Random(9), list(sheet_keys())
    yield keys
    for _ in range(count):
        line = random_line(chance)
        yield [line.get(key, "") for key in keys]


def repeating(count: int) -> Iterator[list[str]]:
    """Yield the rows of a distributor's list, of which few differ in what decides."""
    chance = random.Random(9)
    pool = [random_line(chance) for _ in range(DIFFERENT)]
    yield list(LIST)
    for number in range(count):
        line = {**chance.choice(pool), "name": f"order {number}"}
        yield [line.get(key, "") for key in LIST]


def write_csv(path: Path, rows: Iterator[list[str]]) -> Path:
    """Write rows as CSV."""
    with path.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows(rows)
    return path


def answer_sheet_of(sheet: Path, catalogue: Catalogue) -> int:
    """Answer a sheet in this process as the command does; return how many lines it has."""
    source = open_sheet(sheet)
    jobs = job_sheet(source.lines(), sheet.name, separator=source.separator)
    with answer_sheet(sheet.with_name("answers.csv")) as writer:
        return run_batch(jobs, catalogue, writer.write).lines


def plain_loop(rows: Sequence[list[str]], catalogue: Catalogue) -> int:
    """Read and pick line by line, as a program would; return how many lines have an answer."""
    keys, *body = rows
    told = 0
    for cells in body:
        line = {key: text for key, text in zip(keys, cells, strict=True) if text}
        try:
            answer = pick_hose(read_job(nested(line)), catalogue)
        except InputError:
            continue
        if answer.lead is not None and answer.suiting:
            _ = answer.summary
        told += 1
    return told


def cold(amounts: Amounts, folder: Path) -> Iterator[Row]:
    """Yield what one answer takes from cold, on a run and on a free route."""
    imports = quickest(IMPORTS, amounts.runs)
    other = f"{imports.processor:.2f} s: import pandas, pint, pydantic, typer"
    own = quickest((*ONE, "--no-book"), amounts.runs).processor
    share = own / imports.processor
    yield Row(
        "pick from cold", "0.8 of the imports", f"{own:.2f} s, {share:.2f}", other, share / 0.8
    )
    job = str(JOBS / "rocking-crankcase.toml")
    free = quickest((*PICK, job, "--no-book"), amounts.runs).processor
    yield Row("pick on a free route that moves, cold", "1 s", f"{free:.2f} s", other, free / 1.0)


def rules(amounts: Amounts, folder: Path) -> Iterator[Row]:
    """Yield how many jobs a second all rules judge, against one by one."""
    from bench_rules import in_blocks, mixed_jobs, one_by_one

    jobs, hoses = mixed_jobs(amounts.jobs)
    seconds, _ = timed(lambda: in_blocks(jobs, hoses))
    some = [jobs.take(np.array([row])) for row in range(min(amounts.single, len(jobs)))]
    plain, _ = timed(lambda: one_by_one(some, hoses))
    rate, loop = len(jobs) / seconds, len(some) / plain
    figure, other = f"{rate:,.0f} jobs/s", f"{loop:,.0f} jobs/s one by one"
    yield Row("all rules on all hoses", "50,000 jobs/s", figure, other, 50_000 / rate)
    yield Row(
        "the same", "100 times one by one", f"{rate / loop:,.0f} times", other, 100 * loop / rate
    )


def bends(amounts: Amounts, folder: Path) -> Iterator[Row]:
    """Yield what natural bend takes, against a general solver of boundary value problems."""
    from bench_rod import bvp, random_pose, route

    from hoseselect.mechanics.rod import Profile, solve

    chance = np.random.default_rng(0)
    cases = [random_pose(chance) for _ in range(amounts.poses)]
    solve(*cases[0])
    own, both = [], []
    for pose, length in cases:
        took, _ = timed(lambda p=pose, n=length: solve(p, n))  # type: ignore[misc]
        own.append(took)
        other, (solved, *_) = timed(lambda p=pose, n=length: bvp(p, n, 1e-6))  # type: ignore[misc]
        if solved:
            both.append(other / took)
    middle, times = statistics.median(own), statistics.median(both) if both else 0.0
    theirs = f"scipy solve_bvp, {len(both)} of {len(cases)} converge"
    yield Row("one shape, median", "5 ms", f"{1e3 * middle:.1f} ms", theirs, middle / 0.005)
    yield Row("the same", "4 times solve_bvp", f"{times:.1f} times", theirs, 4 / max(times, 1e-9))
    ways = [(route(chance), chance.uniform(15, 70)) for _ in range(amounts.windows)]
    taken = [timed(lambda p=p, r=r: Profile([p], r).window(r))[0] for p, r in ways]  # type: ignore[misc]
    window = statistics.median(taken)
    yield Row("shortest length and window", "0.15 s", f"{window:.3f} s", "-", window / 0.15)


def sheets(amounts: Amounts, folder: Path) -> Iterator[Row]:
    """Yield how many lines a second are answered whole, against a loop of picks; and the memory."""
    catalogue = read_catalogue(find_catalogue(None, {}))
    kinds = {"all lines differ": (different, amounts.lines)}
    kinds["a distributor's list"] = (repeating, amounts.repeated)
    for kind, (rows, count) in kinds.items():
        few = list(rows(amounts.loop))
        answer_sheet_of(write_csv(folder / "warm.csv", iter(few)), catalogue)
        plain, _ = timed(lambda few=few: plain_loop(few, catalogue))  # type: ignore[misc]
        sheet = write_csv(folder / "jobs.csv", rows(count))
        seconds, lines = timed(lambda: answer_sheet_of(sheet, catalogue))  # noqa: B023
        assert lines == count
        rate, loop = count / seconds, amounts.loop / plain
        figure = f"{rate:,.0f} lines/s"
        other = f"{loop:,.0f} lines/s, a loop of picks: {rate / loop:.0f} times"
        yield Row(f"batch, {kind}", "20,000 lines/s", figure, other, 20_000 / rate)
    batch = (sys.executable, "-m", "hoseselect", "batch", str(sheet), "--workers", "1")
    whole = used((*batch, "-o", str(folder / "answers.csv"))).memory
    write_csv(sheet, repeating(max(1, amounts.repeated // 10)))
    tenth = used((*batch, "-o", str(folder / "answers.csv"))).memory
    figure = f"{whole:.0f} MiB for {amounts.repeated:,} lines"
    other = f"{tenth:.0f} MiB for a tenth of them"
    yield Row("memory of batch, flat", "1.2 of a tenth", figure, other, whole / tenth / 1.2)


def large(amounts: Amounts, folder: Path) -> Iterator[Row]:
    """Yield what a large catalogue takes: one pick, and a sheet."""
    source = find_catalogue(None, {})
    small = len(read_catalogue(source).sizes)
    kept = folder / "large"
    repeat_catalogue(source, kept, -(-amounts.sizes // small))
    own = ("--catalog", str(kept))
    few = quickest((*ONE, "--json", "--top", "5", "--no-book"), amounts.runs)
    pick = quickest((*ONE, *own, "--json", "--top", "5", "--no-book"), amounts.runs)
    what = f"pick --top 5 of {amounts.sizes:,} sizes"
    other = f"{few.processor:.2f} s, {few.memory:.0f} MiB for {small} sizes"
    yield Row(what, "2 s", f"{pick.processor:.2f} s", other, pick.processor / 2)
    yield Row(f"{what}, memory", "500 MiB", f"{pick.memory:.0f} MiB", other, pick.memory / 500)
    sheet = write_csv(folder / "against.csv", different(amounts.against))
    batch = (sys.executable, "-m", "hoseselect", "batch", str(sheet), "--workers", "1", *own)
    taken = used((*batch, "-o", str(folder / "answers.csv")))
    minutes = taken.processor / amounts.against * 10_000 / 60
    figure = f"{minutes:.1f} min, {taken.memory:.0f} MiB"
    loop = f"{pick.processor * 10_000 / 60:.0f} min, a pick from cold for each"
    yield Row("10,000 different lines against them", "10 min", figure, loop, minutes / 10)


BUDGETS: dict[str, Callable[[Amounts, Path], Iterator[Row]]] = {
    "cold": cold,
    "rules": rules,
    "bends": bends,
    "sheets": sheets,
    "large": large,
}


def table(rows: Sequence[Row]) -> list[str]:
    """Return rows as the lines of a table."""
    heads: Any = ("what", "budget", "measured", "instead", "ratio", "")
    body = [(*row[:4], f"{row.ratio:.2f}", "met" if row.ratio <= 1 else "NOT MET") for row in rows]
    widths = [max(map(len, column)) for column in zip(heads, *body, strict=True)]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in (heads, tuple("-" * width for width in widths), *body)
    ]
