"""A template of the route in full size, to print and hold against hose or engine."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.cut import CutPlan
from hoseselect.domain.geometry import RouteGeometry
from hoseselect.interfaces.drawing.hose_sketch import known
from hoseselect.interfaces.drawing.projection import View
from hoseselect.interfaces.drawing.reach import check_finite
from hoseselect.interfaces.drawing.svg import SMALL, element, group, page, text, wrapped
from hoseselect.interfaces.drawing.template_drawing import (
    drawing_size,
    fine_hose,
    flat,
    template_drawing,
)
from hoseselect.interfaces.drawing.template_plane import TemplatePlane, template_plane, turned
from hoseselect.interfaces.drawing.template_sheet import (
    HEAD,
    MARGIN,
    PAPERS,
    Tiles,
    join_marks,
    rulers,
    tiles_for,
)
from hoseselect.interfaces.wording import length, one_length
from hoseselect.knowledge.errors import InputError

LEAVES_PLANE = 1.0
"""A hose that leaves the plane by less than this lies in it [mm]."""


def bend_template(
    geometry: RouteGeometry,
    least_radius: float,
    plan: CutPlan | None,
    paper: str = "a4",
    units: str = "mm",
    title: str = "",
) -> list[str]:
    """Return the sheets of a template in full size, one unit = one millimetre.

    Parameters
    ----------
    geometry : the route
    least_radius : least bend radius of the hose, centreline, NaN where not stated [mm]
    plan : its cut plan; None where no length may be given
    paper : "a4" or "letter"
    units : "mm" or "in": which unit stands first
    title : what the hose is for

    Returns
    -------
    SVG of each sheet, row by row

    Raises
    ------
    InputError : the paper is not known, or a place of the route is not
    """
    if paper not in PAPERS:
        raise InputError("paper", paper, " or ".join(PAPERS))
    check_finite(geometry)
    plane = template_plane(geometry)
    laid = [(view, _tiles(geometry, view, paper)) for view in (plane.view, turned(plane.view))]
    view, tiles = min(laid, key=lambda one: one[1].sheets)
    spare = (np.array(tiles.covered) - drawing_size(geometry, view)[1]) / 2
    drawing = template_drawing(geometry, view, least_radius, units)
    heads = _notes(geometry, plane, least_radius, plan, units)
    sheets = []
    for tile in tiles.used:
        shift = np.array([MARGIN, MARGIN + HEAD]) + spare - tiles.corner(*tile)
        sheets.append(_sheet(drawing, shift.tolist(), title, heads, tiles, tile))
    return sheets


def _tiles(geometry: RouteGeometry, view: View, paper: str) -> Tiles:
    low, size = drawing_size(geometry, view)
    points = flat(view, fine_hose(geometry)) - low
    return tiles_for(size, points, known(geometry.outside_diameter) / 2 + 2.0, paper)


def _notes(
    geometry: RouteGeometry,
    plane: TemplatePlane,
    least_radius: float,
    plan: CutPlan | None,
    units: str,
) -> list[str]:
    """Lines above the drawing."""
    cut = f"cut length {length(plan.cut, units, up=True)}" if plan else "no cut length given"
    stated = math.isfinite(least_radius)
    least = f"may be bent to R {one_length(least_radius, units)} (dashed arcs)" if stated else ""
    least = least or "least bend radius of the hose not stated"
    first = f"Hose outside {one_length(geometry.outside_diameter, units)}; {cut}; {least}."
    seen = f"Lay the hose on this sheet, {plane.view.words}. Cut it square at both lines CUT."
    if plane.leaves < LEAVES_PLANE:
        return [first, f"{seen} It lies flat."]
    off, shorter = (one_length(far, units) for far in (plane.leaves, plane.shorter))
    return [
        first,
        seen,
        f"It leaves the sheet by up to {off} either way: its line here is {shorter} shorter, and a"
        " bend can look tighter or wider than it is.",
    ]


def _sheet(
    drawing: str,
    shift: list[float],
    title: str,
    notes: list[str],
    tiles: Tiles,
    tile: tuple[int, int],
) -> str:
    column, row = tile
    wide, high = tiles.room
    number = tiles.used.index(tile) + 1
    name = "Bend template, full size (1:1)"
    which = f"sheet {number} of {tiles.sheets}"
    if tiles.sheets > 1:
        which += f": row {row + 1}, column {column + 1}"
    right = tiles.paper[0] - MARGIN
    (job,) = wrapped(title, 3.8, wide, 1)
    rows = [row for note in notes if note for row in wrapped(note, SMALL, wide, 3)]
    words = "".join(text(row, MARGIN, MARGIN + 13.6 + 3.9 * k) for k, row in enumerate(rows[:4]))
    clip = element(
        "clipPath",
        element("rect", x=MARGIN, y=MARGIN + HEAD, width=wide, height=high),
        id="sheet-room",
    )
    moved = group(drawing, id="drawing", transform=f"translate({shift[0]:.3f} {shift[1]:.3f})")
    return page(
        tiles.paper[0],
        tiles.paper[1],
        f"{name}, {which}",
        clip,
        text(name, MARGIN, MARGIN + 4.0, 4.6, font_weight="bold"),
        text(job, MARGIN, MARGIN + 9.2, 3.8, font_weight="bold", id="job"),
        text(which, right, MARGIN + 4.0, 3.4, text_anchor="end", id="sheet-number"),
        group(words, id="notes"),
        group(moved, clip_path="url(#sheet-room)"),
        join_marks(tiles, column, row) if tiles.sheets > 1 else "",
        rulers(tiles),
    )
