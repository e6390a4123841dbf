"""Movement of a free route of which nothing is known: the usual one, never none."""

from __future__ import annotations

from dataclasses import replace

from hoseselect.domain.free_route import Vector
from hoseselect.domain.job import Job
from hoseselect.intake.questions import asked
from hoseselect.knowledge.load import limit


def with_usual_movement(job: Job) -> Job:
    """Return a job whose free route moves as usual, where its movement is not known.

    It is not known where somebody says so, and where nothing is said of a line from engine to
    body. Half the published slack is taken either way along each direction, and more where more was
    told.

    Raises
    ------
    InputError
        when the nipples are nearer than that, so that only a stated movement serves.
    """
    free = job.route.free
    if free is None or free.movement_said == "yes":
        return job
    ends = {job.nipple_a.fixed_to, job.nipple_b.fixed_to}
    if free.movement_said == "no" and (ends != {"engine", "body"} or job.route.movement >= 0):
        return job
    half = limit("movement-unknown") / 2
    x, y, z = free.movement
    usual: Vector = (max(half, x), max(half, y), max(half, z))
    if all(abs(offset) <= most for offset, most in zip(free.mouth_b, usual, strict=True)):
        raise asked(
            ("route.free.movement",),
            f"an unknown movement of nipples {max(map(abs, free.mouth_b)):.0f} mm apart, nearer"
            f" than the usual {half:.0f} mm either way",
            'how far B moves against A, such as "forward 5 mm; up 8 mm"',
        )
    return replace(
        job,
        route=replace(job.route, free=replace(free, movement=usual, movement_said="unknown")),
    )
