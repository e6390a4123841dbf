"""What would help on a free route: turns, clips and elbows, each just where it is one."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from hoseselect.cutplan import changed_route, clip_search, elbow_search, nipple_turn, what_helps
from hoseselect.cutplan.bench_words import place_words, rounded_direction, rounded_place
from hoseselect.cutplan.changed_route import Advice, Need, at_rest, may_be_cut, moves, with_care
from hoseselect.cutplan.clip_search import ClipPlace
from hoseselect.cutplan.elbow_search import elbow_advice
from hoseselect.cutplan.nipple_turn import HINGES, Turn, Way, least_turn
from hoseselect.cutplan.rough_shape import with_held_rings
from hoseselect.domain.free_route import Clip, FreeRoute, KeepOut, Rocking
from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.rod import Pose

Array = NDArray[np.float64]
UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
FORWARD, BACK, LEFT = (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
SQUARE = FreeRoute((220.0, 0.0, 200.0), UP, BACK, lead=10.0)
ROCKS = Rocking((10.0, 20.0, 30.0), LEFT, 2.0)
BALL = KeepOut("part", "ball", ((70.0, 25.0, 95.0),), (20.0, 0.0, 0.0), 4.0, growth=2.0)


def need(radius: float = 50.0, outside: float = 18.0, units: str = "mm", **job: Any) -> Need:
    made: Any = SimpleNamespace(nipple_a=SimpleNamespace(outside_diameter=13.0), **job)
    return Need(made, radius, outside, (25.0, 30.0), 5.0, units)


def unit(*parts: float) -> Array:
    return np.array(parts) / np.linalg.norm(parts)


def rad(angle: float) -> tuple[float, float]:
    """Cosine and sine of an angle [deg]."""
    return math.cos(math.radians(angle)), math.sin(math.radians(angle))


# An elbow where the lines out of both nipples meet


@pytest.mark.parametrize(
    ("mouth", "points"),
    [
        ((220.0, 0.0, 200.0), BACK),
        ((220.0, 6.0, 200.0), BACK),
        ((100.0, 50.0, 150.0), unit(-1.0, -0.45, -0.2)),
    ],
)
def test_the_corner_is_halfway_where_the_lines_come_nearest(mouth: Any, points: Any) -> None:
    route = replace(SQUARE, mouth_b=mouth, points_b=tuple(points))
    ways = np.column_stack([UP, np.negative(points)])
    (along_a, along_b), *_ = np.linalg.lstsq(ways, np.array(mouth), rcond=None)
    wanted = (along_a * np.array(UP) + np.array(mouth) + along_b * np.array(points)) / 2
    assert elbow_search._corner(route) == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("mouth", "points", "meets"),
    [
        ((220.0, 10.0, 200.0), BACK, True),  # lines that pass by 10 mm are still joined
        ((220.0, 10.1, 200.0), BACK, False),
        ((0.0, 0.0, 200.0), BACK, False),  # at the mouth of B itself
        ((220.0, 0.0, 0.0), BACK, False),  # at the mouth of A itself
        ((0.1, 0.0, 200.0), BACK, True),
        ((220.0, 0.0, 0.1), BACK, True),
        ((-220.0, 0.0, 200.0), BACK, False),
        ((220.0, 0.0, -200.0), BACK, False),
        ((3.4, 0.0, 200.0), (-rad(88.1)[0], 0.0, -rad(88.1)[1]), True),
        ((3.0, 0.0, 200.0), (-rad(88.3)[0], 0.0, -rad(88.3)[1]), False),  # as good as parallel
    ],
)
def test_lines_that_meet_ahead_of_both_nipples(mouth: Any, points: Any, meets: bool) -> None:
    route = replace(SQUARE, mouth_b=mouth, points_b=points)
    assert (elbow_search._corner(route) is not None) is meets


@pytest.mark.parametrize("angle", [80.0, 90.0, 98.0])
def test_an_elbow_of_another_angle_is_shared_between_both_lines(angle: float) -> None:
    """Corner at (0, 0, 200), legs of 26 mm; half of what it lacks is turned at either nipple."""
    route = replace(SQUARE, rocking=ROCKS, keep_outs=(BALL,))
    first, second = elbow_search._pieces(route, np.array([0.0, 0.0, 200.0]), angle, 26.0)
    cosine, sine = rad((90.0 - angle) / 2)
    enters, leaves = np.array([sine, 0.0, cosine]), np.array([cosine, 0.0, sine])
    inlet = np.array([0.0, 0.0, 200.0]) - 26.0 * enters
    outlet = np.array([0.0, 0.0, 200.0]) + 26.0 * leaves
    assert first.mouth_b == pytest.approx(inlet)
    assert first.points_a == UP
    assert first.points_b == pytest.approx(-enters)
    assert not first.mouth_moves
    assert (first.rocking, first.keep_outs) == (ROCKS, (BALL,))
    assert second.mouth_b == pytest.approx(np.array(SQUARE.mouth_b) - outlet)
    assert second.points_a == pytest.approx(leaves)
    assert second.points_b == BACK
    assert second.mouth_moves
    assert second.keep_outs[0].places[0] == pytest.approx(np.array(BALL.places[0]) - outlet)
    assert second.rocking is not None
    assert second.rocking.place == pytest.approx(np.array(ROCKS.place) - outlet)
    assert second.rocking.angle == 2.0
    still, other = elbow_search._pieces(SQUARE, np.array([0.0, 0.0, 200.0]), angle, 26.0)
    assert still.rocking is None
    assert other.rocking is None


@pytest.mark.parametrize("angle", [60.0, 120.0])
def test_an_elbow_of_just_the_angle_turns_no_nipple(angle: float) -> None:
    cosine, sine = rad(angle)
    leaves = np.array([sine, 0.0, cosine])
    mouth = np.array([0.0, 0.0, 200.0]) + 150.0 * leaves
    route = replace(SQUARE, mouth_b=tuple(mouth), points_b=tuple(-leaves))
    first, second = elbow_search._pieces(route, np.array([0.0, 0.0, 200.0]), angle, 26.0)
    assert first.mouth_b == pytest.approx((0, 0, 174))
    assert second.points_a == pytest.approx(leaves)
    assert second.mouth_b == pytest.approx(124.0 * leaves)


@pytest.mark.parametrize(("length", "slip"), [(245.0, 3.0), (246.0, 4.5), (544.0, 4.5), (546.0, 6)])
def test_a_piece_is_cut_to_the_tolerance_of_its_length(length: float, slip: float) -> None:
    """25 mm and 30 mm on the nipples: up to 300 mm it is 3 mm, up to 600 mm 4.5 mm."""
    along = unit(1.0, 2.0, 2.0) * length
    assert elbow_search._slip(replace(SQUARE, mouth_b=tuple(along)), need()) == slip


def beam(pose: Pose, piece: FreeRoute, slip: float) -> tuple[float, float, float]:
    """Curvature, least distance without the hose, and slack of a nearly straight piece."""
    chord = pose.chord / pose.distance
    first, second = (math.acos(float(way @ chord))
                     for way in (pose.start_direction, pose.end_direction))  # fmt: skip
    turned = math.radians(min(piece.angle_error, 2.0))
    tape = min(piece.tape_error, 2.0)
    length = float(np.linalg.norm(piece.mouth_b)) - 2 * piece.lead
    a, b = first + turned, second
    aside = slip + tape + piece.lead * math.tan(turned)
    curvature = (4 * max(a, b) + 2 * min(a, b)) / length + 6 * aside / length**2
    return curvature, aside + max(a, b) * length / 4, (first**2 + second**2) / 10 + 1e-5


class Solution:
    """A piece as solved: how it lies, and at which lengths it was asked for."""

    lies: Any = "a shape"
    asked: list[Any]

    def __init__(self, route: FreeRoute, radius: float) -> None:
        assert not moves(route)
        self.pose = Pose(
            np.array(route.points_a) * route.lead, np.array(route.points_a),
            np.array(route.mouth_b) + route.lead * np.array(route.points_b),
            -np.array(route.points_b),
        )  # fmt: skip
        Solution.asked = [route, radius]

    def lie(self, lengths: Any) -> Any:
        Solution.asked.append(lengths)
        return Solution.lies


@pytest.fixture
def straight_pieces(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Let pieces be solved as told: how they lie, why they do not fall, how near they come."""
    told = SimpleNamespace(lie="a shape", fall="", distance=1e9)
    monkeypatch.setattr(elbow_search, "FreeSolution", Solution)
    monkeypatch.setattr(Solution, "lies", "a shape")
    monkeypatch.setattr(elbow_search, "fall_refused", lambda job, route, lie: told.fall)
    monkeypatch.setattr(elbow_search, "least_distance", lambda lie, part: told.distance)
    return told


def tilted(start: float, end: float, **more: Any) -> FreeRoute:
    """A piece of 150 mm forward whose ends leave and arrive at angles to it [deg]."""
    (c, s), (d, t) = rad(start), rad(end)
    return replace(
        SQUARE, mouth_b=(150.0, 0.0, 0.0), points_a=(c, 0.0, s), points_b=(-d, 0.0, -t), **more
    )


@pytest.mark.parametrize(
    ("piece", "slip"),
    [
        (tilted(0.0, 0.0), 3.0),
        (tilted(3.0, 1.0), 3.0),
        (tilted(120.0, 0.0), 3.0),
        (tilted(0.0, 120.0), 3.0),
        (tilted(1.0, 4.0), 0.0),
        (tilted(2.0, 1.0, tape_error=1.0, angle_error=1.0), 4.5),
        (tilted(2.0, 1.0, movement=(1.0, 0.0, 0.0), rocking=ROCKS, lead=0.0), 4.5),
    ],
)
def test_a_nearly_straight_piece_bends_as_a_beam_with_errors_of_care(
    straight_pieces: Any, piece: FreeRoute, slip: float
) -> None:
    pose = Solution(at_rest(piece), 1.0).pose
    curvature, aside, slack = beam(pose, piece, slip)
    assert elbow_search._stands(piece, need(radius=(1 - 1e-9) / curvature), slip)
    assert Solution.asked[0] == at_rest(piece)
    assert Solution.asked[2][0] == pytest.approx(pose.distance * (1 + slack) + 2 * piece.lead,
                                                 rel=1e-9)  # fmt: skip
    assert not elbow_search._stands(piece, need(radius=(1 + 1e-9) / curvature), slip)
    straight_pieces.distance = aside + 9.0 + BALL.wanted
    near = replace(piece, keep_outs=(BALL,))
    assert elbow_search._stands(near, need(radius=1.0), slip - 1e-9)
    assert not elbow_search._stands(near, need(radius=1.0), slip + 1e-9)


@pytest.mark.parametrize(("distance", "clear"), [(20.0, True), (19.99, False)])
def test_a_straight_piece_clears_what_is_just_as_far_as_wanted(
    straight_pieces: Any, distance: float, clear: bool
) -> None:
    """3 mm of slip, 2 mm of the tape, 9 mm of hose and 6 mm wanted."""
    piece = tilted(0.0, 0.0, angle_error=0.0, lead=0.0, keep_outs=(BALL,))
    straight_pieces.distance = distance
    assert elbow_search._stands(piece, need(radius=1.0), 3.0) is clear


def test_a_piece_that_has_no_shape_or_no_fall_does_not_stand(straight_pieces: Any) -> None:
    piece = tilted(0.0, 0.0)
    assert elbow_search._stands(piece, need(radius=1.0), 0.0)
    straight_pieces.fall = "it does not fall"
    assert not elbow_search._stands(piece, need(radius=1.0), 0.0)
    straight_pieces.fall = ""
    Solution.lies = None
    assert not elbow_search._stands(piece, need(radius=1.0), 0.0)


@pytest.mark.parametrize(("length", "stands"), [(30.0, False), (30.01, True)])
def test_what_bends_of_a_piece_is_longer_than_what_a_nipple_holds_straight(
    straight_pieces: Any, length: float, stands: bool
) -> None:
    piece = replace(tilted(0.0, 0.0), mouth_b=(length, 0.0, 0.0), keep_outs=())
    assert elbow_search._stands(piece, need(radius=1e-6), 0.0) is stands


@pytest.fixture
def standing(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Which pieces stand, by their first figure, and what was asked."""
    told = SimpleNamespace(poor=set(), asked=[], met=True)

    def stands(piece: FreeRoute, own: Need, slip: float) -> bool:
        which = "second" if piece.points_b == BACK else "first"
        told.asked.append((which, slip))
        return which not in told.poor

    monkeypatch.setattr(elbow_search, "_stands", stands)
    monkeypatch.setattr(elbow_search, "_slip", lambda piece, own: float(piece.points_b == BACK) + 7)
    monkeypatch.setattr(Need, "met", lambda own, route: told.met and route.points_b == BACK)
    return told


def test_both_pieces_of_a_floating_elbow_stand_what_the_other_one_lacks(standing: Any) -> None:
    advice = elbow_advice(SQUARE, need(), [45.0, 90.0])
    assert advice is not None
    assert advice.words.startswith("an elbow of 90 deg where the lines out of both nipples meet")
    assert advice.kind == "elbow"
    assert len(advice.routes) == 2
    assert standing.asked == [("first", 8.0), ("second", 7.0)]
    for poor in ("first", "second"):
        standing.poor = {poor}
        assert elbow_advice(SQUARE, need(), [90.0]) is None


def test_a_held_elbow_is_put_aside_by_nothing_and_its_second_piece_suits(standing: Any) -> None:
    moving = replace(SQUARE, movement=(0.0, 0.0, 3.0))
    standing.poor = {"second"}
    advice = elbow_advice(moving, need(), [90.0])
    assert advice is not None
    assert "90 deg held on what nipple A sits on where" in advice.words
    assert standing.asked == [("first", 0.0)]
    standing.met = False
    assert elbow_advice(moving, need(), [90.0]) is None
    standing.poor, standing.met = {"first"}, True
    assert elbow_advice(moving, need(), [90.0]) is None
    standing.poor, standing.met = set(), False
    assert elbow_advice(SQUARE, need(), [90.0]) is not None


@pytest.mark.parametrize(
    ("angles", "chosen"),
    [([80.0], 80), ([79.9], None), ([100.0], 100), ([100.1], None), ([83.0, 94.0, 99.0], 94),
     ([86.0, 99.0], 86), ([], None)],
)  # fmt: skip
def test_of_elbows_within_ten_degrees_the_nearest_is_taken(
    standing: Any, angles: list[float], chosen: int | None
) -> None:
    advice = elbow_advice(SQUARE, need(), angles)
    assert (advice is None) is (chosen is None)
    if advice is not None:
        assert f"elbow of {chosen} deg" in advice.words


@pytest.mark.parametrize(
    ("mouth", "room"),
    [((56.0, 0.0, 51.0), True), ((55.9, 0.0, 51.0), False), ((56.0, 0.0, 50.9), False)],
)
def test_each_leg_of_two_diameters_has_room_beside_the_engagement(
    standing: Any, mouth: Any, room: bool
) -> None:
    """25 and 30 mm of hose on the nipples, and legs of 26 mm for nipples of 13 mm."""
    assert (elbow_advice(replace(SQUARE, mouth_b=mouth), need(), [90.0]) is not None) is room


def test_no_elbow_between_nipples_of_one_direction(standing: Any) -> None:
    """By rounding the cosine between the same two directions may be more than 1."""
    odd, _ = rounded_direction(np.array((rad(5)[0] ** 2, rad(5)[1], rad(5)[0] * rad(5)[1])))
    back = tuple(-part for part in odd)
    assert np.dot(odd, odd) > 1
    for points_b in (odd, back):
        route = replace(SQUARE, points_a=odd, points_b=points_b)
        assert elbow_advice(route, need(), [0.0, 180.0]) is None


def test_no_elbow_beside_clips_or_where_lines_do_not_meet(standing: Any) -> None:
    clipped = replace(SQUARE, clips=(Clip((50.0, 0.0, 100.0), UP),))
    assert elbow_advice(clipped, need(), [90.0]) is None
    assert elbow_advice(replace(SQUARE, mouth_b=(-220.0, 0.0, 200.0)), need(), [90.0]) is None


def test_the_angle_of_an_elbow_is_that_between_the_hose_before_and_behind(standing: Any) -> None:
    cosine, sine = rad(60.0)
    route = replace(SQUARE, points_b=(-sine, 0.0, -cosine))
    assert elbow_advice(route, need(), [90.0]) is None
    assert elbow_advice(replace(route, mouth_b=(200.0, 0.0, 300.0)), need(), [60.0]) is not None
    wide = replace(SQUARE, mouth_b=(130.0, 0.0, 125.0), points_b=(-sine, 0.0, cosine))
    assert elbow_advice(wide, need(), [120.0]) is not None


# A nipple that is turned


def test_a_turn_says_where_to() -> None:
    assert Turn("A", "towards the other one", "", 14.6, SQUARE).words == (
        "turn nipple A by about 15 deg towards the other one"
    )
    assert Turn("B", "", "up and 20 deg left", 20.0, SQUARE).words == (
        "turn nipple B by about 20 deg, so that it points up and 20 deg left"
    )


def ways(route: FreeRoute) -> list[tuple[str, list[float], str, float]]:
    return [(way.end, np.round(way.towards, 9).tolist(), way.name, round(way.most, 6))
            for way in nipple_turn._ways(route)]  # fmt: skip


def test_a_nipple_is_turned_to_its_neighbour_away_from_it_and_to_both_sides() -> None:
    """A points up and the other mouth is forward of it: sides are left and right."""
    route = replace(SQUARE, mouth_b=(200.0, 0.0, 0.0), points_b=(-0.6, 0.0, 0.8))
    assert ways(route) == [
        ("A", [1, 0, 0], "towards the other one", 90.0),
        ("A", [-1, 0, 0], "away from the other one", 90.0),
        ("A", [0, 1, 0], "", 90.0),
        ("A", [0, -1, 0], "", 90.0),
        ("B", [-1, 0, 0], "towards the other one", round(math.degrees(math.acos(0.6)), 6)),
        ("B", [1, 0, 0], "away from the other one", round(math.degrees(math.acos(-0.6)), 6)),
        ("B", [0, -1, 0], "", 90.0),
        ("B", [0, 1, 0], "", 90.0),
    ]
    assert [name for _, _, name, _ in ways(replace(route, oriented=False))] == [
        "towards the other one", "away from the other one",
    ] * 2  # fmt: skip


def test_the_neighbour_of_a_nipple_is_the_clip_next_to_it() -> None:
    clips = (Clip((100.0, 0.0, 0.0), FORWARD), Clip((150.0, 0.0, 70.0), FORWARD))
    route = replace(SQUARE, mouth_b=(200.0, 0.0, 0.0), points_b=UP, clips=clips)
    found = ways(route)
    assert found[0] == ("A", [1, 0, 0], "towards the next clip", 90.0)
    assert found[1][2] == "away from the next clip"
    assert found[4][1] == np.round(unit(-50.0, 0.0, 70.0), 9).tolist()


def test_a_nipple_that_points_straight_at_its_neighbour_turns_to_four_sides() -> None:
    route = replace(SQUARE, mouth_b=(200.0, 0.0, 0.0), points_a=FORWARD, points_b=UP)
    found = [way for way in nipple_turn._ways(route) if way.end == "A"]
    assert len(found) == 4
    assert all(way.name == "" and way.most == pytest.approx(90) for way in found)
    sides = np.array([way.towards for way in found])
    assert sides[:, 0] == pytest.approx(0)
    assert sides[0] == pytest.approx(-sides[1])
    assert sides[2] == pytest.approx(-sides[3])
    assert sides[0] @ sides[2] == pytest.approx(0)
    assert np.linalg.norm(sides, axis=1) == pytest.approx(1)
    nearly = replace(route, points_a=tuple(unit(1.0, 0.0, 9e-4)))
    assert [way.name for way in nipple_turn._ways(nearly)][:4] == [""] * 4
    less = replace(route, points_a=tuple(unit(1.0, 0.0, 11e-4)))
    assert next(nipple_turn._ways(less)).name == "towards the other one"


def test_a_turn_with_a_name_is_by_its_angle() -> None:
    way = Way("A", np.array(FORWARD), "towards the other one", 90.0)
    cosine, sine = rad(17.0)
    turn = nipple_turn._turn(SQUARE, way, 17.0)
    assert turn.route == replace(SQUARE, points_a=turn.route.points_a)
    assert turn.route.points_a == pytest.approx((sine, 0, cosine))
    assert (turn.end, turn.name, turn.says, turn.angle) == ("A", way.name, "", 17.0)
    other = nipple_turn._turn(SQUARE, replace(way, end="B", towards=np.array(UP)), 17.0)
    assert other.route.points_b == pytest.approx((-cosine, 0, sine))
    assert other.route.points_a == UP
    assert other.end == "B"


def test_a_turn_without_a_name_ends_in_a_direction_of_words() -> None:
    way = Way("A", np.array(LEFT), "", 90.0)
    cosine, sine = rad(15.0)
    turn = nipple_turn._turn(SQUARE, way, 17.0)
    assert turn.says == "up and 15 deg left"
    assert turn.angle == pytest.approx(15.0)
    assert turn.route.points_a == pytest.approx((0, sine, cosine))
    odd, _ = rounded_direction(np.array((rad(5)[0] ** 2, rad(5)[1], rad(5)[0] * rad(5)[1])))
    assert np.dot(odd, odd) > 1  # by rounding
    none = nipple_turn._turn(replace(SQUARE, points_a=odd), way, 0.5)
    assert (none.angle, none.route.points_a) == (0.0, odd)


@pytest.mark.parametrize(
    ("most", "angles"),
    [
        (90.0, [5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60]),
        (12.0, [5, 10, 12]),
        (15.0, [5, 10, 15]),
        (3.0, [3]),
    ],
)
def test_turns_are_tried_in_steps_up_to_the_most(most: float, angles: list[float]) -> None:
    assert nipple_turn._angles(Way("A", np.array(UP), "", most)) == angles


def test_the_span_at_a_nipple() -> None:
    route = replace(SQUARE, clips=(Clip((50.0, 0.0, 150.0), unit(1, 0, 1).tolist()),))  # type: ignore[arg-type]
    first, last = nipple_turn._ends(route)
    assert first.start == pytest.approx((0, 0, 10))
    assert last.end == pytest.approx((210, 0, 200))
    assert nipple_turn._pose(route, "A").start == pytest.approx(first.start)
    assert nipple_turn._pose(route, "B").end == pytest.approx(last.end)


def guessed(
    monkeypatch: pytest.MonkeyPatch, solved: list[float], best_radius: float, **more: Any
) -> tuple[float, dict[tuple[str, str, float], float]]:
    """Return the margin of a route and of its turns, from margins as solved."""
    route = replace(SQUARE, mouth_b=(200.0, 0.0, 0.0), points_b=UP, oriented=False, **more)
    asked: list[Any] = []

    def margins(poses: Any, own: FreeRoute, radius: float, half: float) -> Array:
        asked.append((len(poses), own, radius, half))
        return np.array(solved[: len(poses)])

    monkeypatch.setattr(nipple_turn, "solved_margins", margins)
    bare, found = nipple_turn._guesses(route, need(), best_radius)
    if not more:
        assert asked == [(18, route, 50.0, 9.0)]
    return bare, {(way.end, way.name.split()[0], angle): margin
                  for margin, way, angle in found if way is not None}  # fmt: skip


MADE = [-0.2, -0.1, *(0.1 * k for k in range(16))]


def test_the_margin_of_a_route_is_that_of_its_own_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    bare, found = guessed(monkeypatch, [-0.2, -0.1, -0.5, *MADE[3:]], 40.0)
    assert bare == pytest.approx(-0.2)
    assert found["A", "towards", 10.0] == pytest.approx(-0.5)


def test_margins_of_turns_are_read_between_those_solved(monkeypatch: pytest.MonkeyPatch) -> None:
    """Bare -0.2 at A and -0.1 at B; four hinges for each way: towards, away, at A, then at B."""
    bare, found = guessed(monkeypatch, MADE, 50.0 * 0.8)
    assert bare == pytest.approx(-0.2)
    assert len(found) == 4 * 12
    assert found["A", "towards", 5.0] == pytest.approx(-0.2 + 0.2 * 5 / 10)
    assert found["A", "towards", 10.0] == pytest.approx(0.0)
    assert found["A", "towards", 30.0] == pytest.approx(0.1 + 0.1 * 8 / 16)
    assert found["A", "away", 60.0] == pytest.approx(0.7)
    assert found["B", "towards", 5.0] == pytest.approx((-0.1 + 0.8) / 2)
    assert found["B", "away", 60.0] == pytest.approx(1.5)
    assert HINGES == (10.0, 22.0, 38.0, 60.0)


def test_margins_are_measured_by_what_the_route_is_known_to_allow(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The route allows 36 mm of 50 mm, and as solved 40 mm: every margin counts by nine tenths."""
    bare, found = guessed(monkeypatch, MADE, 36.0)
    assert bare == pytest.approx(0.8 * 0.9 - 1)
    assert found["A", "away", 60.0] == pytest.approx(min(0.7, 1.7 * 0.9 - 1))
    assert found["A", "towards", 10.0] == pytest.approx(-0.1)
    other, _ = guessed(monkeypatch, [-0.1, -0.2, *MADE[2:]], 36.0)
    assert other == pytest.approx(0.8 * 0.9 - 1)
    none, found = guessed(monkeypatch, [-1.0, *MADE[1:]], 36.0)
    assert none == -1.0  # nothing was solved at A: the others count as they are
    assert found["A", "towards", 10.0] == pytest.approx(0.0)
    more, same = guessed(monkeypatch, MADE, 90.0)
    assert more == pytest.approx(-0.2)
    assert same["A", "towards", 10.0] == pytest.approx(0.0)


def test_a_turn_that_is_rounded_away_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(nipple_turn, "solved_margins", lambda poses, *_: np.zeros(len(poses)))
    made: list[float] = []

    def turn(route: FreeRoute, way: Way, angle: float) -> Turn:
        made.append(angle)
        return Turn(way.end, way.name, "", 4.0 if angle == 5.0 else 4.1, route)

    monkeypatch.setattr(nipple_turn, "_turn", turn)
    route = replace(SQUARE, mouth_b=(200.0, 0.0, 0.0), points_b=UP)
    _, found = nipple_turn._guesses(route, need(), 50.0)
    odd = [angle for _, way, angle in found if way is not None and not way.name]
    assert odd == [10.0 + 5 * k for k in range(11)] * 4
    assert 5.0 in {angle for _, way, angle in found if way is not None and way.name}


def test_beside_rings_the_hose_is_held_as_it_runs_in_them() -> None:
    """They are guessed as clips that hold it so; the turns themselves leave rings as they are."""
    ring = Clip((50.0, 0.0, 150.0), None)
    route = replace(SQUARE, clips=(ring,), oriented=False)
    still = with_held_rings(route)
    along = np.array(still.clips[0].along)
    assert np.linalg.norm(along) == pytest.approx(1.0)
    bare, found = nipple_turn._guesses(route, need(), 50.0)
    as_clip, guesses = nipple_turn._guesses(still, need(), 50.0)
    assert (bare, [one[0] for one in found]) == (as_clip, [one[0] for one in guesses])
    assert len(found) == 2 * (4 + 12)  # 18 deg and 16 deg towards the ring, or all the way
    turned_routes = [nipple_turn._turn(route, way, angle).route for _, way, angle in found if way]
    assert {one.clips for one in turned_routes} == {(ring,)}
    assert with_held_rings(still) is still


@pytest.mark.parametrize(("margin", "tried"), [(-0.49, True), (-0.51, False)])
def test_beside_rings_less_is_hopeless(
    monkeypatch: pytest.MonkeyPatch, margin: float, tried: bool
) -> None:
    """A ring turns with the hose, and the guess does not: more may be gained than it says."""
    search = Tried(monkeypatch, [margin])
    ringed = replace(SQUARE, clips=(Clip((50.0, 0.0, 150.0), None),))
    assert search.angle(ringed) is None
    assert bool(search.tried) is tried
    search.tried.clear()
    assert search.angle(SQUARE) is None
    assert not search.tried


class Tried:
    """Turns of a route, with a margin at rest each; which of them suit."""

    def __init__(
        self, monkeypatch: pytest.MonkeyPatch, margins: list[float], suits: Any = (),
        bare: float = -0.2,
    ) -> None:  # fmt: skip
        self.route = SQUARE
        self.tried: list[float] = []
        self.suits = suits
        way = Way("A", np.array(FORWARD), "towards the other one", 90.0)
        guesses = [(margin, way, 5.0 * k) for k, margin in enumerate(margins, start=1)]
        monkeypatch.setattr(nipple_turn, "_guesses", lambda *_: (bare, list(guesses)))
        monkeypatch.setattr(nipple_turn, "_less", lambda route, way, turn, own: turn)
        monkeypatch.setattr(Need, "met", self.met)

    def met(self, route: FreeRoute) -> bool:
        angle = round(math.degrees(math.atan2(route.points_a[0], route.points_a[2])), 6)
        self.tried.append(angle)
        return angle in self.suits

    def angle(self, route: FreeRoute = SQUARE) -> float | None:
        turn = least_turn(route, need(), 40.0)
        return None if turn is None else turn.angle


def test_the_least_turn_that_is_likely_to_suit_is_tried_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A margin of 0.1 is likely to stand errors; after one that did not, 0.08 more is wanted."""
    tried = Tried(monkeypatch, [0.05, 0.1, 0.17, 0.18, 0.26], {10.0})
    assert tried.angle() == 10.0
    assert tried.tried == [10.0]
    tried = Tried(monkeypatch, [0.05, 0.1, 0.17, 0.185, 0.27], {25.0})
    assert tried.angle() == 25.0
    assert tried.tried == [10.0, 20.0, 25.0]
    tried = Tried(monkeypatch, [0.05, 0.1, 0.17, 0.185, 0.27, 0.4], {30.0})
    assert tried.angle() is None
    moving = replace(SQUARE, movement=(1.0, 0.0, 0.0))
    tried = Tried(monkeypatch, [0.05, 0.1, 0.17, 0.185, 0.27], {25.0})
    assert tried.angle(moving) is None
    assert tried.tried == [10.0, 20.0]


def test_a_turn_is_wanted_better_than_the_route_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    tried = Tried(monkeypatch, [0.1, 0.2, 0.25, 0.3], {15.0}, bare=0.17)
    assert tried.angle() == 15.0
    assert tried.tried == [15.0]


def test_where_no_turn_is_likely_the_best_ones_are_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    tried = Tried(monkeypatch, [0.02, 0.05, -0.05, -0.06], {15.0})
    assert tried.angle() == 15.0
    assert tried.tried == [10.0, 5.0, 15.0]
    tried = Tried(monkeypatch, [-0.051, -0.06])
    assert tried.angle() is None
    assert tried.tried == []
    tried = Tried(monkeypatch, [-0.05], {5.0})
    assert tried.angle() == 5.0
    assert Tried(monkeypatch, []).angle() is None


def test_what_was_tried_is_not_tried_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """After 0.3 as much as 0.38 is wanted, which none has: the best of those left is tried."""
    tried = Tried(monkeypatch, [0.3, 0.32, 0.05], bare=-0.2)
    assert tried.angle() is None
    assert tried.tried == [5.0, 10.0, 15.0]


def test_more_is_asked_than_of_any_turn_that_failed(monkeypatch: pytest.MonkeyPatch) -> None:
    """The one that failed had 0.05; 0.1 + 0.08 is wanted then, not 0.13."""
    tried = Tried(monkeypatch, [0.05], bare=-0.2)
    guesses = nipple_turn._guesses(SQUARE, need(), 1.0)[1]
    monkeypatch.setattr(nipple_turn, "_guesses", lambda *_: (-0.2, guesses))
    way = guesses[0][1]
    turn = nipple_turn._turn

    def later(route: FreeRoute, own: Way, angle: float) -> Turn:
        if len(guesses) == 1:
            guesses.extend([(0.14, way, 10.0), (0.2, way, 15.0)])
        return turn(route, own, angle)

    monkeypatch.setattr(nipple_turn, "_turn", later)
    assert tried.angle() is None
    assert tried.tried == [5.0, 15.0, 10.0]


@pytest.mark.parametrize(
    ("angle", "least", "found", "tried"),
    [
        (40.0, 25.0, 25.0, [20, 30, 25]),
        (40.0, 5.0, 5.0, [20, 10, 5]),
        (40.0, 40.0, 40.0, [20, 30, 35]),
        (12.0, 10.0, 10.0, [10, 5]),
        (5.0, 5.0, 5.0, []),
    ],
)
def test_the_least_turn_of_a_way_is_halved_down_to(
    monkeypatch: pytest.MonkeyPatch, angle: float, least: float, found: float, tried: list[float]
) -> None:
    way = Way("A", np.array(FORWARD), "towards the other one", 90.0)
    asked = []

    def met(own: Need, route: FreeRoute) -> bool:
        asked.append(round(math.degrees(math.atan2(route.points_a[0], route.points_a[2])), 6))
        return asked[-1] >= least

    monkeypatch.setattr(Need, "met", met)
    start = nipple_turn._turn(SQUARE, way, angle)
    assert nipple_turn._less(SQUARE, way, start, need()).angle == found
    assert asked == tried
    moving = replace(SQUARE, movement=(1.0, 0.0, 0.0))
    assert nipple_turn._less(moving, way, start, need()) is start


def test_the_advice_of_a_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    turn = Turn("A", "towards the other one", "", 15.0, SQUARE)
    monkeypatch.setattr(nipple_turn, "least_turn", lambda *_: turn)
    advice = nipple_turn.turn_advice(SQUARE, need(), 40.0)
    assert advice is not None
    assert (advice.kind, advice.words, advice.routes) == ("turn", turn.words, (SQUARE,))
    monkeypatch.setattr(nipple_turn, "least_turn", lambda *_: None)
    assert nipple_turn.turn_advice(SQUARE, need(), 40.0) is None


# A clip that is added


def clipped(place: Any, along: Any = FORWARD, number: int = 0, **more: Any) -> ClipPlace:
    clips = tuple(more.pop("clips", ()))
    own = Clip(place, along, **more)
    return ClipPlace(replace(SQUARE, clips=(*clips[:number], own, *clips[number:])), number, "up")


def test_places_next_to_each_other_on_one_body_are_alike() -> None:
    here, there = clipped((0.0, 0.0, 0.0)), clipped((6.0, 0.0, 7.9))
    assert clip_search._alike(here, there, 10.0)
    assert not clip_search._alike(here, clipped((6.0, 0.0, 8.0)), 10.0)
    assert not clip_search._alike(here, clipped((6.0, 0.0, 7.9), moves=True), 10.0)


def test_two_directions_square_to_one() -> None:
    for along in (unit(1.0, 2.0, 3.0), np.array(UP), unit(0.1, -5.0, 2.0)):
        side, other = clip_search._square(along)
        assert np.array([side, other, along]) @ np.array([side, other, along]).T == pytest.approx(
            np.eye(3), abs=1e-12
        )


def test_a_clip_goes_between_its_neighbours() -> None:
    one, two, new = (Clip((float(k), 0.0, 0.0), FORWARD) for k in range(3))
    route = replace(SQUARE, clips=(one, two))
    for number in range(3):
        clips = clip_search._with(route, number, new).clips
        assert [clip for clip in clips if clip is not new] == [one, two]
        assert clips[number] is new


def test_the_same_clip_on_the_other_body() -> None:
    other = Clip((9.0, 0.0, 0.0), FORWARD)
    own = clipped((1.0, 2.0, 3.0), number=1, clips=(other,))
    moved = clip_search._moving(own)
    assert moved.clip == replace(own.clip, moves=True)
    assert moved.route.clips == (other, replace(own.clip, moves=True))
    assert (moved.number, moved.runs) == (1, "up")


def test_where_a_clip_sits_in_words() -> None:
    own = clipped((120.0, 0.0, -45.0))
    assert clip_search._words(own, "mm") == (
        "a clip that holds the hose 120 mm forward, 45 mm down of nipple A's mouth, the hose"
        " running up there"
    )
    moving = replace(own, route=replace(own.route, movement=(0.0, 1.0, 0.0)))
    assert "mouth, fixed to what nipple A sits on, the hose" in clip_search._words(moving, "mm")
    assert "fixed to what nipple B sits on" in clip_search._words(clip_search._moving(moving), "mm")
    assert "4.72 in forward" in clip_search._words(own, "in")


class Line:
    """A straight shape from one place to another."""

    def __init__(self, start: Any, end: Any) -> None:
        self.start, self.end = np.array(start), np.array(end)

    def centreline(self, points: int) -> Array:
        return self.start + np.linspace(0.0, 1.0, points)[:, None] * (self.end - self.start)


def test_clips_are_tried_along_the_hose_and_beside_it() -> None:
    """A hose of 300 mm forward: at five shares of it, on it and 15 to 105 mm beside it."""
    route = replace(SQUARE, mouth_b=(300.0, 0.0, 0.0))
    lie: Any = SimpleNamespace(at_rest=[Line((0, 0, 0), (300, 0, 0))])
    places = clip_search._places(route, lie)
    found = {one.clip.place for one in places}
    assert {place[0] for place in found} == {60.0, 100.0, 150.0, 200.0, 240.0}
    beside = {math.hypot(y, z) for x, y, z in found if x == 150.0}
    steps = (0.0, 15.0, 36.0, 66.0, 105.0)
    assert all(min(abs(size - step) for step in steps) <= 3.6 for size in beside)
    assert all(min(abs(size - step) for size in beside) <= 3.6 for step in steps)
    for x in (60.0, 150.0, 240.0):
        for y, z in ((105, 0), (75, 75), (0, 105), (-75, 75), (-105, 0), (-75, -75), (0, -105)):
            assert (x, float(y), float(z)) in found
    assert len(found) == 5 * (1 + 4 * 8)
    ways = {one.clip.along for one in places}
    assert len(ways) == 9
    assert FORWARD in ways
    tilts = sorted({round(math.degrees(math.acos(way[0]))) for way in ways if way is not None})
    assert tilts == [0, 20, 35]
    assert {one.runs for one in places} >= {"forward", "forward and 20 deg up",
                                            "forward and 35 deg right"}  # fmt: skip
    assert len(places) == len(found) * 9
    assert {one.number for one in places} == {0}
    assert all(one.route.clips == (one.clip,) for one in places)


def test_no_clip_is_tried_within_25_mm_of_a_nipple() -> None:
    route = replace(SQUARE, mouth_b=(100.0, 0.0, 0.0))
    lie: Any = SimpleNamespace(at_rest=[Line((0, 0, 0), (125, 0, 0))])
    on_line = {one.clip.place[0] for one in clip_search._places(route, lie)
               if one.clip.place[1:] == (0.0, 0.0)}  # fmt: skip
    assert on_line == {25.0, 40.0, 60.0}
    lie.at_rest = [Line((-125, 0, 0), (0, 0, 0))]
    on_line = {one.clip.place[0] for one in clip_search._places(route, lie)
               if one.clip.place[1:] == (0.0, 0.0)}  # fmt: skip
    assert on_line == {-100.0, -85.0, -60.0, -40.0, -25.0}


def test_beside_a_nipple_the_sides_that_are_far_enough_are_tried() -> None:
    """20 mm ahead of nipple A and 20 mm above it: below, most are too near."""
    route = replace(SQUARE, mouth_b=(100.0, 0.0, 0.0))
    lie: Any = SimpleNamespace(at_rest=[Line((0, 0, 20), (100, 0, 20))])
    found = {one.clip.place for one in clip_search._places(route, lie) if one.clip.place[0] == 20}
    sizes, turns = (0.0, 5.0, 12.0, 22.0, 35.0), np.arange(8) * math.pi / 4
    each = [(size * math.sin(turn), 20 + size * math.cos(turn)) for size in sizes for turn in turns]
    beside = [(5.0 * round(y / 5), 5.0 * round(z / 5)) for y, z in each]
    wanted = {(20.0, y, z) for y, z in beside if math.hypot(20.0, y, z) >= 25.0}
    assert found == wanted
    assert len(wanted) < len(set(beside))


def test_a_clip_of_the_second_span_is_the_second_one() -> None:
    route = replace(SQUARE, mouth_b=(300.0, 0.0, 0.0), clips=(Clip((100.0, 0.0, 0.0), FORWARD),))
    lie: Any = SimpleNamespace(
        at_rest=[Line((0, 0, 0), (100, 0, 0)), Line((100, 0, 0), (300, 0, 0))]
    )
    places = clip_search._places(route, lie)
    assert {one.number for one in places} == {0, 1}
    assert all((one.clip.place[0] > 100.0) == (one.number == 1) for one in places)


def promising(
    monkeypatch: pytest.MonkeyPatch,
    route: FreeRoute,
    places: list[ClipPlace],
    guess: Any,
    solved: Any,
) -> list[ClipPlace]:
    """Return the places that are tried, with margins as told by a route, at rest or not."""
    monkeypatch.setattr(clip_search, "_places", lambda *_: places)
    monkeypatch.setattr(
        clip_search, "rough_margins",
        lambda routes, radius, half: np.array([guess(one) for one in routes]),
    )  # fmt: skip
    monkeypatch.setattr(clip_search, "poses_of", lambda one: [one, one])
    monkeypatch.setattr(
        clip_search, "solved_margins",
        lambda poses, own, radius, half: np.array(
            [solved(one) + 0.5 * (n % 2) for n, one in enumerate(poses)]
        ),
    )  # fmt: skip
    none: Any = None
    return clip_search._promising(route, none, need())


def at(route: FreeRoute) -> float:
    return route.clips[0].place[0]


def test_the_three_best_as_solved_are_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every 50 mm a place; guessed the better the farther, solved the better the nearer."""
    places = [clipped((50.0 * k, 0.0, 0.0)) for k in range(20)]
    found = promising(monkeypatch, SQUARE, places, at, lambda one: -at(one) / 1000 + 0.5)
    assert [at(one.route) for one in found] == [400, 450, 500]  # twelve are solved: 400 to 950
    found = promising(monkeypatch, SQUARE, places, at, lambda one: (450 - at(one)) / 1000 - 0.1)
    assert [at(one.route) for one in found] == [400]  # 450 has no more than -0.1


def test_places_next_to_a_better_one_are_not_solved(monkeypatch: pytest.MonkeyPatch) -> None:
    """A tenth of the distance of 200 mm apart."""
    route = replace(SQUARE, mouth_b=(120.0, 0.0, 160.0))
    places = [clipped((x, 0.0, 0.0)) for x in (0.0, 19.0, 20.0, 41.0)]
    found = promising(monkeypatch, route, places, at, lambda one: 0.5)
    assert [at(one.route) for one in found] == [41, 20, 0]


def test_of_many_places_the_eighty_best_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    places = [clipped((float(x), 0.0, 0.0)) for x in range(100)]
    found = promising(
        monkeypatch, replace(SQUARE, mouth_b=(500.0, 0.0, 0.0)), places, at,
        lambda one: 0.5 - at(one) / 1000,
    )  # fmt: skip
    assert [at(one.route) for one in found] == [49, 99]  # 100 - 80 = 20: none below is left


def test_with_movement_a_clip_may_sit_on_either_body(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the guess loses by movement is taken off what was solved at rest."""
    moving = replace(SQUARE, movement=(5.0, 0.0, 0.0))
    places = [replace(one, route=replace(one.route, movement=(5.0, 0.0, 0.0)))
              for one in (clipped((100.0, 0.0, 0.0)), clipped((200.0, 0.0, 0.0)))]  # fmt: skip

    def guess(route: FreeRoute) -> float:
        lost = {(100.0, False): 0.3, (100.0, True): 0.1, (200.0, False): 0.2, (200.0, True): 0.0}
        return 1.0 - (lost[at(route), bool(route.clips[0].moves)] if moves(route) else 0.0)

    found = promising(monkeypatch, moving, places, guess, lambda one: 0.3)
    assert [(at(one.route), one.clip.moves) for one in found] == [(200, True), (100, True)]
    fixed = replace(moving, mouth_moves=False)
    found = promising(monkeypatch, fixed, places, guess, lambda one: 0.3)
    assert [(at(one.route), one.clip.moves) for one in found] == [(200, False), (100, False)]


def test_a_clip_is_advised_where_it_suits(monkeypatch: pytest.MonkeyPatch) -> None:
    places = [clipped((50.0, 0.0, 0.0)), clipped((75.0, 0.0, 0.0))]
    monkeypatch.setattr(clip_search, "_promising", lambda *_: places)
    monkeypatch.setattr(Need, "met", lambda own, route: at(route) > 60.0)
    lie: Any = "a shape"
    advice = clip_search.clip_advice(SQUARE, lie, need())
    assert advice is not None
    assert (advice.kind, advice.routes) == ("clip", (places[1].route,))
    assert "75 mm forward" in advice.words
    assert clip_search.clip_advice(SQUARE, None, need()) is None
    assert clip_search.clip_advice(replace(SQUARE, oriented=False), lie, need()) is None
    ring = replace(SQUARE, clips=(Clip((1.0, 0.0, 0.0), None),))
    assert clip_search.clip_advice(ring, lie, need()) is None
    monkeypatch.setattr(Need, "met", lambda own, route: False)
    assert clip_search.clip_advice(SQUARE, lie, need()) is None


# Whether a changed route suits


def test_what_moves_and_what_rests() -> None:
    assert not moves(SQUARE)
    assert moves(replace(SQUARE, movement=(0.0, 0.0, 1.0)))
    assert moves(replace(SQUARE, rocking=ROCKS))
    assert at_rest(replace(SQUARE, movement=(1.0, 0.0, 1.0), rocking=ROCKS)) == SQUARE
    careful = with_care(SQUARE)
    assert (careful.tape_error, careful.angle_error) == (2.0, 2.0)
    exact = replace(SQUARE, tape_error=1.0, angle_error=1.5)
    assert with_care(exact) == exact


def own_plan(**more: Any) -> Any:
    lie = SimpleNamespace(tightest_radius=50.0, other_radius=50.0)
    made = {"lie": lie, "stood": 2.0, "clear": 2.0, "room": 0.0, "radius": 50.0, **more}
    return SimpleNamespace(**made)


def test_half_a_hose_of_unknown_diameter_is_nothing() -> None:
    assert need(outside=18.0).half == 9.0
    assert need(outside=math.nan).half == 0.0


def test_what_fails_at_rest_is_not_tried_with_movement(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[FreeRoute] = []
    suits = {True: True, False: True}

    def passes(route: FreeRoute, *more: Any) -> Any:
        asked.append(route)
        return own_plan() if suits[moves(route)] else None

    monkeypatch.setattr(changed_route, "passes", passes)
    monkeypatch.setattr(changed_route, "fall_refused", lambda *_: "")
    moving = replace(SQUARE, movement=(1.0, 0.0, 0.0))
    assert need().met(SQUARE)
    assert asked == [SQUARE]
    assert need().met(moving)
    assert asked[1:] == [with_care(SQUARE), moving]
    suits[False] = False
    assert not need().met(moving)
    assert len(asked) == 4
    suits[False], suits[True] = True, False
    assert not need().met(moving)
    suits[True] = True
    monkeypatch.setattr(changed_route, "fall_refused", lambda *_: "it does not fall")
    assert not need().met(SQUARE)
    monkeypatch.setattr(changed_route, "passes", lambda *_: own_plan(lie=None))
    monkeypatch.setattr(changed_route, "fall_refused", lambda *_: "")
    assert not need().met(SQUARE)


def test_what_a_hose_needs_is_asked_of_the_route(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []
    monkeypatch.setattr(changed_route, "passes", lambda *parts: asked.append(parts))
    own = need()
    assert not own.met(SQUARE)
    assert asked == [(SQUARE, 50.0, 18.0, 55.0, 5.0, own.kept)]


def test_a_hose_passes_with_a_plan_that_may_be_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []
    plan = own_plan()
    monkeypatch.setattr(
        changed_route, "FreeSolution",
        lambda *parts: SimpleNamespace(windows=lambda radii: [[f"{one}"] for one in radii]),
    )  # fmt: skip
    monkeypatch.setattr(changed_route, "scan_of", lambda *parts: asked.append(parts[1:]))

    def plans(solution: Any, scan: Any, sizes: Any, ends: float, step: float) -> Any:
        asked.append((sizes, ends, step))
        return [plan]

    monkeypatch.setattr(changed_route, "size_plans", plans)
    allowed = {"may": True}
    monkeypatch.setattr(changed_route, "may_be_cut", lambda *_: allowed["may"])
    assert changed_route.passes(SQUARE, 50.0, 18.0, 55.0, 5.0) is plan
    assert asked == [([["50.0"]], 55.0), ([(50.0, 18.0, ["50.0"])], 55.0, 5.0)]
    changed_route.passes(SQUARE, 50.0, math.nan, 55.0, 5.0)
    assert asked[3][0] == [(50.0, None, ["50.0"])]
    allowed["may"] = False
    assert changed_route.passes(SQUARE, 50.0, 18.0, 55.0, 5.0) is None

    def fails(*parts: Any) -> Any:
        raise InputError("route", "nothing", "a route")

    monkeypatch.setattr(changed_route, "scan_of", fails)
    assert changed_route.passes(SQUARE, 50.0, 18.0, 55.0, 5.0) is None


@pytest.mark.parametrize(
    ("change", "free", "near"),
    [
        ({}, True, True),
        ({"lie": None}, False, False),
        ({"stood": 1.99}, False, False),
        ({"stood": math.nan}, False, False),
        ({"room": -0.1}, True, False),
        ({"room": 0.1}, True, True),
        ({"room": math.nan}, True, False),
        ({"lie": SimpleNamespace(tightest_radius=49.95, other_radius=50.0)}, True, True),
        ({"lie": SimpleNamespace(tightest_radius=49.94, other_radius=50.0)}, False, False),
        ({"lie": SimpleNamespace(tightest_radius=50.0, other_radius=49.94)}, False, False),
    ],
)
def test_a_plan_may_be_cut_up_to_its_limits(change: dict[str, Any], free: bool, near: bool) -> None:
    """Lengths are found to a thousandth of the radius, 50 mm."""
    assert bool(may_be_cut(own_plan(**change), SQUARE)) is free
    assert bool(may_be_cut(own_plan(**change), replace(SQUARE, keep_outs=(BALL,)))) is near


def test_a_finer_tape_is_stood_as_it_is() -> None:
    fine = replace(SQUARE, tape_error=1.0)
    assert may_be_cut(own_plan(stood=1.0, clear=1.0), fine)
    assert not may_be_cut(own_plan(stood=0.9, clear=1.0), fine)


# What is said first


def test_turns_come_first_then_clips_then_elbows_and_two_at_most(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    given: dict[str, Any] = {kind: Advice(kind, kind, ()) for kind in ("turn", "clip", "elbow")}
    for kind in ("turn", "clip", "elbow"):
        monkeypatch.setattr(what_helps, f"{kind}_advice", lambda *_, kind=kind: given[kind])
    plan: Any = SimpleNamespace(
        route=SQUARE, best_radius=40.0,
        solution=SimpleNamespace(kept={"span": "profile"}, lie=lambda spans: ("lie", spans),
                                 best_spans=(9.0,)),
    )  # fmt: skip
    own: Any = SimpleNamespace(lie=None, roomiest=())
    wanted = need()

    def kinds() -> list[str]:
        return [one.kind for one in what_helps.what_helps(plan, own, wanted, [90.0])]

    assert kinds() == ["turn", "clip"]
    assert wanted.kept == {"span": "profile"}
    for missing, left in (("turn", ["clip", "elbow"]), ("clip", ["elbow"]), ("elbow", [])):
        given[missing] = None
        assert kinds() == left
    assert what_helps.best_lie(plan, own) == ("lie", (9.0,))
    own.roomiest = (7.0,)
    assert what_helps.best_lie(plan, own) == ("lie", (7.0,))
    own.lie = "as it lies"
    assert what_helps.best_lie(plan, own) == "as it lies"


# Words of a bench


def test_places_are_rounded_to_five_millimetres() -> None:
    assert rounded_place(np.array([12.4, -12.6, 2.4])) == (10.0, -15.0, 0.0)
    assert str(rounded_place(np.array([-1.0, 0.0, 7.6]))) == "(0.0, 0.0, 10.0)"
    assert place_words((-5.0, -10.0, 20.0), "mm") == "5 mm back, 10 mm right, 20 mm up"
    assert place_words((5.0, 10.0, -1.0), "mm") == "5 mm forward, 10 mm left, 1 mm down"
    assert place_words((25.4, 0.0, 0.0), "in") == "1 in forward"
    assert place_words((0.6, 0.0, 0.0), "mm") == "1 mm forward"


@pytest.mark.parametrize(
    ("direction", "words", "found"),
    [
        ((0.0, 0.0, -2.0), "down", (0.0, 0.0, -1.0)),
        ((-rad(12)[0], rad(12)[1], 0.0), "back and 10 deg left", (-rad(10)[0], rad(10)[1], 0.0)),
        ((rad(2)[1], -rad(2)[0], 0.0), "right", (0.0, -1.0, 0.0)),
        (
            (rad(25)[0] * rad(40)[1], rad(25)[1], -rad(25)[0] * rad(40)[0]),
            "down and 40 deg forward and 25 deg left",
            (rad(25)[0] * rad(40)[1], rad(25)[1], -rad(25)[0] * rad(40)[0]),
        ),
        (
            (-rad(10)[1], -rad(10)[0] * rad(30)[1], rad(10)[0] * rad(30)[0]),
            "up and 30 deg right and 10 deg back",
            (-rad(10)[1], -rad(10)[0] * rad(30)[1], rad(10)[0] * rad(30)[0]),
        ),
        ((1.0, 1.0, 0.0), "forward and 45 deg left", (0.5**0.5, 0.5**0.5, 0.0)),
        (
            (3 * rad(20)[0], 0.0, 3 * rad(20)[1]),
            "forward and 20 deg up",
            (rad(20)[0], 0.0, rad(20)[1]),
        ),
        (
            (3 * rad(10)[0] * rad(30)[0], 3 * rad(10)[0] * rad(30)[1], 3 * rad(10)[1]),
            "forward and 30 deg left and 10 deg up",
            (rad(10)[0] * rad(30)[0], rad(10)[0] * rad(30)[1], rad(10)[1]),
        ),
    ],
)
def test_directions_are_rounded_to_five_degrees(direction: Any, words: str, found: Any) -> None:
    place, said = rounded_direction(np.array(direction))
    assert said == words
    assert place == pytest.approx(found)
    assert "-0.0" not in str(place)
