"""Which two of the three views of a vehicle tell most of a route."""

from __future__ import annotations

import numpy as np

from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.drawing.hose_sketch import known, whole_hose
from hoseselect.interfaces.drawing.projection import View, hull, resampled

FORWARD, LEFT, UP = np.eye(3)
SIDE = View("side", "Side view, seen from the right", FORWARD, UP, "forward", "up")
TOP = View("top", "Top view, seen from above", FORWARD, LEFT, "forward", "left")
FRONT = View("front", "Front view, seen from the front", LEFT, UP, "vehicle's left", "up")
TOP_OF_FRONT = View(
    "top", "Top view, seen from above, front below", LEFT, -FORWARD, "vehicle's left", "back"
)
TRUE_PLANE = View("plane", "Plane of the first bend", FORWARD, UP, "out of A", "first bend")
SQUARE = View("square", "Square to it", FORWARD, LEFT, "out of A", "square to it")
LEAVES_PLANE = 0.5
"""How far a route may leave its plane and still be drawn in one view [mm]."""
KEPT = 2.0
"""By how much the front view must tell more than the side or top view to take its place [-]."""
SAMPLES = 65


def views_of(geometry: RouteGeometry) -> tuple[View, ...]:
    """Return the views that a route needs, in the order in which they are drawn.

    The side and the top view, unless the front view tells much more than one of them. One view
    only where directions are relative and the route lies in one plane.
    """
    if geometry.flat:
        points = np.vstack((whole_hose(geometry), *geometry.extremes, *geometry.others))
        leaves = float(np.abs(points[:, 1]).max()) > LEAVES_PLANE
        return (TRUE_PLANE, SQUARE) if leaves else (TRUE_PLANE,)
    side, top, front = (told(geometry, view) for view in (SIDE, TOP, FRONT))
    if front <= KEPT * min(side, top) * (1 + 1e-9):
        return SIDE, TOP
    return (SIDE, FRONT) if side >= top * (1 - 1e-9) else (FRONT, TOP_OF_FRONT)


def told(geometry: RouteGeometry, view: View) -> float:
    """Return how much a view tells of a route: the area over which its hose is seen to spread.

    Parameters
    ----------
    geometry : the route
    view : the direction of looking

    Returns
    -------
    area of the convex outline of the hose, at rest, moved and lying otherwise [mm2]
    """
    lines = (whole_hose(geometry), *geometry.extremes, *geometry.others)
    points = np.vstack([resampled(np.asarray(line, float), SAMPLES) for line in lines])
    outline = hull(view.plane(points), 0.0)
    ahead = np.roll(outline, -1, axis=0)
    area = abs(float((outline[:, 0] * ahead[:, 1] - outline[:, 1] * ahead[:, 0]).sum())) / 2
    edge = float(np.linalg.norm(ahead - outline, axis=1).sum())
    half = known(geometry.outside_diameter) / 2
    return area + edge * half + float(np.pi) * half**2
