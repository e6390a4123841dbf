"""What a cut length rests on that is not known: the length by each answer, and what to find out."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.cutplan.lengths import (
    LENGTH_ASKED,
    cut_to,
    engagement,
    least_engagement,
    longest_length,
    workshop_step,
)
from hoseselect.domain.cut import OtherLength
from hoseselect.domain.job import Job
from hoseselect.judging.job_columns import movement, route_figures
from hoseselect.knowledge.load import table


def other_lengths(job: Job, units: str) -> tuple[OtherLength, ...]:
    """Return the lengths to cut under single circumstances that are not known.

    Where it is not known by how much the ends move, it is the length for ends that sit on the same
    part, unless it was told that they do not. A free route has its movement in its shape.

    Parameters
    ----------
    job : as understood
    units : "mm" or "in": the workshop step
    """
    ends = {job.nipple_a.fixed_to, job.nipple_b.fixed_to} - {"unknown"}
    if not _movement_is_open(job) or len(ends) > 1:
        return ()
    tip = np.array(route_figures(job)[0])
    over_a, over_b = (np.array(engagement(own)[0]) for own in (job.nipple_a, job.nipple_b))
    longest = longest_length(tip, over_a, over_b, np.array(0.0))
    still = float(cut_to(tip + over_a + over_b, longest, workshop_step(units)))
    part = ends.pop() if ends else "engine"
    return (OtherLength(still, f"if both ends sit on the {part}"),)


def _movement_is_open(job: Job) -> bool:
    """Return whether a movement is in the length that nobody has told."""
    return job.route.free is None and math.isnan(movement(job))


def to_measure(job: Job) -> tuple[str, ...]:
    """Return what to find out to know the length of a cut, in the order of an interview."""
    asked = table("questions")
    words = [asked.row(input="route.movement")["question"]] if _movement_is_open(job) else []
    a, b = (least_engagement(own) < engagement(own)[0] for own in (job.nipple_a, job.nipple_b))
    if a or b:
        heading = "question_both" if a and b else "question"
        row = LENGTH_ASKED if a else LENGTH_ASKED.replace("nipple_a", "nipple_b")
        words.append(asked.row(input=row)[heading])
    return tuple(words)
