"""Hatches of keep-outs, and the teeth where one is cut off.

Hatches are plain lines that end on the outline: patterns do not look alike in all viewers.
"""

from __future__ import annotations

import math

import numpy as np

from hoseselect.interfaces.drawing.projection import Box
from hoseselect.interfaces.drawing.svg import Style, element, number, path
from hoseselect.mechanics.arrays import Floats

HATCH: Style = {"stroke": "black", "stroke_width": 0.18, "fill": "none"}
RISING, FALLING = (0.5**0.5, -(0.5**0.5)), (0.5**0.5, 0.5**0.5)
"""Directions of the lines of a hatch, unit vectors."""
COLD, HOT = 2.2, 1.6
"""Distance between the lines of a hatch [mm]."""
TOOTH = 0.7
"""Height of the teeth of a line where a keep-out is cut off [mm]."""


def hatch(outline: Floats, room: Box, *, hot: bool, apart: float = 1.0) -> str:
    """Return the hatch of a keep-out: lines one way, or both ways where it is hot.

    Parameters
    ----------
    outline : convex, corners in order (n, 2) [mm]
    room : left, top, right, bottom beyond which nothing is drawn [mm]
    hot : whether it is a heat source
    apart : distance of the lines over the usual one [-]
    """
    inward, offsets = half_planes(outline, room)
    apart *= HOT if hot else COLD
    steps = ""
    for along in (RISING, FALLING) if hot else (RISING,):
        heading = np.array(along)
        across = np.array([-heading[1], heading[0]])
        corners = np.array([[x, y] for x in room[::2] for y in room[1::2]])
        low, high = _span(outline @ across), _span(corners @ across)
        first, last = max(low[0], high[0]) / apart, min(low[1], high[1]) / apart
        for count in range(math.ceil(first), math.floor(last) + 1):
            ends = _inside(count * apart * across, heading, inward, offsets)
            if ends is not None:
                (x1, y1), (x2, y2) = ends
                steps += f"M{number(x1)} {number(y1)} L{number(x2)} {number(y2)} "
    return element("path", d=steps.rstrip(), class_="hatch", **HATCH) if steps else ""


def _span(values: Floats) -> tuple[float, float]:
    return float(values.min()), float(values.max())


def half_planes(outline: Floats, room: Box) -> tuple[Floats, Floats]:
    """Return the half planes that a convex outline and a room share.

    Parameters
    ----------
    outline : convex, corners in order (n, 2) [mm]
    room : left, top, right, bottom [mm]

    Returns
    -------
    directions inward (n + 4, 2) and offsets (n + 4,): inside is where all products reach these
    """
    ahead = np.roll(outline, -1, axis=0) - outline
    inward = np.column_stack((-ahead[:, 1], ahead[:, 0]))
    offsets = (inward * outline).sum(axis=1)
    if (inward @ outline.mean(axis=0) - offsets).sum() < 0:
        inward, offsets = -inward, -offsets
    left, top, right, bottom = room
    walls = np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]])
    return np.vstack((inward, walls)), np.hstack((offsets, (left, top, -right, -bottom)))


def _inside(
    start: Floats, heading: Floats, inward: Floats, offsets: Floats
) -> tuple[Floats, Floats] | None:
    """Both ends of the part of a line that lies inside all half planes; None where none does."""
    slope, room = inward @ heading, inward @ start - offsets
    level = np.abs(slope) < 1e-9
    if np.any(room[level] < 0):
        return None
    reached = -room[~level] / slope[~level]
    rising = slope[~level] > 0
    first = float(reached[rising].max(initial=-math.inf))
    last = float(reached[~rising].min(initial=math.inf))
    if last - first < 1e-3:
        return None
    return start + first * heading, start + last * heading


def broken_off(outline: Floats, room: Box) -> str:
    """Return a toothed line where a keep-out goes on beyond the room of the view.

    Parameters
    ----------
    outline : convex, corners in order (n, 2) [mm]
    room : left, top, right, bottom [mm]
    """
    inward, offsets = half_planes(outline, room)
    left, top, right, bottom = room
    drawn = ""
    for corner, heading, sight in (
        ((left, top), (1.0, 0.0), (0.0, 1.0)), ((left, bottom), (1.0, 0.0), (0.0, -1.0)),
        ((left, top), (0.0, 1.0), (1.0, 0.0)), ((right, top), (0.0, 1.0), (-1.0, 0.0)),
    ):  # fmt: skip
        edge = np.array(corner) + 0.01 * np.array(sight)
        ends = _inside(edge, np.array(heading), inward, offsets)
        if ends is None:
            continue
        teeth = max(round(float(np.linalg.norm(ends[1] - ends[0])) / (2 * TOOTH)), 1) * 2 + 1
        points = np.linspace(*ends, teeth)
        points[1::2] += np.array(sight) * TOOTH
        drawn += path(points, class_="broken-off", fill="none", stroke="black", stroke_width=0.3)
    return drawn
