"""Keep-outs with the clearance they want, as seen in one view.

Hatches are plain lines that end on the outline: patterns do not look alike in all viewers.
"""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.geometry import Obstacle
from hoseselect.interfaces.drawing.projection import Box, Placed, hull, resampled
from hoseselect.interfaces.drawing.svg import Style, closed_path, element, group, number, path
from hoseselect.mechanics.arrays import Floats

ZONE: Style = {
    "fill": "none",
    "stroke": "black",
    "stroke_width": 0.3,
    "stroke_dasharray": "0.1 1.1",
}
ZONE |= {"stroke_linecap": "round"}
HATCH: Style = {"stroke": "black", "stroke_width": 0.18, "fill": "none"}
CORNERS = 96
CLEAR = 8.0
"""Distance from the middle of the hose at which a place on a keep-out is well seen [mm]."""
RISING, FALLING = (0.5**0.5, -(0.5**0.5)), (0.5**0.5, 0.5**0.5)
"""Directions of the lines of a hatch, unit vectors."""
COLD, HOT = 2.2, 1.6
"""Distance between the lines of a hatch [mm]."""
SPARSE = 4.0
"""By how much the lines lie farther apart where the hose is drawn over them [-]."""
MOST = 0.6
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
    inward, offsets = _half_planes(outline, room)
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


def _half_planes(outline: Floats, room: Box) -> tuple[Floats, Floats]:
    """Directions inward (m, 2) and offsets (m,): inside is where all products reach these."""
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


def _broken_off(outline: Floats, room: Box) -> str:
    """Return a toothed line where a keep-out goes on beyond the room of the view."""
    inward, offsets = _half_planes(outline, room)
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


def body(obstacle: Obstacle, placed: Placed) -> Floats:
    """Outline of a keep-out on paper, (m, 2) [mm]."""
    return hull(placed.paper(obstacle.points), obstacle.radius * placed.scale)


def _zone(obstacle: Obstacle, placed: Placed) -> Floats:
    reach = (obstacle.radius + max(obstacle.clearance, 0.0)) * placed.scale
    return hull(placed.paper(obstacle.points), reach)


def is_ground(obstacle: Obstacle, hose: Floats, placed: Placed) -> bool:
    """Whether the hose lies over a keep-out for most of its way, as seen in a view.

    Parameters
    ----------
    obstacle : the keep-out
    hose : points on the middle of the hose on paper, (n, 2) [mm]
    placed : the view
    """
    inward, offsets = _half_planes(body(obstacle, placed), placed.cell)
    over = np.all(hose @ inward.T >= offsets, axis=1)
    return bool(over.mean() > MOST)


def obstacles_sketch(seen: list[tuple[int, Obstacle]], hose: Floats, placed: Placed) -> str:
    """Return keep-outs, hatched, and the edges of their clearances, dotted.

    Those over which the hose lies for most of its way come first and are hatched sparsely.

    Parameters
    ----------
    seen : the keep-outs that can be seen, each with its position among all
    hose : points on the middle of the hose on paper, (n, 2) [mm]
    placed : the view
    """
    ground = {place: is_ground(obstacle, hose, placed) for place, obstacle in seen}
    inner = sorted(seen, key=lambda one: not ground[one[0]])
    return "".join(_sketch(o, place, placed, sparse=ground[place]) for place, o in inner)


def _sketch(obstacle: Obstacle, place: int, placed: Placed, *, sparse: bool) -> str:
    shape = body(obstacle, placed)
    kind = "keep-out hot" if obstacle.hot else "keep-out"
    return group(
        closed_path(_zone(obstacle, placed), class_="clearance", **ZONE),
        closed_path(shape, fill="white"),
        hatch(shape, placed.cell, hot=obstacle.hot, apart=SPARSE if sparse else 1.0),
        closed_path(shape, fill="none", stroke="black", stroke_width=0.35, class_="body"),
        _broken_off(shape, placed.cell),
        class_=kind,
        id=f"{placed.view.name}-keep-out-{place}",
    )


def name_anchor(obstacle: Obstacle, hose: Floats, placed: Placed) -> Floats:
    """Where the name of a keep-out points: a place on it that can be seen beside the hose.

    Parameters
    ----------
    obstacle : the keep-out
    hose : points on the middle of the hose on paper, (n, 2) [mm]
    placed : the view
    """
    left, top, right, bottom = placed.cell
    shape = _closed(body(obstacle, placed))
    seen = shape.clip((left + 1.0, top + 1.0), (right - 1.0, bottom - 1.0))
    middle = (seen.min(axis=0) + seen.max(axis=0)) / 2
    places = (middle + (seen - middle) * np.linspace(0.0, 0.9, 7)[:, None, None]).reshape(-1, 2)
    apart = np.linalg.norm(places[:, None, :] - hose[None, :, :], axis=2).min(axis=1)
    off = np.linalg.norm(places - middle, axis=1)
    best: Floats = places[int((np.minimum(apart, CLEAR) - 0.01 * off).argmax())]
    return best


def covered(obstacle: Obstacle, placed: Placed) -> Floats:
    """Points spread over a keep-out and the edge of its clearance, (n, 2) [mm]."""
    shape = _closed(body(obstacle, placed))
    middle = shape.mean(axis=0)
    shares = np.linspace(0.0, 1.0, 6)[:, None, None]
    inside = (middle + (shape - middle) * shares).reshape(-1, 2)
    return np.vstack((inside, _closed(_zone(obstacle, placed))))


def _closed(outline: Floats) -> Floats:
    """Points at even distances round an outline, (CORNERS, 2) [mm]."""
    return resampled(np.vstack((outline, outline[:1])), CORNERS)


def names(obstacle: Obstacle) -> str:
    """Return what is written beside a keep-out."""
    return f"{obstacle.name} (hot)" if obstacle.hot else obstacle.name


def in_sight(obstacle: Obstacle, placed: Placed) -> bool:
    """Whether any of a keep-out lies in the room of the view."""
    left, top, right, bottom = placed.cell
    shape = body(obstacle, placed)
    low, high = shape.min(axis=0), shape.max(axis=0)
    return bool(np.all(high > (left, top)) and np.all(low < (right, bottom)))


def near_spot(obstacle: Obstacle, hose: Floats) -> tuple[Floats, float]:
    """Return the place in a keep-out that is nearest to a hose, and how far it is from there.

    Parameters
    ----------
    obstacle : the keep-out
    hose : points on the middle of the hose, (n, 3) [mm]

    Returns
    -------
    of a ball its centre, of a rod a point of its axis, of a box a point in it, (3,) [mm]; its
    distance from the middle of the hose [mm]
    """
    points = np.asarray(obstacle.points, float)
    if obstacle.kind == "rod":
        axis = points[1] - points[0]
        share = ((hose - points[0]) @ axis / max(float(axis @ axis), 1e-12)).clip(0.0, 1.0)
        spots = points[0] + share[:, None] * axis
    else:
        spots = hose.clip(points.min(axis=0), points.max(axis=0))
    apart = np.linalg.norm(hose - spots, axis=1)
    nearest = int(apart.argmin())
    return spots[nearest], float(apart[nearest])
