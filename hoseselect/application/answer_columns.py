"""Answers to the lines of a sheet that were read into columns."""

from __future__ import annotations

import numpy as np

from hoseselect.answer.judged import judged_columns
from hoseselect.answer.line_answer import LineAnswer, of_answer
from hoseselect.application.answer_many import answers_of
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job, Nipple
from hoseselect.judging.columns import HoseColumns, JobColumns
from hoseselect.judging.services import service_columns


def answer_columns(
    jobs: JobColumns, hoses: HoseColumns, catalogue: Catalogue
) -> tuple[LineAnswer, ...]:
    """Return what a line tells of each job.

    Parameters
    ----------
    jobs : n jobs that no stop has met, with their lengths
    hoses : the columns of the catalogue
    catalogue : what the shop sells
    """
    if not len(jobs):
        return ()
    places = zip(jobs.service[:, 0], jobs.nipple_a[:, 0], jobs.nipple_b[:, 0], strict=True)
    names = service_columns().names
    lines = [
        Job(names[s], nipple_a=Nipple(float(a)), nipple_b=Nipple(float(b))) for s, a, b in places
    ]
    wanted = np.ones(len(hoses.sizes), dtype=bool)
    return tuple(map(of_answer, answers_of(lines, judged_columns(jobs, hoses), catalogue, wanted)))
