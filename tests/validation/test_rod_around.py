"""Rings, clips, keep-outs, weight, low spots and loads at the nipples, against exact cases."""

import numpy as np
import pytest

from hoseselect.knowledge.errors import InputError, SolveError
from hoseselect.mechanics.rod import (
    Ball,
    Box,
    ClampClip,
    Pose,
    Rod,
    falls,
    least_gap,
    low_spot_depth,
    nipple_ends,
    nipple_loads,
    others_many,
    solve,
    spans,
    through_rings,
    tube_weight,
    weight_number,
)

AHEAD, SIDE, UP = np.array([1.0, 0, 0]), np.array([0.0, 1, 0]), np.array([0.0, 0, 1])
U_TURN = Pose(np.zeros(3), SIDE, np.array([100.0, 0, 0]), -SIDE)
SPACE = Pose(np.zeros(3), AHEAD, np.array([180.0, 120, 60]), np.array([0, 0.6, 0.8]))


def test_ring_on_the_free_shape_changes_nothing():
    free = solve(SPACE, 400.0)
    place = free.centreline(97)[40]
    held = through_rings(SPACE, [place], 400.0)
    # A ring where the hose lies anyway costs no energy: ten digits, as measured before.
    assert held.energy == pytest.approx(free.energy, rel=1e-9)
    assert held.shapes[0].length == pytest.approx(400.0 * 40 / 96, rel=1e-5)
    assert held.tightest_radius == pytest.approx(free.tightest_radius, rel=1e-4)


def test_ring_off_the_free_shape():
    free = solve(SPACE, 400.0)
    place = free.centreline(97)[40] + np.array([0, 10.0, 10])
    held = through_rings(SPACE, [place], 400.0)
    assert held.energy > free.energy * 1.01
    one, two = held.shapes
    assert one.length + two.length == pytest.approx(400.0, abs=1e-9)
    # No moment is passed by a ring and the hose slides: direction, curvature and the sum of
    # energy and tension are the same on both sides.
    assert one.end_moment == pytest.approx(-two.start_moment, abs=1e-6)
    along = one.pose.end_direction
    here = 0.5 * one.end_moment @ one.end_moment + one.end_force @ along
    there = 0.5 * two.start_moment @ two.start_moment + two.end_force @ along
    assert here == pytest.approx(there, rel=1e-4)
    # Another length share costs more.
    for shift in (-0.4, 0.4):
        parts = [solve(one.pose, one.length + shift), solve(two.pose, two.length - shift)]
        assert sum(part.energy for part in parts) > held.energy


def test_taut_between_rings():
    with pytest.raises(SolveError, match="taut"):
        through_rings(SPACE, [np.array([0.0, 0, 300])], 400.0)
    with pytest.raises(InputError):
        through_rings(SPACE, [], 400.0)


def test_clamp_on_the_free_shape_gives_its_spans():
    free = solve(SPACE, 400.0)
    index = 60
    place, way = free.centreline(97)[index], free.tangents_at(97)[index]
    first, second = spans(SPACE, [ClampClip(place, way)])
    parts = [solve(first, 400.0 * index / 96), solve(second, 400.0 * (96 - index) / 96)]
    assert sum(part.energy for part in parts) == pytest.approx(free.energy, rel=1e-6)
    tightest = min(part.tightest_radius for part in parts)
    assert tightest == pytest.approx(free.tightest_radius, rel=1e-4)


def test_distances_to_bodies():
    points = np.array([[0.0, 0, 0], [30, 0, 0], [0, 50, 0], [10, 10, 10]])
    ball = Ball(np.array([0.0, 0, 40]), 10.0).distance(points)
    assert ball == pytest.approx([30, 40, np.hypot(50, 40) - 10, np.sqrt(1100) - 10])
    rod = Rod(np.array([0.0, 0, 40]), np.array([30.0, 0, 40]), 5.0).distance(points)
    assert rod == pytest.approx([35, 35, np.hypot(50, 40) - 5, np.hypot(10, 30) - 5])
    box = Box(np.zeros(3), np.array([20.0, 10, 5])).distance(points)
    assert box == pytest.approx([-5, 10, 40, 5])
    turned = Box(np.zeros(3), np.array([20.0, 10, 5]), np.array([SIDE, AHEAD, UP]))
    assert turned.distance(points) == pytest.approx([-5, 20, 30, 5])


def test_clearance_of_a_half_circle():
    shape = solve(U_TURN, 50 * np.pi)  # a half circle of radius 50 about (50, 0, 0)
    pipe = Rod(np.array([50.0, 0, -100]), np.array([50.0, 0, 100]), 12.0)
    assert least_gap([shape], pipe) == pytest.approx(50 - 12, abs=1e-6)
    # The worst of several positions counts.
    moved = solve(U_TURN.moved(np.array([-20.0, 0, 0])), 50 * np.pi)
    assert least_gap([shape, moved], pipe) == least_gap([moved], pipe) < 50 - 12


def test_weight_number():
    # Water 1000 kg/m3 in a 19 mm bore weighs pi/4 0.019^2 9.80665 N/m... per mm a thousandth.
    water = tube_weight(19, 27, 1e-9, 1000.0)
    assert water == pytest.approx(np.pi / 4 * 0.019**2 * 1000 * 9.80665 / 1000, rel=1e-9)
    # E = 5 MPa; 19/27 mm hose, 600 mm, full of water: 13.6; 8/13 mm, 300 mm, dry: 4.4 (computed
    # before, three and two digits; wall density 1200 kg/m3).
    stiff = 5 * np.pi / 64 * (27**4 - 19**4)
    full = weight_number(tube_weight(19, 27, 1200, 1000), 600, stiff)
    assert full == pytest.approx(13.6, abs=0.06)
    stiff = 5 * np.pi / 64 * (13**4 - 8**4)
    assert weight_number(tube_weight(8, 13, 1200), 300, stiff) == pytest.approx(4.4, abs=0.06)
    with pytest.raises(InputError):
        weight_number(float("nan"), 300, stiff)


def test_weight_of_a_straight_hose_is_the_clamped_beam():
    # Small deflection: a beam clamped at both ends sags h = w L^4 / (384 EI) in the middle
    # (beam theory, common knowledge); its form y = 16 h x^2 (1 - x)^2 is 2.438 h^2 longer than
    # the span, so a hose of that length is neither pulled nor pressed.
    sag = 1.0 / 384
    pose = Pose(np.zeros(3), AHEAD, np.array([1.0, 0, 0]), AHEAD)
    shape = solve(pose, 1.0 + 256 * 2 / 210 * sag**2, 1.0, -UP)
    assert -shape.centreline(3)[1, 2] == pytest.approx(sag, rel=1e-4)
    assert shape.end_force[0] == pytest.approx(0.0, abs=0.05)  # 40 would buckle it
    assert shape.end_force[2] == pytest.approx(0.5, rel=1e-3)  # half the weight on each nipple


def test_low_spot_of_a_hanging_half_circle():
    # Half circle below its two level nipples: one low spot, 50 mm deep, in the middle.
    shape = solve(U_TURN, 50 * np.pi)
    line = shape.centreline(401)
    assert low_spot_depth(-line @ SIDE) == pytest.approx(50.0, abs=1e-6)
    assert low_spot_depth(line @ SIDE) == 0.0
    assert not falls(line @ SIDE)


def test_fall_of_an_elbow():
    pose = Pose(np.zeros(3), AHEAD, np.array([100.0, 0, -100]), -UP)
    shape = solve(pose, 50 * np.pi)
    height = shape.centreline(401) @ UP
    assert low_spot_depth(height) == 0.0
    assert falls(height)
    assert falls(height[::-1])


def test_loads_of_two_point_bend():
    # Contact of the two-point bend: pure force square to the plates, no moment.
    shape = solve(U_TURN, 218.8440)
    first, second = nipple_loads(shape, (1e4, 2e4))
    force = np.linalg.norm(shape.end_force)
    assert first.side == pytest.approx((1e4 * force, 2e4 * force))
    assert second.side == pytest.approx(first.side)
    assert first.moment[1] < 1e-3 * second.side[1] * 100
    # k^2 / 2 = force at the apex, where the force is square... along the hose: F = k^2 / 2.
    assert force == pytest.approx(0.5 / shape.tightest_radius**2, rel=1e-5)


def test_loads_of_an_arc():
    shape = solve(U_TURN, 50 * np.pi)
    first, second = nipple_loads(shape, (1e4, 3e4))
    assert first.moment == pytest.approx((200.0, 600.0), rel=1e-5)  # EI / R
    assert first.side[1] == pytest.approx(0.0, abs=1e-3)
    assert second.pull == pytest.approx((0.0, 0.0), abs=1e-3)
    with pytest.raises(InputError):
        nipple_loads(shape, (2.0, 1.0))


def test_ends_of_an_arc():
    first, second = nipple_ends(solve(U_TURN, 50 * np.pi))
    assert first.angle == pytest.approx(90.0)
    assert second.radius == pytest.approx(50.0, rel=1e-5)
    assert first.lead == pytest.approx(50 * np.radians(5), rel=1e-4)


def test_straight_hose():
    pose = Pose(np.zeros(3), AHEAD, np.array([200.0, 0, 0]), AHEAD)
    shape = solve(pose, 200.0)
    assert np.isinf(shape.tightest_radius)
    assert shape.centreline(3)[1] == pytest.approx([100, 0, 0])
    assert others_many([(pose, 200.0)], [shape]) == [()]
