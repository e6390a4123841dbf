"""Views that tell most, and the spots that are marked in them. The routes are built by hand."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from hoseselect.domain.cut import CutPlan
from hoseselect.domain.geometry import Gap, LowPoint, NippleEnd, Obstacle, RouteGeometry
from hoseselect.interfaces.drawing.hatch import hatch
from hoseselect.interfaces.drawing.projection import View
from hoseselect.interfaces.drawing.route_drawing import (
    REFUSED,
    VIEWS,
    route_drawing,
)
from hoseselect.interfaces.drawing.spots import view_of_gap
from hoseselect.interfaces.drawing.view_choice import (
    FRONT,
    SIDE,
    TOP,
    TOP_OF_FRONT,
    told,
    views_of,
)
from hoseselect.interfaces.drawing.view_places import dimensions_of, place_views

SVG = "{http://www.w3.org/2000/svg}"
FORWARD, LEFT, UP = np.eye(3)
ANGLES = np.linspace(0.0, np.pi, 61)[:, None]


def half_circle(across: np.ndarray, down: np.ndarray, **more: object) -> RouteGeometry:
    """A U of radius 60 mm: from A to B along `across`, its belly along `down`."""
    line = 60.0 * ((1 - np.cos(ANGLES)) * across + np.sin(ANGLES) * down)
    given = {
        "centreline": line,
        "tightest_at": line[30],
        "tightest_radius": 60.0,
        "tightest_normal": np.cross(across, down),
        "nipple_a": NippleEnd("A", line[0], down, 14.0, 25.0),
        "nipple_b": NippleEnd("B", line[-1], down, 14.0, 25.0),
        "outside_diameter": 21.0,
        "clips": np.zeros((0, 3)),
    }
    return RouteGeometry(**(given | more))  # type: ignore[arg-type]


def sheet(geometry: RouteGeometry, units: str = "mm", plan: CutPlan | None = None) -> str:
    return route_drawing(geometry, plan, "A hose", units)


def drawn(geometry: RouteGeometry, units: str = "mm") -> ElementTree.Element:
    text = sheet(geometry, units)
    assert "nan" not in text
    return ElementTree.fromstring(text.encode())


def ids(root: ElementTree.Element) -> set[str]:
    return {part.get("id", "") for part in root.iter()}


def words(root: ElementTree.Element, name: str) -> str:
    (found,) = [part for part in root.iter() if part.get("id") == name]
    said = " ".join(part.text or "" for part in found.iter(f"{SVG}text"))
    return said.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("across", "down", "views"),
    [
        (FORWARD, -UP, (SIDE, TOP)),
        (FORWARD, LEFT, (SIDE, TOP)),
        (LEFT, -UP, (FRONT, TOP_OF_FRONT)),
    ],
)
def test_the_views_are_those_that_show_most(
    across: np.ndarray, down: np.ndarray, views: tuple[View, ...]
) -> None:
    geometry = half_circle(across, down)
    assert views_of(geometry) == views
    for view in (SIDE, TOP, FRONT):  # none that is left out shows more
        if view.words not in {chosen.words for chosen in views} and view is not TOP:
            assert told(geometry, view) <= 2 * min(told(geometry, chosen) for chosen in views)


@pytest.mark.parametrize("across", [FORWARD, LEFT, UP, FORWARD + LEFT, UP - LEFT, [1, 2, 3]])
@pytest.mark.parametrize("turn", np.radians([0.0, 35.0, 90.0, 130.0]))
def test_a_u_is_never_seen_edge_on_in_both_views(across: np.ndarray, turn: float) -> None:
    along = np.asarray(across, float) / np.linalg.norm(across)
    square = np.cross(along, [0.31, -0.52, 0.79])
    square /= np.linalg.norm(square)
    down = np.cos(turn) * square + np.sin(turn) * np.cross(along, square)
    geometry = half_circle(along, down)
    true = told(geometry, View("true", "", along, down))
    assert max(told(geometry, view) for view in views_of(geometry)) > 0.85 * true


def test_a_plane_that_no_usual_view_faces_is_seen_square_and_from_the_edge() -> None:
    plane, edge = views_of(half_circle((FORWARD + LEFT) / np.sqrt(2), UP))
    assert plane.words == "In the plane of the hose, seen from the front and the right"
    assert (plane.right_word, plane.up_word) == ("forward and left", "up")
    assert np.cross(plane.right, plane.up) == pytest.approx(plane.toward)
    assert edge is TOP


def test_an_upright_u_across_the_vehicle_is_seen_from_the_front() -> None:
    assert FRONT in views_of(half_circle(UP, LEFT))


def test_the_front_view_is_seen_from_the_front() -> None:
    assert FRONT.toward == pytest.approx(FORWARD)
    assert TOP_OF_FRONT.toward == pytest.approx(UP)
    assert "front" in FRONT.words


@pytest.mark.parametrize("views", [(SIDE, TOP), (SIDE, FRONT), (FRONT, TOP_OF_FRONT)])
def test_each_direction_is_dimensioned_once(views: tuple[View, ...]) -> None:
    wanted = dimensions_of(views)
    ways = [
        way
        for view, (level, upright) in zip(views, wanted, strict=True)
        for way, is_drawn in ((view.right, level), (view.up, upright))
        if is_drawn
    ]
    assert np.abs(np.array(ways)).sum(axis=0) == pytest.approx([1, 1, 1])


def test_views_that_share_a_direction_stand_in_line() -> None:
    for geometry in (half_circle(LEFT, -UP), half_circle(FORWARD, -UP)):
        views = views_of(geometry)
        upper, lower = place_views(geometry, views, VIEWS)
        ends = [view.paper(geometry.nipple_b.mouth) for view in (upper, lower)]
        axis = 0 if upper.cell[0] == lower.cell[0] else 1
        if axis == 0:
            assert ends[0][0] == pytest.approx(ends[1][0])


def test_tightest_at_rest_and_in_movement_are_told_apart() -> None:
    rest = half_circle(FORWARD, -UP)
    moved_line = rest.centreline + np.array([8.0, 0.0, 5.0])
    geometry = replace(
        rest,
        extremes=(rest.centreline - 5.0, moved_line),
        worst_at=moved_line[40],
        worst_radius=52.0,
        worst_extreme=1,
    )
    root = drawn(geometry)
    assert words(root, "side-tightest") == "Tightest R 60 mm at rest"
    assert words(root, "side-worst") == "R 52 mm at worst movement"
    assert {"side-moved-1", "top-moved-1", "top-worst", "fact-worst"} <= ids(root)
    assert "side-moved-0" not in ids(root)
    assert not {"side-worst", "fact-worst"} & ids(drawn(rest))
    assert words(drawn(rest), "side-tightest") == "Tightest R 60 mm"


GAP = Gap("exhaust pipe", np.array([[60.0, 0.0, -70.5], [60.0, 0.0, -82.5]]), 12.0, 25.0)


def test_the_gap_is_dimensioned_once_where_it_is_longest() -> None:
    geometry = replace(half_circle(FORWARD, -UP), gap=GAP)
    root = drawn(geometry)
    assert "side-gap" in ids(root)
    assert "top-gap" not in ids(root)
    assert words(root, "side-gap") == "12 mm to exhaust pipe, 25 mm wanted"
    level = replace(GAP, at=np.array([[60.0, 0.0, -70.0], [60.0, 20.0, -70.0]]))
    placed = place_views(geometry, views_of(geometry), VIEWS)
    assert view_of_gap(level, placed).view is TOP
    assert view_of_gap(GAP, placed).view is SIDE


def test_a_gap_that_is_none_is_drawn_too() -> None:
    at = np.array([[60.0, 0.0, -70.0], [60.0, 0.0, -70.0]])
    for left in (0.0, -4.0):
        gap = replace(GAP, at=at, left=left, extreme=0)
        geometry = half_circle(FORWARD, -UP)
        root = drawn(replace(geometry, gap=gap, extremes=(geometry.centreline + 2.0,)))
        said = words(root, "side-gap")
        assert said.startswith("Touches exhaust pipe, ")
        assert said.endswith("at worst movement")
    inches = words(drawn(replace(geometry, gap=GAP), units="in"), "side-gap")
    assert inches.replace("\u00a0", " ").startswith("0.47 in to exhaust pipe")


def test_the_low_spot_is_named_in_a_view_that_shows_heights() -> None:
    geometry = half_circle(LEFT, -UP)
    low = LowPoint(geometry.centreline[30], "60 mm below B, 94 mm from A")
    root = drawn(replace(geometry, low_point=low))
    assert words(root, "front-low-spot") == "Low spot 60 mm below B, 94 mm from A"
    assert words(root, "top-low-spot") == ""
    assert "legend-low" in ids(root)


def test_a_refused_route_says_so_and_bears_no_length(plan: CutPlan) -> None:
    geometry = half_circle(FORWARD, -UP)
    assert "345 mm" in sheet(geometry, plan=plan)
    text = sheet(replace(geometry, refused=True), plan=plan)
    root = ElementTree.fromstring(text.encode())
    assert REFUSED in text
    assert "345" not in text
    assert "fact-tip" not in ids(root)
    (cut,) = [part for part in root.iter() if part.get("id") == "fact-cut"]
    assert cut.text == "none works"
    assert REFUSED not in sheet(geometry)


@pytest.fixture
def plan() -> CutPlan:
    return CutPlan(
        tip=295.0, bare=345.0, cut=345.0, parts=(), tolerance=3.0, tolerance_source="invented",
        squareness=1.0, window=(345.0, 380.0), tightest_radius=60.0, tightest_at=94.0,
    )  # fmt: skip


def ball(x: float, y: float, z: float) -> Obstacle:
    return Obstacle(f"ball at {x:g}", "ball", np.array([[x, y, z]]), 10.0, 5.0)


@pytest.mark.parametrize("far", [20.0, 60.0, 90.0])
def test_keep_outs_that_are_near_lie_wholly_in_every_view(far: float) -> None:
    geometry = replace(half_circle(FORWARD, -UP), obstacles=(ball(120.0 + far, 0.0, 0.0),))
    for placed in place_views(geometry, views_of(geometry), VIEWS):
        left, top, right, bottom = placed.cell
        x, y = placed.paper(np.array([120.0 + far, 0.0, 0.0]))
        reach = 10.0 * placed.scale
        assert left <= x - reach
        assert x + reach <= right
        assert top <= y - reach
        assert y + reach <= bottom


def test_keep_outs_that_are_far_are_pointed_at_with_their_distance() -> None:
    root = drawn(replace(half_circle(FORWARD, -UP), obstacles=(ball(900.0, 0.0, 0.0),)))
    assert "side-keep-out-0" not in ids(root)
    assert words(root, "side-far-0") == "ball at 900, 760 mm off, that way"


def test_a_keep_out_that_goes_on_is_cut_off_with_teeth() -> None:
    rod = Obstacle("pipe", "rod", np.array([[60.0, -900.0, 40.0], [60.0, 900.0, 40.0]]), 10.0, 5.0)
    root = drawn(replace(half_circle(FORWARD, -UP), obstacles=(rod,)))
    teeth = [part for part in root.iter() if part.get("class") == "broken-off"]
    assert len(teeth) == 2  # both ends in the top view


def test_a_hatch_ends_on_its_outline() -> None:
    square = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])
    drawn_hatch = hatch(square, (-50.0, -50.0, 8.0, 50.0), hot=True)
    steps = ElementTree.fromstring(drawn_hatch).get("d", "").replace("M", "").replace("L", "")
    points = np.array(steps.split(), float).reshape(-1, 2)
    assert len(points) > 20
    assert points.min() >= -1e-3
    assert points[:, 0].max() == pytest.approx(8.0, abs=1e-3)
    on_edge = (np.abs(points) < 2e-3) | (np.abs(points - (8.0, 10.0)) < 2e-3)
    assert on_edge.any(axis=1).all()


def test_a_drawing_asks_nothing_that_viewers_do_not_share() -> None:
    geometry = replace(half_circle(FORWARD, -UP), obstacles=(ball(60.0, 0.0, -100.0),), gap=GAP)
    text = sheet(geometry)
    for asked in ("<pattern", "<marker", "<filter", "<style", "paint-order", "href", " style="):
        assert asked not in text
    assert 'width="210mm" height="148mm" viewBox="0 0 210 148"' in text
