"""The figures of a bench card: hose, cut, the parts of its sum, tightest bend, clamps."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.answer.stock_line import clamp_words
from hoseselect.answer.summary import Summary
from hoseselect.domain.cut import ClampChoice, CutPlan
from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.wording import window_words
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH
from hoseselect.quantities.figure_text import nearest_fraction
from hoseselect.quantities.shown import AT_LEAST, AT_MOST, both, metres, shown

SIXTEENTHS, HAIR = 16, 1e-6
NO_BREAK = "\u00a0"


def hose_words(hose: HoseAnswer, summary: Summary, units: str) -> dict[str, Any]:
    """Return what to take from which roll, and the print to look for."""
    outside = hose.outside_diameter
    size = f"bore {both(hose.bore, 'mm', units)}"
    if math.isfinite(outside):
        size += f", outside {both(outside, 'mm', units)}"
    place = "to order"
    if summary.roll:
        left = metres(summary.metres_left, units)
        place = ", ".join(filter(None, [summary.place, f"roll {summary.roll}, {left} on it"]))
    return {"id": hose.hose, "description": hose.description, "size": size, "place": place} | {
        "print": hose.print_line or "",
        "no_print": "The catalogue names no print for it: prove what it is in another way.",
    }


def cut_words(
    plan: CutPlan,
    units: str,
    geometry: RouteGeometry | None = None,
    least_radius: float = math.nan,
) -> dict[str, Any]:
    """Return the cut in both units, its sum, what is allowed, and where it bends most.

    Parameters
    ----------
    plan : of the hose
    units : "mm" or "in", which stands first
    geometry : of the route; None where it has no shape
    least_radius : to which the hose may be bent; NaN where not stated [mm]
    """
    other = "mm" if units == "in" else "in"
    first, second = (shown(plan.cut, "mm", own, AT_LEAST) for own in (units, other))
    tolerance = _tolerance(plan, units)
    if math.isfinite(plan.squareness):
        tolerance += f", square within {shown(plan.squareness, 'mm', units)}"
    return {
        "first": first.replace(" ", NO_BREAK),
        "second": second.replace(" ", NO_BREAK),
        "tolerance": tolerance,
        "works": window_words(plan.window, units),
        "parts": _parts(plan, units),
        "tightest": _tightest(plan, units, geometry, least_radius),
        "mark": _mark(plan, geometry),
        "clips": _clips(plan, units),
    }


def _parts(plan: CutPlan, units: str) -> list[dict[str, Any]]:
    """The sum, rounded as a tape is read; the first part takes what the rounding leaves."""
    step = MILLIMETRES_PER_INCH / SIXTEENTHS if units == "in" else 1.0
    cut = math.ceil(plan.cut / step - HAIR) * step
    rounded = [round(part.length / step) * step for part in plan.parts]
    if rounded:
        rounded[0] = cut - sum(rounded[1:])
    return [
        {"name": part.name, "share": max(part.length, 0.0) / plan.cut}
        | {"first": _on_tape(value, units)}
        for part, value in zip(plan.parts, rounded, strict=True)
    ]


def _on_tape(value: float, units: str) -> str:
    if units == "in":
        return f"{nearest_fraction(value / MILLIMETRES_PER_INCH)}{NO_BREAK}in"
    return f"{value:.0f}{NO_BREAK}mm"


def _tolerance(plan: CutPlan, units: str) -> str:
    """Return how far the cut may be off: by its class of length, and never out of the window."""
    low, high = plan.window
    short = np.fmax(np.fmin(plan.tolerance, plan.cut - low), 0.0)
    over = np.fmax(np.fmin(plan.tolerance, high - plan.cut), 0.0)
    first, second = (shown(float(far), "mm", units, AT_MOST) for far in (over, short))
    return f"+/- {first}" if first == second else f"+ {first}, - {second}"


def _tightest(plan: CutPlan, units: str, geometry: RouteGeometry | None, least: float) -> str:
    """The tightest bend at rest and in the worst movement, how tight it may be, and where it is."""
    rest = plan.tightest_radius if geometry is None else geometry.tightest_radius
    if math.isinf(rest):
        return "no bend: the route is straight"
    if math.isnan(rest):
        return "not known: look along the whole route for it"
    moves = geometry is not None and geometry.worst_at is not None
    said = [f"R {both(rest, 'mm', units)}{' at rest' if moves else ''}"]
    if geometry is not None and moves:
        said.append(f"R {both(geometry.worst_radius, 'mm', units)} at the worst movement")
    at = _tightest_at(plan, geometry)
    if math.isnan(at):
        said.append("where it is was not measured")
    else:
        said.append(f"{shown(at, 'mm', units)} from the cut end at A{', at rest' if moves else ''}")
    if math.isfinite(least):
        said.append(f"the hose may be bent to R {both(least, 'mm', units)}")
    return "; ".join(said)


def _tightest_at(plan: CutPlan, geometry: RouteGeometry | None) -> float:
    """Where it bends most at rest, from the cut end at A [mm]; NaN where not known."""
    at = plan.tightest_at
    if geometry is not None and geometry.worst_at is not None:
        points = np.asarray(geometry.centreline, float)
        apart = np.linalg.norm(points - geometry.tightest_at, axis=1)
        steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
        at = float(steps[: int(apart.argmin())].sum())
    return at + _over_a(plan)


def _over_a(plan: CutPlan) -> float:
    return next((part.length for part in plan.parts if part.name == "engagement A"), 0.0)


def _mark(plan: CutPlan, geometry: RouteGeometry | None) -> float:
    """Where the tightest bend is, as a share of the cut; negative where it is not known."""
    at = _tightest_at(plan, geometry) / plan.cut
    known = math.isfinite(plan.tightest_radius) and math.isfinite(at)
    return min(max(at, 0.0), 1.0) if known else -1.0


def _clips(plan: CutPlan, units: str) -> str:
    if not plan.supports:
        return ""
    apart = plan.support_spacing
    far = f", at most {both(apart, 'mm', units, AT_MOST)} apart" if math.isfinite(apart) else ""
    return f"{plan.supports} on the way{far}"


def clamps_words(plan: CutPlan, units: str) -> list[dict[str, str]]:
    """Return the clamps of both ends; ends that are alike stand together."""
    ends = [("A", plan.clamps_a), ("B", plan.clamps_b)]
    if plan.clamps_a == plan.clamps_b:
        ends = [("A, B", plan.clamps_a)]
    rows = []
    for end, clamps in ends:
        for rank, clamp in enumerate(clamps):
            rows.append({
                "end": end if rank == 0 else "or",
                "what": f"{clamp.number} x {clamp_words(clamp, units)}",
                "text": f"{clamp.clamp}; hose on the nipple "
                f"{shown(clamp.hose_diameter, 'mm', units)}",
                "torque": _torque(clamp),
            })  # fmt: skip
    if plan.clamps_a:
        place = f"Sits {plan.clamps_a[0].position}."
        if any(math.isnan(clamp.torque_new) for clamp in (*plan.clamps_a, *plan.clamps_b)):
            place += " No torque shown: use the figure of the clamp's maker."
        rows.append({"end": "", "what": "", "text": place, "torque": ""})
    return rows


def _torque(clamp: ClampChoice) -> str:
    if math.isnan(clamp.torque_new):
        return ""
    again = f", again {clamp.torque_again:g} N m" if math.isfinite(clamp.torque_again) else ""
    return f"{clamp.torque_new:g} N m new{again}"
