"""Points along a hose that are proposed from rough ones; whoever tapped them confirms or not."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.checks import check_hose, check_lens, checked_points, ordered_corners
from hoseselect.photo.middle import Pixels, middle_of
from hoseselect.photo.points import PhotoPoints, Taps
from hoseselect.photo.seen_from import seen_from


class Proposal(NamedTuple):
    """Points that are proposed.

    Parameters
    ----------
    points : with more points along the hose, on its middle
    found : share of these at which both edges of the hose were found [-]
    """

    points: PhotoPoints
    found: float


def suggest_taps(
    sheet: str,
    grey: Pixels,
    points: PhotoPoints,
    *,
    outside_diameter: float,
    focal_35mm: float = math.nan,
) -> Proposal:
    """Return points on the middle of a hose, as its edges in a photo show it.

    Parameters
    ----------
    sheet : kind of the sheet
    grey : the picture as it is shown, shape (height, width)
    points : rough ones
    outside_diameter : of the hose [mm]
    focal_35mm : focal length in terms of 35 mm film, NaN if unknown [mm]

    Raises
    ------
    InputError
        when the photo is unusable, the diameter unknown, or no edges stand out.
    """
    if not outside_diameter > 0:
        raise InputError("outside diameter", "none", "that of the hose, to know its edges by")
    check_lens(focal_35mm)
    size = (grey.shape[1], grey.shape[0])
    corners = ordered_corners(checked_points(np.array(points.corners), size, "corner"))
    rough = checked_points(np.array(points.hose), size, "point along the hose")
    check_hose(rough)
    edges = checked_points(np.array(points.edges), size, "point on an edge")
    view = seen_from(sheet, size, corners, edges, focal_35mm, limit("photo-tap-noise"))
    camera = view.camera

    def widths_at(places: Floats) -> Floats:
        on_plane = camera.on_plane(places, outside_diameter / 2)
        lifted = np.column_stack([on_plane, np.full(len(places), outside_diameter / 2)])
        widths: Floats = camera.focal * outside_diameter / camera.depth(lifted)
        return widths

    step = limit("photo-suggest-step") * float(np.nanmedian(widths_at(rough)))
    dense = _between(rough, max(step, 2 * limit("photo-tap-noise")))
    middle = middle_of(grey, dense, widths_at(dense))
    share = float(middle.found.mean())
    if share < limit("photo-found-least"):
        raise InputError(
            "photo",
            f"edges of the hose that stand out along {100 * share:.0f} % of it only",
            "a hose on a plain table that is much lighter or darker; else tap its middle yourself",
        )
    kept = middle.found > 0
    kept[[0, -1]] = True
    moved: Taps = tuple((float(x), float(y)) for x, y in middle.points[kept])
    return Proposal(PhotoPoints(points.corners, moved, points.edges), share)


def _between(rough: Floats, step: float) -> Floats:
    """Return points at even distances along rough ones, with both ends, on a smooth line."""
    from scipy.interpolate import PchipInterpolator

    gaps = np.hypot(*np.diff(rough, axis=0).T)
    kept = np.concatenate([[True], gaps > 0])
    along = np.concatenate([[0.0], np.cumsum(gaps)])[kept]
    count = max(round(along[-1] / step), len(rough)) + 1
    dense: Floats = PchipInterpolator(along, rough[kept])(np.linspace(0, along[-1], count))
    return dense
