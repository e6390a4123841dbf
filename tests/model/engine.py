"""The engine's side: the same jobs on the same shelf, in one call."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from hoseselect.answer.assumptions import assumptions
from hoseselect.answer.judged import Judged, judged
from hoseselect.answer.report import finding
from hoseselect.answer.told import told
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.read import examine
from hoseselect.domain.finding import Finding
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict

WORDS = [verdict.word for verdict in Verdict]


class Engine:
    """What the engine says of jobs that no stop has met, on every size of a shelf."""

    def __init__(self, jobs: Sequence[Job], folder: Path, today: datetime.date) -> None:
        catalogue, _ = examine(folder, today=today)
        self.hoses = hose_columns(catalogue)
        self.said: Judged = judged(jobs, self.hoses)
        self.names = [str(name) for name in self.hoses.sizes.name]
        self.codes = [result.rule.code for result in self.said.results]
        self.results = {r.rule.code: r for r in self.said.results}
        self.findings = {r.rule.code: self._figures(r) for r in self.said.results}

    def _figures(self, result: Any) -> list[list[tuple[int, float, float, bool]]]:
        """Return verdict, demand and limit of the end that tells and whether it applies, by job."""
        across = result.across(np.arange(len(self.names)), self.hoses)
        many = len(self.said.jobs)
        verdicts = result.size_codes(np.arange(many), self.hoses)
        adverse = result.end_codes[result.place][:, across]
        favourable = result.end_codes[result.other_place][:, across]
        tells = np.where(favourable > adverse, result.other_place[:, None], result.place[:, None])
        ends = np.maximum(adverse, favourable)
        places = np.broadcast_to(across, tells.shape)
        figures = result.comparison.at(tells.ravel(), places.ravel())
        shape = tells.shape
        demand, limit = figures.demand.reshape(shape), figures.limit.reshape(shape)
        if figures.caution is not None:
            quotes = result.rule.row["quotes_caution"].split(";")
            quoted = np.array([word in quotes for word in WORDS])[ends]
            quoted = quoted | ~np.isfinite(limit)
            limit = np.where(quoted, figures.caution.reshape(shape), limit)
        applies = np.ones(shape, dtype=bool)
        if figures.applies is not None:
            applies = figures.applies.reshape(shape)
        columns = [figures.tolist() for figures in (verdicts, demand, limit, applies)]
        return [list(zip(*of_job, strict=True)) for of_job in zip(*columns, strict=True)]

    def verdict(self, job: int, size: int) -> str:
        """Return the verdict of one size for one job."""
        return WORDS[self.said.judgement.codes[job, size]]

    def decided_by(self, job: int, size: int) -> str | None:
        """Return the first rule that gives it; None where all accept."""
        place = int(self.said.judgement.decided_by[job, size])
        return None if place < 0 else self.codes[place]

    def check(self, code: str, job: int, size: int) -> bool:
        """Return whether somebody is asked to see to something at the vehicle."""
        return told(self.results[code], self.hoses, job, size).has_check

    def finding(self, code: str, job: int, size: int) -> Finding:
        """Return a finding as the answer has it."""
        return finding(self.results[code], self.hoses, job, size)

    def usual(self, job: int) -> set[str]:
        """Return the inputs that were taken as usual, on any size of the shelf."""
        return {made.field for made in assumptions(self.said, job)}
