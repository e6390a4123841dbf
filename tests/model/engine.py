"""The engine's side: the same jobs on the same shelf, in one call."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from hoseselect.answer.assumptions import assumptions
from hoseselect.answer.judged import Judged, judged_columns
from hoseselect.answer.report import finding
from hoseselect.answer.told import told
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.read import examine
from hoseselect.cutplan.plan_cut import job_lengths
from hoseselect.domain.finding import Finding
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import JobColumns
from hoseselect.judging.job_columns import job_columns

from .free import Shape

WORDS = [verdict.word for verdict in Verdict]


class Engine:
    """What the engine says of jobs that no stop has met, on every size of a shelf."""

    def __init__(
        self,
        jobs: Sequence[Job],
        folder: Path,
        today: datetime.date,
        shapes: dict[int, dict[str, Shape]],
    ) -> None:
        catalogue, _ = examine(folder, today=today)
        self.hoses = hose_columns(catalogue)
        self.names = [str(name) for name in self.hoses.sizes.name]
        lengths = job_lengths(jobs)
        columns = self._with_shapes(job_columns(jobs, lengths), shapes)
        cuts = lengths.cut[:, None], lengths.least[:, None]
        inches = job_lengths(jobs, "in")
        self.cuts = {
            "cut": lengths.cut,
            "least": lengths.least,
            "cut_inch": inches.cut,
            "least_inch": inches.least,
        }
        self.said: Judged = judged_columns(columns, self.hoses, None, cuts)
        self.codes = [result.rule.code for result in self.said.results]
        self.results = {r.rule.code: r for r in self.said.results}
        self.findings = {r.rule.code: self._figures(r) for r in self.said.results}

    def _with_shapes(self, columns: JobColumns, shapes: dict[int, dict[str, Shape]]) -> JobColumns:
        """Return the jobs with what is told of every size on a free route, (jobs, sizes)."""
        changed = {}
        for name in next(iter(shapes.values()))[self.names[0]] if shapes else ():
            column = np.array(getattr(columns, name))
            if name != "keep_outs":  # told of the job
                column = np.repeat(column, len(self.names), axis=1).astype(float)
            for row, of_size in shapes.items():
                told = [of_size[size][name] for size in self.names]
                if name == "keep_outs":
                    column[row, 0] = int(told[0] == "yes")
                else:
                    column[row] = [np.nan if value is None else value for value in told]
            changed[name] = column
        return columns.change(**changed)

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
