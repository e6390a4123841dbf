"""A hose, its ghosts and its nipples as seen in one view."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from hoseselect.domain.geometry import NippleEnd, RouteGeometry
from hoseselect.interfaces.drawing.projection import (
    Placed,
    along,
    circle,
    outside,
    resampled,
    sides,
)
from hoseselect.interfaces.drawing.svg import Style, closed_path, element, group, line, path
from hoseselect.mechanics.arrays import Floats

Bools = npt.NDArray[np.bool_]

OUTLINE = 0.45
"""Width of the lines of hose and nipples [mm]."""
FINE = 0.22
METAL = "#c4c4c4"
"""Nipples are grey and the hose is white, so that nobody takes one for the other."""
POINTS = 129
FINE_POINTS = 513
"""Points of a hose that crosses itself in a view."""
ROOT = 5.0
"""Length of a nipple drawn behind the end of the hose, on paper [mm]."""
EXTREME: Style = {
    "stroke": "black",
    "stroke_width": FINE,
    "stroke_dasharray": "1.6 1",
    "fill": "none",
}
OTHER: Style = {"stroke": "black", "stroke_width": 0.3, "stroke_dasharray": "5 1 0.6 1 0.6 1"}
OTHER |= {"fill": "none"}
MOVED = EXTREME | {"stroke_dasharray": "2.6 0.7 0.5 0.7"}
CENTRE: Style = {"stroke": "black", "stroke_width": FINE, "stroke_dasharray": "5 0.9 0.9 0.9"}
CENTRE |= {"fill": "none"}


def known(value: float) -> float:
    """Return a length, 0 where it is not known."""
    return value if math.isfinite(value) else 0.0


def cut_end(nipple: NippleEnd) -> Floats:
    """Where the hose ends on a nipple, (3,) [mm]."""
    return nipple.mouth - nipple.points * known(nipple.engagement)


def whole_hose(geometry: RouteGeometry) -> Floats:
    """Points on the middle of the hose from cut end to cut end, (POINTS + 2, 3) [mm]."""
    return from_end_to_end(geometry, resampled(np.asarray(geometry.centreline, float), POINTS))


def from_end_to_end(geometry: RouteGeometry, middle: Floats) -> Floats:
    """The middle of the hose from mouth to mouth, (n, 3), with both cut ends, (n + 2, 3) [mm]."""
    return np.vstack((cut_end(geometry.nipple_a), middle, cut_end(geometry.nipple_b)))


def hose(geometry: RouteGeometry, placed: Placed) -> str:
    """Return the hose: two outlines, nearer parts over farther ones, and its centreline."""
    points = whole_hose(geometry)
    wide = known(geometry.outside_diameter) * placed.scale
    crossing = wide > 0 and bool(crossings(placed.paper(points), wide).any())
    if crossing:
        points = resampled(points, FINE_POINTS)
    line_on_paper = placed.paper(points)
    parts = []
    if wide > 0:
        rims = [_rim(geometry, nipple, placed) for nipple in (geometry.nipple_a, geometry.nipple_b)]
        over = crossings(line_on_paper, wide)
        chunks = _parts(over, placed.view.depth(points)) if crossing else [(0, len(points) - 1)]
        bands = [_band(line_on_paper, first, last, wide) for first, last in chunks]
        parts = [*rims, group(*bands, class_="hose-outline")]
        parts += [
            rim
            for rim, nipple in zip(rims, (geometry.nipple_a, geometry.nipple_b), strict=True)
            if placed.view.depth(nipple.points) < -0.02
        ]
    middle = placed.paper(np.asarray(geometry.centreline, float))
    parts.append(path(middle, class_="centreline", **CENTRE))
    return group(*parts, class_="hose")


def _rim(geometry: RouteGeometry, nipple: NippleEnd, placed: Placed) -> str:
    ring = circle(cut_end(nipple), nipple.points, geometry.outside_diameter / 2)
    return closed_path(
        placed.paper(ring), fill="white", stroke="black", stroke_width=OUTLINE,
        class_="hose-end",
    )  # fmt: skip


def crossings(points: Floats, wide: float) -> Bools:
    """Which points of a band along a line on paper lie over which others, (n, n)."""
    places = along(points)
    apart = np.linalg.norm(points[:, None, :] - points[None, :, :], axis=2)
    far = np.abs(places[:, None] - places[None, :]) > 2.0 * wide
    return np.asarray(far & (apart < wide), dtype=np.bool_)


def _parts(over: Bools, depth: Floats) -> list[tuple[int, int]]:
    """First and last point of parts that do not cross themselves, farthest first."""
    bounds = [0]
    for point in range(len(over)):
        mates = np.flatnonzero(over[point, bounds[-1] : point])
        if len(mates):
            bounds.append((bounds[-1] + int(mates[-1]) + point) // 2)
    parts = list(pairwise([*bounds, len(over) - 1]))
    crossing = np.asarray(over.any(axis=0))

    def nearness(part: tuple[int, int]) -> float:
        inside = np.arange(part[0], part[1] + 1)
        decisive = inside[crossing[inside]]
        return float(depth[decisive if len(decisive) else inside].mean())

    return sorted(parts, key=nearness)


def _band(points: Floats, first: int, last: int, wide: float) -> str:
    """A part of the hose: black band, and a white one in it that runs into its neighbours."""
    inner = points[max(first - 1, 0) : last + 2]
    shape: Style = {"fill": "none", "stroke_linejoin": "round", "stroke_linecap": "butt"}
    return path(
        points[first : last + 1], stroke="black", stroke_width=wide + OUTLINE, **shape
    ) + path(inner, stroke="white", stroke_width=max(wide - OUTLINE, 0.1), **shape)


def nipple_stub(nipple: NippleEnd, wide: float, placed: Placed) -> str:
    """Return the part of a nipple that shows behind the end of the hose.

    Parameters
    ----------
    nipple : the nipple
    wide : its outside diameter as drawn [mm]
    placed : the view
    """
    end = cut_end(nipple)
    root = end - nipple.points * ROOT / placed.scale
    ends = placed.paper(np.stack((end, root)))
    shape: Style = {"fill": "none", "stroke_linecap": "butt"}
    size = wide * placed.scale
    ring = placed.paper(circle(root, nipple.points, wide / 2))
    return group(
        path(ends, stroke="black", stroke_width=size + OUTLINE, **shape),
        path(ends, stroke=METAL, stroke_width=max(size - OUTLINE, 0.1), **shape),
        closed_path(ring, fill=METAL, stroke="black", stroke_width=OUTLINE),
        class_="nipple",
    )


def nipple_inside(nipple: NippleEnd, wide: float, placed: Placed) -> str:
    """Return the hidden edges of a nipple inside the hose, and the point of its mouth."""
    ends = placed.paper(np.stack((cut_end(nipple), nipple.mouth)))
    name = f"{placed.view.name}-mouth-{nipple.name.lower()}"
    mouth = element("circle", id=name, class_="mouth", cx=ends[1][0], cy=ends[1][1], r=0.6)
    run = ends[1] - ends[0]
    if np.linalg.norm(run) < 1.0:
        return mouth
    square = np.array([-run[1], run[0]]) / np.linalg.norm(run) * wide * placed.scale / 2
    hidden = {"stroke": "black", "stroke_width": "0.22", "stroke_dasharray": "0.9 0.7"}
    return (
        line(ends[0] + square, ends[1] + square, **hidden)
        + line(ends[0] - square, ends[1] - square, **hidden)
        + line(ends[1] - square, ends[1] + square, **hidden)
        + mouth
    )


def extremes(geometry: RouteGeometry, placed: Placed) -> list[str]:
    """Return a ghost for each extreme of movement: its outline where it is outermost, its end."""
    lines = [placed.paper(resampled(np.asarray(x, float), POINTS)) for x in geometry.extremes]
    half = known(geometry.outside_diameter) * placed.scale / 2
    ghosts = []
    for number, middle in enumerate(lines):
        edges = list(sides(middle, half))
        for other in lines:
            edges = outside(tuple(edges), resampled(other, 2 * POINTS), half)
        drawn = "".join(path(edge, **EXTREME) for edge in edges)
        ghosts.append(group(drawn, class_="extreme", id=f"{placed.view.name}-extreme-{number}"))
    return ghosts


def moved_line(geometry: RouteGeometry, number: int, placed: Placed) -> str:
    """Return the centreline at the extreme of movement at which a spot is marked.

    Parameters
    ----------
    geometry : the route
    number : position among the extremes
    placed : the view
    """
    points = placed.paper(np.asarray(geometry.extremes[number], float))
    name = f"{placed.view.name}-moved-{number}"
    return path(points, class_="moved-line", id=name, **MOVED)


def extreme_ends(geometry: RouteGeometry, placed: Placed) -> str:
    """Return a small cross where the mouth of nipple B stands at each extreme."""
    crosses = ""
    for points in geometry.extremes:
        end = placed.paper(points[-1])
        for arm in ((0.8, 0.0), (0.0, 0.8)):
            crosses += line(end - arm, end + arm, stroke="black", stroke_width="0.22")
    return group(crosses, class_="extreme-ends") if crosses else ""


def others(geometry: RouteGeometry, placed: Placed) -> list[str]:
    """Return the outlines of the other ways in which the hose can lie."""
    half = known(geometry.outside_diameter) * placed.scale / 2
    ghosts = []
    for number, points in enumerate(geometry.others):
        middle = placed.paper(resampled(np.asarray(points, float), POINTS))
        edges = outside(sides(middle, half), resampled(middle, 2 * POINTS), half)
        drawn = "".join(path(edge, **OTHER) for edge in edges)
        ghosts.append(group(drawn, class_="other", id=f"{placed.view.name}-other-{number}"))
    return ghosts


def clips(geometry: RouteGeometry, placed: Placed) -> list[str]:
    """Return a band across the hose at each clip."""
    middle = np.asarray(geometry.centreline, float)
    slope = np.gradient(middle, axis=0)
    wide = known(geometry.outside_diameter) * placed.scale + 2.4
    found = []
    for number, place in enumerate(np.asarray(geometry.clips, float).reshape(-1, 3)):
        nearest = int(np.linalg.norm(middle - place, axis=1).argmin())
        ahead = placed.heading(slope[nearest] / np.linalg.norm(slope[nearest]))
        turn = math.degrees(math.atan2(float(ahead[1]), float(ahead[0])))
        x, y = placed.paper(place)
        band = element(
            "rect", x=x - 1.1, y=y - wide / 2, width=2.2, height=wide, fill="black",
            stroke="white", stroke_width=0.3, transform=f"rotate({turn:.2f} {x:.3f} {y:.3f})",
        )  # fmt: skip
        found.append(group(band, class_="clip", id=f"{placed.view.name}-clip-{number}"))
    return found
