"""A free route solved once: how the hose lies, all positions, other ways to lie, keep-outs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from hoseselect.cutplan import free_solution
from hoseselect.cutplan.free_lie import least_distance
from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.free_spans import pose_of, turned
from hoseselect.domain.free_route import Clip, FreeRoute, KeepOut, Vector
from hoseselect.intake.directions import read_direction
from hoseselect.knowledge.errors import InputError, SolveError
from hoseselect.mechanics.rod import Pose, Profile, placements, solve, solve_many
from hoseselect.mechanics.rod.radius_table import RadiusTable

UP, DOWN, FORWARD, BACK = (read_direction(word) for word in ("up", "down", "forward", "back"))
ELBOW = FreeRoute((120.0, 0.0, 80.0), UP, BACK)
U_TURN = FreeRoute((200.0, 0.0, 0.0), UP, UP)
LEVEL_S = FreeRoute((200.0, 60.0, 0.0), FORWARD, BACK)
IN_LINE = FreeRoute((200.0, 0.0, 0.0), FORWARD, BACK)


def positions(pose: Pose, movement: NDArray[np.float64]) -> list[Pose]:
    """The pose at rest and at every corner of a movement."""
    return [pose.moved(one.shift) for one in placements(movement)]


def ball(place: Vector, diameter: float = 20.0) -> KeepOut:
    return KeepOut("part", "ball", (place,), (diameter, 0.0, 0.0), 10.0)


def test_the_hose_leaves_as_the_nipple_points_and_arrives_against_the_other() -> None:
    pose = pose_of(ELBOW)
    assert pose.start_direction == pytest.approx(UP)
    assert pose.end_direction == pytest.approx(FORWARD)
    assert pose.end == pytest.approx((120, 0, 80))


@pytest.mark.parametrize("route", [ELBOW, U_TURN, LEVEL_S])
def test_solving_in_one_stack_is_solving_one_by_one(route: FreeRoute) -> None:
    pose = pose_of(route)
    lengths = [pose.distance * ratio for ratio in (0.9, 1.02, 1.2, 1.6, 2.5)]
    stacked = solve_many([(pose, length) for length in lengths])
    assert stacked[0] is None  # taut
    for length, shape in zip(lengths[1:], stacked[1:], strict=True):
        alone = solve(pose, length)
        assert shape is not None
        assert shape.tightest_radius == pytest.approx(alone.tightest_radius, rel=1e-7)
        assert shape.energy == pytest.approx(alone.energy, rel=1e-9)


def test_a_lie_is_solved_at_rest_and_at_eight_corners() -> None:
    moving = replace(ELBOW, movement=(5.0, 3.0, 8.0))
    solution = FreeSolution(moving, 30.0)
    lie = solution.lie((170.0,))
    assert lie is not None
    assert len(lie.at_rest) == 1
    assert len(lie.moved) == 8
    ends = {tuple(np.round(span[0].centreline()[-1], 6)) for span in lie.moved}
    assert len(ends) == 8
    poses = positions(pose_of(moving), np.array(moving.movement))
    worst = min(solve(pose, 170.0).tightest_radius for pose in poses)
    assert lie.tightest_radius == pytest.approx(worst, rel=1e-7)
    assert worst < lie.at_rest[0].tightest_radius


def test_a_hose_taut_at_one_corner_does_not_lie_at_all() -> None:
    solution = FreeSolution(replace(ELBOW, movement=(5.0, 0.0, 8.0)), 30.0)
    assert solution.lie((147.0,)) is None
    assert FreeSolution(ELBOW, 30.0).lie((147.0,)) is not None


def test_the_best_radius_is_reached_and_is_the_best() -> None:
    solution = FreeSolution(ELBOW, 30.0)
    radius, length = solution.best()
    lengths = [length, *np.linspace(146.0, 230.0, 15).tolist()]
    there, *elsewhere = solve_many([(solution.pose, other) for other in lengths])
    assert there is not None
    assert there.tightest_radius == pytest.approx(radius, rel=1e-4)
    for shape in elsewhere:
        assert shape is not None
        assert shape.tightest_radius <= radius * (1 + 1e-4)


def test_a_wide_loop_is_no_best() -> None:
    """Nipples that point apart: the radius grows without end as the loop grows."""
    solution = FreeSolution(FreeRoute((200.0, 0.0, 0.0), UP, DOWN), 40.0)
    radius, length = solution.best()
    (window,) = solution.windows(np.array([1.05 * radius]))[0]
    assert window.big_loop_only
    (window,) = solution.windows(np.array([0.95 * radius]))[0]
    assert not window.big_loop_only
    wide = Profile([pose_of(solution.route)], 40.0).best_radius()
    assert wide[0] > radius
    assert wide[1] > length


def test_mirror_images_are_other_ways_to_lie() -> None:
    """A slack S-bend bows out of its plane, to either side."""
    solution = FreeSolution(LEVEL_S, 30.0)
    lie = solution.lie((240.0,))
    assert lie is not None
    (twin,) = lie.others
    assert lie.other_radius == pytest.approx(lie.tightest_radius, rel=1e-6)
    assert twin.centreline(201)[:, 2] == pytest.approx(-lie.centreline[:, 2], abs=1e-3)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_part_on_either_side_of_twins_is_in_the_way(side: float) -> None:
    lie = FreeSolution(LEVEL_S, 30.0).lie((240.0,))
    assert lie is not None
    bow = float(np.abs(lie.centreline[:, 2]).max())
    middle = lie.centreline[100]
    part = ball((float(middle[0]), float(middle[1]), side * bow))
    assert least_distance(lie, part) < 1.0


@pytest.mark.parametrize("angle", range(0, 360, 45))
def test_a_hose_between_nipples_in_line_may_bow_to_any_side(angle: int) -> None:
    lie = FreeSolution(IN_LINE, 30.0).lie((220.0,))
    assert lie is not None
    bow = float(np.hypot(lie.centreline[:, 1], lie.centreline[:, 2]).max())
    turn = np.radians(angle)
    part = ball((100.0, float(bow * np.cos(turn)), float(bow * np.sin(turn))))
    assert bow > 30
    assert least_distance(lie, part) == pytest.approx(-10.0, abs=1.0)


def test_the_distance_from_each_kind_of_body() -> None:
    lie = FreeSolution(FreeRoute((200.0, 0.0, 0.0), FORWARD, BACK), 30.0).lie((200.0,))
    assert lie is not None
    assert least_distance(lie, ball((100.0, 0.0, 50.0))) == pytest.approx(40, abs=0.1)
    rod = KeepOut("pipe", "rod", ((100.0, -9.0, 30.0), (100.0, 9.0, 30.0)), (16.0, 0, 0), 1.0)
    assert least_distance(lie, rod) == pytest.approx(22, abs=0.1)
    box = KeepOut("tray", "box", ((100.0, 0.0, -40.0),), (60.0, 20.0, 10.0), 1.0)
    assert least_distance(lie, box) == pytest.approx(35, abs=0.1)


def test_the_worst_extreme_decides_the_clearance() -> None:
    part = ball((60.0, 0.0, 130.0))
    rest = FreeSolution(ELBOW, 30.0).lie((170.0,))
    moved = FreeSolution(replace(ELBOW, movement=(0.0, 0.0, 10.0)), 30.0).lie((170.0,))
    assert rest is not None
    assert moved is not None
    assert least_distance(moved, part) < least_distance(rest, part) - 2


@pytest.mark.parametrize(
    ("points", "low", "falls"),
    [((UP, UP), False, False), ((DOWN, DOWN), True, False), ((UP, DOWN), True, False)],
)
def test_low_spot_and_fall(points: tuple[Vector, Vector], low: bool, falls: bool) -> None:
    lie = FreeSolution(FreeRoute((200.0, 0.0, 0.0), *points), 30.0).lie((340.0,))
    assert lie is not None
    assert (lie.low_spot, lie.falls) == (low, falls)


def test_a_line_that_falls_all_the_way() -> None:
    lie = FreeSolution(FreeRoute((100.0, 0.0, -100.0), FORWARD, UP), 30.0).lie((158.0,))
    assert lie is not None
    assert (lie.low_spot, lie.falls) == (False, True)


def test_a_sag_at_a_clip_above_the_lowest_point_is_a_low_spot() -> None:
    """From 0 down to a clip at -20, up over 40 and down to nipple B at -100."""
    clips = (Clip((80.0, 0.0, -20.0), FORWARD), Clip((200.0, 0.0, 40.0), FORWARD))
    route = FreeRoute((320.0, 0.0, -100.0), FORWARD, UP, clips=clips)
    solution = FreeSolution(route, 20.0)
    lie = solution.lie(tuple(1.08 * pose.distance for pose in solution.poses))
    assert lie is not None
    assert lie.low_spot
    assert lie.centreline[:, 2].min() < -90


def test_a_holding_clip_makes_two_spans_of_which_the_last_moves() -> None:
    clip = Clip((50.0, 0.0, 70.0), read_direction("forward and 45 deg up"))
    solution = FreeSolution(replace(ELBOW, clips=(clip,), movement=(0.0, 0.0, 6.0)), 20.0)
    lie = solution.lie((92.0, 74.0))
    assert lie is not None
    assert [shape.length for shape in lie.at_rest] == [92, 74]
    assert lie.length == 166
    assert len(lie.moved) == 2
    for _, span in lie.moved:
        assert span.centreline()[0] == pytest.approx(clip.place)
    meets = lie.at_rest[0].tangents_at(2)[-1]
    assert meets == pytest.approx(clip.along, abs=1e-9)


def test_a_ring_on_the_natural_shape_changes_nothing() -> None:
    natural = FreeSolution(ELBOW, 30.0).lie((170.0,))
    assert natural is not None
    x, y, z = natural.centreline[80]
    ringed = FreeSolution(
        replace(ELBOW, clips=(Clip((float(x), float(y), float(z)), None),)), 30.0
    ).lie((80.0, 90.0))
    assert ringed is not None
    assert sum(s.energy for s in ringed.at_rest) == pytest.approx(natural.at_rest[0].energy, 1e-5)
    assert ringed.tightest_radius == pytest.approx(natural.tightest_radius, rel=1e-3)


def test_rings_and_holding_clips_do_not_mix() -> None:
    clips = (Clip((50.0, 0.0, 70.0), FORWARD), Clip((70.0, 0.0, 80.0), None))
    with pytest.raises(InputError, match="clips of one kind"):
        FreeSolution(replace(ELBOW, clips=clips), 30.0)


def test_a_direction_turned_never_passes_its_aim() -> None:
    assert turned(UP, np.array(FORWARD), np.radians(30)) == pytest.approx(
        read_direction("up and 30 deg forward")
    )
    assert turned(UP, np.array(FORWARD), np.radians(120)) == pytest.approx(FORWARD, abs=1e-12)
    assert turned(UP, np.array(UP), 1.0) == pytest.approx(UP)


def test_rings_without_a_shape_are_told_as_the_clips_that_were_typed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def unsettled(*_: object) -> None:
        raise SolveError("rings", "no shape at rest", "rings nearer to the free shape")

    monkeypatch.setattr(free_solution, "through_rings", unsettled)
    with pytest.raises(SolveError) as caught:
        FreeSolution(replace(ELBOW, clips=(Clip((60.0, 0.0, 60.0), None),)), 25.0)
    assert caught.value.place == "route.free.clip"
    assert "ring" not in f"{caught.value.found} {caught.value.expected}"


def test_a_length_at_which_no_position_can_be_reached_makes_no_noise() -> None:
    """A warning of the library would show on the screen of whoever asked; here it is an error."""
    poses = positions(pose_of(ELBOW), np.array([5.0, 3.0, 8.0]))[:2]
    table = RadiusTable(poses, 30.0, 400.0)
    table.every[:] = 0.0
    before = len(table.length)
    table.add(np.array([np.mean(table.length[:2])]))
    assert len(table.length) == before + 1
    assert np.isfinite(table.every).all()
