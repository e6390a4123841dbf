"""One view of a route: everything drawn, everything named."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.geometry import NippleEnd, RouteGeometry
from hoseselect.interfaces.drawing.dimension import HALO, arrow, dimension
from hoseselect.interfaces.drawing.hose_sketch import (
    ROOT,
    clips,
    cut_end,
    extreme_ends,
    extremes,
    hose,
    known,
    nipple_inside,
    nipple_stub,
    others,
    whole_hose,
)
from hoseselect.interfaces.drawing.label_place import Box, Taken, nearest_edge, words_at
from hoseselect.interfaces.drawing.obstacle_sketch import (
    covered,
    in_sight,
    name_anchor,
    names,
    obstacle_sketch,
)
from hoseselect.interfaces.drawing.projection import Placed, resampled
from hoseselect.interfaces.drawing.svg import SMALL, element, group, line, text, text_width, wrapped
from hoseselect.interfaces.wording import length
from hoseselect.mechanics.arrays import Floats

LEAST_OFFSET = 2.0
"""Offsets of the mouths shorter than this are not drawn as dimensions [mm]."""
LETTER = 2.5
"""Radius of the ring round the letter of a nipple [mm]."""
NAME_WIDTH = 34.0


def nipple_diameter(nipple: NippleEnd, hose_diameter: float) -> float:
    """Outside diameter of a nipple as drawn; a share of the hose's where not known [mm]."""
    unknown = 0.65 * known(hose_diameter)
    return nipple.outside_diameter if math.isfinite(nipple.outside_diameter) else unknown


def has_tightest(geometry: RouteGeometry) -> bool:
    """Whether the route bends at all."""
    at = np.asarray(geometry.tightest_at, float)
    return bool(np.isfinite(at).all() and math.isfinite(geometry.tightest_radius))


def route_view(geometry: RouteGeometry, placed: Placed, units: str, *, level: bool) -> str:
    """Return one view of a route.

    Parameters
    ----------
    geometry : the route
    placed : the view and its place on paper
    units : "mm" or "in"
    level : whether the level offset of the mouths is drawn here
    """
    view = placed.view
    left, top, right, bottom = placed.cell
    room = (left, top, right, bottom)
    taken = Taken(room)
    _take_lines(geometry, placed, taken)
    seen = [(n, o) for n, o in enumerate(geometry.obstacles) if in_sight(o, placed)]
    for _, obstacle in seen:
        taken.add(covered(obstacle, placed), 0.8)
    clip = element(
        "clipPath",
        element("rect", x=left, y=top, width=right - left, height=bottom - top),
        id=f"{view.name}-room",
    )
    middle = resampled(placed.paper(whole_hose(geometry)), 97)
    behind = "".join(obstacle_sketch(o, n, placed) for n, o in seen)
    ghosts = "".join(extremes(geometry, placed) + others(geometry, placed))
    title = text(view.words, left, top - 1.4, SMALL + 0.2, class_="view-title", font_weight="bold")
    return group(
        clip,
        title,
        group(behind, clip_path=f"url(#{view.name}-room)") if behind else "",
        ghosts,
        _hose_on_nipples(geometry, placed),
        extreme_ends(geometry, placed),
        "".join(clips(geometry, placed)),
        _dimensions(geometry, placed, units, taken, level=level),
        _directions(placed, taken),
        *(_letter(n, placed, taken) for n in (geometry.nipple_a, geometry.nipple_b)),
        _tightest(geometry, placed, units, taken),
        "".join(
            _name(names(o), name_anchor(o, middle, placed), taken, f"{view.name}-name-{n}")
            for n, o in seen
        ),
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
    geometry: RouteGeometry, placed: Placed, units: str, taken: Taken, *, level: bool
) -> str:
    """Offsets of the mouths, level below the view and upright at its right."""
    _, _, right, bottom = placed.reach
    mouths = np.stack((geometry.nipple_a.mouth, geometry.nipple_b.mouth))
    true = np.abs(np.diff(placed.view.plane(mouths), axis=0)[0])
    start, end = placed.paper(mouths)
    drawn = ""
    name = f"{placed.view.name}-dimension"
    for axis, upright, at in ((0, False, bottom + 3.0), (1, True, right + 3.0)):
        if true[axis] < LEAST_OFFSET or (not upright and not level):
            continue
        words = length(float(true[axis]), units)
        which = "upright" if upright else "level"
        drawn += dimension(f"{name}-{which}", start, end, at, words, upright=upright)
        for place in (start, end):
            foot = (place[0], bottom) if axis == 0 else (right, place[1])
            taken.add(np.linspace(place, foot, 30), 0.3, heavy=False)
        half = text_width(words) / 2
        middle = float((start + end)[axis]) / 2
        box = (at - 1.0, middle - half, at + 4.5, middle + half)
        taken.boxes.append(box if upright else (box[1], box[0], box[3], box[2]))
    return drawn


def _directions(placed: Placed, taken: Taken) -> str:
    """The directions of a view as two arrows with their words, at a free corner."""
    view = placed.view
    arm = 7.0
    wide = 1.5 + arm + 1.0 + text_width(view.right_word)
    box = taken.corner(wide, arm + 2.5)
    start = np.array([box[0] + 1.5, box[3] - 1.5])
    return group(
        arrow(start, start + np.array([0.0, -arm])),
        arrow(start, start + np.array([arm, 0.0])),
        text(view.up_word, start[0] + 1.4, start[1] - arm + 1.4, **HALO),
        text(view.right_word, start[0] + arm + 1.0, start[1] + 1.0, **HALO),
        id=f"{view.name}-directions",
        class_="directions",
    )


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
        away = (root - centre) / np.linalg.norm(root - centre)
        leader = line(centre + away * LETTER, root, stroke="black", stroke_width="0.2")
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


def _tightest(geometry: RouteGeometry, placed: Placed, units: str, taken: Taken) -> str:
    if not has_tightest(geometry):
        return ""
    spot = placed.paper(np.asarray(geometry.tightest_at, float))
    words = f"R {length(geometry.tightest_radius, units)}"
    box = taken.place(spot, text_width(words) + 0.6, 1.25 * SMALL)
    label = words_at(words, box, spot)
    edge = nearest_edge(box, spot)
    return group(
        arrow(edge, spot, 1.6) if np.linalg.norm(edge - spot) > 1.0 else "",
        tightest_mark(float(spot[0]), float(spot[1])),
        label,
        class_="tightest",
        id=f"{placed.view.name}-tightest",
    )


def tightest_mark(x: float, y: float) -> str:
    """Return the mark of the tightest spot: a black diamond with a white edge."""
    corners = f"M{x:.3f} {y - 1.5:.3f} l1.5 1.5 l-1.5 1.5 l-1.5 -1.5 Z"
    return element("path", d=corners, fill="black", stroke="white", stroke_width=0.3)


def _name(words: str, anchor: Floats, taken: Taken, name: str) -> str:
    """The name of a keep-out with a leader to it."""
    lines = wrapped(words, SMALL, NAME_WIDTH, 2)
    high = 1.25 * SMALL * len(lines)
    box: Box = taken.place(anchor, max(text_width(w) for w in lines) + 0.6, high)
    written = "".join(
        text(w, box[0], box[1] + (k + 0.85) * 1.25 * SMALL, **HALO) for k, w in enumerate(lines)
    )
    edge = nearest_edge(box, anchor)
    leader = line(edge, anchor, stroke="black", stroke_width="0.2")
    dot = element("circle", cx=anchor[0], cy=anchor[1], r=0.5)
    return group(leader, dot, written, id=name, class_="name")
