"""Spots on a route that matter, each marked and named: tightest, least gap, low spot."""

from __future__ import annotations

import math
from functools import partial

import numpy as np

from hoseselect.domain.geometry import Gap, RouteGeometry
from hoseselect.interfaces.drawing.dimension import arrow, arrow_head, on_white
from hoseselect.interfaces.drawing.label_place import Box, Taken, nearest_edge
from hoseselect.interfaces.drawing.projection import Placed
from hoseselect.interfaces.drawing.svg import (
    SMALL,
    Style,
    element,
    group,
    line,
    text_width,
    wrapped,
)
from hoseselect.interfaces.wording import one_length
from hoseselect.mechanics.arrays import Floats

NAME_WIDTH = 38.0
NOTE_LINES = 5
ROW = 1.25 * SMALL
"""Room of a line of a note [mm]."""
TIP = 1.6
"""Length of the arrow heads at a spot [mm]."""
LEAST_RUN = 0.4
"""Gaps that look shorter are ringed, not dimensioned [mm]."""


def has_tightest(geometry: RouteGeometry) -> bool:
    """Whether the route bends at all."""
    at = np.asarray(geometry.tightest_at, float)
    return bool(np.isfinite(at).all() and math.isfinite(geometry.tightest_radius))


def moved(geometry: RouteGeometry) -> bool:
    """Whether the hose bends tighter somewhere in its movement than it does at rest."""
    return geometry.worst_at is not None


def tightest_mark(x: float, y: float, *, moved: bool = False) -> str:
    """Return the mark of a tightest spot: a diamond, black at rest, open where the hose moved."""
    corners = f"M{x:.3f} {y - 1.5:.3f} l1.5 1.5 l-1.5 1.5 l-1.5 -1.5 Z"
    if not moved:
        return element("path", d=corners, fill="black", stroke="white", stroke_width=0.3)
    ground = element("path", d=corners, fill="white", stroke="white", stroke_width=0.9)
    return ground + element("path", d=corners, fill="white", stroke="black", stroke_width=0.4)


def low_mark(x: float, y: float) -> str:
    """Return the mark of a low spot: a drop."""
    drop = (
        f"M{x:.3f} {y - 1.9:.3f} C{x + 0.5:.3f} {y - 0.6:.3f} {x + 1.3:.3f} {y - 0.1:.3f}"
        f" {x + 1.3:.3f} {y + 0.6:.3f} A1.3 1.3 0 0 1 {x - 1.3:.3f} {y + 0.6:.3f}"
        f" C{x - 1.3:.3f} {y - 0.1:.3f} {x - 0.5:.3f} {y - 0.6:.3f} {x:.3f} {y - 1.9:.3f} Z"
    )
    return element("path", d=drop, fill="black", stroke="white", stroke_width=0.3)


def note(words: str, anchor: Floats, taken: Taken, sign: str, pointer: str = "arrow") -> str:
    """Return words beside a place, with a line to it.

    Parameters
    ----------
    words : broken into lines of NAME_WIDTH
    anchor : the place, (2,) [mm]
    taken : what is on the paper already; the words are added
    sign : what marks the place, drawn over the line
    pointer : "arrow", or "line" for a plain one
    """
    rows = wrapped(words, SMALL, NAME_WIDTH, NOTE_LINES)
    wide = max(text_width(row) for row in rows) + 0.6
    box: Box = taken.place(anchor, wide, ROW * len(rows))
    right = anchor[0] > (box[0] + box[2]) / 2
    style = {"text_anchor": "end"} if right else {"text_anchor": ""}
    written = "".join(
        on_white(row, box[2 if right else 0], box[1] + (k + 0.85) * ROW, **style)
        for k, row in enumerate(rows)
    )
    edge = nearest_edge(box, anchor)
    far = float(np.linalg.norm(edge - anchor)) > 1.0
    to_it = ""
    if far and pointer == "arrow":
        to_it = arrow(edge, anchor, TIP)
    elif far:
        to_it = line(edge, anchor, stroke="black", stroke_width="0.2")
    return to_it + sign + written


def tightest_spots(
    geometry: RouteGeometry, placed: Placed, units: str, taken: Taken, *, named: bool
) -> str:
    """Return the tightest spots at rest and in the worst movement, in one view with the radii."""
    if not has_tightest(geometry):
        return ""
    worst = geometry.worst_at
    spots = [(geometry.tightest_at, geometry.tightest_radius, False)]
    if worst is not None:
        spots.append((worst, geometry.worst_radius, True))
    drawn = ""
    for at, radius, is_moved in spots:
        spot = placed.paper(np.asarray(at, float))
        words = f"{'Tightest ' * (not is_moved)}R {one_length(radius, units)}"
        if worst is not None:
            words += " at worst movement" if is_moved else " at rest"
        mark = tightest_mark(float(spot[0]), float(spot[1]), moved=is_moved)
        name = "worst" if is_moved else "tightest"
        drawn += group(
            note(words, spot, taken, mark) if named else mark,
            class_=name,
            id=f"{placed.view.name}-{name}",
        )
    return drawn


def view_of_gap(gap: Gap, views: list[Placed]) -> Placed:
    """Return the view in which a gap looks longest, the first of equals."""
    seen = [float(np.ptp(view.paper(gap.at), axis=0) @ np.ptp(view.paper(gap.at), axis=0))
            for view in views]  # fmt: skip
    return views[int(np.argmax(np.round(seen, 6)))]


def gap_dimension(gap: Gap, placed: Placed, units: str, taken: Taken) -> str:
    """Return the least gap as a dimension between the cover of the hose and what is near.

    Parameters
    ----------
    gap : the gap
    placed : the view
    units : "mm" or "in"
    taken : what is on the paper already
    """
    start, end = placed.paper(np.asarray(gap.at, float))
    run = float(np.linalg.norm(end - start))
    middle = (start + end) / 2
    if run < LEAST_RUN:
        shape: Style = {"fill": "none", "stroke_width": 0.4}
        sign = element("circle", cx=middle[0], cy=middle[1], r=1.3, stroke="white",
                       **(shape | {"stroke_width": 1.0}))  # fmt: skip
        sign += element("circle", cx=middle[0], cy=middle[1], r=1.3, stroke="black", **shape)
        taken.add(middle[None, :], 1.5)
    else:
        sign = _short_dimension(start, end, taken)
    said = gap.words(partial(one_length, units=units))
    words = note(said[0].upper() + said[1:], middle, taken, sign, "line")
    return group(words, class_="gap", id=f"{placed.view.name}-gap")


def _short_dimension(start: Floats, end: Floats, taken: Taken) -> str:
    """A line between two places, its arrow heads inside where they fit, else from outside."""
    run = float(np.linalg.norm(end - start))
    heading = (end - start) / run
    square = np.array([-heading[1], heading[0]])
    inside = run >= 3 * TIP
    over = 0.0 if inside else 2 * TIP
    first, last = start - over * heading, end + over * heading
    taken.add(np.linspace(first, last, 9), 0.9)
    way = -1.0 if inside else 1.0
    ticks = "".join(
        line(place - 1.1 * square, place + 1.1 * square, stroke="black", stroke_width="0.25")
        for place in (start, end)
    )
    return group(
        line(first, last, stroke="white", stroke_width="1"),
        line(first, last, stroke="black", stroke_width="0.3"),
        ticks,
        arrow_head(start, way * heading, TIP),
        arrow_head(end, -way * heading, TIP),
    )


def low_spot(geometry: RouteGeometry, placed: Placed, taken: Taken, *, named: bool) -> str:
    """Return the low spot as a drop, and its words in the view that shows heights."""
    if geometry.low_point is None:
        return ""
    spot = placed.paper(np.asarray(geometry.low_point.at, float))
    mark = low_mark(float(spot[0]), float(spot[1]))
    drawn = note(f"Low spot {geometry.low_point.words}", spot, taken, mark) if named else mark
    return group(drawn, class_="low-spot", id=f"{placed.view.name}-low-spot")
