"""The figures of a bench card: hose, cut, the parts of its sum, tightest bend, clamps."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.domain.cut import ClampChoice, CutPlan
from hoseselect.interfaces.wording import length

NO_BREAK = "\u00a0"


def hose_words(hose: HoseAnswer, units: str) -> dict[str, Any]:
    """Return what to take from the shelf and the print to look for."""
    outside = hose.outside_diameter
    size = f"bore {length(hose.bore, units)}"
    if math.isfinite(outside):
        size += f", outside {length(outside, units)}"
    return {"id": hose.hose, "description": hose.description, "size": size} | {
        "print": hose.print_line or "",
        "no_print": "The catalogue names no print for it: prove what it is in another way.",
    }


def _both(value: float, units: str, *, up: bool = False) -> tuple[str, str]:
    """Return a length in the unit asked for, and in the other one."""
    first, _, second = length(value, units, up=up).replace(" ", NO_BREAK).partition(f"{NO_BREAK}(")
    return first, second.removesuffix(")")


def cut_words(plan: CutPlan, units: str) -> dict[str, Any]:
    """Return the cut in both units, its sum, what is allowed, and where it bends most."""
    first, second = _both(plan.cut, units, up=True)
    low, high = plan.window
    longest = length(high, units) if math.isfinite(high) else "any longer length"
    tolerance = _tolerance(plan, units)
    if math.isfinite(plan.squareness):
        tolerance += f", square within {length(plan.squareness, units)}"
    parts = []
    for part in plan.parts:
        shown = _both(part.length, units)
        parts.append({"name": part.name, "first": shown[0], "second": shown[1]} | {
            "share": max(part.length, 0.0) / plan.cut
        })  # fmt: skip
    return {
        "first": first,
        "second": second,
        "tolerance": tolerance,
        "works": f"{length(low, units)} to {longest}",
        "parts": parts,
        "tightest": _tightest(plan, units),
        "mark": _mark(plan),
        "clips": _clips(plan, units),
    }


def _tolerance(plan: CutPlan, units: str) -> str:
    """Return how far the cut may be off: by its class of length, and never out of the window."""
    low, high = plan.window
    short = np.fmax(np.fmin(plan.tolerance, plan.cut - low), 0.0)
    over = np.fmax(np.fmin(plan.tolerance, high - plan.cut), 0.0)
    if short == over:
        return f"+/- {length(float(short), units)}"
    return f"+ {length(float(over), units)}, - {length(float(short), units)}"


def _tightest(plan: CutPlan, units: str) -> str:
    if math.isinf(plan.tightest_radius):
        return "no bend: the route is straight"
    if math.isnan(plan.tightest_radius):
        return "not known: look along the whole route for it"
    radius = f"R {length(plan.tightest_radius, units)} on the centreline"
    if math.isnan(plan.tightest_at):
        return f"{radius}; where it is was not measured"
    mouth = length(plan.tightest_at, units)
    end = length(plan.tightest_at + _over_a(plan), units)
    return f"{radius}, {end} from the cut end at A ({mouth} from the mouth of nipple A)"


def _over_a(plan: CutPlan) -> float:
    return next((part.length for part in plan.parts if part.name == "engagement A"), 0.0)


def _mark(plan: CutPlan) -> float:
    """Where the tightest bend is, as a share of the cut; negative where it is not known."""
    at = (plan.tightest_at + _over_a(plan)) / plan.cut
    known = math.isfinite(plan.tightest_radius) and math.isfinite(at)
    return min(max(at, 0.0), 1.0) if known else -1.0


def _clips(plan: CutPlan, units: str) -> str:
    if not plan.supports:
        return ""
    apart = plan.support_spacing
    far = f", at most {length(apart, units)} apart" if math.isfinite(apart) else ""
    return f"{plan.supports} on the way{far}"


def clamps_words(plan: CutPlan) -> list[dict[str, str]]:
    """Return the clamps of both ends; ends that are alike stand together."""
    ends = [("A", plan.clamps_a), ("B", plan.clamps_b)]
    if plan.clamps_a == plan.clamps_b:
        ends = [("A, B", plan.clamps_a)]
    rows = []
    for end, clamps in ends:
        for rank, clamp in enumerate(clamps):
            rows.append({
                "end": end if rank == 0 else "or",
                "what": f"{clamp.number} x {clamp.clamp}",
                "text": _clamp(clamp),
                "torque": _torque(clamp),
            })  # fmt: skip
    if plan.clamps_a:
        place = f"Sits {plan.clamps_a[0].position}."
        if any(math.isnan(clamp.torque_new) for clamp in (*plan.clamps_a, *plan.clamps_b)):
            place += " Where no torque stands here, none is published: ask the clamp's maker."
        rows.append({"end": "", "what": "", "text": place, "torque": ""})
    return rows


def _clamp(clamp: ClampChoice) -> str:
    return (
        f"{clamp.family}, {clamp.range_min:g} to {clamp.range_max:g} mm; hose on the nipple"
        f" {clamp.hose_diameter:.1f} mm"
    )


def _torque(clamp: ClampChoice) -> str:
    if math.isnan(clamp.torque_new):
        return ""
    again = f", again {clamp.torque_again:g} N m" if math.isfinite(clamp.torque_again) else ""
    return f"{clamp.torque_new:g} N m new{again}"
