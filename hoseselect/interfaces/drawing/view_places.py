"""Where the views of a route stand on paper, and how large they are."""

from __future__ import annotations

import numpy as np

from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.drawing.projection import Box, Placed, View
from hoseselect.interfaces.drawing.reach import view_reach
from hoseselect.interfaces.drawing.scale import usual_scales
from hoseselect.interfaces.drawing.view_title import TITLE, title_lines, title_width
from hoseselect.mechanics.arrays import Floats

AIR, SIDE_WORDS = 2.0, 9.0
"""Room round what is drawn in a view, and for a dimension line [mm]."""
ALIKE = 0.99


def place_views(
    geometry: RouteGeometry, views: tuple[View, ...], room: Box, smaller: int = 0
) -> list[Placed]:
    """Place the views as large as they fit: one above the other, or else side by side.

    Parameters
    ----------
    geometry : the route
    views : one or two
    room : left, top, right, bottom [mm]
    smaller : by how many usual scales they are drawn smaller, so that words find room
    """
    free = np.array([room[2] - room[0], room[3] - room[1]])
    for scale in usual_scales():
        for axis in (1, 0):  # below each other; beside each other
            heads = _heads(views, axis, float(free[0]))
            reaches = _in_line(views, [view_reach(geometry, v, scale) for v in views], axis)
            pads = _pads(views, heads)
            need = np.array([high - low for low, high in reaches]) + pads[:, :2] + pads[:, 2:]
            if axis == 0:
                need[:, 0] = np.maximum(need[:, 0], [title_width(view) + AIR for view in views])
            if need[:, axis].sum() <= free[axis] and need[:, 1 - axis].max() <= free[1 - axis]:
                if smaller > 0:
                    smaller -= 1
                    break
                return _arranged(views, reaches, need, pads, scale, axis, room)
    raise AssertionError("the scales never end")


def _heads(views: tuple[View, ...], axis: int, wide: float) -> list[float]:
    """Height of the title of each view, with its directions [mm]."""
    return [TITLE * (2 if axis == 0 else title_lines(view, wide)) for view in views]


def dimensions_of(views: tuple[View, ...]) -> list[tuple[bool, bool]]:
    """Whether the level and the upright offset are drawn in each view: each direction once."""
    drawn: list[Floats] = []
    found = []
    for view in views:
        new = [not any(_alike(way, other) for other in drawn) for way in (view.right, view.up)]
        drawn += [view.right, view.up]
        found.append((new[0], new[1]))
    return found


def _alike(way: Floats, other: Floats) -> bool:
    return abs(float(way @ other)) > ALIKE


def _pads(views: tuple[View, ...], heads: list[float]) -> Floats:
    """Room round what is drawn in each view: left, top, right, bottom [mm]."""
    return np.array([
        [AIR, head + AIR, SIDE_WORDS if upright else AIR, SIDE_WORDS if level else AIR]
        for (level, upright), head in zip(dimensions_of(views), heads, strict=True)
    ])  # fmt: skip


def _in_line(
    views: tuple[View, ...], reaches: list[tuple[Floats, Floats]], axis: int
) -> list[tuple[Floats, Floats]]:
    """Return the reaches, alike across the axis where the views share that direction."""
    ways = [view.right if axis == 1 else view.up for view in views]
    if not all(_alike(ways[0], way) for way in ways):
        return reaches
    low = np.array([low for low, _ in reaches])
    high = np.array([high for _, high in reaches])
    low[:, 1 - axis] = low[:, 1 - axis].min()
    high[:, 1 - axis] = high[:, 1 - axis].max()
    return list(zip(low, high, strict=True))


def _arranged(
    views: tuple[View, ...],
    reaches: list[tuple[Floats, Floats]],
    need: Floats,
    pads: Floats,
    scale: float,
    axis: int,
    room: Box,
) -> list[Placed]:
    """Views in their order along an axis of the paper; what is spare is shared out."""
    left, top, right, bottom = room
    free = np.array([right - left, bottom - top])
    spare = (free[axis] - need[:, axis].sum()) / len(views)
    placed = []
    corner = np.array([left, top])
    for view, (low, high), own, pad in zip(views, reaches, need, pads, strict=True):
        cell = free.copy()
        cell[axis] = own[axis] + spare
        near, far = corner + np.array([0.0, pad[1] - AIR]), corner + cell
        origin = (corner + pad[:2] + corner + cell - pad[2:]) / 2 - (low + high) / 2
        reach = (*(origin + low), *(origin + high))
        placed.append(Placed(view, scale, origin, (*near, *far), reach))
        corner[axis] += cell[axis]
    return placed
