"""The tightest bend in its own plane, with its radius."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.drawing.dimension import THIN, arrow, on_white
from hoseselect.interfaces.drawing.hose_sketch import CENTRE, OUTLINE, known
from hoseselect.interfaces.drawing.projection import Placed, View, along
from hoseselect.interfaces.drawing.scale import fitting_scale, scale_bar, scale_words
from hoseselect.interfaces.drawing.spots import has_tightest, moved, tightest_mark
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
from hoseselect.interfaces.wording import length
from hoseselect.mechanics.arrays import Floats

Box = tuple[float, float, float, float]
ARC = math.radians(50.0)
"""Half of the arc of the radius as drawn."""
FOOT = 14.0
"""Room below the bend for the words and the scale [mm]."""


@dataclass(frozen=True, eq=False)
class TightestBend:
    """The tightest bend in its own plane.

    Parameters
    ----------
    view : looking square on its plane, the middle of the bend uppermost
    centre : of its radius, (3,) [mm]
    spot : tightest spot, (3,) [mm]
    radius : of the centreline [mm]
    """

    view: View
    centre: Floats
    spot: Floats
    radius: float


def tightest_bend(geometry: RouteGeometry) -> TightestBend:
    """Return the plane of the tightest bend of a route that bends.

    Parameters
    ----------
    geometry : a route whose tightest spot is known
    """
    points = np.asarray(geometry.centreline, float)
    spot = np.asarray(geometry.tightest_at, float)
    nearest = int(np.linalg.norm(points - spot, axis=1).argmin())
    nearest = min(max(nearest, 1), len(points) - 2)
    normal = np.asarray(geometry.tightest_normal, float)
    ahead = points[nearest + 1] - points[nearest - 1]
    ahead = ahead - normal * float(ahead @ normal)
    ahead /= np.linalg.norm(ahead)
    inward = np.cross(normal, ahead)
    span = max(1, len(points) // 16)
    chord = points[min(nearest + span, len(points) - 1)] + points[max(nearest - span, 0)]
    if float((chord / 2 - points[nearest]) @ inward) < 0:
        inward = -inward
    view = View("bend", "Tightest bend, in its own plane", ahead, -inward)
    radius = geometry.tightest_radius
    return TightestBend(view, spot + radius * inward, spot, radius)


def bend_view(geometry: RouteGeometry, box: Box, units: str) -> str:
    """Return the look at the tightest bend, square on its plane, in a frame.

    Parameters
    ----------
    geometry : the route
    box : left, top, right, bottom of the frame [mm]
    units : "mm" or "in"
    """
    left, top, right, bottom = box
    heading = text(
        "Tightest bend, in its own plane", left, top - 1.4, SMALL + 0.2, class_="view-title",
        font_weight="bold",
    )  # fmt: skip
    frame = element(
        "rect", x=left, y=top, width=right - left, height=bottom - top, fill="none",
        stroke="black", stroke_width=0.2,
    )  # fmt: skip
    if not has_tightest(geometry):
        words = text("The route is straight: no bend.", (left + right) / 2, (top + bottom) / 2,
                     text_anchor="middle")  # fmt: skip
        return group(heading, frame, words, id="bend", class_="view")
    bend = tightest_bend(geometry)
    placed = _placed(geometry, bend, box)
    clip = element(
        "clipPath",
        element("rect", x=left, y=top, width=right - left, height=bottom - FOOT - top),
        id="bend-room",
    )
    words = f"R {length(bend.radius, units)}" + (" at rest" if moved(geometry) else "")
    foot = text(words, left + 2.0, bottom - FOOT + 3.6, SMALL + 0.4, font_weight="bold")
    foot += text(scale_words(placed.scale), right - 2.0, bottom - 2.2, text_anchor="end")
    bar = scale_bar("bend-scale", placed.scale, left + 2.0, bottom - 8.6, 34.0)
    drawn = group(_hose(geometry, placed), _radius(bend, placed), clip_path="url(#bend-room)")
    edge = line((left, bottom - FOOT), (right, bottom - FOOT), **THIN)
    return group(clip, heading, frame, drawn, edge, foot, bar, id="bend", class_="view")


def _placed(geometry: RouteGeometry, bend: TightestBend, box: Box) -> Placed:
    """Place the bend so that spot, arc and, where there is room for it, centre are seen."""
    left, top, right, bottom = box
    wide, high = right - left - 6.0, bottom - FOOT - top - 6.0
    half = known(geometry.outside_diameter) / 2
    span = along(np.asarray(geometry.centreline, float))[-1]
    sight = min(bend.radius, max(span / 2, 3 * half))
    across, down = 2.05 * (0.8 * sight + half), 1.1 * sight + half
    scale = fitting_scale(min(wide / across, high / down))
    spot = np.array([(left + right) / 2, top + 3.0 + half * scale])
    used = (sight + half) * scale
    spot[1] += max(high - used, 0.0) / 2
    origin = spot - bend.view.plane(bend.spot) * (scale, -scale)
    room = (left, top, right, bottom - FOOT)
    return Placed(bend.view, scale, origin, room, room)


def _hose(geometry: RouteGeometry, placed: Placed) -> str:
    points = placed.paper(_near(geometry))
    wide = known(geometry.outside_diameter) * placed.scale
    shape: Style = {"fill": "none", "stroke_linejoin": "round"}
    bands = ""
    if wide > 0:
        bands = path(points, stroke="black", stroke_width=wide + OUTLINE, **shape)
        longer = np.vstack((2 * points[0] - points[1], points, 2 * points[-1] - points[-2]))
        bands += path(longer, stroke="white", stroke_width=max(wide - OUTLINE, 0.1), **shape)
    return group(bands, path(points, class_="centreline", **CENTRE), class_="hose")


def _near(geometry: RouteGeometry) -> Floats:
    """The part of the centreline within half a turn of the tightest spot, (n, 3) [mm]."""
    points = np.asarray(geometry.centreline, float)
    places = along(points)
    nearest = int(np.linalg.norm(points - geometry.tightest_at, axis=1).argmin())
    reach = max(math.pi * geometry.tightest_radius / 2, 2 * known(geometry.outside_diameter))
    near: Floats = points[np.abs(places - places[nearest]) <= reach + 2.0]
    return near if len(near) > 1 else points


def _radius(bend: TightestBend, placed: Placed) -> str:
    """The arc of the radius, its centre and an arrow from there to the spot."""
    angles = np.linspace(-ARC, ARC, 61)[:, None]
    arc = bend.centre + bend.radius * (
        np.sin(angles) * bend.view.right + np.cos(angles) * bend.view.up
    )
    centre, spot = placed.paper(np.stack((bend.centre, bend.spot)))
    right, bottom = placed.cell[2:]
    start = np.array([centre[0], min(centre[1], bottom - 1.0)])
    seen = centre[1] < bottom - 1.0
    cross = "".join(line(centre - arm, centre + arm, **THIN) for arm in ((1.6, 0.0), (0.0, 1.6)))
    arm = placed.paper(arc[[0, -1]])
    spokes = "".join(
        line(centre, end, stroke="black", stroke_width="0.15", stroke_dasharray="1 1")
        for end in arm
    )
    at = (start + spot) / 2
    label = on_white("R", at[0] + 1.2, at[1] + 1.0)
    far = "centre outside the frame"
    start_of_note = min(at[0] + 1.2, right - text_width(far))
    note = "" if seen else on_white(far, start_of_note, at[1] + 4.6)
    return group(
        path(placed.paper(arc), id="bend-arc", fill="none", stroke="black", stroke_width=0.35),
        group(cross, spokes) if seen else "",
        group(arrow(start, spot + np.array([0.0, 0.6])), id="bend-radius"),
        tightest_mark(float(spot[0]), float(spot[1])),
        label,
        note,
        class_="tightest",
    )
