"""The middle of a hose between its two edges, where they stand out from what lies behind."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats

AROUND = 1.1
"""Half of the width that is looked at, per width of the hose."""

BESIDE, ROWS = 0.1, 5
"""Reach along the hose of the profiles that are averaged, per width of it, and their number."""

BLUR, LEAST_BLUR, MOST_BLUR = 0.05, 1.0, 3.0
"""Smoothing across the hose per width of it, and its least and most [px]."""

Pixels = npt.NDArray[np.uint8] | Floats
"""The grey of a picture, shape (height, width); a large photo has a byte for each of them."""

PIXEL_MIDDLE = 0.5
NEIGHBOURS, ROUNDS = 2, 2


class Middle(NamedTuple):
    """Points on a hose, moved to its middle where both edges were found.

    Parameters
    ----------
    points : shape (points, 2) [px]
    found : whether both edges were found at each
    """

    points: Floats
    found: Floats


def middle_of(grey: Pixels, rough: Floats, widths: Floats) -> Middle:
    """Return points moved across the hose to the middle between its edges.

    Across the hose the two edges are a steep rise and a steep fall of the grey that lie about one
    width apart, which an edge of its shadow does not. A point whose edges do not stand out, or
    whose middle lies off that of its neighbours, stays.

    Parameters
    ----------
    grey : the picture, shape (height, width)
    rough : points along the hose, near its middle, shape (points, 2) [px]
    widths : of the hose as seen at each of them [px]
    """
    points = rough.copy()
    found = np.zeros(len(points), dtype=bool)
    for _ in range(ROUNDS):
        ahead = np.gradient(points, axis=0)
        ahead /= np.maximum(np.linalg.norm(ahead, axis=1, keepdims=True), 1e-9)
        across = np.column_stack([-ahead[:, 1], ahead[:, 0]])
        offs = np.array(
            [
                _off_middle(_profile(grey, *one), one[3])
                for one in zip(points, ahead, across, widths, strict=True)
            ]
        )
        found = np.isfinite(offs)
        for number in np.flatnonzero(found):
            near = offs[max(number - NEIGHBOURS, 0) : number + NEIGHBOURS + 1]
            near = near[np.isfinite(near)]
            apart = abs(offs[number] - np.median(near))
            found[number] = apart < limit("photo-middle-apart") * widths[number]
        points = points + np.where(found, offs, 0.0)[:, None] * across
    return Middle(points, found.astype(np.float64))


def _profile(grey: Pixels, at: Floats, ahead: Floats, across: Floats, width: float) -> Floats:
    """Return the grey across a hose, a value a pixel, averaged a little along it."""
    from scipy.ndimage import map_coordinates

    reach = np.arange(-round(AROUND * width), round(AROUND * width) + 1, dtype=np.float64)
    along = np.linspace(-BESIDE, BESIDE, ROWS) * width
    places = at + reach[:, None, None] * across + along[None, :, None] * ahead - PIXEL_MIDDLE
    rows, columns = places[..., 1], places[..., 0]
    values = map_coordinates(grey, [rows, columns], np.float64, order=1, mode="nearest")
    profile: Floats = np.asarray(values, dtype=np.float64).mean(axis=1)
    return profile


def _off_middle(profile: Floats, width: float) -> float:
    """Return how far the middle between two edges lies off the middle of a profile; NaN if none."""
    from scipy.ndimage import gaussian_filter1d

    blur = float(np.clip(BLUR * width, LEAST_BLUR, MOST_BLUR))
    slope = gaussian_filter1d(profile, blur, order=1) * blur * np.sqrt(2 * np.pi)
    size = len(slope)
    first, last = np.meshgrid(np.arange(size), np.arange(size), indexing="ij")
    unlike = (last - first - width) / (limit("photo-width-spread") * width)
    clear = -slope[:, None] * slope[None] * np.exp(-(unlike**2) / 2)
    best = int(clear.argmax())
    left, right = divmod(best, size)
    if min(abs(slope[left]), abs(slope[right])) < limit("photo-edge-clear") or clear.max() <= 0:
        return float("nan")
    return (_peak(slope, left) + _peak(slope, right)) / 2 - (size - 1) / 2


def _peak(slope: Floats, place: int) -> float:
    """Return the place of an extreme between the pixels, by the parabola through three of them."""
    if not 0 < place < len(slope) - 1:
        return float(place)
    before, here, behind = np.abs(slope[place - 1 : place + 2])
    bent = before - 2 * here + behind
    return place + float(np.clip((before - behind) / (2 * bent), -0.5, 0.5)) if bent < 0 else place
