"""A hose that lies in no plane, measured in two photos: from above and from the side."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.cautions import figures_doubted, refuse_useless
from hoseselect.photo.checks import (
    check_count,
    check_lens,
    check_tilt,
    checked_points,
    ordered_corners,
)
from hoseselect.photo.fit_space import SpaceFit, SpaceTaps, likeliest_space, off_space
from hoseselect.photo.placed_view import PLACEMENT, PlacedView, placed, placement_spreads
from hoseselect.photo.points import PhotoPoints
from hoseselect.photo.seen_from import height_of, seen_from, tilt_of
from hoseselect.photo.space_errors import space_figures
from hoseselect.photo.space_guess import places_in_space, space_guesses
from hoseselect.photo.space_path import space_points
from hoseselect.photo.traced import Caution, Traced, tightest_of

MOST_BENDS = 5
OFF = "The two photos do not fit each other well: was the hose moved, or the sheet stood elsewhere?"


def trace_space(
    sheet: str,
    sizes: tuple[tuple[int, int], tuple[int, int]],
    points: tuple[PhotoPoints, PhotoPoints],
    *,
    outside_diameter: float = math.nan,
    focal_35mm: tuple[float, float] = (math.nan, math.nan),
) -> Traced:
    """Return what two photos show of a hose: from above, the sheet flat; from the side, it stands.

    Parameters
    ----------
    sheet : "a4", "letter" or "card"
    sizes : width and height of each whole picture as it is shown [px]
    points : of each; the first two corners are the left and the right end of the base line, as
        seen from the side; the points along the hose begin at the same end in both
    outside_diameter : of the hose, NaN if unknown [mm]
    focal_35mm : focal length of each in terms of 35 mm film, NaN if unknown [mm]

    Raises
    ------
    InputError
        when the photos are unusable, with the reason.
    """
    noise = limit("photo-tap-noise")
    views, taps = [], []
    for number, stood in enumerate((False, True)):
        focal = focal_35mm[number]
        check_lens(focal)
        corners = checked_points(np.array(points[number].corners), sizes[number], "corner")
        ordered = ordered_corners(corners)
        along = checked_points(np.array(points[number].hose), sizes[number], "point along the hose")
        check_count(along)
        edges = checked_points(np.array(points[number].edges), sizes[number], "point on an edge")
        view = seen_from(sheet, sizes[number], ordered, edges, focal, noise)
        check_tilt(tilt_of(view))
        views.append(placed(view, corners[0], corners[1], stood=stood))
        taps.append(along)
    radius = height_of(outside_diameter).value
    tapped = SpaceTaps(tuple(views), tuple(taps), radius, noise)
    guesses = space_guesses(
        places_in_space(tapped.views, tapped.taps),
        MOST_BENDS,
        limit("photo-bend-usual") * 2 * radius,
    )
    fit = likeliest_space(guesses, tapped)
    figures = space_figures(fit, off_space(fit.figures, tapped, leaning=True), tapped)
    traced = Traced(
        sheet=sheet,
        length=figures.length,
        tightest_radius=tightest_of(figures.bends),
        straights=figures.straights,
        bends=figures.bends,
        cautions=(),
        tilt=tilt_of(tapped.views[0].view),
        scatter=figures.scatter,
        middle_line=_line(fit, tapped.views[0]),
        side_line=_line(fit, tapped.views[1]),
    )
    stood_off = np.abs(fit.figures[-PLACEMENT:] / placement_spreads()).max()
    unlike = max(figures.scatter / noise, float(stood_off))
    return _with_cautions(traced, outside_diameter, unlike)


def _line(fit: SpaceFit, view: PlacedView) -> tuple[tuple[float, float], ...]:
    seen: Floats = view.seen(space_points(fit.path), view.view.state, fit.figures[-PLACEMENT:])
    return tuple((float(x), float(y)) for x, y in seen)


def _with_cautions(traced: Traced, outside_diameter: float, unlike: float) -> Traced:
    """Return a measured hose with what is doubtful about it.

    Parameters
    ----------
    traced : without cautions
    outside_diameter : NaN if unknown [mm]
    unlike : how badly the photos fit each other: the scatter of the taps, or how far the sheet
        seems off its place, per usual one [-]

    Raises
    ------
    InputError
        when it is so doubtful that nothing may be told.
    """
    if unlike > limit("photo-pair-most"):
        raise InputError(
            "photos",
            f"two that do not fit each other, {unlike:.0f} times worse than is usual",
            "the same hose, not moved, and the sheet stood up on its own back edge",
        )
    refuse_useless(traced)
    found = list(figures_doubted(traced, outside_diameter))
    if unlike > limit("photo-pair-doubt"):
        found.append(Caution("pair", OFF))
    return replace(traced, cautions=tuple(found))
