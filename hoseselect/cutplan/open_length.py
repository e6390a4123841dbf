"""What a cut length rests on that is not known: the length by each answer, and what to find out."""

from __future__ import annotations

import math

from hoseselect.cutplan.lengths import LENGTH_ASKED, engagement, least_engagement
from hoseselect.domain.cut import OtherLength
from hoseselect.domain.job import Job
from hoseselect.judging.job_columns import movement
from hoseselect.knowledge.load import table


def if_it_stands_still(job: Job, still: float) -> tuple[OtherLength, ...]:
    """Return the length of a job of unknown movement whose ends sit on the same part; else none.

    Parameters
    ----------
    job : as understood
    still : its length without movement [mm]
    """
    ends = {job.nipple_a.fixed_to, job.nipple_b.fixed_to} - {"unknown"}
    if not math.isnan(movement(job)) or len(ends) > 1:
        return ()
    part = ends.pop() if ends else "engine"
    return (OtherLength(still, f"both ends sit on the {part}"),)


def to_measure(job: Job, *, moves: bool) -> tuple[str, ...]:
    """Return what to find out to know the length of a cut, in the order of an interview.

    Parameters
    ----------
    job : as understood
    moves : whether its movement is counted in the length, and not known
    """
    asked = table("questions")
    words = [asked.row(input="route.movement")["question"]] if moves else []
    a, b = (least_engagement(own) < engagement(own)[0] for own in (job.nipple_a, job.nipple_b))
    if a or b:
        heading = "question_both" if a and b else "question"
        row = LENGTH_ASKED if a else LENGTH_ASKED.replace("nipple_a", "nipple_b")
        words.append(asked.row(input=row)[heading])
    return tuple(words)
