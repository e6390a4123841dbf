"""Measure the old hose in a photo of it beside a sheet, or propose points along it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from hoseselect.files.picture_file import Picture
from hoseselect.photo.points import PhotoPoints
from hoseselect.photo.suggest import Proposal, suggest_taps
from hoseselect.photo.trace_flat import trace_flat
from hoseselect.photo.trace_space import trace_space
from hoseselect.photo.traced import Caution, Traced

CROPPED = "The photo was cropped: the lens is not known by it; take the whole picture."


@dataclass(frozen=True)
class Shot:
    """A photo and what was tapped in it.

    Parameters
    ----------
    picture : only its size and what it says of its lens are looked at
    points : tapped in it
    """

    picture: Picture
    points: PhotoPoints

    @property
    def focal(self) -> float:
        """Focal length in terms of 35 mm film, NaN if unknown [mm]."""
        return math.nan if self.picture.cropped else self.picture.focal_35mm


def trace(
    shot: Shot,
    side: Shot | None = None,
    *,
    sheet: str = "a4",
    outside_diameter: float = math.nan,
) -> Traced:
    """Return what a photo shows of a hose that lies flat, or two of one that does not.

    Parameters
    ----------
    shot : from above
    side : from the side, the sheet stood up on its back edge; None where the hose lies flat
    sheet : kind of the sheet
    outside_diameter : of the hose, NaN if unknown [mm]

    Raises
    ------
    InputError
        when a photo is unusable, with the reason.
    """
    if side is None:
        traced = trace_flat(
            sheet,
            shot.picture.size,
            shot.points,
            outside_diameter=outside_diameter,
            focal_35mm=shot.focal,
        )
    else:
        traced = trace_space(
            sheet,
            (shot.picture.size, side.picture.size),
            (shot.points, side.points),
            outside_diameter=outside_diameter,
            focal_35mm=(shot.focal, side.focal),
        )
    if any(one.picture.cropped for one in (shot, side) if one):
        traced = replace(traced, cautions=(*traced.cautions, Caution("cropped", CROPPED)))
    return traced


def suggest_points(
    shot: Shot, *, sheet: str = "a4", outside_diameter: float = math.nan
) -> Proposal:
    """Return points on the middle of a hose as its edges show it; nothing is decided by them.

    Parameters
    ----------
    shot : the photo, with rough points
    sheet : kind of the sheet
    outside_diameter : of the hose [mm]

    Raises
    ------
    InputError
        when the photo is unusable, or the edges of the hose do not stand out.
    """
    return suggest_taps(
        sheet,
        shot.picture.grey(),
        shot.points,
        outside_diameter=outside_diameter,
        focal_35mm=shot.focal,
    )
