"""What a hose does beyond both ends of its window of lengths, said only where it is true."""

from __future__ import annotations

from hoseselect.cutplan.free_lie import Lie
from hoseselect.cutplan.free_plan import FreePlan
from hoseselect.cutplan.size_plan import SizePlan


def longest_length(own: SizePlan, plan: FreePlan) -> float:
    """Return the longest length from mouth to mouth, never beyond the practical one [mm]."""
    return min(own.longest, max(own.tip, plan.solution.practical))


def window_notes(own: SizePlan, plan: FreePlan) -> list[str]:
    """Return what the hose does beyond both ends of the window, as far as it is known."""
    ends = sum(plan.engagements)
    longest = longest_length(own, plan)
    short = f"Shorter than {own.shortest + ends:.0f} mm it"
    long = f"Longer than {longest + ends:.0f} mm it"
    radius = f"{own.radius:.0f} mm"
    at = _alone(own, plan, own.shortest)
    if at is None:
        notes = [f"{short} bends tighter than {radius}, or does not reach."]
    elif at.tightest_radius > own.radius * AT_LIMIT:
        near = plan.route.keep_outs and own.shortest > plan.solution.distance + REACHES
        notes = [f"{short} comes too near to something." if near else f"{short} does not reach."]
    else:
        notes = [f"{short} bends tighter than {radius}{_at_nipple(at)}."]
    if longest < own.longest:
        notes.append(f"{long} may hang or touch itself: that is not worked out.")
        return notes
    at = _alone(own, plan, own.longest)
    if at is not None and at.tightest_radius > own.radius * AT_LIMIT:
        why = "comes too near to something" if plan.route.keep_outs else "is no good"
        notes.append(f"{long} {why}: do not leave it long.")
    else:
        notes.append(
            f"{long} bows out and bends tighter than {radius} again: do not leave it long."
        )
    return notes


AT_LIMIT = 1.01  # of the least radius: what is tighter is at its limit, a matter of print
REACHES = 1.0  # mm: a hose that much longer than the straight line reaches
AT_END = 0.02  # of the length: a bend so near to what a nipple holds straight is at the nipple


def _alone(own: SizePlan, plan: FreePlan, length: float) -> Lie | None:
    """Return how the hose lies at an end of its window; None with clips or where it cannot."""
    return plan.solution.lie((length,)) if len(own.spans) == 1 else None


def _at_nipple(lie: Lie) -> str:
    """Return in words whether the tightest bend is at a nipple; empty where it is not."""
    end = lie.lead + AT_END * lie.length
    return " at a nipple" if not end < lie.tightest_at < lie.length - end else ""
