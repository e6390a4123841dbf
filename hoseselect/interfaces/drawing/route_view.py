"""One view of a route: everything drawn, everything named."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.geometry import NippleEnd, Obstacle, RouteGeometry
from hoseselect.interfaces.drawing.dimension import arrow, dimension
from hoseselect.interfaces.drawing.hose_sketch import (
    ROOT,
    clips,
    cut_end,
    extreme_ends,
    extremes,
    hose,
    known,
    moved_line,
    nipple_inside,
    nipple_stub,
    others,
    whole_hose,
)
from hoseselect.interfaces.drawing.label_place import Taken, nearest_edge
from hoseselect.interfaces.drawing.obstacle_sketch import (
    body,
    clearance_edge,
    in_sight,
    name_anchor,
    names,
    near_spot,
    obstacles_sketch,
)
from hoseselect.interfaces.drawing.projection import Placed, resampled
from hoseselect.interfaces.drawing.spots import gap_dimension, low_spot, note, tightest_spots
from hoseselect.interfaces.drawing.svg import element, group, line, text, text_width
from hoseselect.interfaces.drawing.view_title import title
from hoseselect.interfaces.wording import length, one_length
from hoseselect.mechanics.arrays import Floats

LEAST_OFFSET = 2.0
"""Offsets of the mouths shorter than this are not drawn as dimensions [mm]."""
LETTER = 2.5
"""Radius of the ring round the letter of a nipple [mm]."""


def nipple_diameter(nipple: NippleEnd, hose_diameter: float) -> float:
    """Outside diameter of a nipple as drawn; a share of the hose's where not known [mm]."""
    unknown = 0.65 * known(hose_diameter)
    return nipple.outside_diameter if math.isfinite(nipple.outside_diameter) else unknown


def route_view(
    geometry: RouteGeometry,
    placed: Placed,
    units: str,
    dimensions: tuple[bool, bool],
    taken: Taken,
    named: tuple[bool, bool, bool],
) -> str:
    """Return one view of a route.

    Parameters
    ----------
    geometry : the route
    placed : the view and its place on paper
    units : "mm" or "in"
    dimensions : whether the level and the upright offset of the mouths are drawn here
    taken : the room of the view, to which all that is drawn is added
    named : whether the least gap is dimensioned here, the low spot named, the radii given
    """
    view = placed.view
    left, top, right, bottom = placed.reach
    middle = resampled(placed.paper(whole_hose(geometry)), 97)
    _take_lines(geometry, placed, taken)
    numbered = list(enumerate(geometry.obstacles))
    seen = [(n, o) for n, o in numbered if in_sight(o, placed)]
    far = [(n, o) for n, o in numbered if not in_sight(o, placed)]
    for _, obstacle in seen:
        taken.add(clearance_edge(obstacle, placed), 0.8, heavy=False)
        taken.hatch(body(obstacle, placed))
    clip = element(
        "clipPath",
        element("rect", x=left, y=top, width=right - left, height=bottom - top),
        id=f"{view.name}-room",
    )
    behind = obstacles_sketch(seen, middle, placed)
    ghosts = "".join(extremes(geometry, placed) + others(geometry, placed))
    gap = geometry.gap
    marked = {geometry.worst_extreme, None if gap is None else gap.extreme}
    ghosts += "".join(
        moved_line(geometry, number, placed)
        for number in range(len(geometry.extremes))
        if number in marked
    )
    return group(
        clip,
        title(placed),
        group(behind, clip_path=f"url(#{view.name}-room)") if behind else "",
        ghosts,
        _hose_on_nipples(geometry, placed),
        extreme_ends(geometry, placed),
        "".join(clips(geometry, placed)),
        _dimensions(geometry, placed, units, taken, dimensions),
        *(_letter(n, placed, taken) for n in (geometry.nipple_a, geometry.nipple_b)),
        gap_dimension(gap, placed, units, taken) if gap is not None and named[0] else "",
        tightest_spots(geometry, placed, units, taken, named=named[2]),
        low_spot(geometry, placed, taken, named=named[1]),
        *(_name(o, n, name_anchor(o, middle, placed), placed, taken) for n, o in seen),
        *(_pointer(o, n, geometry, placed, units, taken) for n, o in far),
        id=view.name,
        class_="view",
    )


def _take_lines(geometry: RouteGeometry, placed: Placed, taken: Taken) -> None:
    half = known(geometry.outside_diameter) * placed.scale / 2
    taken.add(resampled(placed.paper(whole_hose(geometry)), 97), half + 0.8)
    for points in (*geometry.extremes, *geometry.others):
        taken.add(placed.paper(points)[::3], half, heavy=False)
    for nipple in (geometry.nipple_a, geometry.nipple_b):
        end = cut_end(nipple)
        root = end - nipple.points * ROOT / placed.scale
        taken.add(placed.paper(np.linspace(end, root, 7)), half)


def _hose_on_nipples(geometry: RouteGeometry, placed: Placed) -> str:
    ends = [
        (n, nipple_diameter(n, geometry.outside_diameter))
        for n in (geometry.nipple_a, geometry.nipple_b)
    ]
    facing = [placed.view.depth(n.points) < -0.02 for n, _ in ends]
    stubs = [nipple_stub(n, wide, placed) for n, wide in ends]
    back = [stub for stub, near in zip(stubs, facing, strict=True) if not near]
    front = [stub for stub, near in zip(stubs, facing, strict=True) if near]
    hidden = [nipple_inside(n, wide, placed) for n, wide in ends]
    return "".join((*back, hose(geometry, placed), *front, *hidden))


def _dimensions(
    geometry: RouteGeometry,
    placed: Placed,
    units: str,
    taken: Taken,
    wanted: tuple[bool, bool],
) -> str:
    """Offsets of the mouths, level below the view and upright at its right."""
    _, _, right, bottom = placed.reach
    mouths = np.stack((geometry.nipple_a.mouth, geometry.nipple_b.mouth))
    true = np.abs(np.diff(placed.view.plane(mouths), axis=0)[0])
    start, end = placed.paper(mouths)
    drawn = ""
    name = f"{placed.view.name}-dimension"
    for axis, upright, at in ((0, False, bottom + 3.0), (1, True, right + 3.0)):
        if true[axis] < LEAST_OFFSET or not wanted[axis]:
            continue
        words = length(float(true[axis]), units)
        which = "upright" if upright else "level"
        drawn += dimension(f"{name}-{which}", start, end, at, words, upright=upright)
        for place in (start, end):
            foot = (place[0], bottom) if axis == 0 else (right, place[1])
            taken.add(np.linspace(place, foot, 30), 0.3, heavy=False)
        along = np.linspace(start, end, 30)
        along[:, 1 - axis] = at
        taken.add(along, 0.8)
        half = text_width(words) / 2
        middle = float((start + end)[axis]) / 2
        box = (at - 1.0, middle - half, at + 4.5, middle + half)
        taken.boxes.append(box if upright else (box[1], box[0], box[3], box[2]))
    return drawn


def _letter(nipple: NippleEnd, placed: Placed, taken: Taken) -> str:
    """The letter of a nipple in a ring, beyond its root or beside it."""
    root = placed.paper(cut_end(nipple) - nipple.points * ROOT / placed.scale)
    heading = -placed.heading(nipple.points)
    seen = float(np.linalg.norm(heading))
    size = 2 * LETTER + 0.4
    leader = ""
    centre = root + heading / max(seen, 1e-9) * (LETTER + 1.0)
    corner = centre - size / 2
    straight = (*corner, *(corner + size))
    if seen > 0.7 and taken.free(straight):
        taken.boxes.append(straight)
    else:
        found = taken.place(root, size, size)
        centre = np.array([found[0] + found[2], found[1] + found[3]]) / 2
        edge = nearest_edge(found, root)
        away = (edge - centre) / np.linalg.norm(edge - centre)
        for start, end in ((centre + away * LETTER, edge), (edge, root)):
            leader += line(start, end, stroke="black", stroke_width="0.2")
    name = f"{placed.view.name}-letter-{nipple.name.lower()}"
    return group(
        leader,
        element(
            "circle", cx=centre[0], cy=centre[1], r=LETTER, fill="white", stroke="black",
            stroke_width=0.35,
        ),
        text(nipple.name, centre[0], centre[1] + 1.3, 3.6, text_anchor="middle",
             font_weight="bold"),
        class_="letter",
        id=name,
    )  # fmt: skip


def _name(obstacle: Obstacle, place: int, anchor: Floats, placed: Placed, taken: Taken) -> str:
    """The name of a keep-out with a leader to it."""
    dot = element("circle", cx=anchor[0], cy=anchor[1], r=0.5)
    drawn = note(names(obstacle), anchor, taken, dot, "line")
    return group(drawn, id=f"{placed.view.name}-name-{place}", class_="name")


def _pointer(
    obstacle: Obstacle,
    place: int,
    geometry: RouteGeometry,
    placed: Placed,
    units: str,
    taken: Taken,
) -> str:
    """An arrow at the edge of the view towards a keep-out that lies too far off to be seen."""
    spot, apart = near_spot(obstacle, whole_hose(geometry))
    left, top, right, bottom = placed.cell
    at = placed.paper(spot)
    edge = at.clip((left + 0.5, top + 0.5), (right - 0.5, bottom - 0.5))
    heading = (at - edge) / max(float(np.linalg.norm(at - edge)), 1e-9)
    start = edge - 6.0 * heading
    off = apart - obstacle.radius - known(geometry.outside_diameter) / 2
    words = f"{names(obstacle)}, {one_length(off, units)} off, that way"
    drawn = note(words, start, taken, arrow(start, edge), "line")
    return group(drawn, id=f"{placed.view.name}-far-{place}", class_="far")
