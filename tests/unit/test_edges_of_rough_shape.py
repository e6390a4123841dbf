"""The guess of a search against a plain statement of it: one cubic, its bend and its gaps."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.interpolate import CubicHermiteSpline

from hoseselect.cutplan import rough_shape
from hoseselect.cutplan.rough_shape import margins_of, poses_of, rough_margins, solved_margins
from hoseselect.domain.free_route import Clip, FreeRoute, KeepOut, Rocking
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import Ball, Placement, Pose, placements, solve_many

Array = NDArray[np.float64]
SLACKS = np.geomspace(0.6, 3.0, 10)
OVER = 1.15
RADIUS, HALF = 50.0, 9.0


def unit(*parts: float) -> Array:
    return np.array(parts) / np.linalg.norm(parts)


def guessed(
    start: Any, leaves: Any, end: Any, arrives: Any, slack: float, near: Any = (),
    radius: float = RADIUS, half: float = HALF,
) -> float:  # fmt: skip
    """The margin of a cubic between two ends, at 15 even places, the ends counted half."""
    distance = float(np.linalg.norm(np.subtract(end, start)))
    tangents = np.array([leaves, arrives]) * distance * slack
    curve = CubicHermiteSpline([0.0, 1.0], np.array([start, end], dtype=float), tangents)
    places = np.linspace(0.0, 1.0, 15)
    slope, bend = curve(places, 1), curve(places, 2)
    speed = np.linalg.norm(slope, axis=1)
    parts = speed * np.where((places == 0.0) | (places == 1.0), 0.5, 1.0)
    curvature = np.linalg.norm(np.cross(slope, bend), axis=1) / speed**3
    bent = float(np.sqrt(np.sum(curvature**2 * parts) / np.sum(parts)))
    margin = min(1.0 / (OVER * bent * radius) - 1.0, 1.0) if bent else 1.0
    gaps = [float(body.distance(curve(places)).min()) - wanted - half for body, wanted in near]
    return min([margin, *(gap / limit("room-per-margin") for gap in gaps)])


ENDS = [
    ((10.0, -20.0, 5.0), unit(0.3, 0.2, 1.0), (130.0, 30.0, 90.0), unit(1.0, -0.4, 0.1)),
    ((0.0, 0.0, 0.0), unit(0.0, 0.0, 1.0), (200.0, 10.0, 0.0), unit(0.0, 0.1, -1.0)),
]


@pytest.mark.parametrize("near", [[], [(Ball(np.array([60.0, 20.0, 80.0]), 12.0), 10.0)]])
@pytest.mark.parametrize("radius", [20.0, RADIUS])
def test_the_margin_is_that_of_one_cubic_at_every_slack(near: Any, radius: float) -> None:
    found = margins_of(np.array(ENDS), radius, HALF, near)
    wanted = [[guessed(*one, slack, near, radius) for slack in SLACKS] for one in ENDS]
    assert found == pytest.approx(np.array(wanted), rel=1e-9)


def test_a_straight_span_bends_enough_and_no_more_than_twice_counts() -> None:
    straight = [((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (100.0, 0.0, 0.0), (1.0, 0.0, 0.0))]
    assert margins_of(np.array(straight), RADIUS, 0.0, []) == pytest.approx(1.0)


def test_the_nearest_of_all_parts_decides() -> None:
    parts = [(Ball(np.array([0.0, 0.0, high]), 5.0), 3.0) for high in (60.0, 300.0)]
    one, two = (margins_of(np.array(ENDS), 1.0, HALF, some) for some in (parts[:1], parts))
    assert (one == two).all()
    assert (margins_of(np.array(ENDS), 1.0, HALF, parts[::-1]) == one).all()


BALL = KeepOut("part", "ball", ((70.0, 25.0, 95.0),), (20.0, 0.0, 0.0), 4.0, growth=2.0)
ROUTE = FreeRoute((160.0, 20.0, 80.0), tuple(unit(0.2, 0.1, 1.0)), tuple(unit(-1.0, 0.2, 0.1)),
                  lead=8.0, keep_outs=(BALL,))  # fmt: skip
CLIPS = (
    Clip((60.0, 10.0, 70.0), tuple(unit(1.0, 0.1, 0.8))),
    Clip((70.0, -5.0, 60.0), tuple(unit(1.0, -0.2, 0.4)), moves=True),
    Clip((25.0, 5.0, 40.0), tuple(unit(1.0, 0.1, 0.2))),
)


def whole(route: FreeRoute, held: list[Placement]) -> float:
    """The margin of a route with one clip, at the best slack of each span for all positions."""
    (clip,) = route.clips
    rows = []
    for number, placement in enumerate(held):
        where = [np.zeros(3), np.array(clip.place), np.array(route.mouth_b)]
        ways = [np.array(route.points_a), np.array(clip.along), -np.array(route.points_b)]
        for k, moves in enumerate((False, clip.moves, route.mouth_moves)):
            if moves:
                where[k], ways[k] = placement.point(where[k]), placement.direction(ways[k])
        where[0] = where[0] + route.lead * ways[0]
        where[-1] = where[-1] - route.lead * ways[-1]
        near = []
        for part in route.keep_outs:
            centre = np.array(part.places[0])
            places = [centre, placement.point(centre)] if part.moves is None else [centre]
            places = [placement.point(centre)] if part.moves and number else places
            near += [(Ball(one, part.size[0] / 2), part.wanted) for one in places]
        rows.append([
            [guessed(where[k], ways[k], where[k + 1], ways[k + 1], slack, near)
             for slack in SLACKS] for k in (0, 1)
        ])  # fmt: skip
    return float(np.min(rows, axis=0).max(axis=1).min())


ROCKS = Rocking((0.0, 0.0, -90.0), (0.0, 1.0, 0.0), 4.0)


@pytest.mark.parametrize(
    ("changes", "body"),
    [
        ({}, False),
        ({"movement": (3.0, 0.0, 6.0)}, None),
        ({"movement": (0.0, 5.0, 0.0), "rocking": ROCKS}, True),
        ({"movement": (6.0, 0.0, 0.0), "mouth_moves": False}, True),
    ],
)
def test_a_route_is_as_good_as_its_worst_span_at_its_worst_position(
    changes: dict[str, Any], body: bool | None
) -> None:
    made = replace(ROUTE, keep_outs=(replace(BALL, moves=body),), **changes)
    routes = [replace(made, clips=(clip,)) for clip in CLIPS]
    rocks = made.rocking
    turn = () if rocks is None else (np.array(rocks.place), np.array(rocks.axis), rocks.angle)
    held = placements(np.array(made.movement), *turn)
    found = rough_margins(routes, RADIUS, HALF)
    assert found == pytest.approx([whole(one, held) for one in routes], rel=1e-9)


def test_a_route_without_clips_is_one_span() -> None:
    route = replace(ROUTE, lead=0.0, keep_outs=())
    ends = (np.zeros(3), route.points_a, route.mouth_b, np.negative(route.points_b))
    wanted = max(guessed(*ends, slack) for slack in SLACKS)
    assert rough_margins([route], RADIUS, HALF) == pytest.approx([wanted], rel=1e-9)


def test_the_guess_is_the_same_in_every_unit() -> None:
    ends = np.array(ENDS)
    small = ends * np.array([1e-3, 1.0, 1e-3, 1.0])[:, None]
    found = margins_of(small, RADIUS * 1e-3, 0.0, [])
    assert found == pytest.approx(margins_of(ends, RADIUS, 0.0, []))


def test_no_routes_and_no_poses_have_no_margins() -> None:
    assert rough_margins([], RADIUS, HALF).tolist() == []
    assert solved_margins([], ROUTE, RADIUS, HALF).tolist() == []


def test_poses_are_those_of_the_spans_at_rest_between_the_leads() -> None:
    first, last = poses_of(replace(ROUTE, clips=CLIPS[1:2], movement=(3.0, 0.0, 0.0)))
    along = np.array(ROUTE.points_a)
    assert first.start == pytest.approx(8.0 * along)
    assert first.end == pytest.approx(CLIPS[1].place)
    assert first.end_direction == pytest.approx(CLIPS[1].along)
    assert last.start == pytest.approx(CLIPS[1].place)
    assert last.end == pytest.approx(np.add(ROUTE.mouth_b, 8.0 * np.array(ROUTE.points_b)))
    assert last.end_direction == pytest.approx(np.negative(ROUTE.points_b))


SOLVED_AT = (1.02, 1.07, 1.13, 1.2, 1.28, 1.38, 1.52, 1.75)


def test_of_a_few_solved_lengths_the_best_one_counts() -> None:
    """A U-turn is widest at 1.571 times its distance; 1.52 is the nearest that is tried."""
    u_turn = Pose(np.zeros(3), unit(0, 0, 1), np.array([200.0, 0.0, 0.0]), unit(0, 0, -1))
    other = Pose(np.zeros(3), unit(1, 0, 1), np.array([120.0, 0.0, 0.0]), unit(1, 0, -1))
    clear = replace(ROUTE, keep_outs=())
    found = solved_margins([u_turn, other], clear, 60.0, HALF)
    each = [solve_many([(pose, share * pose.distance) for share in SOLVED_AT])
            for pose in (u_turn, other)]  # fmt: skip
    radii = [max(shape.tightest_radius for shape in shapes if shape) for shapes in each]
    assert found == pytest.approx([radius / 60.0 - 1.0 for radius in radii], rel=1e-4)


def stacked(radius: list[float], monkeypatch: pytest.MonkeyPatch) -> list[tuple[Pose, float]]:
    """Let the solver find made radii, each on a straight line along x at the height of its number.

    Returns the cases that were solved.
    """
    asked: list[tuple[Pose, float]] = []

    def stack(cases: list[tuple[Pose, float]]) -> Any:
        asked.extend(cases)
        line = np.zeros((len(cases), 3, 3))
        line[:, :, 0] = (0.0, 50.0, 100.0)
        line[:, :, 2] = np.arange(len(cases))[:, None]
        return SimpleNamespace(radius=np.array(radius), line=line)

    monkeypatch.setattr(rough_shape, "Stack", stack)
    return asked


def test_solved_margins_are_of_bend_and_room(monkeypatch: pytest.MonkeyPatch) -> None:
    """Eight lengths: not solved, straight, and the others; a ball 20 mm above the lowest line."""
    pose = Pose(np.zeros(3), unit(1, 0, 0), np.array([100.0, 0.0, 0.0]), unit(1, 0, 0))
    radii = [np.nan, 0.0, 25.0, 50.0, 60.0, 55.0, 40.0, 30.0]
    asked = stacked(radii, monkeypatch)
    clear = replace(ROUTE, keep_outs=())
    assert solved_margins([pose], clear, RADIUS, HALF) == pytest.approx([0.2])
    assert [length for _, length in asked] == pytest.approx([100.0 * one for one in SOLVED_AT])
    assert all(one is pose for one, _ in asked)
    part = KeepOut("part", "ball", ((50.0, 0.0, 30.0),), (20.0, 0.0, 0.0), 4.0, growth=2.0)
    near = replace(ROUTE, keep_outs=(part,))
    rooms = [(30.0 - n - 10.0 - 6.0 - HALF) / limit("room-per-margin") for n in range(8)]
    bends = [-1.0, -1.0, -0.5, 0.0, 0.2, 0.1, -0.2, -0.4]
    best = max(min(pair) for pair in zip(rooms, bends, strict=True))
    assert solved_margins([pose], near, RADIUS, HALF) == pytest.approx([best])
    assert best < 0.2
    far = KeepOut("part", "ball", ((50.0, 0.0, 900.0),), (20.0, 0.0, 0.0), 4.0)
    assert solved_margins([pose], replace(ROUTE, keep_outs=(far, part)), RADIUS, HALF) == best


def test_straight_is_as_good_as_twice_the_radius(monkeypatch: pytest.MonkeyPatch) -> None:
    pose = Pose(np.zeros(3), unit(1, 0, 0), np.array([100.0, 0.0, 0.0]), unit(1, 0, 0))
    stacked([np.inf, *[10.0] * 7], monkeypatch)
    assert solved_margins([pose], replace(ROUTE, keep_outs=()), RADIUS, HALF) == [1.0]
    stacked([np.nan] * 8, monkeypatch)
    assert solved_margins([pose], replace(ROUTE, keep_outs=()), RADIUS, HALF) == [-1.0]
