"""How far a route reaches in a view: what must be seen of it."""

from __future__ import annotations

import numpy as np

from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.drawing.hose_sketch import ROOT, cut_end, known, whole_hose
from hoseselect.interfaces.drawing.obstacle_sketch import near_spot
from hoseselect.interfaces.drawing.projection import View
from hoseselect.interfaces.drawing.route_view import LETTER
from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.arrays import Floats

BEYOND = 0.2
"""How far keep-outs are shown beyond the hose, as a share of its size [-]."""
WHOLE = 2.2
"""A keep-out is shown whole, with its clearance, up to this multiple of the hose's size [-]."""
FAR = 0.75
"""Distance from the hose at which a keep-out is only pointed at, share of its size [-]."""
SEEN = 0.08
"""How much of a box is shown at least, as a share of the size of the hose [-]."""


def check_finite(geometry: RouteGeometry) -> None:
    """Refuse a route that has no size.

    Raises
    ------
    InputError : fewer than two points, or a place that is not known
    """
    points = np.asarray(geometry.centreline, float)
    if points.ndim != 2 or points.shape[1:] != (3,) or len(points) < 2:
        raise InputError("route", f"points of shape {points.shape}", "two places or more")
    places = [points, *geometry.extremes, *geometry.others]
    places += [obstacle.points for obstacle in geometry.obstacles]
    places += _spots(geometry)
    places += [n.mouth for n in (geometry.nipple_a, geometry.nipple_b)]
    if not all(np.isfinite(place).all() for place in places):
        raise InputError("route", "a place that is not known", "places that are all known")
    if not float(np.ptp(points, axis=0).max()) > 0:
        raise InputError("route", "all points in one place", "a route of some length")


def view_reach(geometry: RouteGeometry, view: View, scale: float) -> tuple[Floats, Floats]:
    """Corners of what is drawn in a view, on paper whose origin is the origin of space.

    Parameters
    ----------
    geometry : the route
    view : direction of looking
    scale : paper over true length [-]

    Returns
    -------
    left and top, right and bottom, each (2,) [mm]
    """

    def paper(points: Floats) -> Floats:
        return view.plane(points) * (scale, -scale)

    hose = np.vstack((whole_hose(geometry), *geometry.extremes, *geometry.others))
    points = paper(np.vstack((hose, *_spots(geometry))))
    half = known(geometry.outside_diameter) * scale / 2 + 0.5
    low, high = points.min(axis=0) - half, points.max(axis=0) + half
    span = float((high - low).max())
    beyond = BEYOND * span
    size = float(np.ptp(hose, axis=0).max())
    least, most = low - beyond, high + beyond
    for nipple in (geometry.nipple_a, geometry.nipple_b):
        letter = paper(cut_end(nipple)) - view.plane(nipple.points) * (1.0, -1.0) * (
            ROOT + LETTER + 1.0
        )
        low, high = np.minimum(low, letter - LETTER), np.maximum(high, letter + LETTER)
    for obstacle in geometry.obstacles:
        corners = paper(obstacle.points)
        around = (obstacle.radius + max(known(obstacle.clearance), 0.0)) * scale
        first, last = corners.min(axis=0) - around, corners.max(axis=0) + around
        whole = float((np.maximum(high, last) - np.minimum(low, first)).max())
        if whole > WHOLE * span:  # cut off only where it goes on beyond what is near the hose
            own = obstacle.radius * scale
            first = np.where(corners.min(axis=0) - own < least, least, first)
            last = np.where(corners.max(axis=0) + own > most, most, last)
        low, high = np.minimum(low, first), np.maximum(high, last)
        spot, apart = near_spot(obstacle, hose)
        if apart - obstacle.radius <= FAR * size:
            shown = (obstacle.radius or SEEN * size) * scale
            low = np.minimum(low, paper(spot) - shown)
            high = np.maximum(high, paper(spot) + shown)
    return low, high


def _spots(geometry: RouteGeometry) -> list[Floats]:
    """Places that are marked, each (n, 3) [mm]."""
    found = [] if geometry.worst_at is None else [geometry.worst_at]
    found += [] if geometry.gap is None else [geometry.gap.at]
    found += [] if geometry.low_point is None else [geometry.low_point.at]
    return [np.asarray(spot, float).reshape(-1, 3) for spot in found]
