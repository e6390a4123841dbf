"""Measure the old hose in a photo of it beside a sheet, or propose points along it."""

from __future__ import annotations

import math
from dataclasses import replace

from hoseselect.files.picture_file import Picture
from hoseselect.photo.points import PhotoPoints
from hoseselect.photo.suggest import Proposal, suggest_taps
from hoseselect.photo.trace_flat import trace_flat
from hoseselect.photo.traced import Caution, Traced

CROPPED = "The photo was cropped: the lens is not known by it; take the whole picture."


def trace(
    picture: Picture,
    points: PhotoPoints,
    *,
    sheet: str = "a4",
    outside_diameter: float = math.nan,
) -> Traced:
    """Return what a photo shows of a hose.

    Parameters
    ----------
    picture : the photo from above; only its size and what it says of its lens are looked at
    points : tapped in it
    sheet : kind of the sheet
    outside_diameter : of the hose, NaN if unknown [mm]

    Raises
    ------
    InputError
        when the photo is unusable, with the reason.
    """
    known = math.nan if picture.cropped else picture.focal_35mm
    traced = trace_flat(
        sheet, picture.size, points, outside_diameter=outside_diameter, focal_35mm=known
    )
    if picture.cropped:
        traced = replace(traced, cautions=(*traced.cautions, Caution("cropped", CROPPED)))
    return traced


def suggest_points(
    picture: Picture, points: PhotoPoints, *, sheet: str = "a4", outside_diameter: float = math.nan
) -> Proposal:
    """Return points on the middle of a hose as its edges show it; nothing is decided by them.

    Parameters
    ----------
    picture : the photo
    points : rough ones
    sheet : kind of the sheet
    outside_diameter : of the hose [mm]

    Raises
    ------
    InputError
        when the photo is unusable, or the edges of the hose do not stand out.
    """
    return suggest_taps(
        sheet,
        picture.grey(),
        points,
        outside_diameter=outside_diameter,
        focal_35mm=picture.focal_35mm,
    )
