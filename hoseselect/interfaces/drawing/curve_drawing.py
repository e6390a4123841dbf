"""Tightest radius and room against the length of the cut: why it is cut to that length.

The sheet is A5 landscape like that of the route; one unit is one millimetre of it.
"""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.geometry import LengthCurve
from hoseselect.interfaces.drawing.curve_axes import Panel, band, curve, frame
from hoseselect.interfaces.drawing.curve_words import (
    BOTTOM,
    HEIGHT,
    LEFT,
    LIMIT,
    LOWER,
    MARGIN,
    RIGHT,
    TOP,
    WIDTH,
    bars,
    is_chosen,
    words_of,
)
from hoseselect.interfaces.drawing.dimension import on_white
from hoseselect.interfaces.drawing.svg import (
    SMALL,
    Style,
    group,
    line,
    page,
    text,
    text_width,
    wrapped,
)
from hoseselect.interfaces.wording import one_length
from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.arrays import Floats

SPLIT = (68.0, 77.0)
"""Lower edge of the upper panel and upper edge of the lower one, where there are two [mm]."""
WORTH_SEEING = 2.5
"""Radii above this multiple of the least one, or of that at the cut, are not shown [-]."""
ROOM_SEEN = 1.5
"""Room below zero is shown to this share of the room above it [-]."""
LEAST_ROOM = 20.0
AIR = 1.08
CUT_WORDS = 5.0
"""Room below the upper edge of a panel, where the cut is named [mm]."""
FARTHER = (9.0, -7.0, 15.0, -13.0, 21.0, -19.0)
"""Places of the words of a limit farther from it, led to it by a line [mm]."""
EDGE: Style = {"stroke": "black", "stroke_width": 0.25, "stroke_dasharray": "0.8 0.8"}


def curve_drawing(curve: LengthCurve, units: str = "mm", title: str = "") -> str:
    """Return a sheet with the curves of a hose on a free route as a file of its own.

    Parameters
    ----------
    curve : radius and room against length
    units : "mm" or "in"
    title : what is drawn

    Returns
    -------
    SVG, A5 landscape

    Raises
    ------
    InputError : fewer than two lengths, or lengths that do not rise
    """
    lengths = np.asarray(curve.cut, float)
    if len(lengths) < 2 or not np.all(np.diff(lengths) > 0):
        raise InputError("curve", "lengths that do not rise", "two rising lengths or more")
    title = title or "Why this length"
    names = wrapped(title, 5.0, WIDTH - 2 * MARGIN, 1)
    panels = _panels(curve)
    last = panels[-1]
    return page(
        WIDTH,
        HEIGHT,
        title,
        text(names[0], MARGIN, 9.0, 5.0, font_weight="bold", id="title"),
        line((MARGIN, 11.5), (WIDTH - MARGIN, 11.5), stroke="black", stroke_width="0.4"),
        _radius_panel(curve, panels[0], units, lowest=len(panels) == 1),
        _room_panel(curve, last, units) if len(panels) > 1 else "",
        text(f"Cut length, engagement at both ends included [{units}]", LEFT - 10.0,
             BOTTOM + 8.6, SMALL + 0.2, font_weight="bold"),
        _chosen(curve, panels, units),
        bars(curve, last, units),
        words_of(curve, units, room=len(panels) > 1),
    )  # fmt: skip


def has_room(curve: LengthCurve) -> bool:
    """Whether there is anything that the hose must keep clear of."""
    return bool(np.isfinite(np.asarray(curve.room, float)).any())


def _panels(curve: LengthCurve) -> list[Panel]:
    lengths = np.asarray(curve.cut, float)
    across = (float(lengths[0]), float(lengths[-1]))
    radius = np.asarray(curve.radius, float)
    seen = radius[np.isfinite(radius)]
    most = float(seen.max(initial=0.0))
    least = curve.least_radius if math.isfinite(curve.least_radius) else 0.0
    at_cut = float(np.interp(curve.chosen, lengths, radius)) if is_chosen(curve) else 0.0
    wanted = WORTH_SEEING * max(least, at_cut if math.isfinite(at_cut) else 0.0)
    top = AIR * max(min(most, wanted) if wanted > 0 else most, 1.2 * least, 1.0)
    lower = SPLIT[0] if has_room(curve) else BOTTOM
    panels = [Panel("radius", LEFT, TOP, RIGHT, lower, *across, 0.0, top)]
    if has_room(curve):
        room = np.concatenate((curve.room, curve.room_low))
        room = room[np.isfinite(room)]
        high = max(AIR * float(room.max()), LEAST_ROOM)
        low = min(max(AIR * float(room.min()), -ROOM_SEEN * high), -0.25 * high)
        panels.append(Panel("room", LEFT, SPLIT[1], RIGHT, BOTTOM, *across, low, high))
    return panels


def _radius_panel(own: LengthCurve, panel: Panel, units: str, *, lowest: bool) -> str:
    radius, low = np.asarray(own.radius, float), np.asarray(own.radius_low, float)
    title = f"Tightest radius, of the centreline, at the worst of its movement [{units}]"
    limit = ""
    if math.isfinite(own.least_radius) and own.least_radius > 0:
        words = f"least radius of the hose {one_length(own.least_radius, units)}"
        limit = _level(panel, own.least_radius, words, low, own)
    return group(
        frame(panel, title, units, figures_below=lowest),
        _curves(own, panel, low, radius),
        limit,
        id="radius",
        class_="panel",
    )


def _room_panel(own: LengthCurve, panel: Panel, units: str) -> str:
    room, low = np.asarray(own.room, float), np.asarray(own.room_low, float)
    title = f"Room beyond the clearance that is wanted [{units}]"
    return group(
        frame(panel, title, units, figures_below=True),
        _curves(own, panel, low, room),
        _level(panel, 0.0, "below this line: too near", low, own),
        id="room",
        class_="panel",
    )


def _curves(own: LengthCurve, panel: Panel, low: Floats, high: Floats) -> str:
    lengths = np.asarray(own.cut, float)
    return (
        band(panel, lengths, low, high)
        + curve(panel, lengths, low, **LOWER, class_="worse")
        + curve(panel, lengths, high, stroke_width="0.6", class_="measured")
    )


def _level(panel: Panel, value: float, words: str, low: Floats, own: LengthCurve) -> str:
    """A limit with its words, at the end and on the side where they cover least of the curves."""
    y = panel.y(value)
    high = own.radius if panel.name == "radius" else own.room
    lengths = np.linspace(panel.low_x, panel.high_x, 200)
    curves = np.array([
        [panel.x(x), panel.y(each)]
        for values in (low, high)
        for x, each in zip(lengths, np.interp(lengths, own.cut, values), strict=True)
        if not math.isnan(each)
    ])  # fmt: skip
    cut = panel.x(own.chosen) if is_chosen(own) else -math.inf
    wide = text_width(words)
    places = []
    for right in (True, False):
        start = panel.right - 1.5 - wide if right else panel.left + 1.5
        for order, off in enumerate((3.6, -1.4, *FARTHER)):
            base = y + off
            over = np.all(
                (curves > (start, base - SMALL)) & (curves < (start + wide, base + 0.8)), axis=1
            )
            beyond = not panel.top + CUT_WORDS < base - SMALL < base + 0.8 < panel.bottom
            on_cut = start - 3.0 < cut < start + wide + 3.0
            cost = int(over.sum()) + 200 * on_cut + 1000 * beyond + order / 2
            places.append((cost, right, base))
    _, right, base = min(places, key=lambda place: place[0])
    at = panel.right - 1.5 if right else panel.left + 1.5
    middle = at + (-wide if right else wide) / 2
    above = base < y
    leader = ""
    if not -1.5 < base - y < 4.0:
        foot = base + 0.8 if above else base - SMALL
        leader = line((middle, foot), (middle, y), stroke="black", stroke_width=0.2)
    said = on_white(words, at, base, text_anchor="end" if right else "")
    limit = line((panel.left, y), (panel.right, y), **LIMIT)
    return group(limit, leader, said, id=f"{panel.name}-limit", class_="limit")


def _chosen(own: LengthCurve, panels: list[Panel], units: str) -> str:
    """The cut as an upright line through all panels, with the band of its tolerance."""
    first, last = panels[0], panels[-1]
    if not is_chosen(own) or not last.holds(own.chosen):
        return ""
    x = last.x(own.chosen)
    edges = [last.x(own.chosen + side * own.tolerance) for side in (-1.0, 1.0)]
    drawn = "".join(
        line((edge, panel.top), (edge, panel.bottom), **EDGE) for panel in panels for edge in edges
    )
    drawn += "".join(
        line((x, panel.top), (x, panel.bottom), stroke="black", stroke_width=0.8)
        for panel in panels
    )
    left = x > (first.left + first.right) / 2
    beside = edges[0] - 1.2 if left else edges[1] + 1.2
    words = on_white(
        f"cut {one_length(own.chosen, units)}", beside, first.top + 4.2, 3.6,
        text_anchor="end" if left else "", font_weight="bold",
    )  # fmt: skip
    return group(drawn, words, id="chosen")
