"""The pictures of the page on the natural bend that show which way is which.

`python -m hoseselect.interfaces.pages.natural_bend_pictures NAME` writes `docs/pictures/NAME.svg`.
"""

from __future__ import annotations

import sys

import numpy as np

from hoseselect.interfaces.drawing.dimension import arrow, arrow_head, on_white
from hoseselect.interfaces.drawing.hose_sketch import METAL
from hoseselect.interfaces.drawing.svg import Style, element, group, line, page, path, text
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats

LARGE = 4.0
WIDTH = 180.0
EDGE: Style = {"stroke": "black", "stroke_width": 0.5}
BOLD: Style = {"stroke": "black", "stroke_width": 0.5, "fill": "none"}
WAYS = {
    "up": (0.0, -1.0),
    "down": (0.0, 1.0),
    "right": (1.0, 0.0),
    "left": (-1.0, 0.0),
    "forward": (0.6, -0.6),
    "back": (-0.6, 0.6),
}
"""Where the vehicle's directions point on paper, seen over the driver's shoulder."""
DIAL = {0: "0, up", 90: "90", 180: "180, down", -90: "-90"}
"""Turns of the plane of a bend, clockwise seen along the wire [deg]."""


def directions() -> str:
    """Return the vehicle's directions at nipple A, and the turns of a bend."""
    height = 76.0
    arms = [_arm(np.array([45.0, 40.0]), name) for name in WAYS]
    heads = text("Directions of the vehicle, from nipple A", 4.0, 7.0, LARGE, font_weight="bold")
    heads += text("Turn of a bend, seen along the wire", 102.0, 7.0, LARGE, font_weight="bold")
    return page(
        WIDTH,
        height,
        "Directions of the vehicle, and turns of a bend",
        heads,
        *arms,
        _nipple(45.0, 40.0, "A"),
        _dial(np.array([135.0, 42.0]), 22.0),
    )


def _arm(middle: Floats, name: str) -> str:
    way = np.array(WAYS[name])
    end = middle + 25.0 * way
    beside = 5.0 if name in {"left", "right"} else 0.0
    at = middle + (29.0 + beside) * way + np.array([0.0, 1.2])
    return group(
        arrow(middle, end, 2.6, stroke_width="0.4"),
        on_white(name, float(at[0]), float(at[1]), LARGE, text_anchor="middle"),
        id=f"way-{name}",
    )


def _nipple(x: float, y: float, name: str) -> str:
    ring = element("circle", cx=x, cy=y, r=3.4, fill=METAL, stroke="black", stroke_width=0.5)
    return ring + text(name, x, y + 1.5, LARGE, text_anchor="middle", font_weight="bold")


def _dial(middle: Floats, radius: float) -> str:
    ring = element("circle", cx=middle[0], cy=middle[1], r=radius, **BOLD)
    marks = ""
    for turn, words in DIAL.items():
        way = _clockwise(turn)
        marks += line(middle + (radius - 2.0) * way, middle + (radius + 2.0) * way, **BOLD)
        at = middle + (radius + 6.0) * way + np.array([-2.5 * way[0], 1.4])
        anchor = {90: "", -90: "end"}.get(turn, "middle")
        marks += text(words, float(at[0]), float(at[1]), LARGE, text_anchor=anchor)
    turned = np.array([middle + (radius - 6.0) * _clockwise(t) for t in np.linspace(15, 75, 25)])
    sweep = path(turned, **BOLD) + _head(turned)
    wire = element("circle", cx=middle[0], cy=middle[1], r=1.4)
    words = "".join(
        text(row, middle[0], middle[1] + 6.5 + 4.0 * number, text_anchor="middle")
        for number, row in enumerate(("the wire,", "away from you"))
    )
    return group(ring, marks, sweep, wire, words, id="dial")


def _clockwise(turn: float) -> Floats:
    angle = np.radians(turn)
    return np.array([np.sin(angle), -np.cos(angle)])


def _head(points: Floats) -> str:
    """Arrow head at the end of a line of points."""
    heading = points[-1] - points[-2]
    return arrow_head(points[-1], heading / np.linalg.norm(heading), 2.6)


def rocking() -> str:
    """Return the three ways in which an engine turns, and the axis that each stands for."""
    arm = f"{limit('rocking-arm'):g} mm"
    panels = (
        ("rocks sideways", "seen from behind", "axis forward", ("left", "right")),
        ("rocks forward and back", "seen from the right", "axis left", ("back", "forward")),
        ("twists", "seen from above", "axis up", ("to A", "from A")),
    )
    drawn = [
        _rocks(np.array([30.0 + 60.0 * number, 24.0]), *panel, arm)
        for number, panel in enumerate(panels)
    ]
    return page(WIDTH, 70.0, "How an engine rocks and twists", *drawn)


def _rocks(b: Floats, name: str, seen: str, axis: str, ways: tuple[str, str], arm: str) -> str:
    """Nipple B on an arm about an axis below it, or beside it where it twists."""
    pivot = b + np.array([0.0, 34.0])
    swing = np.linspace(-26.0, 26.0, 41)
    turned = np.array([pivot + 34.0 * _clockwise(angle) for angle in swing])
    arms = (np.array([2.2, 0.0]), np.array([0.0, 2.2]))
    cross = "".join(line(pivot - own, pivot + own, **BOLD) for own in arms)
    ring = element("circle", cx=pivot[0], cy=pivot[1], r=1.5, fill="white", **EDGE)
    ends = zip((turned[0], turned[-1]), ways, strict=True)
    said = "".join(text(way, x, y + 5.5, text_anchor="middle") for (x, y), way in ends)
    other = _nipple(float(b[0]) - 24.0, float(b[1]) + 3.5, "A") if name == "twists" else ""
    return group(
        text(name, b[0], 7.0, LARGE, text_anchor="middle", font_weight="bold"),
        text(seen, b[0], 12.5, text_anchor="middle"),
        path(turned, **BOLD),
        _head(turned),
        _head(turned[::-1]),
        line(pivot, b, stroke="black", stroke_width=0.3, stroke_dasharray="2 1"),
        on_white(arm, float(b[0]) + 1.5, float(b[1]) + 19.0),
        cross,
        ring,
        said,
        text(axis, pivot[0], pivot[1] + 7.5, text_anchor="middle"),
        other,
        _nipple(float(b[0]), float(b[1]), "B"),
        id=name.rsplit(maxsplit=1)[-1],
    )


PICTURES = {"directions": directions, "rocking": rocking}

if __name__ == "__main__":
    sys.stdout.write(PICTURES[sys.argv[1]]())
