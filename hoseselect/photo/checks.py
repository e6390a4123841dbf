"""What makes a photo unusable, each with its reason, before anything is measured in it."""

from __future__ import annotations

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats

CORNERS = 4


def checked_points(points: Floats, size: tuple[int, int], what: str) -> Floats:
    """Return points as an array, all of them in the picture.

    Raises
    ------
    InputError
        when one of them is none, or lies outside, or there are more than anybody taps.
    """
    most = int(limit("photo-taps-most"))
    if len(points) > most:
        raise InputError(what, f"{len(points)} of them", f"at most {most}")
    found = np.asarray(points, dtype=np.float64).reshape(-1, 2)
    for number, (x, y) in enumerate(found, start=1):
        if not (0 <= x <= size[0] and 0 <= y <= size[1]):
            expected = f"a point of the picture, which is {size[0]} by {size[1]} pixels"
            raise InputError(f"{what} {number}", f"{x:g}, {y:g}", expected)
    return found


def ordered_corners(corners: Floats) -> Floats:
    """Return the corners of a sheet clockwise as seen, whatever the order of the taps.

    Raises
    ------
    InputError
        when they are no four corners of a sheet that is near enough.
    """
    if len(corners) != CORNERS:
        raise InputError("corners of the sheet", f"{len(corners)}", "four")
    from_middle = corners - corners.mean(axis=0)
    ordered: Floats = corners[np.argsort(np.arctan2(from_middle[:, 1], from_middle[:, 0]))]
    sides = np.roll(ordered, -1, axis=0) - ordered
    lengths = np.hypot(sides[:, 0], sides[:, 1])
    least = limit("photo-sheet-side-least")
    if lengths.min() < least:
        raise InputError(
            "corners of the sheet",
            f"a side of {lengths.min():.0f} pixels: the sheet is too small in the picture",
            f"{least:.0f} pixels or more: go nearer, or lay a larger sheet",
        )
    if (_cross(sides, np.roll(sides, -1, axis=0)) <= 0).any():
        raise InputError(
            "corners of the sheet", "one that lies between the others", "the four corners"
        )
    return ordered


def check_count(hose: Floats) -> None:
    """Refuse too few taps along a hose.

    Raises
    ------
    InputError
        when they are too few.
    """
    least = int(limit("photo-taps-least"))
    if len(hose) < least:
        raise InputError("points along the hose", f"{len(hose)}", f"{least} or more, end to end")


def check_hose(hose: Floats) -> None:
    """Refuse taps along a hose that cannot be its run.

    Raises
    ------
    InputError
        when they are too few, or not in the order of the hose.
    """
    check_count(hose)
    clear = limit("photo-step-clear")
    clearly = _thinned(hose, clear)
    steps = np.diff(hose[clearly], axis=0)
    turns = np.abs(
        np.degrees(np.arctan2(_cross(steps[:-1], steps[1:]), (steps[:-1] * steps[1:]).sum(1)))
    )
    back = np.flatnonzero(turns > limit("photo-turn-most"))
    if len(back):
        raise InputError(
            f"points along the hose, {clearly[back[0] + 1] + 1}",
            "a point at which the line turns back",
            "points in the order in which the hose runs",
        )
    crossing = _crossing(hose[clearly])
    if crossing is not None:
        raise InputError(
            f"points along the hose, {clearly[crossing[0]] + 1} and {clearly[crossing[1]] + 1}",
            "a line that crosses itself",
            "a hose that lies flat without crossing, tapped in the order in which it runs",
        )


def _thinned(points: Floats, clear: float) -> list[int]:
    """Return the numbers of points that lie clearly apart from the one before."""
    kept = [0]
    for number in range(1, len(points)):
        if np.hypot(*(points[number] - points[kept[-1]])) > clear:
            kept.append(number)
    return kept


def _crossing(points: Floats) -> tuple[int, int] | None:
    """Return the first two steps that cross each other, if any."""
    starts, steps = points[:-1], np.diff(points, axis=0)
    gap = starts[None] - starts[:, None]
    turned = _cross(steps[:, None], steps[None])
    with np.errstate(divide="ignore", invalid="ignore"):
        own = _cross(gap, np.broadcast_to(steps[None], gap.shape)) / turned
        other = _cross(gap, np.broadcast_to(steps[:, None], gap.shape)) / turned
    cross = (own > 0) & (own < 1) & (other > 0) & (other < 1)
    order = np.arange(len(starts))
    cross &= order[None] > order[:, None] + 1
    found = np.argwhere(cross)
    return (int(found[0][0]), int(found[0][1])) if len(found) else None


def check_lens(focal_35mm: float) -> None:
    """Refuse a lens that bends straight lines too much.

    Raises
    ------
    InputError
        when it is such a lens, or none at all.
    """
    least = limit("photo-focal-least")
    if focal_35mm > limit("photo-focal-most"):
        raise InputError("lens of the photo", f"{focal_35mm:g} mm", "that of a camera by hand")
    if focal_35mm < least:
        raise InputError(
            "lens of the photo",
            f"a wide lens of {focal_35mm:g} mm (35 mm film), which bends straight lines",
            f"{least:.0f} mm or more: step back and take the main camera",
        )


def check_tilt(tilt: float) -> None:
    """Refuse a photo that looks along the table.

    Raises
    ------
    InputError
        when it does.
    """
    most = limit("photo-tilt-most")
    if tilt > most:
        raise InputError(
            "photo",
            f"a look {tilt:.0f} deg off straight down: too oblique",
            f"{most:.0f} deg or less",
        )


def _cross(one: Floats, other: Floats) -> Floats:
    crossed: Floats = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
    return crossed
