"""The route as a workshop sketch: two views, the tightest bend, lengths, scale, legend.

The sheet is A5 landscape, so that it can be read at that size; one unit is one millimetre of it.
"""

from __future__ import annotations

import numpy as np

from hoseselect.domain.cut import CutPlan
from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.drawing.bend_view import bend_view
from hoseselect.interfaces.drawing.hose_sketch import whole_hose
from hoseselect.interfaces.drawing.legend import height, legend
from hoseselect.interfaces.drawing.obstacle_sketch import hatching
from hoseselect.interfaces.drawing.projection import Box, Placed, View, along
from hoseselect.interfaces.drawing.reach import check_finite, view_reach
from hoseselect.interfaces.drawing.route_view import has_tightest, route_view
from hoseselect.interfaces.drawing.scale import scale_bar, scale_words, usual_scales
from hoseselect.interfaces.drawing.svg import (
    SMALL,
    element,
    group,
    line,
    page,
    text,
    wrapped,
)
from hoseselect.interfaces.wording import length
from hoseselect.mechanics.arrays import Floats

WIDTH, HEIGHT, MARGIN = 210.0, 148.0, 6.0
VIEWS: Box = (MARGIN, 13.0, 140.0, 133.0)
BEND_TOP = 18.0
SIDE_COLUMN = 144.0
TITLE, AIR, SIDE_WORDS = 5.0, 2.0, 8.5
"""Room for the title of a view, round what is drawn in it, and for a dimension line [mm]."""
LEAVES_PLANE = 0.5
RELATIVE = ("Directions count", "from A, not from", "the vehicle.")
FORWARD, LEFT, UP = np.eye(3)
SIDE = View("side", "Side view, seen from the right", FORWARD, UP, "forward", "up")
TOP = View("top", "Top view, seen from above", FORWARD, LEFT, "forward", "left")
TRUE_PLANE = View("plane", "Plane of the first bend", FORWARD, UP, "out of A", "first bend")
SQUARE = View("square", "Square to it", FORWARD, LEFT, "out of A", "square to it")


def route_drawing(
    geometry: RouteGeometry, plan: CutPlan | None, title: str, units: str = "mm"
) -> str:
    """Return a sheet with a route as a file of its own.

    Parameters
    ----------
    geometry : the route
    plan : its cut plan; None where no length may be given
    title : what is drawn
    units : "mm" or "in": which unit stands first

    Returns
    -------
    SVG, A5 landscape
    """
    placed = place_views(geometry, views_of(geometry))
    names = wrapped(title or "Route", 5.0, WIDTH - 2 * MARGIN, 1)
    head = text(names[0], MARGIN, 9.0, 5.0, font_weight="bold", id="title")
    return page(
        WIDTH,
        HEIGHT,
        title or "Route",
        element("defs", hatching()),
        head,
        line((MARGIN, 11.5), (WIDTH - MARGIN, 11.5), stroke="black", stroke_width="0.4"),
        *(
            route_view(geometry, view, units, level=number == 0)
            for number, view in enumerate(placed)
        ),
        _foot(geometry, placed[0]),
        _side_column(geometry, plan, units),
    )


def views_of(geometry: RouteGeometry) -> tuple[View, ...]:
    """Return the views that a route needs: one only where it is relative and in one plane."""
    if not geometry.flat:
        return SIDE, TOP
    points = np.vstack((whole_hose(geometry), *geometry.extremes, *geometry.others))
    leaves = float(np.abs(points[:, 1]).max()) > LEAVES_PLANE
    return (TRUE_PLANE, SQUARE) if leaves else (TRUE_PLANE,)


def place_views(geometry: RouteGeometry, views: tuple[View, ...]) -> list[Placed]:
    """Place the views as large as they fit: one above the other, or else side by side."""
    left, top, right, bottom = VIEWS
    room = np.array([right - left, bottom - top])
    check_finite(geometry)
    for scale in usual_scales():
        reaches = [view_reach(geometry, view, scale) for view in views]
        sizes = np.array([high - low for low, high in reaches])
        for axis in (1, 0):  # below each other; beside each other
            pads = _pads(len(views), axis)
            need = sizes + pads[:, :2] + pads[:, 2:]
            if need[:, axis].sum() <= room[axis] and need[:, 1 - axis].max() <= room[1 - axis]:
                return _arranged(views, reaches, scale, axis)
    raise AssertionError("the scales never end")


def _pads(count: int, axis: int) -> Floats:
    """Room round what is drawn in each view: left, top, right, bottom [mm]."""
    pads = np.tile([AIR, TITLE + AIR, SIDE_WORDS, AIR], (count, 1))
    pads[0 if axis == 1 else slice(None), 3] = SIDE_WORDS
    return pads


def _arranged(
    views: tuple[View, ...], reaches: list[tuple[Floats, Floats]], scale: float, axis: int
) -> list[Placed]:
    """Views in their order along an axis of the paper; what is spare is shared out."""
    left, top, right, bottom = VIEWS
    room = np.array([right - left, bottom - top])
    pads = _pads(len(views), axis)
    sizes = np.array([high - low for low, high in reaches])
    need = sizes + pads[:, :2] + pads[:, 2:]
    spare = (room[axis] - need[:, axis].sum()) / len(views)
    # lengths that two views share stand in line
    low = np.min([reach[0] for reach in reaches], axis=0)
    high = np.max([reach[1] for reach in reaches], axis=0)
    placed = []
    corner = np.array([left, top])
    for view, (own_low, own_high), pad in zip(views, reaches, pads, strict=True):
        if axis == 0:
            low, high = own_low, own_high
        cell = room.copy()
        cell[axis] = (own_high - own_low + pad[:2] + pad[2:])[axis] + spare
        near, far = corner + np.array([0.0, TITLE]), corner + cell
        free_low, free_high = corner + pad[:2], corner + cell - pad[2:]
        middle = (own_low + own_high) / 2
        if axis == 1:
            middle[0] = (low[0] + high[0]) / 2
        origin = (free_low + free_high) / 2 - middle
        reach = (*(origin + own_low), *(origin + own_high))
        placed.append(Placed(view, scale, origin, (*near, *far), reach))
        corner[axis] += cell[axis]
    return placed


def _foot(geometry: RouteGeometry, placed: Placed) -> str:
    """Scale of the views, and whether their directions are those of the vehicle."""
    bar = scale_bar("scale", placed.scale, MARGIN, 136.0, 50.0)
    words = text(f"Views {scale_words(placed.scale)} on A5", MARGIN + 66.0, 137.9, id="scale-words")
    note = text("check with the bars", MARGIN + 66.0, 142.2)
    rows = RELATIVE if geometry.flat else ()
    said = "".join(text(row, 106.0, 137.0 + 3.7 * k) for k, row in enumerate(rows))
    return bar + words + note + (group(said, id="relative") if said else "")


def _side_column(geometry: RouteGeometry, plan: CutPlan | None, units: str) -> str:
    bottom = HEIGHT - MARGIN
    legend_top = bottom - height(geometry) + SMALL
    facts = _facts(geometry, plan, units)
    facts_top = legend_top - 4.6 * len(facts) - 3.0
    rows = "".join(
        text(name, SIDE_COLUMN, facts_top + 4.6 * k + 3.4)
        + text(
            value, WIDTH - MARGIN, facts_top + 4.6 * k + 3.4, text_anchor="end",
            font_weight="bold" if name == "Cut length" else "", id=f"fact-{key}",
        )
        for k, (key, name, value) in enumerate(facts)
    )  # fmt: skip
    box = (SIDE_COLUMN, BEND_TOP, WIDTH - MARGIN, facts_top - 1.5)
    return (
        bend_view(geometry, box, units)
        + group(rows, id="facts")
        + line(
            (SIDE_COLUMN, legend_top - 1.2),
            (WIDTH - MARGIN, legend_top - 1.2),
            stroke="black",
            stroke_width="0.2",
        )
        + legend(geometry, SIDE_COLUMN, legend_top)
    )


def _facts(geometry: RouteGeometry, plan: CutPlan | None, units: str) -> list[tuple[str, str, str]]:
    """Id, name and words of the lengths beside the drawing."""
    straight = float(np.linalg.norm(geometry.nipple_b.mouth - geometry.nipple_a.mouth))
    tip = plan.tip if plan else float(along(np.asarray(geometry.centreline, float))[-1])
    cut = length(plan.cut, units, up=True) if plan else "not given"
    facts = [
        ("cut", "Cut length", cut),
        ("tip", "A to B along", length(tip, units)),
        ("straight", "A to B straight", length(straight, units)),
        ("diameter", "Hose outside", length(geometry.outside_diameter, units)),
    ]
    if has_tightest(geometry):
        facts.append(("tightest", "Tightest radius R", length(geometry.tightest_radius, units)))
    return facts
