"""The drawing of a route: true scale, complete, safe to open. The routes are invented."""

from __future__ import annotations

import importlib.util
import re
from dataclasses import replace
from math import pi, sqrt
from pathlib import Path
from types import ModuleType
from xml.etree import ElementTree

import numpy as np
import pytest

from hoseselect.cutplan.route_geometry import run_geometry
from hoseselect.domain.geometry import RouteGeometry
from hoseselect.domain.job import Job, Nipple, Route
from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.interfaces.drawing.bend_view import tightest_bend
from hoseselect.interfaces.drawing.route_drawing import (
    VIEWS,
    drawn_views,
    route_drawing,
    views_of,
)
from hoseselect.interfaces.drawing.scale import fitting_scale, scale_words
from hoseselect.interfaces.drawing.svg import escaped, text_width, wrapped
from hoseselect.knowledge.errors import InputError


def drawing_examples() -> ModuleType:
    """The routes beside this file."""
    path = Path(__file__).with_name("drawing_examples.py")
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


EXAMPLE = drawing_examples()
breather, loop, rocking, two_ways = (
    EXAMPLE.breather,
    EXAMPLE.loop,
    EXAMPLE.rocking,
    EXAMPLE.two_ways,
)
plan_of = EXAMPLE.plan_of
SVG = "{http://www.w3.org/2000/svg}"
NINE_POINTS = 9 * 25.4 / 72
"""[mm]"""
EXAMPLES = {"breather": breather, "loop": loop, "rocking": rocking, "two-ways": two_ways}


def drawn(geometry: RouteGeometry, title: str = "A hose", units: str = "mm") -> ElementTree.Element:
    return ElementTree.fromstring(route_drawing(geometry, plan_of(340.0), title, units).encode())


def by_id(root: ElementTree.Element, name: str) -> ElementTree.Element:
    found = [part for part in root.iter() if part.get("id") == name]
    assert len(found) == 1, name
    return found[0]


def classes(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [part for part in root.iter() if name in (part.get("class") or "").split()]


def words(root: ElementTree.Element) -> list[str]:
    return [part.text or "" for part in root.iter(f"{SVG}text")]


def numbers(part: ElementTree.Element, *names: str) -> np.ndarray:
    return np.array([float(part.get(name, "nan")) for name in names])


def run(*parts: Straight | Bend, nipple: float = 16.0) -> RouteGeometry:
    end = Nipple(outside_diameter=nipple, engagement=25.0)
    route = Route(kind="run", run=parts)
    return run_geometry(Job("coolant-heater", nipple_a=end, nipple_b=end, route=route), 23.0)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_id_is_given_once_and_every_reference_is_met(name: str) -> None:
    text = route_drawing(EXAMPLES[name](), plan_of(340.0), name, "mm")
    root = ElementTree.fromstring(text.encode())
    ids = [part.get("id") for part in root.iter() if part.get("id")]
    assert len(ids) == len(set(ids))
    assert set(re.findall(r"url\(#([^)]+)\)", text)) <= set(ids)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_drawing_shows_all_that_it_must(name: str) -> None:
    root = drawn(EXAMPLES[name]())
    for view in ("side", "top"):
        for part in ("mouth-a", "mouth-b", "letter-a", "letter-b", "tightest", "directions"):
            by_id(root, f"{view}-{part}")
    assert len(classes(root, "hose-outline")) == 2
    for part in ("bend", "bend-arc", "bend-radius", "scale-mm", "scale-in", "legend", "title"):
        by_id(root, part)
    assert {"forward", "up", "left"} <= set(words(root))
    assert classes(root, "dimension")


@pytest.mark.parametrize("name", EXAMPLES)
def test_views_are_in_true_scale(name: str) -> None:
    geometry = EXAMPLES[name]()
    root = drawn(geometry)
    scale = drawn_views(geometry, "mm", VIEWS)[1][0].scale
    apart = geometry.nipple_b.mouth - geometry.nipple_a.mouth
    seen = {"side": apart[[0, 2]] * (1, -1), "top": apart[[0, 1]] * (1, -1)}
    for view, true in seen.items():
        mouths = [numbers(by_id(root, f"{view}-mouth-{end}"), "cx", "cy") for end in "ab"]
        assert mouths[1] - mouths[0] == pytest.approx(true * scale, abs=0.1)
    metric = np.ptp(numbers(by_id(root, "scale-mm"), "x1", "x2"))
    inches = np.ptp(numbers(by_id(root, "scale-in"), "x1", "x2"))
    bars = words(by_id(root, "scale"))
    assert metric == pytest.approx(float(bars[0].removesuffix(" mm")) * scale, abs=0.01)
    assert inches == pytest.approx(float(bars[1].removesuffix(" in")) * 25.4 * scale, abs=0.01)
    assert f"Views {scale_words(scale)} on A5" in words(root)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_arc_of_the_tightest_bend_has_its_true_radius(name: str) -> None:
    geometry = EXAMPLES[name]()
    root = drawn(geometry)
    steps = re.findall(r"([-\d.]+) ([-\d.]+)", by_id(root, "bend-arc").get("d", ""))
    points = np.array(steps, float)
    a, b, c = points[0], points[30], points[60]
    sides = [np.linalg.norm(a - b), np.linalg.norm(b - c), np.linalg.norm(c - a)]
    area = abs(np.linalg.det(np.array([b - a, c - a]))) / 2
    bar = np.ptp(numbers(by_id(root, "bend-scale-mm"), "x1", "x2"))
    scale = bar / float(words(by_id(root, "bend-scale"))[0].removesuffix(" mm"))
    assert np.prod(sides) / (4 * area) / scale == pytest.approx(geometry.tightest_radius, abs=0.2)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_centre_of_the_bend_lies_on_the_inside(name: str) -> None:
    geometry = EXAMPLES[name]()
    bend = tightest_bend(geometry)
    away = np.linalg.norm(geometry.centreline - bend.spot, axis=1)
    near = geometry.centreline[away < bend.radius / 3]
    to_centre = np.linalg.norm(near - bend.centre, axis=1)
    assert to_centre == pytest.approx(bend.radius, rel=0.02)


def test_the_side_view_is_seen_from_the_right_and_the_top_view_from_above() -> None:
    side, top = views_of(breather())
    assert side.toward == pytest.approx([0, -1, 0])  # y is left: the eye is at the right
    assert top.toward == pytest.approx([0, 0, 1])


@pytest.mark.parametrize("units", ["mm", "in"])
def test_lengths_are_given_in_both_units(units: str) -> None:
    root = drawn(loop(), units=units)
    said = [*words(by_id(root, "side-dimension-upright")), *words(by_id(root, "facts"))]
    lengths = [w for w in said if re.search(r"\d", w)]
    assert len(lengths) == 6
    pattern = r"[\d ./]+ in \([\d.]+ mm\)" if units == "in" else r"[\d.]+ mm \([\d ./]+ in\)"
    assert all(re.fullmatch(pattern, w) for w in lengths)
    first = "5 7/8 in (150 mm)" if units == "in" else "150 mm (5 7/8 in)"
    assert said[0] == first


def test_cut_and_tip_length_come_from_the_plan() -> None:
    root = drawn(loop())
    assert by_id(root, "fact-cut").text == "390 mm (15 3/8 in)"
    assert by_id(root, "fact-tip").text == "340 mm (13 3/8 in)"


def test_without_a_plan_no_cut_length_is_given() -> None:
    text = route_drawing(loop(), None, "refused", "mm")
    root = ElementTree.fromstring(text.encode())
    assert by_id(root, "fact-cut").text == "not given"
    assert by_id(root, "fact-tip").text == "340 mm (13 3/8 in)"


def test_each_extreme_and_each_other_shape_is_ghosted_in_both_views() -> None:
    root = drawn(rocking())
    assert len(rocking().extremes) == 8
    for view in ("side", "top"):
        ghosts = classes(by_id(root, view), "extreme")
        assert len(ghosts) == 8
        outlines = [line for ghost in ghosts for line in ghost]
        assert outlines
        assert all(line.get("stroke-dasharray") == "1.6 1" for line in outlines)
        assert len(classes(by_id(root, view), "extreme-ends")[0]) == 16  # two strokes a cross
    assert len(two_ways().others) == 1
    for view in ("side", "top"):
        (ghost,) = classes(by_id(drawn(two_ways()), view), "other")
        assert all(line.get("stroke-dasharray") == "5 1 0.6 1 0.6 1" for line in ghost)
    assert not classes(drawn(loop()), "extreme")


def test_keep_outs_and_clips_are_drawn_and_named() -> None:
    root = drawn(loop())
    (side,) = classes(by_id(root, "side"), "keep-out")
    assert "hot" in (side.get("class") or "").split()
    assert len(classes(side, "clearance")) == 1
    assert words(by_id(root, "side-name-0")) == ["exhaust pipe (hot)"]
    assert len(classes(root, "clip")) == 2  # one in each view


def test_the_clearance_is_in_true_scale() -> None:
    root = drawn(loop())
    scale = drawn_views(loop(), "mm", VIEWS)[1][0].scale
    zone = classes(by_id(root, "side-keep-out-0"), "clearance")[0]
    points = np.array(re.findall(r"([-\d.]+) ([-\d.]+)", zone.get("d", "")), float)
    assert np.ptp(points, axis=0) == pytest.approx(2 * (22 + 25) * scale, abs=0.1)


def test_the_legend_says_what_is_drawn_and_no_more() -> None:
    def entries(geometry: RouteGeometry) -> set[str]:
        return {str(e.get("id"))[7:] for e in classes(drawn(geometry), "legend-entry")}

    usual = {"hose", "nipple", "tightest"}
    assert entries(loop()) == usual | {"hot", "clearance", "clip"}
    assert entries(rocking()) == usual | {"extreme", "keep-out", "clearance"}
    assert entries(two_ways()) == usual | {"other"}


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_text_is_small_and_none_leaves_the_sheet(name: str) -> None:
    root = drawn(EXAMPLES[name](), "W" * 300)
    assert (root.get("width"), root.get("height")) == ("210mm", "148mm")
    for part in root.iter(f"{SVG}text"):
        size = float(part.get("font-size", "nan"))
        assert size >= NINE_POINTS
        if "rotate" in part.get("transform", "") or "translate" in part.get("transform", ""):
            continue
        if part.get("id") is None and part.get("x") == "13":  # legend, moved by its group
            continue
        x, y = numbers(part, "x", "y")
        wide = text_width(part.text or "", size)
        start = x - wide * {"middle": 0.5, "end": 1.0}.get(part.get("text-anchor", ""), 0.0)
        assert start >= 3.0
        assert start + wide <= 210.0
        assert 3.0 < y < 146.0


def test_words_of_a_view_do_not_lie_on_each_other() -> None:
    for example in EXAMPLES.values():
        root = drawn(example())
        for view in ("side", "top"):
            boxes = []
            for part in by_id(root, view).iter(f"{SVG}text"):
                size = float(part.get("font-size", "nan"))
                x, y = numbers(part, "x", "y")
                wide = text_width(part.text or "", size) * 0.9
                x -= wide * {"middle": 0.5, "end": 1.0}.get(part.get("text-anchor", ""), 0.0)
                box = (x, y - 0.7 * size, x + wide, y)
                if part.get("transform"):  # upright, turned about the middle of its line
                    continue
                boxes.append((part.text, box))
            for k, (one, a) in enumerate(boxes):
                for other, b in boxes[k + 1 :]:
                    apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
                    assert apart, (view, one, other)


def test_titles_of_all_kinds_are_safe() -> None:
    hard = '<script>alert("&")</script>\x00\x0b \ud800 曲軸箱 Шланг שלום'
    text = route_drawing(loop(), None, hard, "mm")
    root = ElementTree.fromstring(text.encode())
    assert not list(root.iter(f"{SVG}script"))
    assert (by_id(root, "title").text or "").startswith('<script>alert("&")</script>')
    assert "曲軸箱 Шланг שלום" in (by_id(root, "title").text or "")
    named = replace(loop().obstacles[0], name="<pipe> & \x01“x”")
    root = drawn(replace(loop(), obstacles=(named,)))
    assert "<pipe> & “x” (hot)" in " ".join(words(by_id(root, "side-name-0")))


def test_escapes() -> None:
    assert escaped("<a & 'b'>\"\x07") == "&lt;a &amp; 'b'&gt;&quot; "


def test_long_words_are_broken_to_the_width() -> None:
    lines = wrapped("exhaust " + "manifold" * 20, 2.9, 34.0, 2)
    assert len(lines) == 2
    assert lines[1].endswith("…")
    assert all(text_width(line, 2.9) <= 34.0 for line in lines)


def test_the_same_route_gives_the_same_drawing() -> None:
    plan = plan_of(320.0)
    once, again = (route_drawing(rocking(), plan, "t", "mm") for _ in range(2))
    assert once == again


def test_a_flat_run_has_one_view_and_one_that_leaves_the_plane_has_two() -> None:
    flat = run(Straight(60), Bend(90, 110), Straight(180))
    root = drawn(flat)
    by_id(root, "plane")
    assert not [part for part in root.iter() if part.get("id") == "square"]
    assert not {"forward", "left", "up"} & set(words(root))
    by_id(root, "relative")
    leaving = run(Straight(60), Bend(90, 60), Straight(80), Bend(60, 45, 90), Straight(60))
    by_id(drawn(leaving), "square")


def test_a_straight_run_has_no_tightest_spot() -> None:
    root = drawn(run(Straight(300)))
    assert "The route is straight: no bend." in words(root)
    assert not classes(root, "tightest")


def test_figures_that_are_not_known_are_left_out() -> None:
    nan = float("nan")
    ends = [replace(n, outside_diameter=nan, engagement=nan)
            for n in (loop().nipple_a, loop().nipple_b)]  # fmt: skip
    bare = replace(loop(), outside_diameter=nan, nipple_a=ends[0], nipple_b=ends[1])
    text = route_drawing(bare, None, "bare", "mm")
    assert "nan" not in text
    assert "centreline; hose size not known" in text


@pytest.mark.parametrize("points", [[[0.0, 0, 0]], [[0.0, 0, 0], [np.nan, 0, 0]], np.ones((3, 3))])
def test_a_route_without_size_is_refused(points: object) -> None:
    with pytest.raises(InputError):
        route_drawing(replace(loop(), centreline=np.array(points)), None, "x", "mm")


def test_usual_scales() -> None:
    assert [fitting_scale(most) for most in (9.0, 1.0, 0.66, 0.4, 0.09, 0.012)] == [
        2.0, 1.0, 0.5, 0.4, 1 / 15, 0.01,
    ]  # fmt: skip
    assert [scale_words(s) for s in (2.0, 1.0, 0.4, 1 / 15)] == ["2:1", "1:1", "1:2.5", "1:15"]


def test_a_run_lies_forward_and_bends_up_first() -> None:
    geometry = run(Straight(60), Bend(90, 110), Straight(180))
    assert geometry.centreline[-1] == pytest.approx([170, 0, 290])
    assert geometry.nipple_a.points == pytest.approx([1, 0, 0])
    assert geometry.nipple_b.points == pytest.approx([0, 0, -1])
    at = [60 + 110 / sqrt(2), 0, 110 - 110 / sqrt(2)]
    assert geometry.tightest_at == pytest.approx(at, abs=0.05)
    assert abs(geometry.tightest_normal[1]) == pytest.approx(1)
    assert geometry.flat


def test_a_turn_to_the_right_hand_leads_to_the_right() -> None:
    # looking along the hose, which points up, a turn of 90 deg from forward goes to the right
    geometry = run(Straight(10), Bend(90, 50), Bend(90, 40, 90))
    assert geometry.centreline[-1] == pytest.approx([60, -40, 90])
    assert abs(geometry.tightest_normal[0]) == pytest.approx(1)


def test_the_length_of_a_drawn_run_is_its_length() -> None:
    points = run(Straight(60), Bend(180, 30), Straight(20)).centreline
    assert np.linalg.norm(np.diff(points, axis=0), axis=1).sum() == pytest.approx(
        80 + 30 * pi, abs=0.1
    )


@pytest.mark.parametrize(
    "route",
    [Route(kind="measured", measured=300.0), Route(kind="run", run=(Bend(90, float("nan")),))],
)
def test_a_route_that_cannot_be_drawn_is_refused(route: Route) -> None:
    with pytest.raises(InputError):
        run_geometry(Job("coolant-heater", route=route), 23.0)
