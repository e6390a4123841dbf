"""What would make a cut possible on a free route that a least bend radius does not suit."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.answer.fitting_sizes import sizes_that_fit
from hoseselect.answer.fittings import elbow_angles
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.cutplan.best_on_route import largest_radius_with_room
from hoseselect.cutplan.changed_route import Need, passes
from hoseselect.cutplan.free_plan import FreePlan
from hoseselect.cutplan.lengths import length_words, workshop_step
from hoseselect.cutplan.what_helps import what_helps
from hoseselect.domain.job import Job


def cut_advice(
    job: Job, plan: FreePlan, outside: float, catalogue: Catalogue | None, units: str
) -> tuple[str, ...]:
    """Return what helps, each solved as changed, and a formed hose last.

    Parameters
    ----------
    job : with the free route
    plan : of the route for the one radius, which is refused
    outside : outside diameter of the hose [mm]; NaN not known
    catalogue : for other sizes of hose and elbows; None = none is named
    units : "mm" or "in"
    """
    own = plan.sizes[0]
    need = Need(job, own.radius, outside, plan.engagements, workshop_step(units), units)
    angles = [] if catalogue is None else elbow_angles(job, catalogue)
    words = _tighter(job, plan, need, catalogue)
    words += [advice.words for advice in what_helps(plan, own, need, angles)]
    return (*words, "a formed hose for this route")


def _tighter(job: Job, plan: FreePlan, need: Need, catalogue: Catalogue | None) -> list[str]:
    """Return which least radius the route takes, and a hose of it that fits the nipples."""
    most = largest_radius_with_room(plan, need.outside)
    if not math.isfinite(most):
        return []
    for share in SHARES:
        radius = math.floor(share * most)
        if 0 < radius < need.radius and _suits(plan, radius, need.outside, need):
            words = f"take hose of at most {length_words(radius, need.units)} least radius"
            name = None if catalogue is None else _hose(job, plan, need, catalogue, radius)
            return [words if name is None else f"{words}, such as {name}"]
    return []


SHARES = (1.0, 0.97, 0.94, 0.9)  # of the largest radius with a cut, as far as it was looked for


def _suits(plan: FreePlan, radius: float, outside: float, need: Need) -> bool:
    ends = sum(need.engagements)
    return passes(plan.route, radius, outside, ends, need.step, need.kept) is not None


def _hose(job: Job, plan: FreePlan, need: Need, catalogue: Catalogue, most: float) -> str | None:
    """Return the hose of a catalogue that the route suits and that goes on both nipples."""
    hoses = hose_columns(catalogue)
    radii, outside = hoses.sizes.least_bend_radius, hoses.sizes.outside_diameter
    places = np.flatnonzero(sizes_that_fit(job, hoses) & (radii <= most) & (radii > 0))
    if not len(places):
        return None
    size = int(places[np.argmin(radii[places])])
    suits = _suits(plan, float(radii[size]), float(outside[size]), need)
    return str(catalogue.sizes.hose_size[size]) if suits else None
