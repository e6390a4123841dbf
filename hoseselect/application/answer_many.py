"""The answers to many jobs."""

from __future__ import annotations

from collections.abc import Sequence

from hoseselect.answer.answer import Answer
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job


def answer_many(jobs: Sequence[Job], catalogue: Catalogue, *, units: str = "mm") -> list[Answer]:
    """Return the answer to each job, in their order.

    Parameters
    ----------
    jobs : as described
    catalogue : what the shop sells
    units : "mm" or "in": the workshop step of the cut
    """
    return [pick_hose(job, catalogue, units=units) for job in jobs]
