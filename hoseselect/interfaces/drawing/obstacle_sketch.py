"""Keep-outs with the clearance they want, as seen in one view."""

from __future__ import annotations

import numpy as np

from hoseselect.domain.geometry import Obstacle
from hoseselect.interfaces.drawing.hatch import broken_off, half_planes, hatch
from hoseselect.interfaces.drawing.projection import Placed, hull, resampled
from hoseselect.interfaces.drawing.svg import Style, closed_path, group
from hoseselect.mechanics.arrays import Floats

ZONE: Style = {
    "fill": "none",
    "stroke": "black",
    "stroke_width": 0.3,
    "stroke_dasharray": "0.1 1.1",
}
ZONE |= {"stroke_linecap": "round"}
CORNERS = 96
CLEAR = 8.0
"""Distance from the middle of the hose at which a place on a keep-out is well seen [mm]."""
SPARSE = 4.0
"""By how much the lines lie farther apart where the hose is drawn over them [-]."""
MOST = 0.6


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
    inward, offsets = half_planes(body(obstacle, placed), placed.reach)
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
        hatch(shape, placed.reach, hot=obstacle.hot, apart=SPARSE if sparse else 1.0),
        closed_path(shape, fill="none", stroke="black", stroke_width=0.35, class_="body"),
        broken_off(shape, placed.reach),
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
    left, top, right, bottom = placed.reach
    shape = _closed(body(obstacle, placed))
    seen = shape.clip((left + 1.0, top + 1.0), (right - 1.0, bottom - 1.0))
    middle = (seen.min(axis=0) + seen.max(axis=0)) / 2
    places = (middle + (seen - middle) * np.linspace(0.0, 0.9, 7)[:, None, None]).reshape(-1, 2)
    apart = np.linalg.norm(places[:, None, :] - hose[None, :, :], axis=2).min(axis=1)
    off = np.linalg.norm(places - middle, axis=1)
    best: Floats = places[int((np.minimum(apart, CLEAR) - 0.01 * off).argmax())]
    return best


def clearance_edge(obstacle: Obstacle, placed: Placed) -> Floats:
    """Points on the edge of the clearance of a keep-out, (n, 2) [mm]."""
    return _closed(_zone(obstacle, placed))


def _closed(outline: Floats) -> Floats:
    """Points at even distances round an outline, (CORNERS, 2) [mm]."""
    return resampled(np.vstack((outline, outline[:1])), CORNERS)


def names(obstacle: Obstacle) -> str:
    """Return what is written beside a keep-out."""
    return f"{obstacle.name} (hot)" if obstacle.hot else obstacle.name


def in_sight(obstacle: Obstacle, placed: Placed) -> bool:
    """Whether any of a keep-out lies in the room of the view."""
    left, top, right, bottom = placed.reach
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
