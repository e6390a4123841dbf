"""One of many jobs as it was asked, with what the rules say of it."""

from __future__ import annotations

from dataclasses import dataclass

from hoseselect.answer.judged import Judged
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job
from hoseselect.judging.columns import Array


@dataclass(frozen=True, eq=False)
class Asked:
    """One job that nothing suits.

    Parameters
    ----------
    job : as asked
    said, row : what the rules say of it
    catalogue : what the shop sells
    wanted : the sizes that were looked at, shape (m,)
    units : "mm" or "in"
    """

    job: Job
    said: Judged
    row: int
    catalogue: Catalogue
    wanted: Array
    units: str
