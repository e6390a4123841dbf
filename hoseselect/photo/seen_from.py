"""The view of a sheet of which four corners were tapped, or why it is none."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.lens import lens_of
from hoseselect.photo.sheet import sheet_of
from hoseselect.photo.traced import Measured
from hoseselect.photo.view import SheetTaps, View, find_view


def seen_from(
    sheet: str,
    size: tuple[int, int],
    corners: Floats,
    edges: Floats,
    focal_35mm: float,
    noise: float,
) -> View:
    """Return the view in which four corners are a sheet, whichever side is the long one.

    Raises
    ------
    InputError
        when they are no such sheet, or it is not clear which side is which.
    """
    known, lens = sheet_of(sheet), lens_of(size, focal_35mm)
    views = []
    for shift in (0, 1):
        turned = np.roll(corners, shift, axis=0)
        sides = nearest_sides(turned, edges)
        views.append(find_view(SheetTaps(known, lens, turned, edges, sides), noise))
    best, other = sorted(views, key=lambda view: view.cost)
    if best.cost > limit("photo-fit-most") + len(edges):
        raise InputError(
            "corners of the sheet",
            f"corners, or points on edges, that do not look like {known.name}",
            "the sheet that is named, flat on the table, in a photo that was not cropped",
        )
    if other.cost - best.cost < limit("photo-side-clear"):
        raise InputError(
            "corners of the sheet",
            "a look from which the long side cannot be told from the short one",
            "a photo from more directly above",
        )
    return best


def nearest_sides(corners: Floats, points: Floats) -> npt.NDArray[np.intp]:
    """Return on which side of the sheet each point lies, as the number of its first corner."""
    ends = np.roll(corners, -1, axis=0)
    along = (ends - corners) / np.linalg.norm(ends - corners, axis=1, keepdims=True)
    gaps = points[:, None] - corners[None]
    aside = np.abs(gaps[..., 0] * along[:, 1] - gaps[..., 1] * along[:, 0])
    return aside.argmin(axis=1)


def tilt_of(view: View) -> float:
    """Return by how much the look to the sheet is off straight down [deg]."""
    seat = view.camera.seat
    return math.degrees(math.acos(min(1.0, float(seat[2] / np.linalg.norm(seat)))))


def height_of(outside_diameter: float) -> Measured:
    """Return the height of the centreline over the table, with its standard deviation [mm]."""
    if math.isnan(outside_diameter):
        return Measured(limit("photo-diameter-usual") / 2, limit("photo-diameter-spread") / 2)
    least, most = limit("photo-diameter-least"), limit("photo-diameter-most")
    if not least <= outside_diameter <= most:
        expected = f"{least:.0f} mm to {most:.0f} mm"
        raise InputError("outside diameter", f"{outside_diameter:g} mm", expected)
    return Measured(outside_diameter / 2, outside_diameter * limit("photo-height-spread"))
