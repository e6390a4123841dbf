"""The template in full size: one unit is one millimetre, over as many sheets as it takes."""

from __future__ import annotations

import importlib.util
import math
import re
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from xml.etree import ElementTree

import numpy as np
import pytest

from hoseselect.cutplan.route_geometry import run_geometry
from hoseselect.domain.geometry import RouteGeometry
from hoseselect.domain.job import Job, Nipple, Route
from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.interfaces.drawing.bend_template import bend_template
from hoseselect.interfaces.drawing.template_plane import template_plane
from hoseselect.interfaces.wording import one_length
from hoseselect.knowledge.errors import InputError

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


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
EXAMPLES = ("breather", "loop", "rocking", "two_ways")


def run(*parts: Straight | Bend) -> RouteGeometry:
    end = Nipple(outside_diameter=16.0, engagement=25.0)
    route = Route(kind="run", run=parts)
    return run_geometry(Job("coolant-heater", nipple_a=end, nipple_b=end, route=route), 23.0)


def sheets(
    geometry: RouteGeometry, least_radius: float = 60.0, paper: str = "a4"
) -> list[ElementTree.Element]:
    pages = bend_template(geometry, least_radius, EXAMPLE.plan_of(340.0), paper)
    return [ElementTree.fromstring(page.encode()) for page in pages]


def has(root: ElementTree.Element, name: str) -> bool:
    return any(part.get("id") == name for part in root.iter())


def by_id(root: ElementTree.Element, name: str) -> ElementTree.Element:
    found = [part for part in root.iter() if part.get("id") == name]
    assert len(found) == 1, name
    return found[0]


def numbers(part: ElementTree.Element, *names: str) -> np.ndarray:
    return np.array([float(part.get(name, "nan")) for name in names])


def words(root: ElementTree.Element) -> list[str]:
    return [part.text or "" for part in root.iter() if part.tag.endswith("}text")]


def line(root: ElementTree.Element, name: str) -> np.ndarray:
    steps = re.findall(r"([-\d.]+) ([-\d.]+)", by_id(root, name).get("d", ""))
    return np.array(steps, float)


def shift(root: ElementTree.Element) -> np.ndarray:
    """Where the corner of the whole drawing lies on a sheet."""
    found = re.fullmatch(r"translate\((\S+) (\S+)\)", by_id(root, "drawing").get("transform", ""))
    assert found is not None
    return np.array([float(found[1]), float(found[2])])


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", EXAMPLES)
def test_a_sheet_is_measured_in_millimetres(name: str, paper: str) -> None:
    wide, high = PAPERS[paper]
    for root in sheets(getattr(EXAMPLE, name)(), paper=paper):
        assert (root.get("width"), root.get("height")) == (f"{wide:g}mm", f"{high:g}mm")
        assert root.get("viewBox") == f"0 0 {wide:g} {high:g}"
        moved = [p.get("transform", "") for p in root.iter() if p.get("transform")]
        assert not [t for t in moved if "scale" in t or "matrix" in t]


@pytest.mark.parametrize("name", ["breather", "loop"])
def test_a_plane_route_is_in_full_size(name: str) -> None:
    geometry = getattr(EXAMPLE, name)()
    assert template_plane(geometry).leaves < 0.01 * np.ptp(geometry.centreline)
    for root in sheets(geometry):
        mouths = [numbers(by_id(root, f"mouth-{end}"), "cx", "cy") for end in "ab"]
        true = np.linalg.norm(geometry.nipple_b.mouth - geometry.nipple_a.mouth)
        assert np.linalg.norm(mouths[1] - mouths[0]) == pytest.approx(true, abs=0.1)
        drawn = line(root, "centreline")
        assert drawn[0] == pytest.approx(mouths[0], abs=0.01)
        long = np.linalg.norm(np.diff(drawn, axis=0), axis=1).sum()
        true_long = np.linalg.norm(np.diff(geometry.centreline, axis=0), axis=1).sum()
        assert long == pytest.approx(true_long, abs=0.1)


def test_a_route_in_space_is_laid_down_in_full_size() -> None:
    geometry = EXAMPLE.rocking()
    plane = template_plane(geometry)
    (root, *_) = sheets(geometry)
    apart = geometry.nipple_b.mouth - geometry.nipple_a.mouth
    in_plane = math.sqrt(float(apart @ apart) - float(apart @ plane.view.toward) ** 2)
    mouths = [numbers(by_id(root, f"mouth-{end}"), "cx", "cy") for end in "ab"]
    assert np.linalg.norm(mouths[1] - mouths[0]) == pytest.approx(in_plane, abs=0.1)
    said = " ".join(words(by_id(root, "notes")))
    assert f"leaves the sheet by up to {one_length(plane.leaves, 'mm')}" in said
    assert one_length(plane.shorter, "mm") in said


def test_the_plane_fits_best() -> None:
    geometry = EXAMPLE.two_ways()
    plane = template_plane(geometry)
    points = geometry.centreline - geometry.centreline.mean(axis=0)
    own = float(((points @ plane.view.toward) ** 2).sum())
    turns = np.random.default_rng(5).normal(size=(500, 3))
    for normal in turns / np.linalg.norm(turns, axis=1)[:, None]:
        assert own <= 1.1 * float(((points @ normal) ** 2).sum()) + 1.0


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_template_is_not_mirrored(name: str) -> None:
    geometry = getattr(EXAMPLE, name)()
    view = template_plane(geometry).view
    main = int(np.abs(view.toward).argmax())
    seen = ("from the front", "from the right", "from above")[main]
    eye = view.toward[main] * (1, -1, 1)[main]  # x forward, y left, z up
    assert eye > 0
    assert view.words == f"seen {seen}"
    (root, *_) = sheets(geometry)
    drawn = line(root, "centreline") * (1, -1)
    flat = view.plane(geometry.centreline)
    count = len(flat) // 3

    def area(points: np.ndarray) -> float:
        a, b, c = points[0], points[count], points[2 * count]
        return float(np.linalg.det(np.array([b - a, c - a])))

    assert area(drawn) == pytest.approx(area(flat), rel=0.01)


@pytest.mark.parametrize("name", EXAMPLES)
def test_rulers_prove_the_print(name: str) -> None:
    for root in sheets(getattr(EXAMPLE, name)()):
        assert np.ptp(numbers(by_id(root, "ruler-mm"), "x1", "x2")) == pytest.approx(100, abs=0.001)
        assert np.ptp(numbers(by_id(root, "ruler-in"), "x1", "x2")) == pytest.approx(
            101.6, abs=0.001
        )


def test_arcs_have_the_least_radius_of_the_hose() -> None:
    (root, *_) = sheets(EXAMPLE.loop(), 55.0)
    arc = line(root, "least-arc-0")
    a, b, c = arc[0], arc[30], arc[60]
    sides = [np.linalg.norm(a - b), np.linalg.norm(b - c), np.linalg.norm(c - a)]
    area = abs(np.linalg.det(np.array([b - a, c - a]))) / 2
    assert np.prod(sides) / (4 * area) == pytest.approx(55.0, abs=0.1)
    assert np.linalg.norm(line(root, "centreline") - arc[30], axis=1).min() < 1.0
    assert "may be bent to R 55 mm (2 3/16 in)" in words(root)


def test_a_wider_bend_stays_outside_the_arc_that_is_laid_in_it() -> None:
    geometry = run(Straight(60), Bend(90, 80), Straight(60))
    (root, *_) = sheets(geometry, 60.0)
    arc = line(root, "least-arc-0")
    middle = by_id(root, "tightest")
    spot = re.search(r"M(\S+) (\S+) l", ElementTree.tostring(middle, encoding="unicode"))
    assert spot is not None
    mark = np.array([float(spot[1]), float(spot[2]) + 1.5])
    assert arc[30] == pytest.approx(mark, abs=1.5)


def test_no_arc_where_the_least_radius_is_not_stated() -> None:
    (root, *_) = sheets(EXAMPLE.loop(), math.nan)
    assert not has(root, "least-arcs")
    assert "not stated" in " ".join(words(by_id(root, "notes")))


def test_sheets_join_cross_on_cross() -> None:
    geometry = run(Straight(400), Bend(90, 110), Straight(300))
    roots = sheets(geometry)
    assert len(roots) > 2
    places: dict[str, list[np.ndarray]] = {}
    for root in roots:
        for part in root.iter():
            if (part.get("id") or "").startswith("join-"):
                place = numbers(part, "cx", "cy") - shift(root)
                places.setdefault(part.get("id", ""), []).append(place)
    assert places
    for found in places.values():
        assert len(found) == 2
        assert found[0] == pytest.approx(found[1], abs=0.1)


def test_all_of_the_hose_is_on_some_sheet_and_no_sheet_is_blank() -> None:
    geometry = run(Straight(500), Bend(90, 110), Straight(300), Bend(90, 80, 180), Straight(100))
    roots = sheets(geometry)
    middle = line(roots[0], "centreline")
    seen = np.zeros(len(middle), dtype=bool)
    for root in roots:
        room = by_id(root, "sheet-room")[0]
        x, y, wide, high = numbers(room, "x", "y", "width", "height")
        on = middle + shift(root)
        inside = np.all((on >= (x, y)) & (on <= (x + wide, y + high)), axis=1)
        assert np.all((x, y) >= (9.9, 9.9))
        # the ends reach 25 mm on to the nipples, the hose is 23 mm wide
        near = np.all((on >= (x - 39, y - 39)) & (on <= (x + wide + 39, y + high + 39)), axis=1)
        assert near.any()
        seen |= inside
    assert seen.all()
    numbered = [by_id(root, "sheet-number").text or "" for root in roots]
    starts = [f"sheet {k + 1} of {len(roots)}" for k in range(len(roots))]
    assert [text.split(":")[0] for text in numbered] == starts


def test_a_small_route_needs_one_sheet_without_joins() -> None:
    (root,) = sheets(run(Straight(30), Bend(90, 60), Straight(30)))
    assert not [p for p in root.iter() if (p.get("id") or "").startswith("join-")]


def test_without_a_plan_no_cut_length_is_given() -> None:
    (page, *_) = bend_template(EXAMPLE.loop(), 60.0, None)
    assert "no cut length given" in page
    (planned, *_) = bend_template(EXAMPLE.loop(), 60.0, EXAMPLE.plan_of(340.0))
    assert "cut length 390 mm (15 3/8 in)" in planned


def test_the_title_is_safe() -> None:
    (page, *_) = bend_template(EXAMPLE.loop(), 60.0, None, title="<b> & 曲 \x02")
    assert "<b> & 曲" in words(ElementTree.fromstring(page.encode()))


def test_a_straight_hose_and_unknown_figures_have_a_template() -> None:
    nan = math.nan
    straight = run(Straight(100))
    ends = [replace(n, outside_diameter=nan, engagement=nan)
            for n in (straight.nipple_a, straight.nipple_b)]  # fmt: skip
    for geometry in (
        straight,
        replace(straight, outside_diameter=nan, nipple_a=ends[0], nipple_b=ends[1]),
    ):
        (page,) = bend_template(geometry, nan, None)
        assert "nan" not in page
        root = ElementTree.fromstring(page.encode())
        mouths = [numbers(by_id(root, f"mouth-{end}"), "cx", "cy") for end in "ab"]
        assert np.linalg.norm(mouths[1] - mouths[0]) == pytest.approx(100, abs=0.1)


def test_an_unknown_paper_is_refused() -> None:
    with pytest.raises(InputError):
        bend_template(EXAMPLE.loop(), 60.0, None, paper="a3")


def test_the_same_route_gives_the_same_template() -> None:
    once, again = (bend_template(EXAMPLE.rocking(), 90.0, None) for _ in range(2))
    assert once == again
