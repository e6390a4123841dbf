"""Keep-outs with the clearance they want, as seen in one view."""

from __future__ import annotations

import numpy as np

from hoseselect.domain.geometry import Obstacle
from hoseselect.interfaces.drawing.projection import Placed, hull, resampled
from hoseselect.interfaces.drawing.svg import Style, closed_path, element, group
from hoseselect.mechanics.arrays import Floats

ZONE: Style = {
    "fill": "none",
    "stroke": "black",
    "stroke_width": 0.3,
    "stroke_dasharray": "0.1 1.1",
}
ZONE |= {"stroke_linecap": "round"}
PATTERNS = {"cold": ("M0 3 L3 0",), "hot": ("M0 2.2 L2.2 0", "M0 0 L2.2 2.2")}
CORNERS = 96
CLEAR = 8.0
"""Distance from the middle of the hose at which a place on a keep-out is well seen [mm]."""
TILES = {"cold": 3.0, "hot": 2.2}


def hatching() -> str:
    """Return the definitions of the hatches of cold and hot keep-outs."""
    return "".join(
        element(
            "pattern",
            *(element("path", d=d, stroke="black", stroke_width=0.18, fill="none") for d in lines),
            id=f"hatch-{name}",
            width=TILES[name],
            height=TILES[name],
            patternUnits="userSpaceOnUse",
        )
        for name, lines in PATTERNS.items()
    )  # fmt: skip


def hatch(hot: bool) -> str:
    """Return the paint of a keep-out."""
    return f"url(#hatch-{'hot' if hot else 'cold'})"


def body(obstacle: Obstacle, placed: Placed) -> Floats:
    """Outline of a keep-out on paper, (m, 2) [mm]."""
    return hull(placed.paper(obstacle.points), obstacle.radius * placed.scale)


def _zone(obstacle: Obstacle, placed: Placed) -> Floats:
    reach = (obstacle.radius + max(obstacle.clearance, 0.0)) * placed.scale
    return hull(placed.paper(obstacle.points), reach)


def obstacle_sketch(obstacle: Obstacle, number: int, placed: Placed) -> str:
    """Return a keep-out, hatched, and the edge of its clearance, dotted.

    Parameters
    ----------
    obstacle : the keep-out
    number : its place among the keep-outs
    placed : the view
    """
    zone = _zone(obstacle, placed)
    shape = body(obstacle, placed)
    kind = "keep-out hot" if obstacle.hot else "keep-out"
    return group(
        closed_path(zone, class_="clearance", **ZONE),
        closed_path(shape, fill="white"),
        closed_path(shape, fill=hatch(obstacle.hot), stroke="black", stroke_width=0.35),
        class_=kind,
        id=f"{placed.view.name}-keep-out-{number}",
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
