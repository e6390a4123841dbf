"""Dimension lines, arrows and notes with a leader."""

from __future__ import annotations

import numpy as np

from hoseselect.interfaces.drawing.svg import (
    SMALL,
    Style,
    closed_path,
    element,
    group,
    line,
    text,
    text_width,
)
from hoseselect.mechanics.arrays import Floats

THIN: Style = {"stroke": "black", "stroke_width": "0.2"}
HEAD = 2.2
"""Length of an arrow head [mm]."""


def on_white(words: str, x: float, y: float, size: float = SMALL, /, **attributes: str) -> str:
    """Return a line of text on a white ground, so that it can be read where it stands on lines.

    Parameters
    ----------
    words : the text
    x, y : left end, middle or right end of its baseline, by `text_anchor` [mm]
    size : of the letters [mm]
    attributes : of the text; a `transform` turns the ground as well
    """
    wide = 0.9 * text_width(words, size)
    start = x - wide * {"middle": 0.5, "end": 1.0}.get(attributes.get("text_anchor", ""), 0.0)
    ground = element(
        "rect", x=start - 0.3, y=y - 0.82 * size, width=wide + 0.6, height=1.08 * size,
        fill="white", transform=attributes.get("transform", ""),
    )  # fmt: skip
    return ground + text(words, x, y, size, **attributes)


def arrow_head(tip: Floats, heading: Floats, size: float = HEAD) -> str:
    """Return a filled arrow head.

    Parameters
    ----------
    tip : its point (2,) [mm]
    heading : where it points, unit vector (2,)
    size : its length [mm]
    """
    square = np.array([-heading[1], heading[0]])
    back = tip - size * heading
    corners = np.array([tip, back + 0.3 * size * square, back - 0.3 * size * square])
    return closed_path(corners, fill="black", stroke="none")


def arrow(start: Floats, end: Floats, size: float = HEAD, **attributes: str) -> str:
    """Return a line with an arrow head at its end."""
    heading = (end - start) / np.linalg.norm(end - start)
    return line(start, end - 0.5 * size * heading, **(THIN | attributes)) + arrow_head(
        end, heading, size
    )


def dimension(
    name: str, start: Floats, end: Floats, at: float, words: str, *, upright: bool
) -> str:
    """Return a dimension between two places, measured level or upright.

    Parameters
    ----------
    name : id
    start, end : places that are measured (2,) [mm]
    at : height of a level dimension line, or position of an upright one [mm]
    words : the length, both units
    upright : whether the dimension line stands upright
    """
    axis = 1 if upright else 0
    places = sorted((start, end), key=lambda p: float(p[axis]))
    low, high = (_moved(place, 1 - axis, at) for place in places)
    room = float(high[axis] - low[axis])
    heading = (high - low) / room
    parts = [_extension(place, foot) for place, foot in zip(places, (low, high), strict=True)]
    if room >= 3 * HEAD:
        parts += [line(low, high, **THIN), arrow_head(low, -heading), arrow_head(high, heading)]
    else:  # too short: arrows from outside
        outer = 2 * HEAD * heading
        parts += [line(low - outer, high + outer, **THIN)]
        parts += [arrow_head(low, heading), arrow_head(high, -heading)]
    middle = (low + high) / 2
    turn = f"rotate(-90 {middle[0]:.3f} {middle[1]:.3f})" if upright else ""
    parts.append(on_white(words, middle[0], middle[1] + 3.7, text_anchor="middle", transform=turn))
    return group(*parts, id=name, class_="dimension")


def _moved(place: Floats, axis: int, value: float) -> Floats:
    moved = place.copy()
    moved[axis] = value
    return moved


def _extension(place: Floats, foot: Floats) -> str:
    """Thin line from a measured place to a little beyond the dimension line."""
    away = foot - place
    size = float(np.linalg.norm(away))
    if size < 1e-9:
        return ""
    return line(place, foot + away / size * 0.8, **THIN)
