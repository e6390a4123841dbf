"""The geometry of a free route for drawings and templates."""

from __future__ import annotations

import itertools
import math

import numpy as np

from hoseselect.cutplan.free_fall import low_place, low_spot_matters
from hoseselect.cutplan.free_gap import least_gap_of
from hoseselect.cutplan.free_lie import POINTS, Lie
from hoseselect.cutplan.free_plan import FreePlan
from hoseselect.domain.free_route import FreeRoute, KeepOut
from hoseselect.domain.geometry import LowPoint, NippleEnd, Obstacle, Points, RouteGeometry
from hoseselect.domain.job import Job


def free_geometry(job: Job, plan: FreePlan, size: int, outside_diameter: float) -> RouteGeometry:
    """Return how one hose size lies on a free route; without a cut, how it lies at best.

    Parameters
    ----------
    job : with the free route
    plan : of the route
    size : position of the hose size
    outside_diameter : of the hose [mm]

    Raises
    ------
    ValueError
        when no shape can be relied on.
    """
    own = plan.sizes[size]
    lie = own.lie or plan.solution.lie(own.roomiest or plan.solution.best_spans)
    if lie is None:
        raise ValueError("a route on which no shape can be relied on is not drawn")
    return _of_lie(job, plan, lie, outside_diameter, refused=own.lie is None)


def free_geometry_at(
    job: Job, plan: FreePlan, size: int, outside_diameter: float, cut: float
) -> RouteGeometry | None:
    """Return how a hose size that has a cut would lie if it were cut to another length.

    With clips, all spans are made longer or shorter by the same length.

    Parameters
    ----------
    job, plan, size, outside_diameter : as of `free_geometry`
    cut : length, engagement at both ends included [mm]

    Returns
    -------
    None where the size has no cut, or no shape of that length can be relied on
    """
    own = plan.sizes[size]
    if not own.spans:
        return None
    change = (cut - own.cut) / len(own.spans)
    lie = plan.solution.lie(tuple(span + change for span in own.spans))
    return None if lie is None else _of_lie(job, plan, lie, outside_diameter, refused=False)


def _of_lie(
    job: Job, plan: FreePlan, lie: Lie, outside_diameter: float, *, refused: bool
) -> RouteGeometry:
    """Return a lie as it is drawn."""
    route = plan.route
    at, normal, radius = _tightest(lie, 0)
    worst = lie.tightest_position
    return RouteGeometry(
        centreline=lie.centreline,
        tightest_at=at,
        tightest_radius=radius,
        tightest_normal=normal,
        nipple_a=NippleEnd(
            "A",
            np.zeros(3),
            np.array(route.points_a),
            job.nipple_a.outside_diameter,
            plan.engagements[0],
        ),
        nipple_b=NippleEnd(
            "B",
            np.array(route.mouth_b),
            np.array(route.points_b),
            job.nipple_b.outside_diameter,
            plan.engagements[1],
        ),
        outside_diameter=outside_diameter,
        clips=np.array([clip.place for clip in route.clips], dtype=float).reshape(-1, 3),
        extremes=tuple(lie.line(number) for number in range(1, len(lie.positions))),
        others=tuple(shape.centreline(POINTS) for shape in lie.others),
        obstacles=tuple(obstacle(keep_out) for keep_out in route.keep_outs),
        flat=not route.oriented,
        worst_at=_tightest(lie, worst)[0] if worst else None,
        worst_radius=lie.tightest_radius if worst else math.inf,
        worst_extreme=worst - 1 if worst else None,
        gap=None if math.isnan(outside_diameter) else least_gap_of(route, lie, outside_diameter),
        low_point=_low_point(job, route, lie),
        refused=refused,
    )


def _low_point(job: Job, route: FreeRoute, lie: Lie) -> LowPoint | None:
    """Return where liquid stands, on lines where that matters."""
    low = low_place(route, lie) if low_spot_matters(job.service) else None
    return None if low is None else LowPoint(np.array(low.place), low.words)


def _tightest(lie: Lie, position: int) -> tuple[Points, Points, float]:
    """Return the tightest spot at a position, the normal of its plane, and its radius [mm]."""
    shape = min(lie.positions[position], key=lambda one: one.tightest_radius)
    share = shape.tightest_at / shape.length
    line, along = shape.centreline(POINTS), shape.tangents_at(POINTS)
    k = int(np.clip(round(share * (POINTS - 1)), 1, POINTS - 2))
    normal = np.cross(along[k - 1], along[k + 1])
    size = float(np.linalg.norm(normal))
    flat = normal / size if size > 0 else np.array([0.0, -1.0, 0.0])
    return line[k], flat, shape.tightest_radius


def obstacle(keep_out: KeepOut) -> Obstacle:
    """Return a keep-out as drawn."""
    places = np.array(keep_out.places, dtype=float)
    radius = keep_out.size[0] / 2
    if keep_out.kind == "box":
        signs = np.array(list(itertools.product((-1.0, 1.0), repeat=3)))
        places, radius = places[0] + signs * np.array(keep_out.size) / 2, 0.0
    return Obstacle(keep_out.name, keep_out.kind, places, radius, keep_out.wanted, keep_out.hot)
