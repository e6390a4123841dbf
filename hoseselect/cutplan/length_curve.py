"""Tightest bend and room of one hose on a free route, against the length it is cut to."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.cutplan.free_plan import FreePlan
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.cutplan.span_scan import SpanScan, all_but
from hoseselect.domain.geometry import LengthCurve
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit

POINTS = 121
BEYOND = 0.35  # of the window, shown on both sides of it
WIDEST = 0.5  # of the chosen length, shown at most on either side


def curve_of(plan: FreePlan, own: SizePlan) -> LengthCurve | None:
    """Return the curve of one size; None where the route has no lengths that were looked at.

    With clips, all spans are made longer and shorter by the same length.

    Parameters
    ----------
    plan : of the route
    own : plan of the size
    """
    spans = own.spans or own.roomiest
    if plan.scan is None or not spans:
        return None
    careful = own.spans != () and 0 < own.stood < plan.route.tape_error
    as_told = plan.scan.told if own.any_side else plan.scan.set_laid
    scans = plan.scan.measured_again if careful else as_told
    tape, angle = plan.scan.careful if careful else (plan.route.tape_error, plan.route.angle_error)
    change = _changes(scans, spans, own)
    each = [
        _Values(scan, span + change / len(spans), len(spans))
        for scan, span in zip(scans, spans, strict=True)
    ]
    half = own.outside / 2 if plan.route.keep_outs else math.nan
    radius = np.min([one.radius for one in each], axis=0)
    radius_low = np.min([one.radius_low for one in each], axis=0)
    room = np.min([one.room for one in each], axis=0) - half
    room_low = np.min([one.room_low for one in each], axis=0) - half
    cut = change + sum(spans) + sum(plan.engagements)
    fine = (radius >= own.radius) & ~(room < 0)
    sure = (radius_low >= own.radius) & ~(room_low < 0)
    return LengthCurve(
        cut=cut,
        radius=radius,
        radius_low=radius_low,
        room=room,
        room_low=room_low,
        least_radius=own.radius,
        chosen=own.cut,
        tolerance=min(limit("careful-tape-error"), own.tolerance) if careful else own.tolerance,
        window=_around(cut, fine, own.cut),
        stood=_around(cut, sure, own.cut),
        tape_error=tape,
        angle_error=angle,
    )


class _Values:
    """What a span does at some lengths."""

    def __init__(self, scan: SpanScan, lengths: Array, spans: int) -> None:
        self.radius, self.room = scan.at(lengths)
        chance = limit("error-chance") / spans
        own, radii, rooms = scan.with_errors(lengths)
        self.radius_low = np.interp(lengths, own, all_but(radii, chance))
        self.room_low = np.interp(lengths, own, all_but(rooms, chance))


def _changes(scans: list[SpanScan], spans: tuple[float, ...], own: SizePlan) -> Array:
    """Return by how much the whole hose is made longer, rising, 0 among them [mm]."""
    whole, number = sum(spans), len(spans)
    low = max((scan.length[0] - span) * number for scan, span in zip(scans, spans, strict=True))
    high = min((scan.length[-1] - span) * number for scan, span in zip(scans, spans, strict=True))
    shortest = own.shortest if math.isfinite(own.shortest) else whole
    longest = own.longest if math.isfinite(own.longest) else whole * (1 + WIDEST)
    beyond = BEYOND * max(longest - shortest, 4 * own.tolerance)
    low = max(low, shortest - beyond - whole, -WIDEST * whole)
    high = min(high, longest + beyond - whole, WIDEST * whole)
    return np.union1d(np.linspace(min(low, 0.0), max(high, 0.0), POINTS), [0.0])


def _around(cut: Array, good: Array, chosen: float) -> tuple[float, float]:
    """Return the unbroken range of good lengths round the chosen one; NaN none [mm]."""
    if math.isnan(chosen):
        return math.nan, math.nan
    here = int(np.abs(cut - chosen).argmin())
    if not good[here]:
        return math.nan, math.nan
    bad = np.flatnonzero(~good)
    before, behind = bad[bad < here], bad[bad > here]
    return (
        float(cut[before[-1] + 1 if len(before) else 0]),
        float(cut[behind[0] - 1 if len(behind) else -1]),
    )
