"""The plane in which a route lies best, for a template that is held against it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.sheets.hose_sketch import whole_hose
from hoseselect.interfaces.sheets.projection import View, along
from hoseselect.mechanics.arrays import Floats

ALIKE = 0.97
SEEN_FROM = (
    ("from the front", "from the back"),
    ("from the left", "from the right"),
    ("from above", "from below"),
)


@dataclass(frozen=True, eq=False)
class TemplatePlane:
    """The plane of a template.

    Parameters
    ----------
    view : looking square on the plane
    leaves : farthest distance of the hose's middle from the plane [mm]
    shorter : by which the line on paper is shorter than the hose [mm]
    """

    view: View
    leaves: float
    shorter: float


def template_plane(geometry: RouteGeometry) -> TemplatePlane:
    """Return the plane that fits the middle of the hose best.

    The sheet is seen from above, from the right or from the front, whichever is nearest; a run
    is seen with its first bend upwards.

    Parameters
    ----------
    geometry : the route
    """
    points = whole_hose(geometry)
    middle = points.mean(axis=0)
    _, _, axes = np.linalg.svd(points - middle, full_matrices=True)
    long, normal = axes[0], axes[2]
    spread = np.linalg.svd(points - middle, compute_uv=False)
    if spread[1] <= 1e-6 * spread[0]:  # straight: any plane will do, one seen upright is chosen
        normal = np.cross(long, np.eye(3)[int(np.abs(long).argmin())])
        normal /= np.linalg.norm(normal)
    main = int(np.abs(normal).argmax())
    wanted = np.array([1.0, -1.0, 1.0])[main]
    if normal[main] * wanted < 0:
        normal = -normal
    if long[int(np.abs(long).argmax())] < 0:
        long = -long
    heights = (points - middle) @ normal
    heights -= (heights.max() + heights.min()) / 2
    words = SEEN_FROM[main][0 if wanted > 0 else 1]
    seen = "with the first bend upwards" if geometry.flat else f"seen {words}"
    view = View("template", seen, long, np.cross(normal, long))
    on_paper = along(view.plane(points))[-1]
    return TemplatePlane(
        view, float(np.abs(heights).max()), float(along(points)[-1]) - float(on_paper)
    )


def turned(view: View) -> View:
    """The same plane with the sheet turned a quarter."""
    return View(view.name, view.words, -view.up, view.right)


def tight_places(points: Floats, count: int, apart: float) -> list[int]:
    """Points where a line on paper bends tightest, tightest first.

    Parameters
    ----------
    points : even along the line, (n, 2) [mm]
    count : most places
    apart : least number of points between two places

    Returns
    -------
    indices, without the ends
    """
    bend = np.abs(curvature(points))
    inner = range(1, len(points) - 1)
    tops = [k for k in inner if bend[k] >= bend[k - 1] and bend[k] >= bend[k + 1] and bend[k] > 0]
    found: list[int] = []
    for place in sorted(tops, key=lambda k: (-round(float(bend[k]), 6), k)):
        if all(abs(place - other) >= apart for other in found):
            found.append(place)
    return [_middle(bend, place) for place in found[:count]]


def _middle(bend: Floats, place: int) -> int:
    """Middle of the stretch round a place that bends nearly as tightly."""
    low = high = place
    while low > 0 and bend[low - 1] > ALIKE * bend[place]:
        low -= 1
    while high < len(bend) - 1 and bend[high + 1] > ALIKE * bend[place]:
        high += 1
    return (low + high) // 2


def curvature(points: Floats) -> Floats:
    """Signed curvature of a line on paper, positive to the left of its run, (n,) [1/mm]."""
    first = np.gradient(points, axis=0)
    second = np.gradient(first, axis=0)
    speed = np.linalg.norm(first, axis=1).clip(1e-9)
    signed: Floats = (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]) / speed**3
    return signed
