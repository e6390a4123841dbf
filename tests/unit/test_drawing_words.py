"""Words of drawings: no figure on a hatch, no leader through a figure, none small, none cut off."""

from __future__ import annotations

import re
import runpy
from functools import cache
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from hoseselect.interfaces.drawing.route_drawing import route_drawing, route_strip
from hoseselect.interfaces.drawing.svg import text_width

SVG = "{http://www.w3.org/2000/svg}"
NINE_POINTS = 9 * 25.4 / 72
"""[mm]"""
WIDTH, HEIGHT = 192.0, 96.0
LEADING = {"name", "gap", "tightest", "worst", "low-spot", "letter"}
"""Groups of a view in which a line leads from words to what they name."""
EXAMPLE = runpy.run_path(str(Path(__file__).with_name("drawing_examples.py")))
ROUTES = EXAMPLE["crowded"]()
Box = tuple[float, float, float, float]


@cache
def sheets() -> dict[str, ElementTree.Element]:
    """Every route as a sheet and as the strip of a card, in both units."""
    made = {}
    for number, (name, geometry) in enumerate(ROUTES.items()):
        units = ("mm", "in")[number % 2]
        plan = EXAMPLE["plan_of"](340.0)
        made[f"{name} sheet"] = route_drawing(geometry, plan, "A hose", units)
        made[f"{name} strip"] = route_strip(geometry, WIDTH, HEIGHT, units)
    return {name: ElementTree.fromstring(text.encode()) for name, text in made.items()}


NAMES = tuple(f"{name} {kind}" for name in ROUTES for kind in ("sheet", "strip"))


def views(root: ElementTree.Element) -> list[ElementTree.Element]:
    """The views of a route, without the tightest bend in its own plane."""
    found = [part for part in root.iter() if part.get("class") == "view"]
    return [part for part in found if part.get("id") != "bend"]


def boxes(view: ElementTree.Element) -> list[tuple[str, Box]]:
    """Words of a view with the room that they take at the least [mm]."""
    found = []
    for part in view.iter(f"{SVG}text"):
        size, x, y = (float(part.get(key, "nan")) for key in ("font-size", "x", "y"))
        wide = 0.75 * text_width(part.text or "", size)
        start = x - wide * {"middle": 0.5, "end": 1.0}.get(part.get("text-anchor", ""), 0.0)
        box = (start, y - 0.7 * size, start + wide, y)
        turn = re.match(r"rotate\(-90 ([\d.]+) ([\d.]+)\)", part.get("transform", ""))
        if turn:  # a quarter round a place: (dx, dy) becomes (dy, -dx)
            cx, cy = (float(value) for value in turn.groups())
            box = (cx + box[1] - cy, cy - (box[2] - cx), cx + box[3] - cy, cy - (box[0] - cx))
        found.append((part.text or "", box))
    return found


def strokes(part: ElementTree.Element) -> list[np.ndarray]:
    """Both ends of every straight stroke of a line or path, (2, 2) each [mm]."""
    if part.tag == f"{SVG}line":
        x1, y1, x2, y2 = (float(part.get(key, "nan")) for key in ("x1", "y1", "x2", "y2"))
        return [np.array([[x1, y1], [x2, y2]])]
    found = []
    for run in part.get("d", "").split("M")[1:]:
        points = np.array(re.findall(r"(-?[\d.]+) (-?[\d.]+)", run), float)
        found += [np.array(pair) for pair in pairwise(points)]
    return found


def crosses(stroke: np.ndarray, box: Box) -> bool:
    """Whether a stroke runs through a box."""
    shares = np.linspace(0.0, 1.0, 60)[:, None]
    points = stroke[0] * (1 - shares) + stroke[1] * shares
    return bool(np.any(np.all((points > box[:2]) & (points < box[2:]), axis=1)))


@pytest.mark.parametrize("name", NAMES)
def test_no_words_lie_on_a_hatch(name: str) -> None:
    for view in views(sheets()[name]):
        lines = [s for p in view.iter() if p.get("class") == "hatch" for s in strokes(p)]
        letters = {"A", "B"}  # in a ring of their own, as near to the nipple as can be
        for words, box in boxes(view):
            if words not in letters:
                assert not any(crosses(line, box) for line in lines), words


@pytest.mark.parametrize("name", NAMES)
def test_no_leader_runs_through_words(name: str) -> None:
    for view in views(sheets()[name]):
        groups = [g for g in view.iter() if g.get("class") in LEADING]
        lines = [line for g in groups for p in g.iter(f"{SVG}line") for line in strokes(p)]
        for words, box in boxes(view):
            inner = (box[0] + 0.5, box[1] + 0.3, box[2] - 0.5, box[3] - 0.3)
            assert not any(crosses(line, inner) for line in lines), words


@pytest.mark.parametrize("name", NAMES)
def test_words_are_large_enough_and_on_the_paper(name: str) -> None:
    root = sheets()[name]
    edges = [float(root.get(key, "").removesuffix("mm")) for key in ("width", "height")]
    assert all(float(t.get("font-size", "0")) >= NINE_POINTS for t in root.iter(f"{SVG}text"))
    for view in views(root):
        for words, box in boxes(view):
            assert min(box) >= -0.5, words
            assert box[2] <= edges[0] and box[3] <= edges[1], words


@pytest.mark.parametrize("name", NAMES)
def test_words_do_not_lie_on_each_other(name: str) -> None:
    for view in views(sheets()[name]):
        found = boxes(view)
        for place, (one, a) in enumerate(found):
            for other, b in found[place + 1 :]:
                apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
                assert apart, (one, other)


@pytest.mark.parametrize("name", NAMES)
def test_the_clearance_of_what_is_seen_whole_is_not_cut_off(name: str) -> None:
    for view in views(sheets()[name]):
        (room,) = view.findall(f"{SVG}clipPath/{SVG}rect")
        x, y, wide, high = (float(room.get(k, "0")) for k in ("x", "y", "width", "height"))
        for keep_out in [g for g in view.iter() if "keep-out" in (g.get("class") or "")]:
            if any(part.get("class") == "broken-off" for part in keep_out):
                continue
            (zone,) = [part for part in keep_out if part.get("class") == "clearance"]
            points = np.vstack(strokes(zone))
            assert (points > np.array([x, y]) - 0.01).all()
            assert (points < np.array([x + wide, y + high]) + 0.01).all()


def test_nipples_are_grey_and_hoses_white() -> None:
    for root in sheets().values():
        for part in root.iter():
            kind = part.get("class")
            if kind == "nipple":
                assert any(p.get("stroke") == "#c4c4c4" for p in part)
            if kind == "hose-outline":
                assert {p.get("stroke") for p in part} <= {"black", "white"}


def test_the_checks_of_words_see_a_fault() -> None:
    box = (0.0, 0.0, 10.0, 3.0)
    assert crosses(np.array([[-5.0, 1.0], [20.0, 2.0]]), box)
    assert not crosses(np.array([[-5.0, 4.0], [20.0, 4.0]]), box)
    turned = ElementTree.fromstring(
        f'<g xmlns="{SVG[1:-1]}"><text font-size="3" x="10" y="20" text-anchor="middle"'
        ' transform="rotate(-90 10 20)">12345678</text></g>'
    )
    ((_, upright),) = boxes(turned)
    assert upright[3] - upright[1] > upright[2] - upright[0]
