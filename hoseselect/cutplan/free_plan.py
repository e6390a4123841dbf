"""A free route planned for every hose size: its window of lengths, its cut, its tightest bend."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.length_scan import LengthScan, scan_of
from hoseselect.cutplan.lengths import engagement, workshop_step
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.cutplan.size_plans import size_plans
from hoseselect.domain.free_route import FreeRoute
from hoseselect.domain.job import Job
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.knowledge.errors import InputError


@dataclass(frozen=True, eq=False)
class FreePlan:
    """A free route planned for every size of a shelf.

    Parameters
    ----------
    route : as described
    solution : its profiles
    engagements : at both ends [mm]
    sizes : a plan for every size
    best_radius, best_length : the best that the route allows [mm]
    scan : its lengths with errors; None where no size has a window
    """

    route: FreeRoute
    solution: FreeSolution
    engagements: tuple[float, float]
    sizes: tuple[SizePlan, ...]
    best_radius: float
    best_length: float
    scan: LengthScan | None

    @cached_property
    def arrays(self) -> dict[str, Array]:
        """Plans as columns, each (m,)."""
        plans, ends = self.sizes, sum(self.engagements)
        return {
            "tip": np.array([self._tip(plan) for plan in plans]),
            "cut": np.array([plan.cut for plan in plans]),
            "width": np.array([plan.width for plan in plans]),
            "needed": np.array([plan.needed for plan in plans]),
            "longest": np.array([plan.longest for plan in plans]) + ends,
            "tightest": np.array([self._tightest(plan) for plan in plans]),
            "other": np.array([math.inf if p.lie is None else p.lie.other_radius for p in plans]),
            "room": np.array([plan.room for plan in plans]),
            "stood": np.array([plan.stood for plan in plans]),
            "clear": np.array([plan.clear for plan in plans]),
            "any_side": np.array([plan.any_side for plan in plans], dtype=float),
        }

    def _tip(self, plan: SizePlan) -> float:
        """Return the chosen length of a size, else that of the best bend; NaN not looked at."""
        if not plan.looked:
            return math.nan
        return plan.tip if plan.spans else self.best_length

    def _tightest(self, plan: SizePlan) -> float:
        """Return the tightest radius of a size at its cut, else the best that the route allows."""
        if not plan.looked:
            return math.nan
        return self.best_radius if plan.lie is None else plan.lie.tightest_radius


def plan_free(job: Job, hoses: HoseColumns, looked: Array | None = None) -> FreePlan | None:
    """Return the plan of a free route for every size; None for another route or no engagement.

    Parameters
    ----------
    job : on a free route
    hoses : m sizes
    looked : sizes that are looked at, of which one has a radius, shape (m,); None = all

    Raises
    ------
    InputError, SolveError
        when the route cannot be solved at all.
    """
    if job.route.free is None or math.isnan(sum(_engagements(job))):
        return None
    sizes = hoses.sizes
    radii = np.where(np.isnan(sizes.least_bend_radius), sizes.kink_sure, sizes.least_bend_radius)
    if not np.any(radii > 0):
        raise InputError("route", "a free route and no hose with a bend radius", "a catalogue")
    outside = np.asarray(sizes.outside_diameter, dtype=float)
    each: list[tuple[float, float] | None] = list(
        zip(radii.tolist(), outside.tolist(), strict=True)
    )
    if looked is not None and np.any(looked & (radii > 0)):
        each = [one if own else None for one, own in zip(each, looked.tolist(), strict=True)]
    return _planned(job, job.route.free, each)


def plan_free_radius(job: Job, radius: float, outside: float = math.nan) -> FreePlan:
    """Return the plan of a free route for one least bend radius and outside diameter [mm].

    Raises
    ------
    InputError
        when the engagement is not known.
    """
    if job.route.free is None or math.isnan(sum(_engagements(job))):
        raise InputError(
            "nipples", "no engagement", "outside diameter or engagement of each nipple"
        )
    return _planned(job, job.route.free, [(radius, outside)])


def _engagements(job: Job) -> tuple[float, float]:
    return engagement(job.nipple_a)[0], engagement(job.nipple_b)[0]


def _planned(job: Job, route: FreeRoute, sizes: Iterable[tuple[float, float] | None]) -> FreePlan:
    """Return the plan of a route for pairs of least bend radius and outside diameter [mm].

    The length is the same in every workshop: in inches it is the next mark of the tape. A size
    that is not looked at is None.
    """
    crowded = bool(route.keep_outs)
    keyed = tuple(None if size is None else _key(*size, crowded=crowded) for size in sizes)
    return _plan(route, _engagements(job), keyed, workshop_step("mm"))


def _key(radius: float, outside: float, *, crowded: bool) -> Key:
    """Return what of a size its plan depends on: its diameter only where something is near."""
    return radius if radius > 0 else None, (
        outside if crowded and not math.isnan(outside) else None
    )


Key = tuple[float | None, float | None]


@lru_cache(maxsize=4)
def _plan(
    route: FreeRoute, engagements: tuple[float, float], keyed: tuple[Key | None, ...], step: float
) -> FreePlan:
    """Return the plan of a route; the last few are kept, for a job of which the rest is altered.

    Parameters
    ----------
    route : as described
    engagements : at both ends [mm]
    keyed : least bend radius and outside diameter of every size [mm]; None not known, or where
        it is not looked at
    step : of the workshop [mm]
    """
    sizes = [
        (key[0], key[1]) for key in dict.fromkeys(keyed) if key is not None and key[0] is not None
    ]
    known = np.unique([radius for radius, _ in sizes])
    solution = FreeSolution(route, float(known[0]))
    windows = solution.windows(known)
    each = {float(radius): [span[k] for span in windows] for k, radius in enumerate(known)}
    scan = scan_of(solution, list(each.values()), sum(engagements))
    ready = size_plans(
        solution, scan, [(*size, each[size[0]]) for size in sizes], sum(engagements), step
    )
    plans: dict[Key | None, SizePlan] = dict(zip(sizes, ready, strict=True))
    none = SizePlan(math.nan, math.nan, math.nan, math.nan, math.nan, 0.0)
    plans[None] = replace(none, looked=False)
    return FreePlan(
        route,
        solution,
        engagements,
        tuple(plans.get(key, none) for key in keyed),
        *solution.best(),
        scan,
    )
