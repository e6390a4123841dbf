"""The hose of a template in full size: outlines, marks along it, arcs of its least radius."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.geometry import NippleEnd, RouteGeometry
from hoseselect.interfaces.drawing.dimension import on_white
from hoseselect.interfaces.drawing.hose_sketch import (
    CENTRE,
    OUTLINE,
    cut_end,
    from_end_to_end,
    known,
)
from hoseselect.interfaces.drawing.label_place import Taken, nearest_edge, words_at
from hoseselect.interfaces.drawing.projection import View, along, outside, resampled, sides
from hoseselect.interfaces.drawing.route_view import LETTER
from hoseselect.interfaces.drawing.spots import has_tightest, tightest_mark
from hoseselect.interfaces.drawing.svg import (
    SMALL,
    Style,
    element,
    group,
    line,
    path,
    text,
    text_width,
)
from hoseselect.interfaces.drawing.template_plane import curvature, tight_places
from hoseselect.interfaces.wording import length
from hoseselect.mechanics.arrays import Floats
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH

AIR = 3.0
"""Room round the hose [mm]."""
MARK_EVERY = {"mm": (50.0, 50), "in": (2 * MILLIMETRES_PER_INCH, 2)}
"""Distance of the marks along a hose [mm], and in the unit that is written."""
ARCS = 3
"""Most arcs of the least radius on one template."""
HALF_ARC = math.radians(40.0)
POINTS, CLOSE = 385, 1.2
"""Least number of points along the hose, and their largest distance [mm]."""
ARC: Style = {
    "stroke": "black",
    "stroke_width": 0.35,
    "stroke_dasharray": "2.4 1.2",
    "fill": "none",
}
FINE = {"stroke": "black", "stroke_width": "0.22"}


def flat(view: View, points: Floats) -> Floats:
    """Places in full size, right and down, (..., 2) [mm]."""
    return view.plane(np.asarray(points, float)) * (1.0, -1.0)


def fine_hose(geometry: RouteGeometry) -> Floats:
    """Close points on the middle of the hose from cut end to cut end, (n, 3) [mm]."""
    points = from_end_to_end(geometry, np.asarray(geometry.centreline, float))
    return resampled(points, max(POINTS, round(float(along(points)[-1]) / CLOSE)))


def drawing_size(geometry: RouteGeometry, view: View) -> tuple[Floats, Floats]:
    """Upper left corner, and width and height, of the drawing [mm]."""
    points = flat(view, fine_hose(geometry))
    room = known(geometry.outside_diameter) / 2 + AIR
    low, high = points.min(axis=0) - room, points.max(axis=0) + room
    for nipple in (geometry.nipple_a, geometry.nipple_b):
        letter = flat(view, cut_end(nipple)) - flat(view, nipple.points) * (LETTER + 1.5)
        low = np.minimum(low, letter - LETTER - 1.0)
        high = np.maximum(high, letter + LETTER + 1.0)
    return low, high - low


def template_drawing(geometry: RouteGeometry, view: View, least_radius: float, units: str) -> str:
    """Return the hose in full size, upper left corner at the origin.

    Parameters
    ----------
    geometry : the route
    view : looking square on the plane of the template
    least_radius : least bend radius of the hose, centreline, NaN where not stated [mm]
    units : "mm" or "in"
    """
    low, size = drawing_size(geometry, view)
    half = known(geometry.outside_diameter) / 2
    even = flat(view, fine_hose(geometry)) - low
    middle = flat(view, geometry.centreline) - low
    taken = Taken((0.0, 0.0, float(size[0]), float(size[1])))
    taken.add(resampled(even, 193), half + 0.6)
    outlines = outside(sides(even, half), resampled(even, 2 * len(even)), half) if half else []
    ends = [(n, flat(view, cut_end(n)) - low, flat(view, n.mouth) - low) for n in
            (geometry.nipple_a, geometry.nipple_b)]  # fmt: skip
    return group(
        *(path(edge, fill="none", stroke="black", stroke_width=OUTLINE) for edge in outlines),
        path(middle, id="centreline", **CENTRE),
        *(_end(n, end, mouth, half, taken) for n, end, mouth in ends),
        _least_arcs(middle, least_radius, units, taken),
        _tightest(geometry, view, low, units, taken),
        _marks(geometry, view, low, half, units),
        id="hose",
    )


def _end(nipple: NippleEnd, end: Floats, mouth: Floats, half: float, taken: Taken) -> str:
    """Cut end and mouth of a nipple, square to the hose, with words."""
    name = nipple.name.lower()
    run = mouth - end
    size = float(np.linalg.norm(run))
    dot = element("circle", id=f"mouth-{name}", cx=mouth[0], cy=mouth[1], r=0.6)
    if size < 1.0:  # seen end-on, or engagement not known
        away = mouth
        parts = [dot]
    else:
        ahead = run / size
        square = np.array([-ahead[1], ahead[0]]) * half
        away = end - ahead * (LETTER + 1.5)
        parts = [
            line(end - square, end + square, stroke="black", stroke_width=str(OUTLINE)),
            line(mouth - square, mouth + square, stroke_dasharray="1.2 0.8", **FINE),
            dot,
        ]
        parts += [
            _beside(f"mouth of nipple {nipple.name}", mouth, square, taken),
            _beside(f"CUT {nipple.name}", end, square, taken),
        ]
    letter = element(
        "circle", cx=away[0], cy=away[1], r=LETTER, fill="white", stroke="black", stroke_width=0.35
    )
    parts += [letter, text(nipple.name, away[0], away[1] + 1.3, 3.6, text_anchor="middle",
                           font_weight="bold")]  # fmt: skip
    taken.boxes.append((*(away - LETTER), *(away + LETTER)))
    return group(*parts, class_="end", id=f"end-{name}")


def _beside(words: str, place: Floats, square: Floats, taken: Taken) -> str:
    """Words beside a line across the hose, led to the end of the line that is nearer."""
    box = taken.place(place + square, text_width(words), SMALL * 1.25)
    middle = np.array([box[0] + box[2], box[1] + box[3]]) / 2
    edge = place + (square if float((middle - place) @ square) > 0 else -square)
    return line(nearest_edge(box, edge), edge, **FINE) + words_at(words, box, edge)


def _least_arcs(middle: Floats, least_radius: float, units: str, taken: Taken) -> str:
    """Arcs of the least radius laid inside the tightest places of the line."""
    if not (math.isfinite(least_radius) and least_radius > 0):
        return ""
    even = resampled(middle, max(POINTS, round(float(along(middle)[-1]) / CLOSE)))
    bends = curvature(even)
    slope = np.gradient(even, axis=0)
    arcs = []
    for number, place in enumerate(tight_places(even, ARCS)):
        if abs(bends[place]) * least_radius < 0.2:
            continue  # nearly straight: an arc there would say nothing
        ahead = slope[place] / np.linalg.norm(slope[place])
        inward = np.array([-ahead[1], ahead[0]]) * np.sign(bends[place])
        angles = np.linspace(-HALF_ARC, HALF_ARC, 61)[:, None]
        arc = even[place] + least_radius * (np.sin(angles) * ahead + (1 - np.cos(angles)) * inward)
        arcs.append(path(arc, id=f"least-arc-{number}", class_="least-arc", **ARC))
        taken.add(arc, 0.4, heavy=False)
        if not number:
            words = f"may be bent to R {length(least_radius, units)}"
            box = taken.place(arc[0], text_width(words), SMALL * 1.25)
            arcs.append(line(nearest_edge(box, arc[0]), arc[0], **FINE))
            arcs.append(words_at(words, box, arc[0]))
    return group(*arcs, id="least-arcs") if arcs else ""


def _tightest(geometry: RouteGeometry, view: View, low: Floats, units: str, taken: Taken) -> str:
    if not has_tightest(geometry):
        return ""
    spot = flat(view, geometry.tightest_at) - low
    words = f"tightest R {length(geometry.tightest_radius, units)}"
    box = taken.place(spot, text_width(words), SMALL * 1.25)
    return group(
        line(nearest_edge(box, spot), spot, **FINE),
        tightest_mark(float(spot[0]), float(spot[1])),
        words_at(words, box, spot),
        id="tightest",
    )


def _marks(geometry: RouteGeometry, view: View, low: Floats, half: float, units: str) -> str:
    """Ticks along the hose with their distance from the mouth of nipple A."""
    points = np.asarray(geometry.centreline, float)
    places = along(points)
    paper = flat(view, points) - low
    slope = np.gradient(paper, axis=0)
    marks = []
    step, written = MARK_EVERY[units]
    for count, distance in enumerate(np.arange(step, places[-1] - 10.0, step), start=1):
        spot = np.array([np.interp(distance, places, column) for column in paper.T])
        ahead = np.array([np.interp(distance, places, column) for column in slope.T])
        size = float(np.linalg.norm(ahead))
        if size < 1e-9:
            continue
        square = np.array([-ahead[1], ahead[0]]) / size
        reach = max(half - 0.5, 1.0)
        marks.append(line(spot + square * (reach - 2.0), spot + square * reach, **FINE))
        marks.append(line(spot - square * (reach - 2.0), spot - square * reach, **FINE))
        if half > 4.5:
            at = spot + square * max(half - 6.0, 0.0)
            words = f"{count * written}"
            marks.append(on_white(words, at[0], at[1] + 1.0, SMALL, text_anchor="middle"))
    return group(*marks, id="marks", class_="marks")
