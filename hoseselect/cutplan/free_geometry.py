"""The geometry of a free route for drawings and templates."""

from __future__ import annotations

import itertools

import numpy as np

from hoseselect.cutplan.free_columns import FreePlan
from hoseselect.cutplan.free_lie import POINTS, Lie
from hoseselect.domain.free_route import KeepOut
from hoseselect.domain.geometry import NippleEnd, Obstacle, Points, RouteGeometry
from hoseselect.domain.job import Job

TIP_STEP = 1e-3


def free_geometry(job: Job, plan: FreePlan, size: int, outside_diameter: float) -> RouteGeometry:
    """Return how one hose size lies on a free route.

    Parameters
    ----------
    job : with the free route
    plan : of the route; the size must have a cut
    size : position of the hose size
    outside_diameter : of the hose [mm]

    Raises
    ------
    ValueError
        when the size has no length that works.
    """
    own = plan.sizes[size]
    if own.lie is None:
        raise ValueError("a hose size without a length that works has no shape")
    route, lie = plan.route, own.lie
    at, normal = _tightest(lie)
    return RouteGeometry(
        centreline=lie.centreline,
        tightest_at=at,
        tightest_radius=min(shape.tightest_radius for shape in lie.at_rest),
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
    )


def _tightest(lie: Lie) -> tuple[Points, Points]:
    """Return the tightest spot at rest and the normal of its plane."""
    shape = min(lie.at_rest, key=lambda one: one.tightest_radius)
    share = np.clip(shape.tightest_at / shape.length, TIP_STEP, 1 - TIP_STEP)
    line, along = shape.centreline(POINTS), shape.tangents_at(POINTS)
    k = int(np.clip(round(share * (POINTS - 1)), 1, POINTS - 2))
    normal = np.cross(along[k - 1], along[k + 1])
    size = float(np.linalg.norm(normal))
    return line[k], normal / size if size > 0 else np.array([0.0, -1.0, 0.0])


def obstacle(keep_out: KeepOut) -> Obstacle:
    """Return a keep-out as drawn."""
    places = np.array(keep_out.places, dtype=float)
    radius = keep_out.size[0] / 2
    if keep_out.kind == "box":
        signs = np.array(list(itertools.product((-1.0, 1.0), repeat=3)))
        places, radius = places[0] + signs * np.array(keep_out.size) / 2, 0.0
    return Obstacle(keep_out.name, keep_out.kind, places, radius, keep_out.wanted, keep_out.hot)
