"""Three worked jobs, one for each kind of user; invented data."""

from __future__ import annotations

import tomllib
from pathlib import Path

from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job

FOLDER = Path(__file__).parent / "demo"
DEMOS = (
    ("counter.toml", "the counter has a snapped crankcase hose and must find a substitute"),
    ("bench.toml", "the bench has a heater return, and something sat in the old hose"),
    ("stopped.toml", "somebody asks for hose and clamps on a steering pressure line"),
)


def demo_jobs() -> tuple[tuple[str, Job], ...]:
    """Return the demo jobs, each with the words that introduce it."""
    made = []
    for name, words in DEMOS:
        values = tomllib.loads((FOLDER / name).read_text(encoding="utf-8"))
        made.append((words, read_job(values, name)))
    return tuple(made)
