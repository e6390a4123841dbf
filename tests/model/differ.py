"""The comparison: random jobs on random shelves, by the model and by the engine."""

from __future__ import annotations

import datetime
import math
import random
import tempfile
from collections import Counter
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import NamedTuple

from hoseselect.domain.job import Job
from hoseselect.rules.stop import stops

from .engine import WORDS, Engine
from .hose import read_folder
from .hoses import write_shelf
from .job import read_job
from .jobs import random_jobs
from .stop import stop_of
from .tables import by
from .verdict import ends_of, judge

TODAY = datetime.date(2026, 7, 1)
JOBS_OF_A_SHELF = 40
CLOSE = 1e-9
NO_FIGURES = ("yes=1",)
"""Units of rules whose figures are no more than the verdict."""


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
    engine = Engine(jobs, folder, TODAY)
    hoses = read_folder(folder, TODAY)
    for row, job in enumerate(jobs):
        compare_job(row, job, engine, hoses, tally)


def compare_job(row: int, job: Job, engine: Engine, hoses: dict[str, dict], tally: Tally) -> None:
    """Compare one job on all sizes of a shelf."""
    facts = read_job(job)
    ends = ends_of(facts)
    used: set[str] = set()

    def part(what: str, model: object, own: object, hose: object = None) -> None:
        tally.mismatches.append(Mismatch(what, model, own, job, hose))

    for name in ("cut", "least"):
        own = float(getattr(engine.said, name)[row, 0])
        if not close(facts[name], own):
            part(name, facts[name], own)
    for column, name in enumerate(engine.names):
        hose = hoses[name]
        said = judge(facts, ends, hose)
        tally.pairs += 1
        if said["verdict"] != engine.verdict(row, column):
            part("verdict", said["verdict"], engine.verdict(row, column), hose)
        if said["decided_by"] != engine.decided_by(row, column):
            part("decided by", said["decided_by"], engine.decided_by(row, column), hose)
        for code, found in said["findings"].items():
            verdicts, demands, limits, applies = (f[row][column] for f in engine.findings[code])
            word = WORDS[verdicts]
            tally.verdicts[code, found.verdict] += 1
            if found.verdict != word:
                part(code, found, (word, demands, limits, applies), hose)
            elif by("rules", "code")[code]["unit"] not in NO_FIGURES and applies:
                if not close(found.demand, demands):
                    part(f"{code} demand", found, (word, demands, limits), hose)
                elif not close(found.limit, limits):
                    part(f"{code} limit", found, (word, demands, limits), hose)
            words = by("rules", "code")[code]["check"]
            if found.verdict == word == "conditional" and words:
                if found.check != engine.check(code, row, column):
                    part(f"{code} check", found, not found.check, hose)
        used |= said["usual"]
    if used != engine.usual(row):
        part("taken as usual", used, engine.usual(row))
