"""Whether one hose can be cut for a route that was changed: every advice is held against it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from hoseselect.cutplan.free_fall import fall_refused
from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.length_scan import scan_of
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.cutplan.size_plans import size_plans
from hoseselect.domain.free_route import FreeRoute, Vector
from hoseselect.domain.job import Job
from hoseselect.knowledge.errors import HoseselectError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import Profile

STILL: Vector = (0.0, 0.0, 0.0)


def passes(
    route: FreeRoute,
    radius: float,
    outside: float,
    engagements: float,
    step: float,
    kept: dict[Any, Profile] | None = None,
) -> SizePlan | None:
    """Return the plan of one hose on a route if it may be cut for it, else None.

    It bends no tighter, in every way in which it can lie, keeps clear, and stands at least the
    errors of somebody who measures with care.

    Parameters
    ----------
    route : as changed
    radius : least bend radius of the hose [mm]
    outside : its outside diameter [mm]; NaN not known, then nothing may be near
    engagements : on both nipples together [mm]
    step : of the workshop [mm]
    kept : profiles of spans worked out before, to which those of this route are added
    """
    diameter = None if math.isnan(outside) else outside
    try:
        solution = FreeSolution(route, radius, kept)
        windows = [span[0] for span in solution.windows(np.array([radius]))]
        scan = scan_of(solution, [windows], engagements)
        (own,) = size_plans(solution, scan, [(radius, diameter, windows)], engagements, step)
    except HoseselectError:
        return None
    return own if may_be_cut(own, route) else None


def may_be_cut(own: SizePlan, route: FreeRoute) -> bool:
    """Return whether a plan has a cut that nothing of the shape refuses."""
    if own.lie is None or not own.stood >= min(limit("careful-tape-error"), route.tape_error):
        return False
    clear = own.room >= 0 if route.keep_outs else True
    return clear and min(own.lie.tightest_radius, own.lie.other_radius) >= own.radius * (1 - HAIR)


HAIR = 1e-3  # of the radius: how well lengths are found


@dataclass(frozen=True, eq=False)
class Need:
    """What a hose needs of a route.

    Parameters
    ----------
    job : for what must fall, and the nipples
    radius : least bend radius [mm]
    outside : outside diameter [mm]; NaN not known
    engagements : on nipple A and on nipple B [mm]
    step : of the workshop [mm]
    units : "mm" or "in", for words
    kept : profiles of spans worked out before
    """

    job: Job
    radius: float
    outside: float
    engagements: tuple[float, float]
    step: float
    units: str = "mm"
    kept: dict[Any, Profile] = field(default_factory=dict)

    @property
    def half(self) -> float:
        """Half the outside diameter [mm]; 0 where it is not known."""
        return 0.0 if math.isnan(self.outside) else self.outside / 2

    def met(self, route: FreeRoute) -> bool:
        """Return whether a route suits; what fails at rest is not tried with movement."""
        if moves(route) and not self._passes(with_care(at_rest(route))):
            return False
        return self._passes(route)

    def _passes(self, route: FreeRoute) -> bool:
        ends = sum(self.engagements)
        own = passes(route, self.radius, self.outside, ends, self.step, self.kept)
        if own is None or own.lie is None:
            return False
        return not fall_refused(self.job, route, own.lie)


def moves(route: FreeRoute) -> bool:
    """Return whether anything of a route moves."""
    return any(route.movement) or route.rocking is not None


def with_care(route: FreeRoute) -> FreeRoute:
    """Return a route as measured by somebody who measures with care."""
    return replace(
        route,
        tape_error=min(limit("careful-tape-error"), route.tape_error),
        angle_error=min(limit("careful-angle-error"), route.angle_error),
    )


def at_rest(route: FreeRoute) -> FreeRoute:
    """Return a route on which nothing moves."""
    return replace(route, movement=STILL, rocking=None)


@dataclass(frozen=True, eq=False)
class Advice:
    """A change that makes a hose suit a route; it was solved as changed.

    Parameters
    ----------
    kind : "turn", "clip" or "elbow"
    words : what to do
    routes : as changed; of an elbow those of both straight pieces
    """

    kind: str
    words: str
    routes: tuple[FreeRoute, ...]
