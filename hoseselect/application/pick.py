"""Pick the hoses that suit a job, and say of every other one why not."""

from __future__ import annotations

from hoseselect.answer.answer import Answer
from hoseselect.answer.ranking import Preference
from hoseselect.application.answer_many import answer_many
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job
from hoseselect.intake.hose_name import hoses_named


def pick_hose(
    job: Job,
    catalogue: Catalogue,
    *,
    prefer: Preference = "margin",
    shelf: tuple[str, ...] = (),
    units: str = "mm",
) -> Answer:
    """Return the answer to a job: all hoses, best first; it is a sheet of one line.

    Parameters
    ----------
    job : as described
    catalogue : what the shop sells
    prefer : what ranks hoses of the same verdict: "margin" worst relative margin, "price", or
        "stock" length of rolls in stock
    shelf : hose types or sizes to look at; empty = all
    units : "mm" or "in": the workshop step of the cut

    Raises
    ------
    InputError
        when the shelf names a hose that the catalogue does not hold.
    """
    (answer,) = answer_many([job], catalogue, units=units, prefer=prefer, shelf=shelf)
    return answer


def check_hose(hose: str, job: Job, catalogue: Catalogue, *, units: str = "mm") -> Answer:
    """Return the answer for one hose: a size, all sizes of a type, or all that bear a print.

    Raises
    ------
    InputError
        when the catalogue does not hold the hose.
    """
    return pick_hose(job, catalogue, shelf=hoses_named(hose, catalogue), units=units)
