"""The comparison: random jobs on random shelves, by the model and by the engine."""

from __future__ import annotations

import datetime
import math
import random
import tempfile
from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import islice
from pathlib import Path
from typing import NamedTuple

import numpy as np

from hoseselect.cutplan.plan_cut import plan_cut
from hoseselect.domain.job import Job
from hoseselect.rules.stop import stops

from .compare import ACCEPT, CONDITIONAL
from .engine import WORDS, Engine
from .free import OF_JOB, Shape, random_shape
from .hose import Hose, read_folder
from .hoses import write_shelf
from .job import read_job
from .jobs import random_jobs
from .lengths import cut_plan
from .stop import stop_of
from .tables import by
from .verdict import Found, judge_job

TODAY = datetime.date(2026, 7, 1)
JOBS_OF_A_SHELF = 40
FREE = 0.6
"""Share of the jobs without a route of which a solved shape is made up."""
CLOSE = 1e-9
NO_FIGURES = ("yes=1",)
"""Units of rules whose figures are no more than the verdict."""
SILENT = "nothing to say"
CHECKED = 4
"""Of one job in so many checks and what was taken as usual are compared as well."""
IN_FULL = 199
"""One pair in so many is compared with the finding of the answer as well."""


class Mismatch(NamedTuple):
    """Where model and engine part."""

    what: str
    model: object
    engine: object
    job: object
    hose: object


class Tally:
    """What was compared: pairs, verdicts of each rule, where the two part."""

    def __init__(self) -> None:
        self.pairs = self.jobs = self.stopped = 0
        self.verdicts: Counter[tuple[str, str]] = Counter()
        self.mismatches: list[Mismatch] = []


def close(one: float | None, other: float) -> bool:
    """Return whether two figures are the same; what is not known is NaN to the engine."""
    if one is None or math.isnan(other):
        return one is None and math.isnan(other)
    return one == other or math.isclose(one, other, rel_tol=CLOSE, abs_tol=CLOSE)


def compare(pairs: int, seed: int) -> Iterator[Tally]:
    """Yield the tally after every shelf, until so many pairs are compared."""
    tally = Tally()
    chance = random.Random(seed)
    while tally.pairs < pairs:
        with tempfile.TemporaryDirectory() as folder:
            compare_shelf(Path(folder), chance, tally)
        yield tally


def compare_shelf(folder: Path, chance: random.Random, tally: Tally) -> None:
    """Compare random jobs on all sizes of one random shelf."""
    nipples = write_shelf(folder, chance)
    jobs = []
    for job in islice(random_jobs(chance, nipples), JOBS_OF_A_SHELF):
        tally.jobs += 1
        met = {stop.code for stop in stops(job)}
        if met != stop_of(job):
            tally.mismatches.append(Mismatch("stop", stop_of(job), met, job, None))
        if met:
            tally.stopped += 1
        else:
            jobs.append(job)
    if not jobs:
        return
    hoses = read_folder(folder, TODAY)
    shapes = {
        row: random_shapes(chance, hoses)
        for row, job in enumerate(jobs)
        if job.route.kind == "unknown" and chance.random() < FREE
    }
    engine = Engine(jobs, folder, TODAY, shapes)
    for row, job in enumerate(jobs):
        compare_job(row, job, engine, hoses, shapes.get(row), tally)


def random_shapes(chance: random.Random, hoses: dict[str, Hose]) -> dict[str, Shape]:
    """Return what is told of every size on one free route."""
    of_route = random_shape(chance)
    of_job = {name: of_route[name] for name in OF_JOB}
    return {name: random_shape(chance) | of_job for name in hoses}


def compare_job(
    row: int,
    job: Job,
    engine: Engine,
    hoses: dict[str, Hose],
    shapes: dict[str, Shape] | None,
    tally: Tally,
) -> None:
    """Compare one job on all sizes of a shelf."""
    facts = read_job(job)
    used: set[str] = set()

    def part(what: str, model: object, own: object, hose: object = None) -> None:
        if model != own:
            tally.mismatches.append(Mismatch(what, model, own, job, hose))

    for name, cuts in engine.cuts.items():
        if not close(facts[name], float(cuts[row])):
            part(name, facts[name], float(cuts[row]))
    if row % CHECKED == 0 and facts["cut"] is not None:
        plan = plan_cut(job)
        for name, figure in cut_plan(facts).items():
            own = getattr(plan, name)
            if not np.allclose(figure, own, rtol=CLOSE, atol=CLOSE):
                part(f"plan: {name}", figure, own)
    said_of_all = judge_job(facts, hoses, shapes)
    for column, name in enumerate(engine.names):
        said, hose = said_of_all[name], hoses[name]
        tally.pairs += 1
        part("verdict", said["verdict"], engine.verdict(row, column), hose)
        part("decided by", said["decided_by"], engine.decided_by(row, column), hose)
        for code, found in said["findings"].items():
            told = engine.findings[code][row][column]
            silent = found.verdict == ACCEPT and not found.applies
            tally.verdicts[code, SILENT if silent else found.verdict] += 1
            if not same(code, found, told):
                part(code, found, (WORDS[told[0]], *told[1:]), hose)
            elif row % CHECKED == 0 and found.verdict == CONDITIONAL and to_see(code):
                part(f"{code} check", found.check, engine.check(code, row, column), hose)
            if tally.pairs % IN_FULL == 0:
                part(f"{code} in full", as_told(found, told), in_full(engine, code, row, column))
        used |= said["usual"]
    if row % CHECKED == 0:
        part("taken as usual", used, engine.usual(row))


def same(code: str, found: Found, told: tuple[int, float, float, bool]) -> bool:
    """Return whether verdict and figures of a finding are the same."""
    verdict, demand, limit, applies = told
    if found.verdict != WORDS[verdict]:
        return False
    if not applies or unit(code) in NO_FIGURES:
        return True
    return close(found.demand, demand) and close(found.limit, limit)


@cache
def unit(code: str) -> str:
    """Return the unit of the figures of a rule."""
    return by("rules", "code")[code]["unit"]


@cache
def to_see(code: str) -> bool:
    """Return whether a rule has words for a check."""
    return by("rules", "code")[code]["check"] != ""


def as_told(found: Found, told: tuple[int, float, float, bool]) -> tuple[object, ...]:
    """Return a finding as the answer should have it, figures as the engine's columns have them."""
    matters = told[3] or found.verdict != ACCEPT
    figures = [repr(figure) if matters else "nan" for figure in told[1:3]]
    return found.verdict, *figures, found.check


def in_full(engine: Engine, code: str, row: int, column: int) -> tuple[object, ...]:
    """Return a finding as the answer has it."""
    own = engine.finding(code, row, column)
    return own.verdict.word, repr(own.demand), repr(own.limit), own.check != ""
