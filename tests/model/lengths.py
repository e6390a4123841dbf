"""How long to cut, on a route of straights and bends or one that was measured, and how held.

tip to tip + engagement at each end + movement, rounded up to a step of the workshop; to the
millimetre where the step would leave what published slack allows. On a free route tightest bend,
window and length come out of the solved shape, which is proved elsewhere (`tests/validation`).
"""

from __future__ import annotations

import math
from typing import Any

from hoseselect.domain.job import Job as DomainJob
from hoseselect.domain.job import Nipple

from .tables import by, in_class, known, limit, pairs

Job = dict[str, Any]
INCH = 25.4
HAIR = 1e-6
STEPS = ("workshop-step", "workshop-step-inch")


def step_of(name: str) -> float:
    """Return a step of the workshop [mm]."""
    return limit(name) * (INCH if name.endswith("inch") else 1.0)


def engagement(nipple: Nipple) -> float | None:
    """Return how far the hose goes over a nipple [mm]; as far as is usual, if it is so long."""
    told = known(nipple.engagement)
    if told is not None:
        return told
    across, usable = known(nipple.outside_diameter), known(nipple.usable_length)
    small = across is not None and across <= limit("engagement-small-bore") + 0.05  # 3/4 in
    usual = limit("engagement-small" if small else "engagement-large")
    if usable is not None and usable < usual:
        return usable
    return None if across is None else usual


def least_engagement(nipple: Nipple) -> float | None:
    """Return how far it goes over a nipple at least: one of unknown length may be short [mm]."""
    most = engagement(nipple)
    if known(nipple.engagement) is not None or known(nipple.usable_length) is not None:
        return most
    shortest = float(by("questions", "input")["nipple_a.usable_length"]["adverse"])
    return None if most is None else min(most, shortest)


def rounded_up(length: float, step: float) -> float:
    """Return a length rounded up to a step."""
    return math.ceil(length / step - HAIR) * step


def with_slack(path: float) -> float:
    """Return the longest hose on a path: slack is a share of the hose's own length."""
    return path / (1 - limit("slack-max-share"))


def longest(tip: float, over: float, moved: float) -> float:
    """Return the longest cut that published slack allows [mm]."""
    return with_slack(tip + moved) + over


def cut_to(tip: float, over: float, moved: float, step: float) -> float:
    """Return the length to cut in a workshop of one step [mm]."""
    needed = tip + over + moved
    cut = rounded_up(needed, step)
    return rounded_up(needed, 1.0) if cut > longest(tip, over, moved) else cut


def longest_cut(tip: float, over: float, moved: float) -> float:
    """Return the longest of the cuts of all workshops, which is judged [mm]."""
    return max(cut_to(tip, over, moved, step_of(name)) for name in STEPS)


def tolerance(cut: float) -> float:
    """Return the plus or minus on a cut (ISO 1307) [mm]."""
    row = in_class("cut_length_tolerances", "over_mm", "up_to_mm", cut)
    assert row is not None and row["table"] == "iso-1307"
    return float(row["tolerance_mm"] or float(row["tolerance_percent"]) / 100 * cut)


def of_job(job: DomainJob, facts: Job) -> Job:
    """Return the lengths that rules read, and the cut plan's own, of one job."""
    nothing = dict.fromkeys(
        ("bare_length", "cut_length", "longest_length", "narrow_window", "narrow_needed")
    )
    tip = facts["tip_length"]
    over_a, over_b = engagement(job.nipple_a), engagement(job.nipple_b)
    if tip is None or over_a is None or over_b is None:
        return nothing | dict.fromkeys(("cut", "least", "cut_inch", "least_inch", "bare"))
    over, told = over_a + over_b, facts["movement"]
    moved = limit("movement-unknown") if told is None else told
    judged = longest_cut(tip, over, moved)
    width, needed = window(tip, over, moved)
    if told is None:  # the ends may as well stand still
        still = window(tip, over, 0.0)
        if still[0] - still[1] < width - needed:
            width, needed = still
    narrow = width < needed
    short = [least_engagement(nipple) for nipple in (job.nipple_a, job.nipple_b)]
    least_over = sum(value for value in short if value is not None)
    return {
        "bare_length": tip + over,
        "bare": tip + over,
        "cut_length": judged,
        "longest_length": max(judged - with_slack(moved), longest(tip, over, 0.0)),
        "narrow_window": width if narrow else None,
        "narrow_needed": needed if narrow else None,
        "cut": cut_to(tip, over, moved, step_of("workshop-step")),
        "cut_inch": cut_to(tip, over, moved, step_of("workshop-step-inch")),
        "least": cut_to(tip, least_over, told or 0.0, step_of("workshop-step")),
        "least_inch": cut_to(tip, least_over, told or 0.0, step_of("workshop-step-inch")),
    }


def window(tip: float, over: float, moved: float) -> tuple[float, float]:
    """Return the width of the window of lengths, and what the tolerance of the cut needs [mm]."""
    width = longest(tip, over, moved) - tip - over - moved
    return width, 2 * tolerance(longest_cut(tip, over, moved))


def cut_plan(facts: Job) -> dict[str, float | tuple[float, float]]:
    """Return the plan of a cut of which every part is known, or taken at its longest."""
    moved = limit("movement-unknown") if facts["movement"] is None else facts["movement"]
    tip, bare, cut = facts["tip_length"], facts["bare"], facts["cut"]
    spacing = spacing_of_clips(facts)
    return {
        "tip": tip,
        "bare": bare,
        "cut": cut,
        "tolerance": tolerance(cut),
        "window": (bare + moved, max(cut, longest(tip, bare - tip, moved))),
        "support_spacing": spacing,
        "supports": max(math.ceil(tip / spacing - HAIR) - 1, 0),
        "least": facts["least"],
    }


def spacing_of_clips(facts: Job) -> float:
    """Return the largest distance between clips; less where a line that is no vacuum is sucked."""
    lowest = facts["pressure_min"]
    if lowest is None:
        row = pairs("service_duty", "service", "field")[facts["service"], "pressure_min"]
        lowest = float(row["adverse"])
    sucked = -lowest >= limit("suction-unsupported-from") and facts["group"] != "vacuum"
    most = limit("support-spacing-max")
    return min(most, limit("suction-unsupported-max")) if sucked else most
