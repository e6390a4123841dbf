"""The route as a workshop sketch: two views, the tightest bend, lengths, scale, legend.

The sheet is A5 landscape, so that it can be read at that size; one unit is one millimetre of it.
"""

from __future__ import annotations

import numpy as np

from hoseselect.domain.cut import CutPlan
from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.drawing.bend_view import bend_view
from hoseselect.interfaces.drawing.legend import height, legend
from hoseselect.interfaces.drawing.projection import Box, Placed, View, along
from hoseselect.interfaces.drawing.reach import check_finite, view_reach
from hoseselect.interfaces.drawing.route_view import route_view
from hoseselect.interfaces.drawing.scale import scale_bar, scale_words, usual_scales
from hoseselect.interfaces.drawing.spots import has_tightest, moved, view_of_gap
from hoseselect.interfaces.drawing.svg import (
    SMALL,
    element,
    group,
    line,
    page,
    text,
    text_width,
    wrapped,
)
from hoseselect.interfaces.drawing.view_choice import UP, views_of
from hoseselect.interfaces.wording import length
from hoseselect.mechanics.arrays import Floats

WIDTH, HEIGHT, MARGIN = 210.0, 148.0, 6.0
VIEWS: Box = (MARGIN, 13.0, 140.0, 133.0)
BEND_TOP = 18.0
SIDE_COLUMN = 144.0
TITLE, AIR, SIDE_WORDS = 5.0, 2.0, 8.5
"""Room for the title of a view, round what is drawn in it, and for a dimension line [mm]."""
RELATIVE = ("Directions count", "from A, not from", "the vehicle.")
REFUSED = "No length works: this is the best the route allows."
BANNER = 7.0
"""Room of the words over a route on which no length works [mm]."""
ALIKE = 0.99


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
    views = views_of(geometry)
    left, top, right, bottom = VIEWS
    plan = None if geometry.refused else plan
    room = (left, top + BANNER, right, bottom) if geometry.refused else VIEWS
    placed = place_views(geometry, views, room)
    gap = geometry.gap
    best = None if gap is None else view_of_gap(gap, placed)
    heights = next((view for view in placed if _alike(view.view.up, UP)), placed[0])
    names = wrapped(title or "Route", 5.0, WIDTH - 2 * MARGIN, 1)
    head = text(names[0], MARGIN, 9.0, 5.0, font_weight="bold", id="title")
    return page(
        WIDTH,
        HEIGHT,
        title or "Route",
        head,
        line((MARGIN, 11.5), (WIDTH - MARGIN, 11.5), stroke="black", stroke_width="0.4"),
        *(
            route_view(
                geometry,
                view,
                units,
                dimensions,
                (view is best, view is heights, view is placed[0]),
            )
            for view, dimensions in zip(placed, dimensions_of(views), strict=True)
        ),
        _banner() if geometry.refused else "",
        _foot(geometry, placed[0]),
        _side_column(geometry, plan, units),
    )


def place_views(
    geometry: RouteGeometry, views: tuple[View, ...], room: Box = VIEWS
) -> list[Placed]:
    """Place the views as large as they fit: one above the other, or else side by side."""
    check_finite(geometry)
    free = np.array([room[2] - room[0], room[3] - room[1]])
    for scale in usual_scales():
        for axis in (1, 0):  # below each other; beside each other
            reaches = _in_line(views, [view_reach(geometry, v, scale) for v in views], axis)
            need = np.array([high - low for low, high in reaches]) + _rims(views)
            if axis == 0:
                need[:, 0] = np.maximum(need[:, 0], [_title_width(view) for view in views])
            if need[:, axis].sum() <= free[axis] and need[:, 1 - axis].max() <= free[1 - axis]:
                return _arranged(views, reaches, need, scale, axis, room)
    raise AssertionError("the scales never end")


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


def _title_width(view: View) -> float:
    return text_width(view.words, SMALL + 0.2) + AIR


def _pads(views: tuple[View, ...]) -> Floats:
    """Room round what is drawn in each view: left, top, right, bottom [mm]."""
    return np.array([
        [AIR, TITLE + AIR, SIDE_WORDS if upright else AIR, SIDE_WORDS if level else AIR]
        for level, upright in dimensions_of(views)
    ])  # fmt: skip


def _rims(views: tuple[View, ...]) -> Floats:
    pads = _pads(views)
    return np.asarray(pads[:, :2] + pads[:, 2:], float)


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
    for view, (low, high), own, pad in zip(views, reaches, need, _pads(views), strict=True):
        cell = free.copy()
        cell[axis] = own[axis] + spare
        near, far = corner + np.array([0.0, TITLE]), corner + cell
        origin = (corner + pad[:2] + corner + cell - pad[2:]) / 2 - (low + high) / 2
        reach = (*(origin + low), *(origin + high))
        placed.append(Placed(view, scale, origin, (*near, *far), reach))
        corner[axis] += cell[axis]
    return placed


def _banner() -> str:
    """The words over a route on which no length works, in a frame."""
    left, top, right, _ = VIEWS
    frame = element(
        "rect", x=left, y=top, width=right - left, height=BANNER - 1.0, fill="white",
        stroke="black", stroke_width=0.7,
    )  # fmt: skip
    words = text(REFUSED, left + 2.0, top + 4.2, 3.6, font_weight="bold", id="refused")
    return frame + words


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
    facts = [("cut", "Cut length", "none works" if geometry.refused else cut)]
    if not geometry.refused:
        facts.append(("tip", "A to B along", length(tip, units)))
    facts += [
        ("straight", "A to B straight", length(straight, units)),
        ("diameter", "Hose outside", length(geometry.outside_diameter, units)),
    ]
    if has_tightest(geometry):
        name = "Tightest R, at rest" if moved(geometry) else "Tightest radius R"
        facts.append(("tightest", name, length(geometry.tightest_radius, units)))
    if moved(geometry):
        facts.append(("worst", "Tightest R, moved", length(geometry.worst_radius, units)))
    return facts
