"""What is said of the route twice, and cannot be true both ways."""

from __future__ import annotations

import math
from collections.abc import Iterator

from hoseselect.domain.free_route import FreeRoute
from hoseselect.domain.job import Job
from hoseselect.intake.questions import asked
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.run import Run
from hoseselect.quantities.figure_text import format_quantity


def bend_beside_run(job: Job) -> Iterator[InputError]:
    """Ask where the tightest bend that is stated is not the one of the run."""
    stated = job.route.tightest_radius
    if job.route.kind != "run" or math.isnan(stated):
        return
    own = Run(job.route.run).tightest_radius
    if abs(stated - own) > limit("tape-error"):
        bend = f"whose tightest bend has {_length(own)}" if own < math.inf else "without a bend"
        yield asked(
            ("route.tightest_radius", "route.run"),
            f"a tightest radius of {_length(stated)} beside a run {bend}",
            "one of them: every bend in the run, and no tightest_radius",
        )


def bend_beside_free_route(job: Job) -> Iterator[InputError]:
    """Ask where a tightest bend is stated of a route whose bends are worked out."""
    if job.route.free is not None and not math.isnan(job.route.tightest_radius):
        yield asked(
            ("route.tightest_radius", "route.free"),
            f"a tightest radius of {_length(job.route.tightest_radius)} beside a free route, whose"
            " bends are worked out",
            "the free route alone, or route.measured with the tightest_radius",
        )


def movement_beside_free_route(job: Job) -> Iterator[InputError]:
    """Ask where the movement of a free route stands in the wrong place."""
    if job.route.free is not None and job.route.movement > 0:
        yield asked(
            ("route.movement", "route.free"),
            f"a movement of {_length(job.route.movement)} beside a free route, which wants its"
            " directions",
            "route.free.movement, how far B moves against A either way along each direction, such"
            ' as "forward 5 mm; up 8 mm"',
        )


def still_between_engine_and_body(job: Job) -> Iterator[InputError]:
    """Ask where one end sits on the engine, one on the body, and nothing is said to move."""
    ends = {job.nipple_a.fixed_to, job.nipple_b.fixed_to}
    free = job.route.free
    told = [("route.movement", job.route.movement)]
    if free is not None and free.movement_said == "yes":
        key = "route.free.movement" if free.rocking is None else "route.free.rocking"
        told.append((key, max(*free.movement, _rocks(free))))
    for key, moved in told:
        if ends == {"engine", "body"} and moved < limit("movement-felt"):
            yield asked(
                (key, "nipple_a.fixed_to", "nipple_b.fixed_to"),
                f"a movement of {_length(moved)} between one nipple on the engine and one on the"
                " body",
                "how far the engine rocks there, unknown, or both nipples on the same part",
            )


def _rocks(free: FreeRoute) -> float:
    """Return how far what rocks moves at the usual arm from its axis [mm]."""
    if free.rocking is None:
        return 0.0
    return math.radians(free.rocking.angle) * limit("rocking-arm")


def clip_on_an_unknown_part(job: Job) -> Iterator[InputError]:
    """Ask on which part a clip sits, where its route moves."""
    free = job.route.free
    for number, clip in enumerate(free.clips if free is not None else (), start=1):
        if clip.moves is None:
            yield asked(
                ("route.free.clip.fixed_to", "nipple_a.fixed_to", "nipple_b.fixed_to"),
                f"clip {number} on a route that moves, and nobody said whether it moves with"
                " nipple A or with nipple B",
                "fixed_to = A or B, the nipple that sits on the same part as the clip, or engine or"
                " body beside the fixed_to of nipple A",
            )


def fall_that_cannot_be(job: Job) -> Iterator[InputError]:
    """Ask where a free route is said to fall all the way, and its ends forbid it."""
    free = job.route.free
    fall = job.route.fall
    if free is not None and free.oriented and fall == "yes" and not _may_fall(free):
        yield asked(
            ("route.fall", "route.free"),
            "fall = yes on a free route that cannot fall all the way: the hose leaves A and reaches"
            " B as the nipples point",
            "fall = no, or where the nipples point",
        )


def low_spot_that_must_be(job: Job) -> Iterator[InputError]:
    """Ask where a free route is said to have no low spot, and its ends make one."""
    free = job.route.free
    if free is None or not free.oriented or job.route.low_spot != "no" or free.clips:
        return
    slack = math.sin(math.radians(free.angle_error))
    if free.points_a[2] < -slack and free.points_b[2] < -slack:
        yield asked(
            ("route.low_spot", "route.free"),
            "low_spot = no on a free route whose nipples both point down, so that the hose hangs"
            " between them",
            "low_spot = yes, or where the nipples point",
        )


def _may_fall(free: FreeRoute) -> bool:
    """Return whether a line may fall all the way, one way or the other, within the errors."""
    slack = math.sin(math.radians(free.angle_error))
    leaves, arrives, height = free.points_a[2], -free.points_b[2], free.mouth_b[2]
    falls = leaves <= slack and arrives <= slack and height <= free.tape_error
    rises = leaves >= -slack and arrives >= -slack and height >= -free.tape_error
    return falls or rises


def _length(value: float) -> str:
    return format_quantity(value, "length")


ROUTE_GATES = (
    bend_beside_run,
    bend_beside_free_route,
    movement_beside_free_route,
    still_between_engine_and_body,
    clip_on_an_unknown_part,
    fall_that_cannot_be,
    low_spot_that_must_be,
)
