"""The plane in which a route lies best, for a template that is held against it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.drawing.hose_sketch import whole_hose
from hoseselect.interfaces.drawing.projection import View, along
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


def tight_places(points: Floats, count: int) -> list[int]:
    """Points where a line on paper bends tightest, tightest first.

    Parameters
    ----------
    points : even along the line, (n, 2) [mm]
    count : most places

    Returns
    -------
    indices, without the ends
    """
    bend = np.abs(curvature(points))
    apart = len(points) // 6
    tops = [
        k
        for k in range(1, len(points) - 1)
        if bend[k] >= bend[k - 1] and bend[k] >= bend[k + 1] and bend[k] > 0
    ]
    found: list[int] = []
    for top in sorted(tops, key=lambda k: (-round(float(bend[k]), 6), k)):
        place = _middle(bend, top)
        if all(abs(place - other) >= apart for other in found):
            found.append(place)
    return found[:count]


def _middle(bend: Floats, place: int) -> int:
    """Middle of the stretch round a place that bends nearly as tightly."""
    low = high = place
    while low > 0 and bend[low - 1] > ALIKE * bend[place]:
        low -= 1
    while high < len(bend) - 1 and bend[high + 1] > ALIKE * bend[place]:
        high += 1
    return (low + high) // 2


def curvature(points: Floats) -> Floats:
    """Signed curvature of a line on paper, positive where it turns from right to down.

    It is that of the circle through a point and two others a short way before and after, so that
    the corners of the line of points do not count; 0 at the ends.

    Parameters
    ----------
    points : even along the line, (n, 2) [mm]

    Returns
    -------
    (n,) [1/mm]
    """
    span = max(1, len(points) // 32)
    before, here, after = points[: -2 * span], points[span:-span], points[2 * span :]
    one, two, chord = here - before, after - here, after - before
    area = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
    sides = np.prod([np.linalg.norm(side, axis=1) for side in (one, two, chord)], axis=0)
    found = np.zeros(len(points))
    found[span:-span] = 2 * area / sides.clip(1e-12)
    return found
