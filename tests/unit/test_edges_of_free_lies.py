"""How a made hose lies: what is tightest, nearest, lowest, drawn and said, up to each limit."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from hoseselect.cutplan import best_on_route, free_fall, free_geometry, free_lie, soft_shapes
from hoseselect.cutplan.best_on_route import best_words, largest_radius_with_room, shortfall_words
from hoseselect.cutplan.free_fall import LowPlace, fall_notes, fall_refused, low_place, with_fall
from hoseselect.cutplan.free_gap import _ends, along_hose, least_gap_of
from hoseselect.cutplan.free_lie import Lie, bodies_at, body, least_distance, nearest
from hoseselect.cutplan.free_window import longest_length, window_notes
from hoseselect.cutplan.pointing_away import away_notes
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.domain.free_route import Clip, FreeRoute, KeepOut
from hoseselect.domain.geometry import Gap
from hoseselect.judging.columns import NO, UNKNOWN, YES
from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.rod import Ball, Box, Errors, Placement, Rod, place_draws

Array = NDArray[np.float64]
NONE = math.nan
UP, FORWARD, BACK = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0)
ROUTE = FreeRoute((300.0, 0.0, 0.0), FORWARD, BACK)


class Line:
    """A shape along a line of corners, straight between them, of a radius that is told."""

    def __init__(
        self, *corners: Any, radius: float = 100.0, at: float = 30.0, stiff: float = 50.0
    ) -> None:
        self.corners = np.array(corners, dtype=float)
        steps = np.linalg.norm(np.diff(self.corners, axis=0), axis=1)
        self.along = np.append(0.0, np.cumsum(steps))
        self.length = float(self.along[-1])
        self.tightest_radius, self.tightest_at = radius, at
        self.diagnostics = SimpleNamespace(smallest_eigenvalue=stiff)
        first, last = np.diff(self.corners, axis=0)[[0, -1]]
        self.pose = SimpleNamespace(
            start=self.corners[0], start_direction=first / np.linalg.norm(first),
            end=self.corners[-1], end_direction=last / np.linalg.norm(last),
        )  # fmt: skip

    def centreline(self, points: int = 201) -> Array:
        even = np.linspace(0.0, self.length, points)
        return np.column_stack([np.interp(even, self.along, part) for part in self.corners.T])

    def tangents_at(self, points: int) -> Array:
        ways = np.gradient(self.centreline(points), axis=0)
        return ways / np.linalg.norm(ways, axis=1)[:, None]


STRAIGHT = Line((0, 0, 0), (300, 0, 0))


def lie_of(*shapes: Any, moved: Any = (), others: Any = (), **more: Any) -> Lie:
    length = sum(shape.length for shape in shapes)
    return Lie(length, tuple(shapes), tuple(moved), tuple(others), **more)


def shift(*parts: float) -> Placement:
    return Placement(np.eye(3), np.array(parts, dtype=float))


def ball(x: float, z: float, moves: bool | None = False, **more: Any) -> KeepOut:
    return KeepOut("part", "ball", ((x, 0.0, z),), (20.0, 0.0, 0.0), 4.0, moves=moves, **more)


# How it lies


def test_the_tightest_position_and_where_it_bends_there() -> None:
    wide, tight, same = (Line((0, 0, 0), (100, 0, 0), radius=r, at=30.0) for r in (90, 60, 60))
    lie = lie_of(wide, tight, moved=[(same, wide), (tight, wide)], lead=10.0)
    assert (lie.tightest_position, lie.tightest_radius) == (0, 60)
    assert lie.tightest_at == 10 + 100 + 30
    least = lie_of(wide, tight, moved=[(Line((0, 0, 0), (50, 0, 0), radius=50, at=7.0), wide)])
    assert (least.tightest_position, least.tightest_radius, least.tightest_at) == (1, 50, 7)
    equal = lie_of(same, tight)
    assert equal.tightest_at == 30
    assert math.isnan(lie_of(Line((0, 0, 0), (1, 0, 0), radius=math.inf)).tightest_at)


def test_the_tightest_of_the_other_ways_to_lie() -> None:
    assert lie_of(STRAIGHT).other_radius == math.inf
    others = [Line((0, 0, 0), (1, 0, 0), radius=r) for r in (70, 40)]
    assert lie_of(STRAIGHT, others=others).other_radius == 40


def test_the_leads_are_drawn_at_both_nipples() -> None:
    lie = lie_of(Line((10, 0, 0), (100, 0, 0)), Line((100, 0, 0), (100, 0, 90)), lead=10.0)
    line = lie.centreline
    assert len(line) == 5 + 2 * 201 + 5
    assert line[:6, 0] == pytest.approx([0, 2, 4, 6, 8, 10])
    assert line[-6:, 2] == pytest.approx([90, 92, 94, 96, 98, 100])
    assert len(lie_of(STRAIGHT).centreline) == 201


@pytest.mark.parametrize(("depth", "low"), [(0.5, False), (0.51, True)])
def test_liquid_half_a_millimetre_deep_is_none(depth: float, low: bool) -> None:
    lie = lie_of(Line((0, 0, 0), (100, 0, -depth), (200, 0, 0)))
    assert lie.low_spot is low
    route = replace(ROUTE, mouth_b=(200.0, 0.0, 0.0))
    assert (low_place(route, lie) is not None) is low


def test_what_bends_at_the_nipples(monkeypatch: pytest.MonkeyPatch) -> None:
    def ends(shape: Line) -> Any:
        return tuple(SimpleNamespace(radius=shape.tightest_radius + k) for k in (1, 2))

    monkeypatch.setattr(free_lie, "nipple_ends", ends)
    one, two, three = (Line((0, 0, 0), (1, 0, 0), radius=r) for r in (10, 20, 30))
    assert lie_of(one, two, three).end_radii == (11, 32)


def test_bodies_of_what_is_near() -> None:
    part = ball(100.0, 50.0)
    assert body(part) == Ball(pytest.approx([100, 0, 50]), 10.0)
    rod = KeepOut("rod", "rod", ((1.0, 2.0, 3.0), (4.0, 5.0, 6.0)), (16.0, 0.0, 0.0), 1.0)
    found = body(rod)
    assert isinstance(found, Rod)
    assert (found.start.tolist(), found.end.tolist(), found.radius) == ([1, 2, 3], [4, 5, 6], 8.0)
    box = body(KeepOut("box", "box", ((1.0, 2.0, 3.0),), (10.0, 20.0, 30.0), 1.0))
    assert isinstance(box, Box)
    assert (box.centre.tolist(), box.half_size.tolist()) == ([1, 2, 3], [5, 10, 15])


@pytest.mark.parametrize(
    ("moves", "placed", "places"),
    [
        (False, False, [50]), (True, False, [50]), (None, False, [50]),
        (False, True, [50]), (True, True, [43]), (None, True, [50, 43]),
    ],
)  # fmt: skip
def test_where_a_part_may_be(moves: bool | None, placed: bool, places: list[float]) -> None:
    part = ball(100.0, 50.0, moves)
    found = bodies_at(part, body(part), shift(0, 0, -7) if placed else None)
    assert [one.centre[2] for one in found if isinstance(one, Ball)] == places


@pytest.fixture(autouse=True)
def plain_gaps(monkeypatch: pytest.MonkeyPatch) -> None:
    """Distances of made shapes are those of their lines."""

    def least(shapes: Any, near: Any) -> float:
        return min(float(near.distance(shape.centreline(201)).min()) for shape in shapes)

    monkeypatch.setattr(free_lie, "least_gap", least)


def test_the_least_distance_at_all_positions_and_in_other_ways_to_lie() -> None:
    still = shift(0, 0, 0)
    moved = (Line((0, 0, 0), (150, 0, 12), (300, 0, 0)),)
    lie = lie_of(STRAIGHT, moved=[moved], placements=(still, shift(0, 0, -7)))
    assert lie.centreline == pytest.approx(STRAIGHT.centreline(201))
    assert nearest(lie, ball(150.0, 50.0)) == (pytest.approx(28, abs=0.1), 1)
    assert nearest(lie, ball(150.0, 50.0, moves=True)) == (pytest.approx(21, abs=0.1), 1)
    assert nearest(lie, ball(150.0, -50.0)) == (pytest.approx(40), 0)
    assert least_distance(lie, ball(150.0, -50.0)) == pytest.approx(40)
    other = replace(lie, others=(Line((0, 0, 0), (150, 0, -20), (300, 0, 0)),))
    assert nearest(other, ball(150.0, -50.0)) == (pytest.approx(20, abs=0.3), 0)
    assert nearest(other, ball(150.0, 50.0)) == (pytest.approx(28, abs=0.1), 1)


def test_what_is_held_straight_counts_as_well() -> None:
    """A ball beside nipple A, 10 mm from where the hose begins to bend."""
    part = ball(0.0, 30.0)
    whole = lie_of(Line((10, 0, 0), (300, 0, 0)), lead=10.0)
    bare = lie_of(Line((10, 0, 0), (300, 0, 0)))
    assert least_distance(whole, part) == pytest.approx(20)
    assert least_distance(bare, part) == pytest.approx(math.hypot(10, 30) - 10)


# The nearest gap


def test_the_least_gap_is_that_which_lacks_most() -> None:
    """A hose of 18 mm: 31 mm to what wants 4, 36 mm to what wants 20."""
    near, wide = ball(60.0, 50.0), ball(240.0, 55.0, growth=10.0, shake=6.0)
    route = replace(ROUTE, keep_outs=(near, wide))
    gap = least_gap_of(route, lie_of(STRAIGHT), 18.0)
    assert gap is not None
    assert (gap.left, gap.wanted, gap.extreme) == (pytest.approx(36), 20, None)
    assert gap.at[0] == pytest.approx((240, 0, 9), abs=1e-6)
    assert gap.at[1] == pytest.approx((240, 0, 45), abs=1e-6)
    assert along_hose(gap, lie_of(STRAIGHT)) == pytest.approx(240)
    moved = lie_of(STRAIGHT, moved=[(Line((0, 0, 0), (0, 0, 90), (300, 0, 90)),)])
    assert along_hose(gap, moved) == pytest.approx(240)
    across = replace(gap, at=np.array([[120.0, 0.0, 9.0], [240.0, 0.0, 45.0]]))
    assert along_hose(across, lie_of(STRAIGHT)) == pytest.approx(120)
    start = least_gap_of(replace(ROUTE, keep_outs=(ball(0.0, 50.0),)), lie_of(STRAIGHT), 18.0)
    assert start is not None
    assert along_hose(start, lie_of(STRAIGHT)) == 0.0
    first = least_gap_of(replace(route, keep_outs=(near, replace(near, name="twin"))),
                         lie_of(STRAIGHT), 18.0)  # fmt: skip
    assert first is not None
    assert first.name == "part"
    assert least_gap_of(ROUTE, lie_of(STRAIGHT), 18.0) is None


def test_the_least_gap_at_an_extreme_of_movement() -> None:
    moved = [(STRAIGHT,), (Line((0, 0, 0), (0, 0, 12), (300, 0, 12)),)]
    places = (shift(0, 0, 0), shift(0, 0, 3), shift(0, 0, -7))
    lie = lie_of(STRAIGHT, moved=moved, placements=places)
    gap = least_gap_of(replace(ROUTE, keep_outs=(ball(150.0, 50.0),)), lie, 18.0)
    assert gap is not None
    assert (gap.left, gap.extreme) == (pytest.approx(50 - 10 - 9 - 12, abs=0.1), 1)
    assert gap.at[0][2] == pytest.approx(21, abs=0.01)
    assert along_hose(gap, lie) == pytest.approx(162, abs=1.0)
    gap = least_gap_of(replace(ROUTE, keep_outs=(ball(150.0, 50.0, moves=True),)), lie, 18.0)
    assert gap is not None
    assert gap.left == pytest.approx(12, abs=0.1)
    still = lie_of(STRAIGHT, moved=[(STRAIGHT,)], placements=(shift(0, 0, 0), shift(0, 0, -7)))
    gap = least_gap_of(replace(ROUTE, keep_outs=(ball(150.0, 50.0, moves=True),)), still, 18.0)
    assert gap is not None
    assert (gap.left, gap.extreme) == (pytest.approx(24), 0)


def test_inside_a_part_the_way_out_is_shown_and_at_its_centre_it_is_up() -> None:
    route = replace(ROUTE, keep_outs=(ball(150.0, 4.0),))
    gap = least_gap_of(route, lie_of(STRAIGHT), 18.0)
    assert gap is not None
    assert gap.left == pytest.approx(-6 - 9)
    assert gap.at[1] == pytest.approx((150, 0, -6), abs=1e-6)
    assert gap.at[0] == pytest.approx((150, 0, 9), abs=1e-6)
    gap = least_gap_of(replace(ROUTE, keep_outs=(ball(150.0, 0.0),)), lie_of(STRAIGHT), 18.0)
    assert gap is not None
    assert gap.at[0] == pytest.approx((150, 0, -9))
    assert gap.at[1] == pytest.approx((150, 0, 10))


def test_the_way_to_the_corner_of_a_box_is_found_close_to_it() -> None:
    """A box that ends at the origin, from 0.3 mm ahead of it and 0.6 mm above."""
    box = Box(np.array([-5.0, 0.0, -5.0]), np.array([5.0, 5.0, 5.0]))
    cover, surface = _ends(box, np.array([0.3, 0.0, 0.6]), 0.1)
    assert surface == pytest.approx((0, 0, 0), abs=1e-4)
    assert cover == pytest.approx(np.array([0.3, 0.0, 0.6]) * (1 - 0.1 / math.hypot(0.3, 0.6)),
                                  abs=1e-4)  # fmt: skip


# Fall and low spot


def heights(*z: float, **more: Any) -> Lie:
    """A lie through heights 100 mm apart."""
    return lie_of(Line(*((100.0 * k, 0.0, one) for k, one in enumerate(z))), **more)


def exactly(*z: float) -> Any:
    """A lie of points at heights 100 mm apart, and no more."""
    line = np.array([(100.0 * k, 0.0, one) for k, one in enumerate(z)])
    return SimpleNamespace(centreline=line, falls=False, low_spot=True, others=())


def test_where_liquid_stands() -> None:
    low = low_place(replace(ROUTE, mouth_b=(200.0, 0.0, -20.0)), heights(0.0, -75.0, -20.0))
    assert low is not None
    assert low.place == pytest.approx((100, 0, -75), abs=1.0)
    assert low.along == pytest.approx(math.hypot(100, 75), abs=1.0)
    assert low.depth == pytest.approx(55, abs=1.0)
    assert (low.nipple, low.below) == ("B", pytest.approx(55, abs=1.0))
    level = low_place(replace(ROUTE, mouth_b=(200.0, 0.0, 0.0)), heights(0.0, -75.0, 0.0))
    assert level is not None
    assert (level.nipple, level.below) == ("A", pytest.approx(75, abs=0.8))
    assert level.depth == pytest.approx(75, abs=0.8)
    higher = low_place(replace(ROUTE, mouth_b=(200.0, 0.0, 30.0)), heights(0.0, 80.0, 20.0, 30.0))
    assert higher is not None
    assert (higher.nipple, higher.below) == ("A", pytest.approx(-20, abs=1.0))
    for height, nipple, below in ((-0.5, "B", 74.5), (0.5, "A", 75.0)):
        near = low_place(replace(ROUTE, mouth_b=(200.0, 0.0, height)), exactly(0.0, -75.0, height))
        assert near is not None
        assert (near.nipple, near.below) == (nipple, below)
    assert low_place(replace(ROUTE, oriented=False), heights(0.0, -75.0, 0.0)) is None
    assert low_place(ROUTE, heights(0.0, -75.0, -80.0)) is None


@pytest.mark.parametrize(
    ("below", "words"),
    [
        (30.2, "30 mm below nipple B"),
        (0.0, "0 mm below nipple B"),
        (-0.6, "1 mm above nipple B"),
        (-7.0, "7 mm above nipple B"),
    ],
)
def test_a_low_spot_is_told_from_the_lower_nipple(below: float, words: str) -> None:
    place = LowPlace((1.0, 2.0, 3.0), 123.4, 5.0, "B", below)
    assert place.words == f"{words}, 123 mm from nipple A along the hose"


DRAIN = FreeRoute((100.0, 0.0, -150.0), FORWARD, BACK)
FALLS, HANGS = heights(0.0, -150.0), heights(0.0, -180.0, -150.0)


def size(lie: Lie | None, *, looked: bool = True) -> SizePlan:
    return SizePlan(40.0, 18.0, 100.0, 200.0, 100.0, 3.0, lie=lie, looked=looked)


def job_with(service: str = "turbo-oil-drain", fall: str = "unknown", spot: str = "unknown") -> Any:
    return SimpleNamespace(service=service, route=SimpleNamespace(fall=fall, low_spot=spot))


def columns(fall: int, spot: int) -> Any:
    return SimpleNamespace(
        fall=np.array([[fall]]), low_spot=np.array([[spot]]), change=lambda **more: more
    )


def plan_of(*sizes: SizePlan, route: FreeRoute = DRAIN) -> Any:
    return SimpleNamespace(route=route, sizes=sizes)


@pytest.mark.parametrize(
    ("told", "falls", "sags"),
    [
        ((UNKNOWN, UNKNOWN), [YES, NO, YES, UNKNOWN], [NO, YES, NO, UNKNOWN]),
        ((YES, NO), [YES, NO, YES, YES], [NO, YES, NO, NO]),
        ((NO, YES), [NO, NO, NO, NO], [YES, YES, YES, YES]),
    ],
)
def test_what_somebody_saw_counts_before_what_is_solved(
    told: tuple[int, int], falls: list[int], sags: list[int]
) -> None:
    """Of a hose that falls, one that hangs, one without a cut, and one not looked at."""
    plan = plan_of(size(FALLS), size(HANGS), size(None), size(None, looked=False))
    found = with_fall(columns(*told), plan, job_with())
    assert found["fall"].tolist() == [falls]  # type: ignore[index]
    assert found["low_spot"].tolist() == [sags]  # type: ignore[index]


def test_level_nipples_leave_the_fall_unknown() -> None:
    for height, falls in ((-5.0, UNKNOWN), (-5.1, YES), (5.0, UNKNOWN), (5.1, YES)):
        route = replace(DRAIN, mouth_b=(100.0, 0.0, height))
        found = with_fall(columns(UNKNOWN, NO), plan_of(size(FALLS), route=route), job_with())
        assert found["fall"].tolist() == [[falls]]  # type: ignore[index]


def test_another_way_to_lie_may_hold_liquid() -> None:
    for depth, sags in ((0.5, NO), (0.6, YES)):
        lie = replace(FALLS, others=(Line((0, 0, 0), (1, 0, -depth), (2, 0, 0)),))
        found = with_fall(columns(UNKNOWN, UNKNOWN), plan_of(size(lie)), job_with())
        assert found["low_spot"].tolist() == [[sags]]  # type: ignore[index]


def test_without_up_nothing_is_known_of_fall() -> None:
    jobs = columns(UNKNOWN, UNKNOWN)
    assert with_fall(jobs, plan_of(size(HANGS), route=replace(DRAIN, oriented=False)),
                     job_with()) is jobs  # fmt: skip


def test_why_a_line_does_not_fall() -> None:
    level = replace(DRAIN, mouth_b=(100.0, 0.0, -5.0))
    flat = replace(DRAIN, oriented=False)
    assert fall_refused(job_with(), DRAIN, FALLS) == ""
    assert fall_refused(job_with(), DRAIN, HANGS).startswith(
        "it does not fall all the way: liquid stands 30 mm below nipple B, "
    )
    assert fall_refused(job_with("washer"), DRAIN, HANGS) == ""
    assert fall_refused(job_with(fall="no"), DRAIN, FALLS) == "it does not fall all the way"
    assert fall_refused(job_with(fall="no"), flat, HANGS) == "it does not fall all the way"
    assert fall_refused(job_with(fall="yes"), flat, HANGS) == ""
    assert "level within the 5 mm error" in fall_refused(job_with(), level, FALLS)
    assert fall_refused(job_with(fall="yes"), level, FALLS) == ""
    assert fall_refused(job_with("washer", fall="no"), DRAIN, FALLS) == ""


def questions(plan: Any, job: Any) -> list[str]:
    return [str(one) for one in free_fall._contradictions(plan, job)]


def test_what_is_true_of_no_size_is_asked_about() -> None:
    says = job_with(fall="yes")
    (asked,) = questions(plan_of(size(HANGS), size(None)), says)
    assert "liquid stands 30 mm below nipple B" in asked
    assert questions(plan_of(size(HANGS), size(FALLS)), says) == []
    (asked,) = questions(plan_of(size(HANGS), size(heights(0.0, -190.0, -150.0))), says)
    assert "liquid stands 30 mm below nipple B" in asked
    assert questions(plan_of(size(None)), says) == []
    assert questions(plan_of(size(HANGS)), job_with("washer", fall="yes")) == []
    assert questions(plan_of(size(HANGS)), job_with(fall="no")) == []
    (rises,) = questions(plan_of(size(heights(0.0, 30.0, -150.0))), says)
    assert "it rises on the way" in rises


def test_a_low_spot_that_was_denied_is_asked_about_beyond_the_error_of_the_tape() -> None:
    denies = job_with("crankcase-breather", spot="no")
    deep, shallow = heights(0.0, -155.6, -150.0), heights(0.0, -154.9, -150.0)
    assert free_fall.low_place(DRAIN, shallow) is not None
    (asked,) = questions(plan_of(size(deep)), denies)
    assert "low_spot = no on a free route that hangs: liquid stands" in asked
    assert questions(plan_of(size(shallow)), denies) == []
    assert questions(plan_of(size(exactly(0.0, -155.0, -150.0))), denies) == []
    (asked,) = questions(plan_of(size(HANGS), size(deep)), denies)
    assert "liquid stands 30 mm below nipple B" in asked
    assert questions(plan_of(size(deep), size(shallow)), denies) == []
    assert questions(plan_of(size(deep), size(FALLS)), denies) == []
    assert questions(plan_of(size(FALLS), size(deep)), denies) == []
    assert questions(plan_of(size(deep)), job_with("coolant-heater", spot="no")) == []
    assert questions(plan_of(size(deep)), job_with("crankcase-breather", spot="yes")) == []
    with pytest.raises(InputError):
        with_fall(columns(UNKNOWN, NO), plan_of(size(deep)), denies)


def test_what_is_said_of_fall_and_low_spot() -> None:
    assert fall_notes(job_with(), DRAIN, FALLS) == [
        "It falls all the way from nipple A, 150 mm higher, to nipple B: A must be at the"
        " turbocharger, B at the sump."
    ]
    up = replace(DRAIN, mouth_b=(100.0, 0.0, 150.0))
    assert fall_notes(job_with(), up, heights(0.0, 150.0)) == [
        "It falls all the way from nipple B, 150 mm higher, to nipple A: B must be at the"
        " turbocharger, A at the sump."
    ]
    (low,) = fall_notes(job_with(), DRAIN, HANGS)
    assert low.startswith("Low spot 30 mm below nipple B")
    assert low.endswith("liquid stands there, 30 mm deep.")
    assert fall_notes(job_with("crankcase-breather"), DRAIN, FALLS) == []
    assert fall_notes(job_with("crankcase-breather"), DRAIN, HANGS) == [low]
    assert fall_notes(job_with("coolant-heater"), DRAIN, HANGS) == []
    assert fall_notes(job_with(), replace(DRAIN, mouth_b=(100.0, 0.0, -5.0)), FALLS) == []
    for service in ("turbo-oil-drain", "crankcase-breather", "drain"):
        (seen,) = fall_notes(job_with(service), replace(DRAIN, oriented=False), HANGS)
        assert "not known: look whether it falls" in seen
    assert fall_notes(job_with("drain"), DRAIN, HANGS) == [low]


# As it is drawn


def plan_with(lies: dict[Any, Any], *sizes: Any, route: FreeRoute = ROUTE, **more: Any) -> Any:
    solution = SimpleNamespace(lie=lambda spans: lies.get(tuple(spans)), **more)
    return SimpleNamespace(route=route, sizes=sizes, solution=solution, engagements=(25.0, 30.0))


def nipples() -> Any:
    return SimpleNamespace(
        service="coolant-heater",
        nipple_a=SimpleNamespace(outside_diameter=10.0),
        nipple_b=SimpleNamespace(outside_diameter=12.0),
    )


BENT = Line((0, 0, 0), (150, 0, 0), (150, 0, 150), radius=40.0, at=150.0)


def test_a_hose_is_drawn_as_it_lies() -> None:
    part = ball(150.0, 60.0, hot=True)
    route = replace(ROUTE, points_a=UP, keep_outs=(part,), clips=(Clip((1.0, 2.0, 3.0), FORWARD),))
    other = Line((0, 0, 0), (150, 0, -20), (300, 0, 0))
    lie = lie_of(BENT, others=[other])
    plan = plan_with({}, size(lie), route=route)
    drawn = free_geometry.free_geometry(nipples(), plan, 0, 18.0)
    assert drawn.centreline is lie.centreline
    assert drawn.tightest_at == pytest.approx((150, 0, 0), abs=1.6)
    assert drawn.tightest_radius == 40.0
    assert drawn.tightest_normal == pytest.approx((0, -1, 0))
    for end, name, mouth, points, diameter, engaged in (
        (drawn.nipple_a, "A", (0, 0, 0), UP, 10.0, 25.0),
        (drawn.nipple_b, "B", (300, 0, 0), BACK, 12.0, 30.0),
    ):
        assert (end.name, end.outside_diameter, end.engagement) == (name, diameter, engaged)
        assert end.mouth.tolist() == list(mouth)
        assert end.points.tolist() == list(points)
    assert drawn.clips.tolist() == [[1, 2, 3]]
    assert drawn.extremes == ()
    assert len(drawn.others) == 1
    assert drawn.others[0] == pytest.approx(other.centreline(201))
    (shown,) = drawn.obstacles
    assert (shown.name, shown.kind, shown.radius, shown.clearance, shown.hot) == (
        "part", "ball", 10.0, 4.0, True,
    )  # fmt: skip
    assert not drawn.flat
    assert (drawn.worst_at, drawn.worst_radius, drawn.worst_extreme) == (None, math.inf, None)
    assert drawn.gap is not None
    assert drawn.gap.left == pytest.approx(150 - 141 + 1 + 31, abs=60)
    assert not drawn.refused
    assert drawn.low_point is None
    unknown = free_geometry.free_geometry(nipples(), plan, 0, NONE)
    assert unknown.gap is None
    flat = plan_with({}, size(lie_of(BENT)), route=replace(ROUTE, oriented=False))
    assert free_geometry.free_geometry(nipples(), flat, 0, 18.0).flat
    assert free_geometry.free_geometry(nipples(), flat, 0, 18.0).clips.shape == (0, 3)


def test_the_worst_extreme_is_drawn_with_its_number() -> None:
    tighter = Line((0, 0, 0), (0, 0, 150), (150, 0, 150), radius=30.0, at=150.0)
    wide = replace_radius(90.0)
    lie = lie_of(BENT, moved=[(wide,), (tighter,)], placements=(shift(0, 0, 0),) * 3)
    drawn = free_geometry.free_geometry(nipples(), plan_with({}, size(lie)), 0, 18.0)
    assert len(drawn.extremes) == 2
    assert drawn.extremes[1] == pytest.approx(tighter.centreline(201))
    assert drawn.worst_at == pytest.approx((0, 0, 150), abs=1.6)
    assert (drawn.worst_radius, drawn.worst_extreme) == (30.0, 1)
    assert drawn.tightest_radius == 40.0
    first = lie_of(BENT, moved=[(tighter,), (wide,)], placements=(shift(0, 0, 0),) * 3)
    drawn = free_geometry.free_geometry(nipples(), plan_with({}, size(first)), 0, 18.0)
    assert drawn.worst_extreme == 0


def replace_radius(radius: float) -> Line:
    return Line((0, 0, 0), (150, 0, 0), (150, 0, 150), radius=radius, at=150.0)


def test_the_tightest_spot_of_several_spans() -> None:
    lie = lie_of(Line((0, 0, 0), (100, 0, 0), radius=80.0), BENT)
    _, _, radius = free_geometry._tightest(lie, 0)
    assert radius == 40.0


@pytest.mark.parametrize(
    ("at", "place"), [(0.0, 1), (300.0, 199), (75.0, 50), (150.2, 100), (250.0, 167)]
)
def test_the_tightest_spot_is_never_the_last_point(at: float, place: int) -> None:
    line = Line((0, 0, 0), (300, 0, 0), at=at)
    spot, normal, _ = free_geometry._tightest(lie_of(line), 0)
    assert spot == pytest.approx((1.5 * place, 0, 0))
    assert normal == pytest.approx((0, -1, 0))  # of a straight line, somewhere square to it


def test_the_normal_is_that_of_the_plane_of_the_bend() -> None:
    line = Line((0, 0, 0), (100, 0, 0), (100, 50, 0), (200, 50, 0), at=100.0)
    assert free_geometry._tightest(lie_of(line), 0)[1] == pytest.approx((0, 0, 1))
    slight = Line((0, 0, 0), (100, 0, 0), (200, 30, 0), at=100.0)
    assert free_geometry._tightest(lie_of(slight), 0)[1] == pytest.approx((0, 0, 1))
    twisted: Any = Line((0, 0, 0), (300, 0, 0), at=150.0)
    ways = np.tile([0.6, 0.0, 0.8], (201, 1))
    ways[99:102] = np.eye(3)
    twisted.tangents_at = lambda points: ways
    assert free_geometry._tightest(lie_of(twisted), 0)[1] == pytest.approx((0, -1, 0))
    back = Line((0, 0, 0), (100, 0, 0), (100, 50, 0), (200, 50, 0), at=150.0)
    assert free_geometry._tightest(lie_of(back), 0)[1] == pytest.approx((0, 0, -1))


def test_the_corners_of_a_box_and_the_ends_of_a_rod_are_drawn() -> None:
    box = KeepOut("tray", "box", ((10.0, 20.0, 30.0),), (2.0, 4.0, 6.0), 1.0, growth=2.0)
    shown = free_geometry.obstacle(box)
    assert (shown.radius, shown.clearance) == (0.0, 3.0)
    assert shown.points.tolist() == [
        [x, y, z] for x in (9.0, 11.0) for y in (18.0, 22.0) for z in (27.0, 33.0)
    ]
    rod = KeepOut("rod", "rod", ((1.0, 2.0, 3.0), (4.0, 5.0, 6.0)), (16.0, 0.0, 0.0), 1.0)
    assert free_geometry.obstacle(rod).points.tolist() == [[1, 2, 3], [4, 5, 6]]
    assert free_geometry.obstacle(rod).radius == 8.0


def test_a_refused_hose_is_drawn_where_it_has_most_room() -> None:
    best, room = lie_of(BENT), lie_of(STRAIGHT)
    lies = {(240.0,): best, (250.0,): room}
    plan = plan_with(lies, size(None), best_spans=(240.0,))
    drawn = free_geometry.free_geometry(nipples(), plan, 0, 18.0)
    assert drawn.centreline is best.centreline
    assert drawn.refused
    plan.sizes = (replace(size(None), roomiest=(250.0,)),)
    assert free_geometry.free_geometry(nipples(), plan, 0, 18.0).centreline is room.centreline
    lies.clear()
    with pytest.raises(ValueError, match="not drawn"):
        free_geometry.free_geometry(nipples(), plan, 0, 18.0)


def test_another_length_is_shared_by_all_spans() -> None:
    lie = lie_of(BENT)
    own = replace(size(lie), spans=(100.0, 200.0), cut=355.0)
    plan = plan_with({(110.0, 210.0): lie}, own)
    drawn = free_geometry.free_geometry_at(nipples(), plan, 0, 18.0, 375.0)
    assert drawn is not None
    assert not drawn.refused
    assert free_geometry.free_geometry_at(nipples(), plan, 0, 18.0, 376.0) is None
    plan.sizes = (size(None),)
    assert free_geometry.free_geometry_at(nipples(), plan, 0, 18.0, 375.0) is None


def test_a_low_point_is_drawn_where_it_matters() -> None:
    plan = plan_with({}, size(HANGS), route=DRAIN)
    job = nipples()
    assert free_geometry.free_geometry(job, plan, 0, 18.0).low_point is None
    job.service = "crankcase-breather"
    low = free_geometry.free_geometry(job, plan, 0, 18.0).low_point
    assert low is not None
    assert low.at == pytest.approx((100, 0, -180), abs=1.6)
    assert "30 mm below nipple B" in low.words


# What becomes of it beyond its window


def window_of(
    lies: dict[Any, Any], practical: float = 900.0, parts: Any = (), **more: Any
) -> list[str]:
    own = replace(size(None), spans=(240.0,), shortest=200.0, longest=300.0, **more)
    route = replace(ROUTE, keep_outs=parts)
    plan = plan_with(lies, own, route=route, practical=practical, distance=198.0)
    return window_notes(own, plan)


def bends(radius: float, at: float = 150.0, **more: Any) -> Lie:
    return lie_of(Line((0, 0, 0), (300, 0, 0), radius=radius, at=at), **more)


@pytest.mark.parametrize(
    ("radius", "parts", "shortest", "said"),
    [
        (40.4, (), 200.0, "bends tighter than 40 mm."),
        (40.5, (), 200.0, "does not reach."),
        (40.5, (ball(1.0, 1.0),), 200.0, "comes too near to something."),
        (40.5, (ball(1.0, 1.0),), 199.0, "does not reach."),
        (40.5, (ball(1.0, 1.0),), 199.1, "comes too near to something."),
    ],
)
def test_what_a_shorter_hose_does(radius: float, parts: Any, shortest: float, said: str) -> None:
    own = replace(size(None), spans=(240.0,), shortest=shortest, longest=300.0)
    plan = plan_with({(shortest,): bends(radius)}, own, route=replace(ROUTE, keep_outs=parts),
                     practical=900.0, distance=198.0)  # fmt: skip
    assert window_notes(own, plan)[0] == f"Shorter than {shortest + 55:.0f} mm it {said}"


@pytest.mark.parametrize(
    ("at", "lead", "said"),
    [(6.0, 0.0, " at a nipple"), (6.1, 0.0, ""), (294.0, 0.0, " at a nipple"), (293.9, 0.0, ""),
     (15.9, 10.0, " at a nipple"), (16.1, 10.0, ""), (284.1, 10.0, " at a nipple"),
     (283.9, 10.0, "")],
)  # fmt: skip
def test_a_bend_within_a_fiftieth_of_the_length_is_at_the_nipple(
    at: float, lead: float, said: str
) -> None:
    lie = bends(40.0, at=at - lead, lead=lead)
    assert window_of({(200.0,): lie})[0].endswith(f"bends tighter than 40 mm{said}.")


def test_with_clips_or_without_a_shape_both_reasons_are_told() -> None:
    either = "Shorter than 255 mm it bends tighter than 40 mm, or does not reach."
    assert window_of({})[0] == either
    own = replace(size(None), spans=(100.0, 140.0), shortest=200.0, longest=300.0)
    plan = plan_with({(200.0,): bends(40.0)}, own, practical=900.0, distance=198.0)
    assert window_notes(own, plan)[0] == either


def test_what_a_longer_hose_does() -> None:
    bows = "Longer than 355 mm it bows out and bends tighter than 40 mm again"
    assert window_of({})[1].startswith(bows)
    assert window_of({(300.0,): bends(40.4)})[1].startswith(bows)
    assert "355 mm it is no good: do" in window_of({(300.0,): bends(40.5)})[1]
    near = window_of({(300.0,): bends(40.5)}, parts=(ball(1.0, 1.0),))
    assert "355 mm it comes too near to something: do" in near[1]
    assert "Longer than 345 mm it may hang" in window_of({}, practical=290.0)[1]
    assert window_of({}, practical=300.0)[1].startswith(bows)
    assert "Longer than 295 mm it may hang" in window_of({}, practical=100.0)[1]
    assert all(len(window_of({}, practical=one)) == 2 for one in (100.0, 900.0))
    own = replace(size(None), spans=(240.0,), longest=math.inf)
    plan: Any = SimpleNamespace(solution=SimpleNamespace(practical=260.0))
    assert longest_length(own, plan) == 260.0


# Nipples that point away


def looping(angle: float, share: float = 1.6, **more: Any) -> list[str]:
    """Notes of a route of 100 mm forward whose nipple A points up and turned back by an angle."""
    turn = math.radians(angle)
    route = FreeRoute((100.0, 0.0, 0.0), (math.cos(turn), 0.0, math.sin(turn)), BACK, **more)
    return away_notes(route, 100.0 * share)


def test_a_nipple_points_away_beyond_120_degrees_where_the_hose_loops() -> None:
    assert looping(119.9) == []
    (note,) = looping(125.0)
    assert note.startswith("Nipple A points away from nipple B (125 deg), so that the hose loops"
                           " 1.6 times")  # fmt: skip
    for side, noted in ((1.0, 0), (-1.0, 1)):  # rounding makes its cosine a little more than 1
        mouth = np.array([-127.0, -62.0, 4.0])
        points = side * mouth / np.linalg.norm(mouth)
        route = FreeRoute(tuple(mouth.tolist()), tuple(points.tolist()), UP)
        assert len(away_notes(route, 300.0)) == noted
    assert looping(125.0, share=1.5) == []
    assert len(looping(125.0, share=1.501)) == 1
    for angle, told in ((119.7, 0), (120.3, 1)):
        turn = math.radians(angle)
        route = FreeRoute((100.0, 0.0, 0.0), (math.cos(turn), math.sin(turn), 0.0), BACK)
        assert len(away_notes(route, 160.0)) == told
    assert len(looping(180.0)) == 1
    clipped = FreeRoute(
        (100.0, 0.0, 0.0), (1.0, 0.0, 0.0), FORWARD, clips=(Clip((60.0, 0.0, 0.0), FORWARD),)
    )
    assert [note[:42] for note in away_notes(clipped, 160.0)] == [
        "Nipple B points away from the next clip (1"
    ]
    bent = replace(clipped, clips=(Clip((0.0, 0.0, 80.0), FORWARD),))
    assert away_notes(bent, 1.5 * (80 + math.hypot(100, 80))) == []
    assert away_notes(replace(bent, points_a=(0.0, 0.0, -1.0)), 320.0)[0].startswith("Nipple A")
    (other,) = away_notes(replace(ROUTE, points_b=FORWARD), 900.0)
    assert other.startswith("Nipple B points away from nipple A (180 deg), so that the hose loops"
                            " 3.0 times")  # fmt: skip


# The best that a route allows


def best_plan(radius: float, *, parts: Any = (), works: Any = None) -> Any:
    windows = [[f"{r:.3f}" for r in np.linspace(0, 1, 3)]]
    asked: list[Any] = []
    return SimpleNamespace(
        best_radius=radius, best_length=312.4, engagements=(25.0, 30.0), sizes=(),
        route=replace(ROUTE, keep_outs=parts), windows=windows, asked=asked,
        solution=SimpleNamespace(windows=lambda radii: [list(radii), list(-radii)],
                                 lie=lambda spans: None),
    )  # fmt: skip


def test_the_largest_radius_for_which_a_cut_exists(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []

    def exists(solution: Any, scan: Any, windows: Any, outside: float, ends: float) -> bool:
        asked.append((scan, windows, outside, ends))
        return bool(windows[0] < limit_of["radius"] and windows[1] == -windows[0])

    limit_of = {"radius": 85.0}
    monkeypatch.setattr(best_on_route, "scan_of", lambda solution, each, ends: (len(each), ends))
    monkeypatch.setattr(best_on_route, "cut_exists", exists)
    plan = best_plan(100.0)
    assert largest_radius_with_room(plan) == pytest.approx(84.0)
    assert len(asked) == 17  # from the largest down, no further than to the first that fits
    assert asked[0][0] == (31, 55.0)
    assert asked[0][3] == 55.0
    assert (asked[0][1][0], asked[-1][1][0]) == (pytest.approx(100.0), pytest.approx(84.0))
    limit_of["radius"] = 60.0
    assert math.isnan(largest_radius_with_room(plan))
    assert len(asked) == 17 + 31
    assert asked[-1][1][0] == pytest.approx(70.0)
    crowded = best_plan(100.0, parts=(ball(1.0, 1.0),))
    assert largest_radius_with_room(crowded, 18.0) == pytest.approx(57.5)
    assert asked[-1][2] == 18.0
    assert asked[-18][1][0] == pytest.approx(100.0)
    limit_of["radius"] = 10.0
    assert math.isnan(largest_radius_with_room(crowded, 18.0))
    assert (asked[-33][1][0], asked[-1][1][0]) == (pytest.approx(100.0), pytest.approx(20.0))
    assert math.isnan(largest_radius_with_room(crowded))
    assert math.isnan(largest_radius_with_room(best_plan(math.inf, parts=(ball(1.0, 1.0),)), 18.0))
    assert largest_radius_with_room(best_plan(math.inf)) == math.inf


def test_the_best_in_words() -> None:
    assert best_words(best_plan(81.6)) == (
        "at best it allows a radius of 82 mm, at 312 mm from mouth to mouth"
    )
    assert best_words(best_plan(math.inf)) == (
        "at best the hose lies straight, at 312 mm from mouth to mouth"
    )


def test_what_a_hose_lacks_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    def said(own: SizePlan, plan: Any = None) -> str:
        return shortfall_words(plan or best_plan(81.6), own)

    lie = lie_of(STRAIGHT, others=[Line((0, 0, 0), (1, 0, 0), radius=33.0)])
    narrow = replace(size(None), width=5.0)
    assert said(narrow) == (
        "window of lengths only 5 mm wide, 7 mm needed for the tolerance of the cut"
    )
    assert said(replace(narrow, width=0.6)).startswith("window of lengths only 1 mm wide")
    for width in (0.0, 7.0, NONE):
        assert said(replace(narrow, width=width)).startswith("at best it allows a radius of 82 mm")
    assert said(replace(size(lie), room=0.0)) == "it can also lie with a bend of 33 mm"
    bare = replace(lie, others=(Line((0, 0, 0), (1, 0, 0), radius=40.0),))
    assert said(replace(size(bare), room=1.0)) == "no length stands errors of 2 mm in measuring"
    fine = best_plan(81.6)
    fine.route = replace(ROUTE, tape_error=1.0)
    assert said(size(bare), fine) == "no length stands errors of 1 mm in measuring"
    gap = Gap("pump", np.array([[120.0, 0.0, 9.0], [120.0, 0.0, 12.0]]), 3.0, 10.0)
    monkeypatch.setattr(best_on_route, "least_gap_of", lambda route, lie, outside: gap)
    near = replace(size(lie), room=-0.1)
    assert said(near) == (
        "at the best length, 300 mm from mouth to mouth: 3 mm to pump, 10 mm wanted,"
        " 120 mm from nipple A along the hose"
    )
    roomy = best_plan(81.6)
    roomy.solution.lie = lambda spans: lie if spans == (240.0,) else None
    assert "3 mm to pump" in said(replace(narrow, roomiest=(240.0,)), roomy)
    monkeypatch.setattr(best_on_route, "least_gap_of", lambda *_: None)
    assert said(near).endswith("from mouth to mouth, it comes too near to something")


# Shapes that hold their side weakly


class NearOf:
    """Something near: its room is the least height of a line less what it asks for."""

    def __init__(self, part: Any, solution: Any) -> None:
        self.part = part

    def room(self, points: Array, position: int) -> Array:
        return np.asarray(points[..., 2].min(axis=-1) - self.part - 0.001 * position)


def soft_solution(spans: int = 1, parts: Any = (), rings: Any = (), positions: Any = None) -> Any:
    one = SimpleNamespace(
        positions=positions or [(k, None) for k in range(5)],
        poses=[f"pose {k}" for k in range(5)], leads=20.0,
    )  # fmt: skip
    route = SimpleNamespace(keep_outs=parts, tape_error=5.0, angle_error=6.0)
    return SimpleNamespace(spans=[one] * spans, rings=rings, route=route)


def softly(*shapes: tuple[float, float, float], others: Any = ()) -> Any:
    """A lie with a shape at each position: stiffness, tightest radius, height."""
    lines = [Line((0, 0, z), (10, 0, z), radius=r, stiff=k) for k, r, z in shapes]
    return lie_of(lines[0], moved=[(one,) for one in lines[1:]], others=others)


SHAPES = [(11.0, 50.0, 40.0), (12.0, 20.0, 10.0), (5.0, 60.0, 30.0), (11.9, 45.0, 50.0),
          (3.0, 55.0, 20.0)]  # fmt: skip


def soft_plan(**more: Any) -> Any:
    made = {"lie": softly(*SHAPES), "spans": (240.0,), "stood": 5.0, "clear": 5.0, **more}
    return replace(size(None), **made)


def test_soft_shapes_that_decide(monkeypatch: pytest.MonkeyPatch) -> None:
    """Below 12 EI / length it is soft; with nothing near the three with the tightest bend."""
    monkeypatch.setattr(soft_shapes, "Near", NearOf)
    assert soft_shapes._soft(soft_plan(), soft_solution()) == [[0, 3, 4]]
    assert soft_shapes._soft(soft_plan(), soft_solution(parts=(1.0,))) == [[2, 3, 4]]
    either = soft_plan(lie=softly(*SHAPES, others=[STRAIGHT]))
    assert soft_shapes._soft(either, soft_solution()) == [[0, 1, 3]]
    assert soft_shapes._soft(either, soft_solution(parts=(1.0,))) == [[1, 4]]
    assert soft_shapes._soft(soft_plan(), soft_solution(rings=(1,))) == []
    assert soft_shapes._soft(soft_plan(lie=None), soft_solution()) == []
    stiff = soft_plan(lie=softly((12.0, 1.0, 1.0)))
    assert soft_shapes._soft(stiff, soft_solution()) == [[]]


DRAWS = 128


@pytest.fixture
def drawn(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Draws of soft shapes: so many of 128 bend to 30 mm, so many others lie 5 mm low."""
    told = SimpleNamespace(tight=[0, 0], low=[0, 0], asked=[], cases=[])

    class Stack:
        def __init__(self, cases: Any) -> None:
            told.cases.append(cases)

        def drawn(
            self, rows: Array, errors: Errors, measured: bool, *, lines: bool, anew: bool
        ) -> Any:
            told.asked.append((rows.tolist(), errors, measured, lines, anew))
            level = 1 if errors.tape < 5.0 else 0
            radii = np.full((len(rows), DRAWS), 40.0)
            radii[-1, : told.tight[level]] = 39.9
            made = np.full((len(rows), 33, 3, DRAWS), 30.0)
            made[-1, 7, 2, DRAWS - told.low[level] :] = 5.0
            return radii, made

    monkeypatch.setattr(soft_shapes, "Stack", Stack)
    monkeypatch.setattr(soft_shapes, "Near", NearOf)
    return told


def scan() -> Any:
    def errors(tape: float, angle: float, cut: float, *, laid: bool) -> Errors:
        return Errors(tape, angle, cut, 0.0 if laid else 1.0)

    return SimpleNamespace(careful=(2.0, 2.5), tolerance=3.0, errors=errors)


def stood(plan: Any, solution: Any) -> tuple[float, float]:
    found = soft_shapes.with_soft_shapes(plan, solution, scan())
    return found.stood, found.clear


def test_draws_are_solved_anew_with_the_set_laid(drawn: Any) -> None:
    assert stood(soft_plan(), soft_solution()) == (5.0, 5.0)
    assert drawn.asked == [([0, 1, 2], Errors(5.0, 6.0, 3.0, 0.0), False, False, True)]
    assert drawn.cases == [[("pose 0", 220.0), ("pose 3", 220.0), ("pose 4", 220.0)]]


@pytest.mark.parametrize(
    ("tight", "low", "parts", "found"),
    [
        ((3, 0), (0, 0), (), (5.0, 5.0)),  # of 128 draws three may break
        ((4, 0), (0, 0), (), (2.0, 2.0)),
        ((4, 4), (0, 0), (), (0.0, 0.0)),
        ((0, 0), (3, 0), (1.0,), (5.0, 5.0)),
        ((0, 0), (4, 0), (1.0,), (5.0, 2.0)),
        ((0, 0), (4, 4), (1.0,), (5.0, 0.0)),
        ((2, 0), (2, 0), (1.0,), (5.0, 2.0)),  # four break one or the other
        ((4, 0), (4, 4), (1.0,), (2.0, 0.0)),
        ((0, 0), (9, 9), (), (5.0, 5.0)),
    ],
)
def test_a_plan_claims_what_its_soft_shapes_stand(
    drawn: Any, tight: Any, low: Any, parts: Any, found: tuple[float, float]
) -> None:
    drawn.tight, drawn.low = tight, low
    assert stood(soft_plan(), soft_solution(parts=parts)) == found


def test_a_plan_claims_no_more_than_it_did(drawn: Any) -> None:
    assert stood(soft_plan(stood=2.0, clear=5.0), soft_solution()) == (2.0, 5.0)
    assert stood(soft_plan(stood=5.0, clear=0.0), soft_solution()) == (5.0, 0.0)
    drawn.asked.clear()
    assert stood(soft_plan(stood=2.0, clear=2.0), soft_solution()) == (2.0, 2.0)
    assert [one[1] for one in drawn.asked] == [Errors(2.0, 2.5, 2.0, 0.0)]
    short = scan()
    short.tolerance = 1.5
    soft_shapes.with_soft_shapes(soft_plan(stood=2.0, clear=2.0), soft_solution(), short)
    assert drawn.asked[-1][1].cut == 1.5


def test_a_tape_read_to_a_millimetre_is_looked_at_once(drawn: Any) -> None:
    fine, solution = scan(), soft_solution()
    fine.careful, solution.route.tape_error = (1.0, 1.0), 1.0
    plan = soft_plan(stood=1.0, clear=1.0)
    assert soft_shapes.with_soft_shapes(plan, solution, fine) == plan
    assert len(drawn.asked) == 1
    drawn.tight = (0, 4)
    assert soft_shapes.with_soft_shapes(plan, solution, fine).stood == 0.0


def test_what_needs_no_look_is_left_as_it_is(drawn: Any) -> None:
    for plan in (soft_plan(stood=0.0), soft_plan(lie=softly((50.0, 1.0, 1.0)))):
        assert soft_shapes.with_soft_shapes(plan, soft_solution(), scan()) is plan
    plan = soft_plan()
    assert soft_shapes.with_soft_shapes(plan, soft_solution(), None) is plan
    assert drawn.asked == []


def test_a_draw_is_too_near_just_below_half_the_hose(drawn: Any) -> None:
    """Lines at 30 mm, 9 mm of them half the hose; the place slips with the error of the tape."""
    slips = 5.0 * place_draws(1)[0]
    for wanted in (18.0, 22.0):
        broken = float(np.mean(30.0 - wanted - 0.004 + slips < 9.0))
        shares = soft_shapes._shares(
            soft_plan(), soft_solution(parts=(wanted,)), [[4]], Errors(5.0, 6.0, 3.0, 0.0)
        )
        assert shares == (0.0, broken)
        assert 0.0 < broken < 1.0
    just = soft_shapes._shares(
        soft_plan(), soft_solution(parts=(21.0,)), [[0]], Errors(0.0, 6.0, 3.0, 0.0)
    )
    assert just == (0.0, 0.0)
    unknown = soft_shapes._shares(
        soft_plan(outside=NONE), soft_solution(parts=(27.0,)), [[4]], Errors(5.0, 6.0, 3.0, 0.0)
    )
    assert unknown[1] == float(np.mean(3.0 - 0.004 + slips < 0.0))


def test_each_part_slips_by_itself_and_moves_with_its_body(drawn: Any) -> None:
    slips = 5.0 * place_draws(2)
    positions = [(2, None), (1, shift(0, 0, -6))]
    shares = soft_shapes._shares(
        soft_plan(), soft_solution(parts=(16.0, 12.0), positions=positions), [[1]],
        Errors(5.0, 6.0, 3.0, 0.0),
    )  # fmt: skip
    rooms = [30.0 - 6 - part - 0.001 for part in (16.0, 12.0)]
    close = (rooms[0] + slips[0] < 9.0) | (rooms[1] + slips[1] < 9.0)
    assert shares == (0.0, float(close.mean()))
    assert drawn.cases == [[("pose 1", 220.0)]]


def test_a_second_span_starts_at_a_measured_place(drawn: Any) -> None:
    plan = soft_plan(spans=(240.0, 100.0))
    drawn.tight = (1, 0)
    shares = soft_shapes._shares(plan, soft_solution(2), [[], [3]], Errors(5.0, 6.0, 3.0, 0.0))
    assert shares == (1 / DRAWS, 1 / DRAWS)
    assert drawn.asked[0][2] is True
    assert drawn.cases == [[("pose 3", 80.0)]]
