"""A hose that lies flat, measured in one photo from above."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.cautions import cautions_of
from hoseselect.photo.checks import (
    check_hose,
    check_lens,
    check_tilt,
    checked_points,
    ordered_corners,
)
from hoseselect.photo.errors import errors_of
from hoseselect.photo.fit_path import HoseTaps, likeliest_path
from hoseselect.photo.path import length_of, pieces_of, points_on
from hoseselect.photo.points import PhotoPoints, Taps
from hoseselect.photo.seen_from import height_of, seen_from, tilt_of
from hoseselect.photo.traced import Measured, Traced, tightest_of
from hoseselect.photo.view import View

SHOWN_POINTS = 200


def trace_flat(
    sheet: str,
    size: tuple[int, int],
    points: PhotoPoints,
    *,
    outside_diameter: float = math.nan,
    focal_35mm: float = math.nan,
) -> Traced:
    """Return what a photo shows of a hose that lies flat on the plane of a sheet.

    Parameters
    ----------
    sheet : "a4", "letter" or "card"
    size : width and height of the whole picture as it is shown [px]
    points : the four corners of the sheet in any order, points along the hose, points on edges
    outside_diameter : of the hose, NaN if unknown [mm]
    focal_35mm : focal length in terms of 35 mm film, NaN if unknown [mm]

    Raises
    ------
    InputError
        when the photo is unusable, with the reason.
    """
    check_lens(focal_35mm)
    noise = limit("photo-tap-noise")
    placed = ordered_corners(checked_points(np.array(points.corners), size, "corner"))
    along = checked_points(np.array(points.hose), size, "point along the hose")
    check_hose(along)
    on_edges = checked_points(np.array(points.edges), size, "point on an edge")
    view = seen_from(sheet, size, placed, on_edges, focal_35mm, noise)
    tilt = tilt_of(view)
    check_tilt(tilt)
    height = height_of(outside_diameter)
    taps = brought_down(view, along, height)
    fit = likeliest_path(taps, limit("photo-tap-trust"))
    found = errors_of(view, fit, taps, along, height, noise)
    bends = found.bends(fit)
    traced = Traced(
        sheet=sheet,
        length=found.measured(length_of(fit.path), found.length_slope(fit.path)),
        tightest_radius=tightest_of(bends),
        straights=found.straights(fit),
        bends=bends,
        cautions=(),
        tilt=tilt,
        scatter=found.scatter,
        middle_line=seen_line(view, fit.path, height.value),
    )
    return cautions_of(traced, along, size, taps, fit, outside_diameter)


def brought_down(view: View, along: Floats, height: Measured) -> HoseTaps:
    """Return taps in the plane of the centreline.

    Raises
    ------
    InputError
        when they lie above the horizon, or far off the sheet.
    """
    camera = view.camera
    here = camera.on_plane(along, height.value)
    steps = [camera.on_plane(along + step, height.value) - here for step in np.eye(2)]
    reach = limit("photo-reach-most") * view.taps.sheet.length
    far = np.hypot(here[:, 0], here[:, 1]).max()
    if not far <= reach:
        raise InputError(
            "points along the hose",
            "a hose that lies far off the sheet",
            f"a hose within {reach:.0f} mm of it: lay the sheet beside its middle",
        )
    return HoseTaps(here, np.stack(steps, axis=1), height.value, limit("photo-tap-noise"))


def seen_line(view: View, path: Floats, height: float) -> Taps:
    """Return points of a path as they are seen in the picture [px]."""
    pieces = pieces_of(path)
    ends = np.cumsum(pieces.lengths)
    along = np.linspace(0.0, ends[-1], SHOWN_POINTS)
    piece = np.minimum(np.searchsorted(ends, along), len(ends) - 1)
    within = along - (ends - pieces.lengths)[piece]
    places, _ = points_on(pieces, piece.astype(np.float64), within)
    seen = view.camera.seen(np.column_stack([places, np.full(len(places), height)]))
    return tuple((float(x), float(y)) for x, y in seen)
