"""Which two of the three views of a vehicle tell most of a route."""

from __future__ import annotations

import numpy as np

from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.drawing.hose_sketch import known, whole_hose
from hoseselect.interfaces.drawing.projection import View, hull, resampled
from hoseselect.mechanics.arrays import Floats

FORWARD, LEFT, UP = np.eye(3)
SIDE = View("side", "Side view, seen from the right", FORWARD, UP, "forward", "up")
TOP = View("top", "Top view, seen from above", FORWARD, LEFT, "forward", "left")
FRONT = View("front", "Front view, seen from the front", LEFT, UP, "vehicle's left", "up")
TOP_OF_FRONT = View(
    "top", "Top view, seen from above, front below", LEFT, -FORWARD, "vehicle's left", "back"
)
TRUE_PLANE = View("plane", "Plane of the first bend", FORWARD, UP, "out of A", "first bend")
SQUARE = View("square", "Square to it", FORWARD, LEFT, "out of A", "square to it")
AGAINST = View("against", "Looking against nipple A", LEFT, UP, "square to it", "first bend")
LEAVES_PLANE = 0.5
"""How far a route may leave its plane and still be drawn in one view [mm]."""
TILTED = 0.85
"""Below this share of what the plane of the hose shows, no usual view shows its shape [-]."""
THIN = 0.1
"""A hose lies in a plane where it leaves it by no more than this share of its size [-]."""
KEPT = 2.0
"""By how much the front view must tell more than the side or top view to take its place [-]."""
SAMPLES = 65
SHARE = 0.35
"""Least share of an axis that is named in a direction [-]."""
WAYS = (("forward", "back"), ("left", "right"), ("up", "down"))
SEEN_FROM = (("the front", "the back"), ("the left", "the right"), ("above", "below"))


def views_of(geometry: RouteGeometry) -> tuple[View, ...]:
    """Return the views that a route needs, in the order in which they are drawn.

    The side and the top view, unless the front view tells much more than one of them. Where the
    hose lies in a plane that none of them faces, its own plane and the view that shows how this
    plane is tilted. One view only where directions are relative and the route lies in one plane.
    """
    if geometry.flat:
        points = np.vstack((whole_hose(geometry), *geometry.extremes, *geometry.others))
        leaves = float(np.abs(points[:, 1]).max()) > LEAVES_PLANE
        if not leaves:
            return (TRUE_PLANE,)
        bend, beside, against = (told(geometry, v) for v in (TRUE_PLANE, SQUARE, AGAINST))
        if against <= KEPT * min(bend, beside) * (1 + 1e-9):
            return TRUE_PLANE, SQUARE
        return (TRUE_PLANE, AGAINST) if bend >= beside * (1 - 1e-9) else (AGAINST, SQUARE)
    side, top, front = (told(geometry, view) for view in (SIDE, TOP, FRONT))
    own = _own_plane(geometry)
    faced = 0.0 if own is None else TILTED * told(geometry, own)
    if own is not None and max(side, top, front) < faced:
        normal = own.toward
        edge = min((SIDE, TOP, FRONT), key=lambda v: round(abs(float(v.toward @ normal)), 6))
        return own, edge
    kept = KEPT if max(side, top) >= faced else 1.0
    if front <= kept * min(side, top) * (1 + 1e-9):
        return SIDE, TOP
    return (SIDE, FRONT) if side >= top * (1 - 1e-9) else (FRONT, TOP_OF_FRONT)


def _own_plane(geometry: RouteGeometry) -> View | None:
    """The view square on the plane in which a hose lies; None where it lies in none."""
    points = whole_hose(geometry)
    middle = points - points.mean(axis=0)
    _, spread, axes = np.linalg.svd(middle, full_matrices=False)
    normal = axes[2]
    leaves = np.abs(middle @ normal).max() > THIN * np.ptp(points)
    if leaves or spread[1] < THIN * spread[0]:
        return None
    main = int(np.abs(normal).argmax())
    normal = normal * np.sign(normal[main]) * (-1.0 if main == 1 else 1.0)
    rises = UP if abs(normal[2]) < TILTED else FORWARD
    up = rises - normal * float(rises @ normal)
    up /= np.linalg.norm(up)
    right = np.cross(up, normal)
    words = f"In the plane of the hose, seen from {_words(normal, SEEN_FROM)}"
    return View("plane", words, right, up, _words(right, WAYS), _words(up, WAYS))


def _words(direction: Floats, names: tuple[tuple[str, str], ...]) -> str:
    """A direction in the words of the vehicle: the axes of which it has a good share."""
    said = [
        pair[0] if share > 0 else pair[1]
        for share, pair in zip(direction, names, strict=True)
        if abs(share) > SHARE
    ]
    return " and ".join(said)


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
