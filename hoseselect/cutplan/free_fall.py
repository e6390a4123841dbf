"""Fall and low spot of a free route: which end is high, where liquid stands, what was said of it.

What somebody has seen counts before what is worked out; where the two cannot both be true it is
asked about.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from hoseselect.cutplan.free_lie import LOW_SPOT_DEPTH, POINTS, Lie
from hoseselect.cutplan.free_plan import FreePlan
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.domain.free_route import FreeRoute, Vector
from hoseselect.domain.job import Job
from hoseselect.intake.questions import asked
from hoseselect.judging.columns import NO, UNKNOWN, YES, JobColumns
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.errors import InputError, refuse
from hoseselect.knowledge.load import table
from hoseselect.mechanics.rod import low_spot


@dataclass(frozen=True)
class LowPlace:
    """Where liquid stands in a line.

    Parameters
    ----------
    place : from the mouth of nipple A: forward, left, up [mm]
    along : the hose from nipple A [mm]
    depth : of the liquid at most [mm]
    nipple : the lower nipple
    below : that nipple; negative above it [mm]
    """

    place: Vector
    along: float
    depth: float
    nipple: str
    below: float

    @property
    def words(self) -> str:
        """Where it is, as a tape finds it."""
        level = f"{abs(self.below):.0f} mm {'below' if self.below >= 0 else 'above'}"
        return f"{level} nipple {self.nipple}, {self.along:.0f} mm from nipple A along the hose"


def low_place(route: FreeRoute, lie: Lie) -> LowPlace | None:
    """Return where liquid stands; None where it nowhere does, or up is not known."""
    line = lie.centreline
    deepest = low_spot(line[:, 2])
    if not route.oriented or deepest.depth <= LOW_SPOT_DEPTH:
        return None
    steps = np.linalg.norm(np.diff(line, axis=0), axis=1)
    x, y, z = (float(value) for value in line[deepest.place])
    height = route.mouth_b[2]
    return LowPlace(
        place=(x, y, z),
        along=float(steps[: deepest.place].sum()),
        depth=deepest.depth,
        nipple="B" if height < 0 else "A",
        below=min(height, 0.0) - z,
    )


def with_fall(jobs: JobColumns, plan: FreePlan, job: Job) -> JobColumns:
    """Return job columns of a free route, (1, m), with what is known of its fall and low spot.

    A low spot or a lack of fall that somebody has seen stands against the solved line, and alone
    where a size was not looked at.

    Parameters
    ----------
    jobs : as told
    plan : of the route for every size
    job : as asked

    Raises
    ------
    InputError, ManyFaultsError
        when what is said cannot be true of any size.
    """
    if not plan.route.oriented:
        return jobs
    refuse(list(_contradictions(plan, job)))
    kind = jobs.fall.dtype
    falls = np.array([_size_falls(plan.route, one) for one in plan.sizes], dtype=kind)
    sags = np.array([_sags(one) for one in plan.sizes], dtype=kind)
    return jobs.change(
        fall=np.where((jobs.fall == NO) | (falls == UNKNOWN), jobs.fall, falls),
        low_spot=np.where((jobs.low_spot == YES) | (sags == UNKNOWN), jobs.low_spot, sags),
    )


def _sags(plan: SizePlan) -> int:
    """Return whether liquid can stand in the line of a size; not known if it is not looked at."""
    if not plan.looked:
        return UNKNOWN
    return YES if plan.lie is not None and _may_sag(plan.lie) else NO


def _may_sag(lie: Lie) -> bool:
    """Return whether liquid can stand in the line, or in another way in which it can lie."""
    others = (low_spot(shape.centreline(POINTS)[:, 2]).depth for shape in lie.others)
    return lie.low_spot or any(depth > LOW_SPOT_DEPTH for depth in others)


def fall_refused(job: Job, route: FreeRoute, lie: Lie) -> str:
    """Return why a line that must fall does not, where one is planned without a hose; or empty."""
    said = job.route.fall
    if not must_fall(job.service) or (said != "no" and not route.oriented):
        return ""
    falls = NO if said == "no" else _falls(route, lie)
    if falls == NO:
        low = low_place(route, lie)
        return f"it does not fall all the way{f': liquid stands {low.words}' if low else ''}"
    if falls == UNKNOWN and said != "yes":
        return (
            f"both nipples are level within the {route.tape_error:g} mm error of the tape: measure"
            " which is the higher one, or look that it falls"
        )
    return ""


def _size_falls(route: FreeRoute, plan: SizePlan) -> int:
    """Return whether the line of a size falls; not known where it is not looked at."""
    if plan.lie is None:  # nothing is cut, and the window says why
        return YES if plan.looked else UNKNOWN
    return _falls(route, plan.lie)


def _falls(route: FreeRoute, lie: Lie) -> int:
    """Return whether a line falls; not known where the tape cannot tell which end is higher."""
    if not lie.falls:
        return NO
    return YES if abs(route.mouth_b[2]) > route.tape_error else UNKNOWN


def must_fall(service: str) -> bool:
    """Return whether a service runs by its own weight."""
    services = service_columns()
    return bool(services.fall_required[services.index[service]])


def low_spot_matters(service: str) -> bool:
    """Return whether liquid that stands in a low spot of a service does harm."""
    services = service_columns()
    return bool(services.low_spot_matters[services.index[service]])


def _contradictions(plan: FreePlan, job: Job) -> Iterator[InputError]:
    """Yield a question where what is said of fall or low spot is true of no size."""
    lies = [one.lie for one in plan.sizes if one.lie is not None]
    if not lies:
        return
    if job.route.fall == "yes" and must_fall(job.service) and not any(lie.falls for lie in lies):
        low = low_place(plan.route, lies[0])
        where = "it rises on the way" if low is None else f"liquid stands {low.words}"
        yield asked(
            ("route.fall", "route.free"),
            f"fall = yes on a free route that at no length that works falls all the way: {where}",
            "fall = no, clips that make it fall, or where the nipples are and point",
        )
    if job.route.low_spot == "no" and low_spot_matters(job.service):
        lows = [low_place(plan.route, lie) for lie in lies]
        least = min(low.depth if low else 0.0 for low in lows)
        low = lows[0]
        if low is not None and least > plan.route.tape_error:
            yield asked(
                ("route.low_spot", "route.free"),
                f"low_spot = no on a free route that hangs: liquid stands {low.words}",
                "low_spot = yes, clips that hold it up, or where the nipples are and point",
            )


def fall_notes(job: Job, route: FreeRoute, lie: Lie) -> list[str]:
    """Return what is to be said of fall and low spot, on lines where they matter."""
    falls, stands = must_fall(job.service), low_spot_matters(job.service)
    if not (falls or stands):
        return []
    if not route.oriented:
        return ["How it lies in the vehicle is not known: look whether it falls and where it sags."]
    low = low_place(route, lie)
    if low is not None:
        return [f"Low spot {low.words}: liquid stands there, {low.depth:.0f} mm deep."]
    return [_downhill(job.service, route)] if falls and _falls(route, lie) == YES else []


def _downhill(service: str, route: FreeRoute) -> str:
    """Return which end is the higher one, and what must stand there."""
    high, low = ("B", "A") if route.mouth_b[2] > 0 else ("A", "B")
    row = table("service_fall").row(service=service)
    return (
        f"It falls all the way from nipple {high}, {abs(route.mouth_b[2]):.0f} mm higher, to nipple"
        f" {low}: {high} must be at the {row['from']}, {low} at the {row['to']}."
    )
