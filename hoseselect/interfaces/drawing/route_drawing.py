"""The route as a workshop sketch: two views, the tightest bend, lengths, scale, legend.

The sheet is A5 landscape, so that it can be read at that size; one unit is one millimetre of it.
"""

from __future__ import annotations

import numpy as np

from hoseselect.domain.cut import CutPlan
from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.drawing.bend_view import bend_view
from hoseselect.interfaces.drawing.label_place import CROWDED, Taken
from hoseselect.interfaces.drawing.legend import height, legend
from hoseselect.interfaces.drawing.projection import Box, Placed, along
from hoseselect.interfaces.drawing.reach import check_finite
from hoseselect.interfaces.drawing.route_view import route_view
from hoseselect.interfaces.drawing.scale import scale_bar, scale_words
from hoseselect.interfaces.drawing.spots import has_tightest, moved, view_of_gap
from hoseselect.interfaces.drawing.svg import (
    SMALL,
    element,
    group,
    line,
    page,
    text,
    wrapped,
)
from hoseselect.interfaces.drawing.view_choice import UP, views_of
from hoseselect.interfaces.drawing.view_places import dimensions_of, place_views
from hoseselect.interfaces.wording import length

WIDTH, HEIGHT, MARGIN = 210.0, 148.0, 6.0
VIEWS: Box = (MARGIN, 13.0, 137.0, 132.5)
BEND_TOP = 18.0
SIDE_COLUMN = 140.5
ROW = 4.9
"""Height of a line of facts [mm]."""
STRIP_FOOT = 10.0
"""Height of the scale below the views of a strip [mm]."""
STEPS, GAIN = 3, 0.8
"""Scales that are tried for the words to find room, and how much better each must be [-]."""
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
    plan : its cut plan; None where no length may be given; one that rests on a guess gives none
    title : what is drawn
    units : "mm" or "in": which unit stands first

    Returns
    -------
    SVG, A5 landscape
    """
    left, top, right, bottom = VIEWS
    known = plan is not None and plan.believed and not geometry.refused
    room = (left, top + BANNER, right, bottom) if geometry.refused else VIEWS
    views, placed = drawn_views(geometry, units, room)
    names = wrapped(title or "Route", 5.0, WIDTH - 2 * MARGIN, 1)
    return page(
        WIDTH,
        HEIGHT,
        title or "Route",
        text(names[0], MARGIN, 9.0, 5.0, font_weight="bold", id="title"),
        line((MARGIN, 11.5), (WIDTH - MARGIN, 11.5), stroke="black", stroke_width="0.4"),
        views,
        _banner() if geometry.refused else "",
        _foot(geometry, placed[0]),
        _side_column(geometry, plan if known else None, units),
    )


def route_strip(geometry: RouteGeometry, width: float, height: float, units: str = "mm") -> str:
    """Return the views of a route alone, to stand on a card in true size.

    Parameters
    ----------
    geometry : the route
    width, height : of the strip [mm]
    units : "mm" or "in": which unit stands first

    Returns
    -------
    SVG, one unit = one millimetre
    """
    views, placed = drawn_views(geometry, units, (0.0, 0.0, width, height - STRIP_FOOT))
    scale = scale_bar("scale", placed[0].scale, 0.0, height - 8.5, 52.0)
    said = f"Drawn {scale_words(placed[0].scale)}, where the bars are true"
    words = text(said, 66.0, height - 6.6, id="scale-words")
    relative = text(" ".join(RELATIVE), 66.0, height - 2.2) if geometry.flat else ""
    return page(width, height, "Route", views, scale, words, relative)


def drawn_views(geometry: RouteGeometry, units: str, room: Box) -> tuple[str, list[Placed]]:
    """Return the views of a route, as large as their words leave room for, and their places.

    Parameters
    ----------
    geometry : the route
    units : "mm" or "in"
    room : left, top, right, bottom [mm]
    """
    check_finite(geometry)
    best, least = ("", list[Placed]()), np.inf
    for smaller in range(STEPS):
        placed = place_views(geometry, views_of(geometry), room, smaller)
        taken = [Taken(view.cell) for view in placed]
        drawn = _views(geometry, units, placed, taken)
        worst = max(one.worst for one in taken)
        if worst > GAIN * least:
            break
        best, least = (drawn, placed), worst
        if worst < CROWDED:
            break
    return best


def _views(geometry: RouteGeometry, units: str, placed: list[Placed], taken: list[Taken]) -> str:
    gap = geometry.gap
    best = None if gap is None else view_of_gap(gap, placed)
    heights = next((view for view in placed if abs(view.view.up @ UP) > ALIKE), placed[0])
    dimensions = dimensions_of(tuple(view.view for view in placed))
    return "".join(
        route_view(geometry, v, units, own, words, (v is best, v is heights, v is placed[0]))
        for v, own, words in zip(placed, dimensions, taken, strict=True)
    )


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
    bar = scale_bar("scale", placed.scale, MARGIN, 135.5, 46.0)
    words = text(f"Views {scale_words(placed.scale)} on A5", MARGIN + 62.0, 137.7, id="scale-words")
    note = text("check with the bars", MARGIN + 62.0, 142.2)
    rows = RELATIVE if geometry.flat else ()
    said = "".join(text(row, 103.0, 136.0 + 4.0 * k) for k, row in enumerate(rows))
    return bar + words + note + (group(said, id="relative") if said else "")


def _side_column(geometry: RouteGeometry, plan: CutPlan | None, units: str) -> str:
    bottom = HEIGHT - MARGIN
    legend_top = bottom - height(geometry) + SMALL
    facts = _facts(geometry, plan, units)
    facts_top = legend_top - ROW * len(facts) - 3.0
    rows = "".join(
        text(name, SIDE_COLUMN, facts_top + ROW * k + 3.4)
        + text(
            value, WIDTH - MARGIN, facts_top + ROW * k + 3.4, text_anchor="end",
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
