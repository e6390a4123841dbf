"""What a free route says of every hose size: its window of lengths, its cut, its tightest bend."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from hoseselect.cutplan.free_solution import FreeSolution, Lie, least_distance
from hoseselect.cutplan.lengths import engagement, round_up, workshop_step
from hoseselect.domain.free_route import FreeRoute
from hoseselect.domain.job import Job
from hoseselect.judging.columns import NO, YES, Array, HoseColumns, JobColumns
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.knowledge.tolerances import cut_length_tolerance
from hoseselect.mechanics.modulus import bending_stiffness, modulus_range
from hoseselect.mechanics.rod import Window, tube_weight, weight_number

TOLERANCE_TABLE = "iso-1307"
FINE_STEP = 1.0


@dataclass(frozen=True)
class SizePlan:
    """The lengths of one hose size on a free route.

    Parameters
    ----------
    radius : least bend radius that was asked for [mm]
    shortest, longest : window of tip-to-tip lengths [mm]; NaN none, infinite open
    width : of the window, with clips that of the narrowest span times their number, since every
        span takes its share of the error [mm]; 0 where no practical length works, NaN where the
        radius is not known
    tolerance : of the cut, either way [mm]
    spans : chosen tip-to-tip length in each span [mm]; empty where none works
    cut : chosen cut length [mm]; NaN where none works
    lie : how the hose lies there
    """

    radius: float
    shortest: float
    longest: float
    width: float
    tolerance: float
    spans: tuple[float, ...] = ()
    cut: float = math.nan
    lie: Lie | None = None

    @property
    def needed(self) -> float:
        """Width that a window must have for a cut in whole millimetres with its tolerance [mm]."""
        return 2 * self.tolerance + FINE_STEP

    @property
    def tip(self) -> float:
        """Chosen tip-to-tip length [mm]."""
        return sum(self.spans) if self.spans else math.nan


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
    """

    route: FreeRoute
    solution: FreeSolution
    engagements: tuple[float, float]
    sizes: tuple[SizePlan, ...]
    best_radius: float
    best_length: float

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
    route = job.route.free
    engagements = engagement(job.nipple_a)[0], engagement(job.nipple_b)[0]
    if route is None or math.isnan(sum(engagements)):
        return None
    sizes = hoses.sizes
    radii = np.where(np.isnan(sizes.least_bend_radius), sizes.kink_sure, sizes.least_bend_radius)
    known = np.unique(radii[radii > 0])
    if len(known) == 0:
        raise InputError("route", "a free route and no hose with a bend radius", "a catalogue")
    solution = FreeSolution(route, float(known[0]))
    windows = solution.windows(known)
    best_radius, best_length = solution.best()
    each = [[span[k] for span in windows] for k in range(len(known))]
    ready = _size_plans(solution, each, sum(engagements), workshop_step(units))
    plans = {plan.radius: plan for plan in ready}
    none = SizePlan(math.nan, math.nan, math.nan, math.nan, 0.0)
    return FreePlan(
        route,
        solution,
        engagements,
        tuple(plans.get(float(radius), none) for radius in radii),
        best_radius,
        best_length,
    )


def plan_free_radius(job: Job, radius: float, units: str = "mm") -> FreePlan:
    """Return the plan of a free route for one least bend radius.

    Raises
    ------
    InputError
        when the engagement is not known.
    """
    route = job.route.free
    engagements = engagement(job.nipple_a)[0], engagement(job.nipple_b)[0]
    if route is None or math.isnan(sum(engagements)):
        raise InputError(
            "nipples", "no engagement", "outside diameter or engagement of each nipple"
        )
    solution = FreeSolution(route, radius)
    windows = [span[0] for span in solution.windows(np.array([radius]))]
    (own,) = _size_plans(solution, [windows], sum(engagements), workshop_step(units))
    return FreePlan(route, solution, engagements, (own,), *solution.best())


def _size_plans(
    solution: FreeSolution, each: list[list[Window]], engagements: float, step: float
) -> list[SizePlan]:
    """Return the plan for every least radius: a cut inside the window with room on both sides."""
    tape = solution.route.tape_error
    plans = [_lengths(windows, engagements, step, tape) for windows in each]
    planned = [plan for plan in plans if plan.spans]
    lies = dict(zip(map(id, planned), solution.lies([p.spans for p in planned]), strict=True))
    return [
        replace(plan, lie=lies[id(plan)]) if lies.get(id(plan)) else _refused(plan)
        for plan in plans
    ]


def _refused(plan: SizePlan) -> SizePlan:
    """Return a plan without a cut: no room in the window, or no shape that can be relied on."""
    return replace(plan, spans=(), cut=math.nan, width=0.0 if plan.spans else plan.width)


def with_room(windows: list[Window], engagements: float) -> bool:
    """Return whether a cut with its tolerance fits into the windows of all spans."""
    return bool(_lengths(windows, engagements, FINE_STEP).spans)


def _lengths(
    windows: list[Window], engagements: float, step: float, tape_error: float = 0.0
) -> SizePlan:
    """Return the lengths for one least radius; no shape is solved yet."""
    shortest = sum(window.shortest for window in windows)
    longest = sum(window.longest for window in windows)
    radius = windows[0].radius
    if math.isnan(shortest) or any(window.big_loop_only for window in windows):
        return SizePlan(radius, math.nan, math.nan, 0.0, 0.0)
    tolerance = float(cut_length_tolerance(shortest + engagements, TOLERANCE_TABLE))
    width = len(windows) * min(window.width for window in windows)
    plan = SizePlan(radius, shortest, longest, width, tolerance)
    share = tolerance / len(windows)
    low = [window.shortest + share for window in windows]
    high = [window.longest - share for window in windows]
    if width < plan.needed:
        return plan
    spans = [_wanted(window, share, tape_error / len(windows)) for window in windows]
    cut = _cut(sum(spans), sum(low), sum(high), engagements, step)
    if math.isnan(cut):
        return plan
    missing = cut - engagements - sum(spans)
    for k in reversed(range(len(spans))):
        given = min(missing, high[k] - spans[k]) if missing > 0 else max(missing, low[k] - spans[k])
        spans[k] += given
        missing -= given
    spans[-1] += missing
    return replace(plan, spans=tuple(spans), cut=cut)


CLOSE = 1e-4


def _wanted(window: Window, tolerance: float, tape_error: float) -> float:
    """Return the roomiest length of a window: its best, where that lies inside with room.

    Where the window allows it, the length stands an error of the tape as well.
    """
    low, high = window.shortest + tolerance, window.longest - tolerance
    wanted = low
    if low <= window.best_length <= high and window.best_length <= LOOSE * window.bound:
        wanted = window.best_length
    safe = min(low + 2 * tape_error, (low + high) / 2)
    return max(wanted, safe) if high >= low else window.shortest


LOOSE = 1.4  # a best radius on a much longer hose is a loop, not a line


def _cut(wanted: float, low: float, high: float, engagements: float, step: float) -> float:
    """Return the cut: rounded up, else the step below, that keeps the tolerance in the window.

    Parameters
    ----------
    wanted, low, high : lengths from mouth to mouth: roomiest, least, most [mm]
    engagements : at both ends [mm]
    step : of the workshop [mm]
    """
    for size in (step, FINE_STEP):
        up = float(round_up(np.array(max(wanted, low) + engagements), size))
        for cut in (up, up - size):
            if low - CLOSE <= cut - engagements <= high + CLOSE:
                return cut
    return math.nan


def with_free(jobs: JobColumns, plan: FreePlan, job: Job, hoses: HoseColumns) -> JobColumns:
    """Return job columns with what the free route says of every size, columns of shape (1, m).

    A low spot or a lack of fall that somebody has seen stands against the solved line.
    """
    columns = {name: values[None, :] for name, values in plan.arrays.items()}
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
        clearance_left=_clearance(plan, hoses)[None, :],
        weight_number=_weight_numbers(plan, job, hoses)[None, :],
        low_spot=np.where(jobs.low_spot == YES, YES, columns["low_spot"]),
        fall=np.where(jobs.fall == NO, NO, columns["falls"]),
    )


def _movement_known(job: Job) -> bool:
    """Return whether it was told how a free route moves, or both ends sit on the same body."""
    a, b = job.nipple_a.fixed_to, job.nipple_b.fixed_to
    said = job.route.free is not None and job.route.free.movement_said == "yes"
    return said or job.route.movement == 0 or a == b != "unknown"


def _clearance(plan: FreePlan, hoses: HoseColumns) -> Array:
    """Return the least of gap minus wanted clearance over all keep-outs, (m,) [mm]; NaN none."""
    left = np.full(len(plan.sizes), np.nan)
    if not plan.route.keep_outs:
        return left
    found: dict[int, float] = {}
    for size, own in enumerate(plan.sizes):
        if own.lie is None:
            continue
        key = id(own.lie)
        if key not in found:
            found[key] = min(
                least_distance(own.lie, part) - part.wanted for part in plan.route.keep_outs
            )
        left[size] = found[key] - hoses.sizes.outside_diameter[size] / 2
    return left


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
