"""What a free route says of every hose size: its window of lengths, its cut, its tightest bend."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.length_scan import LengthScan, scan_of
from hoseselect.cutplan.lengths import engagement, workshop_step
from hoseselect.cutplan.own_weight import with_weight
from hoseselect.cutplan.size_plan import SizePlan, size_plans
from hoseselect.domain.free_route import FreeRoute
from hoseselect.domain.job import Job
from hoseselect.judging.columns import NO, YES, Array, HoseColumns, JobColumns
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.modulus import bending_stiffness, modulus_range
from hoseselect.mechanics.rod import tube_weight, weight_number


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
            "tip": np.array([plan.tip if plan.spans else self.best_length for plan in plans]),
            "cut": np.array([plan.cut for plan in plans]),
            "width": np.array([plan.width for plan in plans]),
            "needed": np.array([plan.needed for plan in plans]),
            "longest": np.array([plan.longest for plan in plans]) + ends,
            "tightest": np.array([self._tightest(plan) for plan in plans]),
            "other": np.array([math.inf if p.lie is None else p.lie.other_radius for p in plans]),
            "low_spot": np.array([YES if p.lie and p.lie.low_spot else NO for p in plans]),
            "falls": np.array([YES if p.lie is None or p.lie.falls else NO for p in plans]),
            "room": np.array([plan.room for plan in plans]),
            "stood": np.array([plan.stood for plan in plans]),
        }

    def _tightest(self, plan: SizePlan) -> float:
        """Return the tightest radius of a size at its cut, else the best that the route allows."""
        return self.best_radius if plan.lie is None else plan.lie.tightest_radius


def plan_free(job: Job, hoses: HoseColumns, units: str = "mm") -> FreePlan | None:
    """Return the plan of a free route for every size; None for another route or no engagement.

    Raises
    ------
    InputError, SolveError
        when the route cannot be solved at all.
    """
    if job.route.free is None or math.isnan(sum(_engagements(job))):
        return None
    sizes = hoses.sizes
    radii = np.where(np.isnan(sizes.least_bend_radius), sizes.kink_sure, sizes.least_bend_radius)
    known = np.unique(radii[radii > 0])
    if len(known) == 0:
        raise InputError("route", "a free route and no hose with a bend radius", "a catalogue")
    outside = np.asarray(sizes.outside_diameter, dtype=float)
    return _plan(job, job.route.free, known, list(zip(radii, outside, strict=True)), units)


def plan_free_radius(
    job: Job, radius: float, units: str = "mm", outside: float = math.nan
) -> FreePlan:
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
    return _plan(job, job.route.free, np.array([radius]), [(radius, outside)], units)


def _engagements(job: Job) -> tuple[float, float]:
    return engagement(job.nipple_a)[0], engagement(job.nipple_b)[0]


def _plan(
    job: Job, route: FreeRoute, known: Array, sizes: list[tuple[float, float]], units: str
) -> FreePlan:
    """Return the plan of a route for pairs of least bend radius and outside diameter [mm]."""
    solution, engagements = FreeSolution(route, float(known[0])), _engagements(job)
    windows = solution.windows(known)
    each = {float(radius): [span[k] for span in windows] for k, radius in enumerate(known)}
    scan = scan_of(solution, list(each.values()), sum(engagements))
    keyed = [_key(size, crowded=bool(route.keep_outs)) for size in sizes]
    known_sizes = dict.fromkeys(size for size in keyed if size[0] in each)
    asked = [(*size, each[size[0]]) for size in known_sizes]
    found = size_plans(solution, scan, asked, sum(engagements), workshop_step(units))
    plans = dict(zip(known_sizes, found, strict=True))
    none = SizePlan(*(math.nan,) * 5, 0.0, stood=math.nan)
    return FreePlan(
        route,
        solution,
        engagements,
        tuple(plans.get(key, none) for key in keyed),
        *solution.best(),
        scan,
    )


def _key(size: tuple[float, float], *, crowded: bool) -> tuple[float, float | None]:
    """Return what of a size its plan depends on: its diameter only where something is near."""
    radius, outside = float(size[0]), float(size[1])
    return radius, outside if crowded and not math.isnan(outside) else None


def with_free(jobs: JobColumns, plan: FreePlan, job: Job, hoses: HoseColumns) -> JobColumns:
    """Return job columns with what the free route says of every size, columns of shape (1, m).

    A low spot or a lack of fall that somebody has seen stands against the solved line.
    """
    numbers = _weight_numbers(plan, job, hoses)
    arrays = plan.arrays | _weighed(plan, numbers, hoses)
    columns = {name: values[None, :] for name, values in arrays.items()}
    moved = np.full_like(columns["tip"], 0.0 if _movement_known(job) else np.nan)
    return jobs.change(
        tip_length=columns["tip"],
        tightest_radius=columns["tightest"],
        cut_length=columns["cut"],
        longest_length=columns["longest"],
        movement=moved,
        window_width=columns["width"],
        window_needed=columns["needed"],
        other_radius=columns["other"],
        clearance_left=columns["room"],
        error_stood=columns["stood"],
        error_told=np.full_like(moved, plan.route.tape_error),
        margin_wanted=np.full_like(moved, margin_wanted(plan.route)),
        weight_number=numbers[None, :],
        low_spot=np.where(jobs.low_spot == YES, YES, columns["low_spot"]),
        fall=np.where(jobs.fall == NO, NO, columns["falls"]),
    )


def _movement_known(job: Job) -> bool:
    """Return whether it was told how a free route moves, or both ends sit on the same body."""
    a, b = job.nipple_a.fixed_to, job.nipple_b.fixed_to
    said = job.route.free is not None and job.route.free.movement_said == "yes"
    return said or job.route.movement == 0 or a == b != "unknown"


def margin_wanted(route: FreeRoute) -> float:
    """Return the share by which a bend is wanted wider than the least radius, for what is not
    solved: flattening, and twist where the ends move out of a plane.
    """
    directions = np.array([route.points_a, route.points_b, route.mouth_b])
    size = float(np.linalg.norm(route.mouth_b))
    flat = not route.clips and abs(float(np.linalg.det(directions))) < FLAT * size
    moves = any(route.movement) or route.rocking is not None
    return limit("free-margin") + (limit("free-margin-twist") if moves and not flat else 0.0)


FLAT = 0.02  # of the volume of two unit vectors and the line between the mouths


def _weight_numbers(plan: FreePlan, job: Job, hoses: HoseColumns) -> Array:
    """Return the weight number w L^3 / EI of every size, (m,); NaN without a hardness."""
    sizes = hoses.sizes
    modulus = modulus_range(sizes.hardness_shore_a)
    stiffness = bending_stiffness(modulus.low, sizes.bore, sizes.outside_diameter)
    numbers = np.full(len(plan.sizes), np.nan)
    for size, own in enumerate(plan.sizes):
        if own.lie is not None:
            numbers[size] = weight_number_of(
                job.service,
                float(sizes.bore[size]),
                float(sizes.outside_diameter[size]),
                float(stiffness[size]),
                own.tip,
            )
    return numbers


def _weighed(plan: FreePlan, numbers: Array, hoses: HoseColumns) -> dict[str, Array]:
    """Return tightest radius and room of every size with its weight, where that counts, (m,)."""
    tightest, room = plan.arrays["tightest"].copy(), plan.arrays["room"].copy()
    heavy = np.flatnonzero(numbers > limit("gravity-number-mention"))
    if not plan.route.oriented or plan.solution.rings:
        return {}
    for spans in dict.fromkeys(plan.sizes[size].spans for size in heavy):
        own = np.array([size for size in heavy if plan.sizes[size].spans == spans])
        radius, gap = with_weight(plan.solution, spans, numbers[own])
        tightest[own] = np.fmin(tightest[own], radius)
        left = gap - hoses.sizes.outside_diameter[own] / 2
        room[own] = np.where(np.isfinite(gap), np.minimum(room[own], left), room[own])
    return {"tightest": tightest, "room": room}


def weight_number_of(
    service: str, bore: float, outside: float, stiffness: float, tip: float
) -> float:
    """Return the weight number w L^3 / EI of a filled hose; NaN where its stiffness is not known.

    Parameters
    ----------
    service : decides whether it is full of liquid
    bore, outside : diameters [mm]
    stiffness : of bending, the lower of its range [N mm2]
    tip : length between the mouths [mm]
    """
    if not stiffness > 0:
        return math.nan
    services = service_columns()
    wet = services.group[services.index[service]] in LIQUID
    density = limit("liquid-density") if wet else 0.0
    weight = tube_weight(bore, outside, limit("rubber-density"), density)
    return weight_number(weight, tip, stiffness)


LIQUID = ("coolant", "fuel", "diesel", "oil", "steering", "washer")
