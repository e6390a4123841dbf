"""The figures that an answer rests on, to be measured again before the hose is cut."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.free_route import FreeRoute, Vector
from hoseselect.domain.job import Job
from hoseselect.domain.run_parts import RunPart, Straight
from hoseselect.quantities.shown import both, shown

WAYS = (("forward", "back"), ("left", "right"), ("up", "down"))
LEAST = 0.5
"""Offsets below this are left out [mm], [deg]."""
Rows = list[dict[str, str]]


def measure_again(job: Job, units: str) -> Rows:
    """Return what was told of nipples and route, each with its name.

    Parameters
    ----------
    job : as understood
    units : "mm" or "in", which stands first
    """
    rows = [
        _row(f"nipple {name}, outside, behind the bead", both(size, "mm", units))
        for name, size in (
            ("A", job.nipple_a.outside_diameter),
            ("B", job.nipple_b.outside_diameter),
        )
    ]
    route = job.route
    if math.isfinite(route.measured):
        rows.append(_row("A to B along the middle of the hose", both(route.measured, "mm", units)))
    if route.run:
        rows.append(_row("straights and bends from A", _run(route.run, units)))
    if route.free is not None:
        rows += _free(route.free, units)
    if math.isfinite(route.tightest_radius):
        rows.append(_row("tightest bend", f"R {both(route.tightest_radius, 'mm', units)}"))
    if math.isfinite(route.movement) and route.movement > 0:
        rows.append(_row("the ends move by", both(route.movement, "mm", units)))
    return rows


def _row(name: str, told: str) -> dict[str, str]:
    return {"name": name, "told": told}


def _run(parts: tuple[RunPart, ...], units: str) -> str:
    said = []
    for part in parts:
        if isinstance(part, Straight):
            said.append(shown(part.length, "mm", units))
        else:
            turn = f", turned {part.turn:g} deg" if part.turn else ""
            said.append(f"{part.angle:g} deg at R {shown(part.radius, 'mm', units)}{turn}")
    return "; ".join(said)


def _free(free: FreeRoute, units: str) -> Rows:
    place = [
        f"{shown(abs(far), 'mm', units)} {pair[0] if far > 0 else pair[1]}"
        for far, pair in zip(free.mouth_b, WAYS, strict=True)
        if abs(far) > LEAST
    ]
    rows = [
        _row("mouth of B from mouth of A", ", ".join(place)),
        _row("nipple A points", _direction(free.points_a)),
        _row("nipple B points", _direction(free.points_b)),
    ]
    moves = [
        f"{shown(far, 'mm', units)} {pair[0]} and {pair[1]}"
        for far, pair in zip(free.movement, WAYS, strict=True)
        if far > LEAST
    ]
    if moves:
        rows.append(_row("the engine moves, either way", ", ".join(moves)))
    return rows


def _direction(points: Vector) -> str:
    """A direction as people say it: mostly this way, and so many degrees that way."""
    main = int(np.abs(points).argmax())
    said = WAYS[main][0 if points[main] > 0 else 1]
    for axis, pair in enumerate(WAYS):
        angle = math.degrees(math.atan2(abs(points[axis]), abs(points[main])))
        if axis != main and angle > LEAST:
            said += f", {angle:.0f} deg {pair[0] if points[axis] > 0 else pair[1]}"
    return said
