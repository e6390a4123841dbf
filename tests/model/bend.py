"""Bend rules. Those of a free route are judged on the solved shape, and tested elsewhere."""

from __future__ import annotations

from .compare import NOTHING, Said, banded, estimated, to_measure
from .registry import Hose, Job, rule
from .tables import limit

INFINITE = float("inf")


@rule("bend-radius", "tightest_radius")
def bend_radius(job: Job, hose: Hose) -> Said:
    """Tightest bend against the least bend radius, stated or estimated."""
    tight, stated = job["tightest_radius"], hose["least_bend_radius"]
    if tight == INFINITE:
        return NOTHING
    if stated is not None:
        said = banded(tight, stated, stated, least=True)
    else:
        said = estimated(tight, hose["kink_sure"], hose["kink_least"], least=True)
    return to_measure(said) if tight is None and said.caution is not None else said


@rule("bend-lead", "lead")
def bend_lead(job: Job, hose: Hose) -> Said:
    """Shorter straight at the ends of a run against a multiple of the outside diameter."""
    if job["lead"] is None:
        return NOTHING
    outside = hose["outside_diameter"]
    wanted = None if outside is None else limit("lead-per-outside-diameter") * outside
    return banded(job["lead"], wanted, -INFINITE, least=True)


@rule("bend-window", "window_width, window_needed, narrow_window, narrow_needed")
def bend_window(job: Job, hose: Hose) -> Said:
    """Window of lengths of a short measured route against the tolerance of the cut."""
    if job["narrow_window"] is None:
        return NOTHING
    return banded(job["narrow_window"], job["narrow_needed"], -INFINITE, least=True)


def of_free_routes(job: Job, hose: Hose) -> Said:
    """Say nothing: the route is not free."""
    return NOTHING


for code, reads in (
    ("bend-margin", "tightest_radius, margin_wanted"),
    ("bend-measuring", "error_stood, error_told"),
    ("bend-set", "error_told, set_any_side"),
    ("bend-second-shape", "other_radius"),
    ("bend-weight", "weight_number"),
):
    rule(code, reads)(of_free_routes)
