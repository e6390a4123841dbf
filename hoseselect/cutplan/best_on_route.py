"""The best that a free route allows: the largest least bend radius for which a cut fits."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.cutplan.free_columns import FreePlan
from hoseselect.cutplan.size_plan import with_room

SHARES = np.linspace(0.7, 1.0, 31)
"""Of the best radius of the route; at the best itself only one length works, and no cut fits."""


def largest_radius_with_room(plan: FreePlan) -> float:
    """Return the largest least radius of a hose that can be cut for a route; NaN none [mm].

    Infinite where the hose lies straight.
    """
    if not math.isfinite(plan.best_radius):
        return plan.best_radius
    radii = SHARES * plan.best_radius
    windows = plan.solution.windows(radii)
    room = [
        with_room([span[k] for span in windows], sum(plan.engagements)) for k in range(len(radii))
    ]
    return float(radii[np.flatnonzero(room)[-1]]) if any(room) else math.nan


def best_words(plan: FreePlan) -> str:
    """Return the best radius that a route allows and at which length."""
    at = f"at {plan.best_length:.0f} mm from mouth to mouth"
    if not math.isfinite(plan.best_radius):
        return f"at best the hose lies straight, {at}"
    return f"at best it allows a radius of {plan.best_radius:.0f} mm, {at}"
