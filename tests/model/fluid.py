"""Fluid rules."""

from __future__ import annotations

from .compare import ACCEPT, CONDITIONAL, NOTHING, REJECT, UNKNOWN, Said
from .fluids import Fluids, weakest
from .registry import Hose, Job, rule

VERDICT = {2.0: ACCEPT, 1.0: CONDITIONAL, 0.0: REJECT, None: UNKNOWN}


def rated(rating: float | None) -> Said:
    """Say what a rating is worth: 2 suits, 1 within limits, 0 is refused."""
    return Said(VERDICT[rating], 2.0, rating)


def liner_after_heat(fluids: Fluids, steady: float | None, hose: Hose) -> float | None:
    """Return the weakest rating; above the temperature up to which one holds it falls by one.

    It is the rating of the table that falls, whatever is claimed.
    """
    found = []
    for fluid in fluids:
        rating, up_to = hose["liner_rating"][fluid], hose["rated_up_to"][fluid]
        found.append(rating)
        if up_to is not None and steady is not None and steady > up_to:
            table = hose["liner_by_table"][fluid]
            found.append(None if table is None else max(table - 1, 0.0))
    return weakest(found)


@rule("fluid-liner", "fluids, fluid_steady")
def fluid_liner(job: Job, hose: Hose) -> Said:
    """Weakest rating of the liner against every constituent of what flows."""
    return rated(liner_after_heat(job["fluids"], job["fluid_steady"], hose))


@rule("fluid-not-for", "fluids")
def fluid_not_for(job: Job, hose: Hose) -> Said:
    """Refused where the maker excludes anything that flows."""
    out = bool(job["fluids"] & hose["excluded"])
    return Said(REJECT if out else ACCEPT, 1.0, 0.0 if out else 1.0)


@rule("fluid-cover", "service, drips, bath")
def fluid_cover(job: Job, hose: Hose) -> Said:
    """Weakest rating of the cover against the air, what drips, and fuel inside a tank."""
    round_it = job["bath"] if job["service"] == "fuel-in-tank" else {"air"}
    touching = round_it | job["drips"]
    return rated(weakest(hose["cover_rating"][fluid] for fluid in touching))


@rule("fluid-permeation", "service")
def fluid_permeation(job: Job, hose: Hose) -> Said:
    """On fuel lines, how much fuel vapour the liner lets through."""
    return rated(hose["permeation"]) if job["row"]["permeation_matters"] == "yes" else NOTHING


@rule("fluid-submerged", "service, submerged")
def fluid_submerged(job: Job, hose: Hose) -> Said:
    """Hose of which a part lies in fuel must be made for it."""
    if job["service"] != "fuel-in-tank" and job["submerged"] == "no":
        return NOTHING
    made = hose["submersible"] == "yes"  # one that does not say so is not
    return Said(ACCEPT if made else REJECT, 1.0, float(made))
