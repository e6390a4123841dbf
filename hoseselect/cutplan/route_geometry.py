"""Where a run of straights and bends lies: what drawings and templates show of it."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.cutplan.lengths import engagement
from hoseselect.domain.geometry import NippleEnd, RouteGeometry
from hoseselect.domain.job import Job, Nipple
from hoseselect.domain.run_parts import Bend
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.mechanics.centreline import Centreline, centreline
from hoseselect.mechanics.run import Run

SPACING = 2.0
STEPS = 16
"""Least number of points on the tightest bend."""
NOWHERE = np.full(3, np.nan)


def run_geometry(job: Job, outside_diameter: float) -> RouteGeometry:
    """Return where a run lies: out of nipple A forward, the first bend upwards.

    A run does not say how it lies in the vehicle, so its directions are only relative.

    Parameters
    ----------
    job : with a route of straights and bends
    outside_diameter : of the hose, NaN where none is chosen yet [mm]

    Returns
    -------
    RouteGeometry, flat

    Raises
    ------
    InputError : the route is no run, or a part of it is not known
    """
    if job.route.kind != "run":
        raise InputError("route", f"a {job.route.kind} route", "a run of straights and bends")
    run = Run(job.route.run, limit("bend-angle-least"))
    if not run.length > 0:  # NaN compares false
        raise InputError("run", f"a length of {run.length:g} mm", "a run that is fully known")
    bends = [bend.length for bend in run.bends if bend.angle > 0]
    line = centreline(run, min(SPACING, *(length / STEPS for length in bends), run.length / STEPS))
    points, directions = _turned(line.points), _turned(line.directions)
    return RouteGeometry(
        centreline=points,
        tightest_at=_at(line, points, run.tightest_at),
        tightest_radius=run.tightest_radius,
        tightest_normal=_normal(run, line, directions),
        nipple_a=_nipple("A", job.nipple_a, points[0], directions[0]),
        nipple_b=_nipple("B", job.nipple_b, points[-1], -directions[-1]),
        outside_diameter=outside_diameter,
        clips=np.zeros((0, 3)),
        flat=True,
    )


def _turned(vectors: Floats) -> Floats:
    """From axes of the run (out of A, first bend, square) to forward, left, up."""
    turned: Floats = np.column_stack((vectors[:, 0], -vectors[:, 2], vectors[:, 1]))
    return turned


def _at(line: Centreline, points: Floats, place: float) -> Floats:
    """Point at a distance along the run, (3,) [mm]; NaN where there is no such distance."""
    if math.isnan(place):
        return NOWHERE
    return np.array([np.interp(place, line.along, column) for column in points.T])


def _normal(run: Run, line: Centreline, directions: Floats) -> Floats:
    """Normal of the plane of the tightest bend, unit vector (3,); NaN without a bend."""
    for part, start in zip(run.parts, run.starts, strict=False):
        if isinstance(part, Bend) and start <= run.tightest_at <= start + part.length:
            first = int(np.searchsorted(line.along, start - SPACING / STEPS**3))
            middle = int(np.searchsorted(line.along, run.tightest_at))
            normal = np.cross(directions[first], directions[min(middle, len(directions) - 1)])
            size = float(np.linalg.norm(normal))
            if size > 0:
                return normal / size
    return NOWHERE


def _nipple(name: str, nipple: Nipple, mouth: Floats, points: Floats) -> NippleEnd:
    return NippleEnd(name, mouth, points, nipple.outside_diameter, engagement(nipple)[0])
