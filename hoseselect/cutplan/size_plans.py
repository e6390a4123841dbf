"""Plans of many hose sizes on a free route, all shapes solved in one stack."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from hoseselect.cutplan.free_lie import Lie, least_distance
from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.length_choice import LengthChoice
from hoseselect.cutplan.length_scan import LengthScan
from hoseselect.cutplan.lengths import FINE_STEP
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.cutplan.soft_shapes import with_soft_shapes
from hoseselect.mechanics.rod import Window


def size_plans(
    solution: FreeSolution,
    scan: LengthScan | None,
    sizes: Sequence[tuple[float, float | None, list[Window]]],
    engagements: float,
    step: float,
) -> list[SizePlan]:
    """Return the plan for every pair of least bend radius and outside diameter.

    Parameters
    ----------
    solution, scan : of the route
    sizes : least bend radius [mm], outside diameter [mm] or None, and the windows of its spans
    engagements : at both ends [mm]
    step : of the workshop [mm]
    """
    choices = [
        LengthChoice(solution, scan, windows, outside, engagements, step)
        for _, outside, windows in sizes
    ]
    plans = _with_lies([choice.plan() for choice in choices], solution)
    poor = [number for number, plan in enumerate(plans) if plan.lie is not None and not plan.sound]
    again = _with_lies([choices[number].elsewhere(plans[number]) for number in poor], solution)
    for number, plan in zip(poor, again, strict=True):
        if plan.lie is not None and plan.sound:
            plans[number] = plan
    return [with_soft_shapes(plan, solution, scan) for plan in plans]


def _with_lies(plans: list[SizePlan], solution: FreeSolution) -> list[SizePlan]:
    """Return plans with how the hose lies, all solved in one stack."""
    planned = [plan for plan in plans if plan.spans]
    lies = dict(zip(map(id, planned), solution.lies([p.spans for p in planned]), strict=True))
    return [_with_lie(plan, lies.get(id(plan)), solution) for plan in plans]


def _with_lie(plan: SizePlan, lie: Lie | None, solution: FreeSolution) -> SizePlan:
    """Return a plan with how the hose lies; without a cut where no shape can be relied on."""
    if not plan.spans:
        return plan
    if lie is None:
        return replace(plan, spans=(), cut=math.nan, width=0.0, roomiest=plan.spans)
    half, near = plan.outside / 2, solution.route.keep_outs
    rooms = [least_distance(lie, part) - part.wanted - half for part in near]
    room = min([plan.room, *rooms]) if rooms else math.nan
    return replace(plan, lie=lie, room=math.nan if math.isnan(plan.outside) else room)


def cut_exists(
    solution: FreeSolution,
    scan: LengthScan | None,
    windows: list[Window],
    outside: float,
    engagements: float,
) -> bool:
    """Return whether any cut bends no tighter, keeps clear and stands errors of care.

    Parameters
    ----------
    solution, scan : of the route
    windows : of all spans for one least radius
    outside : outside diameter of the hose [mm]
    engagements : at both ends [mm]
    """
    return LengthChoice(solution, scan, windows, outside, engagements, FINE_STEP).exists()
