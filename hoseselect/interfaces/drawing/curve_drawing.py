"""Tightest radius and room against the length of the cut: why it is cut to that length.

The sheet is A5 landscape like that of the route; one unit is one millimetre of it.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from hoseselect.domain.geometry import LengthCurve
from hoseselect.interfaces.drawing.curve_axes import FINE, Panel, band, curve, frame
from hoseselect.interfaces.drawing.dimension import on_white
from hoseselect.interfaces.drawing.spots import tightest_mark
from hoseselect.interfaces.drawing.svg import (
    SMALL,
    Style,
    element,
    group,
    line,
    page,
    path,
    text,
    wrapped,
)
from hoseselect.interfaces.wording import length, one_length
from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.arrays import Floats

WIDTH, HEIGHT, MARGIN = 210.0, 148.0, 6.0
LEFT, RIGHT, TOP, BOTTOM = 17.0, 136.0, 20.0, 102.0
"""Room of the panels [mm]."""
SPLIT = (68.0, 77.0)
"""Lower edge of the upper panel and upper edge of the lower one, where there are two [mm]."""
ROWS = 115.0
ROW = 9.0
"""First of the bars under the panels, and their distance [mm]."""
BAR = 3.4
COLUMN = 142.0
WORTH_SEEING = 2.5
"""Radii above this multiple of the least one, or of that at the cut, are not shown [-]."""
ROOM_SEEN = 1.5
"""Room below zero is shown to this share of the room above it [-]."""
LEAST_ROOM = 20.0
AIR = 1.08
LIMIT: Style = {"stroke": "black", "stroke_width": 0.6, "stroke_dasharray": "3 1.2"}
LOWER = {"stroke_width": "0.3", "stroke_dasharray": "1.2 0.8"}
EDGE: Style = {"stroke": "black", "stroke_width": 0.25, "stroke_dasharray": "0.8 0.8"}
NONE_WORKS = "No length works on this route with this hose."


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
        _bars(curve, last, units),
        _words(curve, units, room=len(panels) > 1),
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
    at_cut = float(np.interp(curve.chosen, lengths, radius)) if _is_chosen(curve) else 0.0
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


def _is_chosen(curve: LengthCurve) -> bool:
    return math.isfinite(curve.chosen)


def _radius_panel(own: LengthCurve, panel: Panel, units: str, *, lowest: bool) -> str:
    radius, low = np.asarray(own.radius, float), np.asarray(own.radius_low, float)
    title = f"Tightest radius, of the centreline, at the worst of its movement [{units}]"
    limit = ""
    if math.isfinite(own.least_radius) and own.least_radius > 0:
        words = f"least radius of the hose {one_length(own.least_radius, units)}"
        limit = _level(panel, own.least_radius, words, radius, own)
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
        _level(panel, 0.0, "below this line: too near", room, own),
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


def _level(panel: Panel, value: float, words: str, values: Floats, own: LengthCurve) -> str:
    """A limit with its words at the end at which the curve and the cut are farther off."""
    y = panel.y(value)
    lengths = np.asarray(own.cut, float)
    filled = np.where(np.isnan(values), panel.low_y, values)
    share = (panel.high_x - panel.low_x) * 0.3
    nearness = []
    for start, end in ((panel.low_x, panel.low_x + share), (panel.high_x - share, panel.high_x)):
        inside = (lengths >= start) & (lengths <= end)
        apart = np.abs(np.clip(filled[inside], panel.low_y, panel.high_y) - value)
        near = float(apart.min(initial=panel.high_y))
        nearness.append(near - (1e6 if start <= own.chosen <= end else 0.0))
    right = nearness[1] >= nearness[0]
    at = panel.right - 1.5 if right else panel.left + 1.5
    said = on_white(words, at, y + 3.6, text_anchor="end" if right else "")
    limit = line((panel.left, y), (panel.right, y), **LIMIT)
    return group(limit, said, id=f"{panel.name}-limit", class_="limit")


def _chosen(own: LengthCurve, panels: list[Panel], units: str) -> str:
    """The cut as an upright line through all panels, with the band of its tolerance."""
    first, last = panels[0], panels[-1]
    if not _is_chosen(own) or not last.holds(own.chosen):
        return ""
    x = last.x(own.chosen)
    edges = [last.x(own.chosen + side * own.tolerance) for side in (-1.0, 1.0)]
    drawn = "".join(
        line((edge, panel.top), (edge, panel.bottom), **EDGE) for panel in panels for edge in edges
    )
    for upper, lower in pairwise([*(panel.top for panel in panels), ROWS - BAR]):
        bottom = next((p.bottom for p in panels if p.top == upper), lower)
        drawn += line((x, upper), (x, bottom), stroke="black", stroke_width=0.8)
    left = x > (first.left + first.right) / 2
    beside = edges[0] - 1.2 if left else edges[1] + 1.2
    words = on_white(
        f"cut {one_length(own.chosen, units)}", beside, first.top + 4.2, 3.6,
        text_anchor="end" if left else "", font_weight="bold",
    )  # fmt: skip
    return group(drawn, words, id="chosen")


def _bars(own: LengthCurve, panel: Panel, units: str) -> str:
    """Three bars on the axis of the lengths: the window, what stands the errors, the cut."""
    cut = (own.chosen - own.tolerance, own.chosen + own.tolerance)
    rows = (
        ("window", "Works as measured", own.window, "white"),
        ("stood", "Stands the errors as well", own.stood, "black"),
        ("cut", "Cut, with its tolerance", cut, "white"),
    )
    drawn = ""
    for row, (name, words, (low, high), fill) in enumerate(rows):
        y = ROWS + row * ROW
        base = line((panel.left, y), (panel.right, y), **FINE)
        found = not (math.isnan(low) or math.isnan(high))
        shown = ""
        if found:
            start, end = panel.x(low), panel.x(high)
            shown = element(
                "rect", x=start, y=y - BAR / 2, width=max(end - start, 0.4), height=BAR,
                fill=fill, stroke="black", stroke_width=0.4, id=f"bar-{name}",
            )  # fmt: skip
        if name == "cut" and found:
            shown += tightest_mark(panel.x(own.chosen), y)
        said = _range(low, high, units) if found else "none"
        if name == "cut" and found:
            said = f"{one_length(own.chosen, units)} +/- {one_length(own.tolerance, units)}"
        drawn += group(
            base,
            shown,
            text(words, COLUMN, y - 0.6),
            text(said, COLUMN, y + 3.2, font_weight="bold", id=f"said-{name}"),
            id=f"row-{name}",
        )
    return drawn


def _range(low: float, high: float, units: str) -> str:
    start = one_length(low, units)
    return f"{start} or longer" if math.isinf(high) else f"{start} to {one_length(high, units)}"


def _words(own: LengthCurve, units: str, *, room: bool) -> str:
    """What is drawn, and how it was counted, beside the panels."""
    chosen = _is_chosen(own)
    cut = f"Cut {length(own.chosen, units, up=True)}" if chosen else NONE_WORKS
    errors = (
        f"Counted: {one_length(own.tape_error, units)} on the tape, {own.angle_error:g} deg on"
        f" each direction, {one_length(own.tolerance, units)} on the cut, either way."
    )
    lines = [(row, True) for row in wrapped(cut, SMALL + 0.6, WIDTH - MARGIN - COLUMN, 2)]
    y = TOP + 1.5
    drawn = ""
    for row, bold in lines:
        drawn += text(row, COLUMN, y, SMALL + 0.6, font_weight="bold" if bold else "")
        y += 4.8
    y += 2.0
    signs = [
        ("measured", path(np.array([[0.0, 0.0], [11.0, 0.0]]), stroke="black",
                          stroke_width=0.6, fill="none"), "as measured"),
        ("worse", _band_sign(), "with errors: in 95 of 100 cases no worse than the lower edge"),
        ("limit", line((0.0, 0.0), (11.0, 0.0), **LIMIT),
         "must be above it: least radius" + ("; clearance kept" if room else "")),
    ]  # fmt: skip
    for name, sign, words in signs:
        rows = wrapped(words, SMALL, WIDTH - MARGIN - COLUMN - 13.0, 3)
        written = "".join(text(row, 13.0, 1.0 + 3.8 * k) for k, row in enumerate(rows))
        moved = f"translate({COLUMN:.3f} {y:.3f})"
        drawn += group(sign, written, id=f"sign-{name}", transform=moved)
        y += 3.8 * len(rows) + 2.4
    y += 1.0
    for row in wrapped(errors, SMALL, WIDTH - MARGIN - COLUMN, 5):
        drawn += text(row, COLUMN, y)
        y += 3.9
    return group(drawn, id="words")


def _band_sign() -> str:
    strokes = "".join(line((x, -1.6), (x, 1.6), **FINE) for x in np.arange(0.6, 11.0, 1.3))
    lower = path(np.array([[0.0, 1.6], [11.0, 1.6]]), fill="none", stroke="black", **LOWER)
    return strokes + lower
