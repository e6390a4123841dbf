"""The best that a free route allows: the largest least bend radius for which a cut fits."""

from __future__ import annotations

import math
from functools import partial

import numpy as np

from hoseselect.cutplan.free_gap import along_hose, least_gap_of
from hoseselect.cutplan.free_plan import FreePlan
from hoseselect.cutplan.length_scan import scan_of
from hoseselect.cutplan.lengths import length_words
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.cutplan.size_plans import cut_exists
from hoseselect.knowledge.load import limit

SHARES = np.linspace(0.7, 1.0, 31)
"""Of the best radius of the route; at the best itself only one length works, and no cut fits."""
FEWER = np.linspace(0.2, 1.0, 33)
"""The same where something is near: what keeps clear may bend much tighter."""


def largest_radius_with_room(plan: FreePlan, outside: float = math.nan) -> float:
    """Return the largest least radius of a hose that can be cut for a route; NaN none [mm].

    Infinite where the hose lies straight and nothing is near.

    Parameters
    ----------
    plan : of the route
    outside : outside diameter of the hose [mm]; where something is near and it is not known,
        no radius is
    """
    crowded = bool(plan.route.keep_outs)
    if not math.isfinite(plan.best_radius):
        return math.nan if crowded else plan.best_radius
    if crowded and math.isnan(outside):
        return math.nan
    radii = (FEWER if crowded else SHARES) * plan.best_radius
    windows = plan.solution.windows(radii)
    each = [[span[k] for span in windows] for k in range(len(radii))]
    ends = sum(plan.engagements)
    scan = scan_of(plan.solution, each, ends)
    fits = (
        radius
        for radius, one in zip(radii.tolist()[::-1], each[::-1], strict=True)
        if cut_exists(plan.solution, scan, one, outside, ends)
    )
    return next(fits, math.nan)


def best_words(plan: FreePlan) -> str:
    """Return the best radius that a route allows and at which length."""
    at = f"at {plan.best_length:.0f} mm from mouth to mouth"
    if not math.isfinite(plan.best_radius):
        return f"at best the hose lies straight, {at}"
    return f"at best it allows a radius of {plan.best_radius:.0f} mm, {at}"


def shortfall_words(plan: FreePlan, own: SizePlan, units: str = "mm") -> str:
    """Return what one hose lacks on a route: radius or gap, how much, where and to what."""
    say = partial(length_words, units=units)
    lie = own.lie or (plan.solution.lie(own.roomiest) if own.roomiest else None)
    if lie is not None and (own.lie is None or own.room < 0):
        gap = least_gap_of(plan.route, lie, own.outside)
        at = f"at the best length, {say(lie.length)} from mouth to mouth"
        if gap is None:
            return f"{at}, it comes too near to something"
        return f"{at}: {gap.words(say)}, {say(along_hose(gap, lie))} from nipple A along the hose"
    if own.lie is not None and own.lie.other_radius < own.radius:
        other = say(own.lie.other_radius)
        return f"it can also lie with a bend of {other}"
    if own.lie is not None:
        careful = min(limit("careful-tape-error"), plan.route.tape_error)
        return f"no length stands errors of {say(careful)} in measuring"
    if 0 < own.width < own.needed:
        return (
            f"window of lengths only {say(own.width)} wide,"
            f" {say(own.needed)} needed for the tolerance of the cut"
        )
    return best_words(plan)
