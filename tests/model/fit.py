"""Fit rules."""

from __future__ import annotations

import math

from .compare import (
    ACCEPT,
    CONDITIONAL,
    NOTHING,
    REJECT,
    UNKNOWN,
    Said,
    banded,
    to_measure,
    within,
)
from .pressure import boosted
from .registry import Hose, Job, rule
from .stock import narrowest_band
from .tables import in_class, limit

ENDS = ("a", "b")


@rule("fit-ends", "threaded")
def fit_ends(job: Job, hose: Hose) -> Said:
    """Threaded ends have no nipple."""
    return Said(REJECT if job["threaded"] else ACCEPT)


@rule("fit-clamps", "service")
def fit_clamps(job: Job, hose: Hose) -> Said:
    """Hose that is held by clamps must be made for them."""
    if job["row"]["clamps_per_end"] == "0":
        return NOTHING
    return Said({"yes": ACCEPT, "no": REJECT, "unknown": CONDITIONAL}[hose["made_for_clamps"]])


def barbed(job: Job) -> bool:
    """Return whether a barb holds the hose, without clamp or bead."""
    return job["service"] == "injector-leak-off"


def stretched(across: float | None, hose: Hose) -> float | None:
    """Return how far the bore is stretched, in per cent of it; by no nipple that is nothing."""
    return None if across is None or across <= 0 else 100 * (across / hose["bore"] - 1)


def stretch_limits(job: Job, hose: Hose) -> tuple[float, float]:
    """Return up to which stretch on the nipple a hose is accepted, and beyond which refused."""
    kind = "textile"
    if hose["helix"]:
        kind = "helix"
    elif hose["reinforcement"] == "none":
        kind = "unreinforced"
    elif barbed(job):
        kind = "barb"
    return limit(f"stretch-{kind}-accept"), limit(f"stretch-{kind}-reject")


def nipples(job: Job) -> list[float]:
    """Return the nipples that are measured."""
    return [job[f"nipple_{end}"] for end in ENDS if job[f"nipple_{end}"] is not None]


@rule("fit-stretch", "service, nipple_a, nipple_b, old_bore")
def fit_stretch(job: Job, hose: Hose) -> Said:
    """Stretch of the nominal bore on the larger nipple."""
    measured = nipples(job)
    caution, most = stretch_limits(job, hose)
    if len(measured) == len(ENDS):
        return banded(stretched(max(measured), hose), caution, most)
    one = stretched(measured[0], hose) if measured else None
    if within(one, most) is False:
        return Said(REJECT, one, most, caution, band=True)
    hint = measured[0] if measured else job["old_bore"]
    apart = limit("old-bore-apart")
    if hint is not None and within(abs(hose["bore"] / hint - 1), apart):
        return Said(CONDITIONAL, None, most, caution, band=True)
    return Said(UNKNOWN, None, most, caution, band=True)


@rule("fit-loose", "nipple_a, nipple_b")
def fit_loose(job: Job, hose: Hose) -> Said:
    """How much wider than the smaller nipple the nominal bore is, in per cent of it."""
    measured = nipples(job)
    caution, most = -limit("stretch-textile-loose-accept"), -limit("stretch-textile-loose-reject")
    smaller = stretched(min(measured), hose) if measured else None
    loose = None if smaller is None else -smaller
    if len(measured) == len(ENDS):
        return banded(loose, caution, most)
    if within(loose, most) is False:
        return Said(REJECT, loose, most, caution, band=True)
    return Said(CONDITIONAL, None, most, caution, band=True)


@rule("fit-largest-bore", "nipple_a, nipple_b")
def fit_largest_bore(job: Job, hose: Hose) -> Said:
    """Largest bore within tolerance over the smaller nipple."""
    measured = nipples(job)
    nipple = min(measured) if len(measured) == len(ENDS) else None
    snug = hose["bore"] * (1 + limit("stretch-textile-loose-accept") / 100)
    row = in_class(
        "loose_fit", "nipple_over_mm", "nipple_up_to_mm", snug if nipple is None else nipple
    )
    allowed = float(row["excess_bore_mm"]) if row else None
    excess = None if nipple is None or hose["bore_max"] is None else hose["bore_max"] - nipple
    said = banded(excess, allowed, math.inf)
    return to_measure(said) if excess is None else said


@rule("fit-measured", "service, has_bead_a, has_bead_b, measured_on_a, measured_on_b")
def fit_measured(job: Job, hose: Hose) -> Said:
    """Where a nipple has a bead, it was measured behind it."""
    if barbed(job):
        return NOTHING
    doubt = any(
        job[f"has_bead_{end}"] == "yes" and job[f"measured_on_{end}"] == "unknown" for end in ENDS
    )
    return Said(CONDITIONAL) if doubt else Said(ACCEPT, 0.0)


@rule(
    "fit-bead-stretch",
    "service, nipple_a, nipple_b, has_bead_a, has_bead_b, bead_a, bead_b",
)
def fit_bead_stretch(job: Job, hose: Hose) -> Said:
    """Stretch over the larger bead; a barb and a plain nipple are their own."""
    over = []
    for end in ENDS:
        bead = job[f"bead_{end}"]
        # where one is demanded, a line without it is refused for that, and the bead counts
        counts = job[f"has_bead_{end}"] == "yes" or (
            job["row"]["bead_required"] == "yes" and bead is not None
        )
        over.append(bead if counts and not barbed(job) else job[f"nipple_{end}"])
    if hose["helix"]:
        caution, most = limit("stretch-helix-reject"), limit("stretch-helix-bead-reject")
    elif hose["reinforcement"] == "none":
        caution = limit("stretch-bead-unreinforced-accept")
        most = limit("stretch-bead-unreinforced-reject")
    elif barbed(job):
        caution, most = limit("stretch-barb-accept"), limit("stretch-barb-reject")
    else:
        caution = most = limit("stretch-bead-reinforced")
    known = [value for value in over if value is not None]
    largest = stretched(max(known), hose) if known else None
    if None in over and within(largest, most) is not False:
        return Said(CONDITIONAL, None, most, caution, band=True)
    return banded(largest, caution, most)


def has_bead(job: Job, end: str) -> bool | None:
    """Return whether a nipple has a bead that stands up by more than a hair."""
    if job[f"has_bead_{end}"] == "unknown":
        return None
    if job[f"has_bead_{end}"] == "no":
        return False
    bead, nipple = job[f"bead_{end}"], job[f"nipple_{end}"]
    if bead is None or nipple is None:
        return True
    return within(bead, nipple + limit("bead-over-nipple-least"), least=True)


@rule(
    "fit-bead",
    "service, boost_stated, nipple_a, nipple_b, has_bead_a, has_bead_b, bead_a, bead_b, sees_boost",
)
def fit_bead(job: Job, hose: Hose) -> Said:
    """Beads at both ends where the line demands them."""
    if job["row"]["bead_required"] != "yes" and not boosted(job):
        return NOTHING
    beads = [has_bead(job, end) for end in ENDS]
    if False in beads:
        return Said(REJECT, 0.0)
    return Said(UNKNOWN) if None in beads else Said(ACCEPT, 1.0)


@rule("fit-engagement", "service, nipple_a, nipple_b, usable_a, usable_b")
def fit_engagement(job: Job, hose: Hose) -> Said:
    """Each nipple holds hose, band and tail; less where no clamp is used."""
    needed, usable = [], []
    for end in ENDS:
        need = limit("engagement-least-unclamped")
        if job["row"]["clamps_per_end"] != "0":
            nipple = job[f"nipple_{end}"] or hose["bore"]
            band = narrowest_band(job, hose, nipple) if hose["clamps"] else None
            if band is None or band == math.inf:
                band = limit("band-width-least")
            need = band + limit("tail-beyond-band")
        needed.append(need)
        usable.append(job[f"usable_{end}"])
    worst = min(zip(usable, needed, strict=True), key=lambda pair: pair[0] - pair[1])
    return banded(worst[0], worst[1], worst[1], least=True)
