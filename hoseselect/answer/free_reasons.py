"""Why no length is given for a least bend radius on a free route."""

from __future__ import annotations

import math

from hoseselect.cutplan.best_on_route import shortfall_words
from hoseselect.cutplan.changed_route import may_be_cut
from hoseselect.cutplan.free_fall import fall_refused
from hoseselect.cutplan.free_plan import FreePlan
from hoseselect.cutplan.lengths import length_words
from hoseselect.cutplan.pointing_away import away_notes
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.domain.job import Job


def free_reasons(job: Job, plan: FreePlan, units: str) -> tuple[str, ...]:
    """Return why no length is given on a free route; empty where one is."""
    own = plan.sizes[0]
    if own.lie is None:
        return _no_length(plan, own, units)
    if own.lie.other_radius < own.radius:
        return (f"bend-second-shape: {shortfall_words(plan, own, units)}",)
    if own.room < 0:
        return (f"route-clearance: {shortfall_words(plan, own, units)}",)
    if uphill := fall_refused(job, plan.route, own.lie):
        return (f"route-fall: {uphill}",)
    if not may_be_cut(own, plan.route):
        return (f"bend-measuring: {shortfall_words(plan, own, units)}",)
    return ()


def _no_length(plan: FreePlan, own: SizePlan, units: str) -> tuple[str, ...]:
    """Return why no length works on a free route."""
    if own.width >= own.needed:
        return (f"route-clearance: {shortfall_words(plan, own, units)}",)
    if own.width > 0:
        needed = length_words(own.needed, units)
        return (
            f"bend-window: window of lengths only {length_words(own.width, units)} wide,"
            f" {needed} needed for the tolerance of the cut",
        )
    at = length_words(plan.best_length, units)
    best = f"the route allows {length_words(plan.best_radius, units)}"
    if math.isinf(plan.best_radius):
        best = "the hose lies straight"
    return (
        f"bend-window: no length works for {length_words(own.radius, units)}; at best {best}, at"
        f" {at} from mouth to mouth",
        *away_notes(plan.route, plan.best_length),
    )
