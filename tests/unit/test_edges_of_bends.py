"""Small parts of the mechanics, each against exact mathematics or another library's answer."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import dblquad
from scipy.interpolate import CubicSpline
from scipy.optimize import minimize_scalar
from scipy.spatial.transform import Rotation

from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.mechanics.flow import blow_by, reynolds_number
from hoseselect.mechanics.modulus import bending_stiffness
from hoseselect.mechanics.rod import (
    Errors,
    Pose,
    Profile,
    Stack,
    many,
    newton,
    nipple_ends,
    placements,
    roomiest,
    solve,
)
from hoseselect.mechanics.rod.bounds import reach, two_arcs
from hoseselect.mechanics.rod.cubic import Pieces
from hoseselect.mechanics.rod.newton import system
from hoseselect.mechanics.rod.nodes import nodes
from hoseselect.mechanics.rod.pose import unit
from hoseselect.mechanics.rod.ring_search import RingSearch
from hoseselect.mechanics.rod.seed import folded, hermite
from hoseselect.mechanics.rod.sweep import first_guess
from hoseselect.mechanics.run import Run

Array = NDArray[np.float64]
ELBOW = Pose(
    np.zeros(3), np.array([1.0, 0, 0]), np.array([120.0, 110.0, 30.0]), np.array([0, 1.0, 0])
)
TURN_BACK = Pose(np.zeros(3), np.array([0, 1.0, 0]), np.array([90.0, 0, 0]), np.array([0, -1.0, 0]))
BOW = Pose(np.zeros(3), np.array([1.0, 0, 0]), np.array([130.0, 20, 0]), np.array([1.0, 0, 0]))
NO_ERRORS = Errors(0.0, 0.0, 0.0, 0.0)


@pytest.mark.parametrize("axis", [(1, 0, 0), (0, 1, 0), (0, 0, 1), (1, -2, 0.5)])
def test_a_body_turns_about_its_axis(axis: tuple[float, float, float]) -> None:
    """Against the rotations of SciPy; a point of the axis stays where it is."""
    place = np.array([30.0, -20.0, 50.0])
    still, *turned = placements(np.zeros(3), place, np.array(axis, dtype=float), 25.0)
    assert still.rotation.tolist() == np.eye(3).tolist()
    assert len(turned) == 2
    for found, angle in zip(turned, (25.0, -25.0), strict=True):
        about = math.radians(angle) * unit(np.array(axis, dtype=float))
        assert found.rotation == pytest.approx(Rotation.from_rotvec(about).as_matrix(), abs=1e-12)
        assert found.point(place) == pytest.approx(place)
        assert found.direction(np.array([0.0, 0, 2.0])) == pytest.approx(
            Rotation.from_rotvec(about).apply([0.0, 0, 2.0])
        )


def piece(function: np.polynomial.Polynomial, left: float, right: float) -> Pieces:
    slope = function.deriv()
    ends = (left, right, function(left), function(right), slope(left), slope(right))
    return Pieces(*(np.array([float(end)]) for end in ends))


CUBICS = [
    (np.polynomial.Polynomial([50.0, -3.0, 0.0, 1.0]), 0.0, 2.0, 1.0),
    (np.polynomial.Polynomial([50.0, 3.0, 0.0, -1.0]), 0.0, 3.0, 1.0),
    (np.polynomial.Polynomial([50.0, 12.0, -9.0, 2.0]), 0.0, 1.8, 1.0),
    (np.polynomial.Polynomial([50.0, -12.0, 9.0, -2.0]), 0.5, 1.9, 1.0),
]


@pytest.mark.parametrize(("function", "left", "right", "turn"), CUBICS)
def test_where_a_cubic_turns_and_its_end_tangents_meet(
    function: np.polynomial.Polynomial, left: float, right: float, turn: float
) -> None:
    own = piece(function, left, right)
    (found,), (meet,) = own.turning()
    assert found == pytest.approx(turn, abs=1e-9)
    first, last = function.deriv()(left), function.deriv()(right)
    crossing = (function(right) - function(left) + first * left - last * right) / (first - last)
    assert meet == pytest.approx(crossing, abs=1e-9)
    middle = 0.4
    assert own.value(np.array([middle]))[0] == pytest.approx(
        function(left + middle * (right - left))
    )


def test_where_a_radius_is_reached_and_how_well_that_is_known() -> None:
    line = piece(np.polynomial.Polynomial([20.0, 2.0]), 10.0, 30.0)
    (length,), (gap,) = line.crossing(np.array([60.0]))
    assert length == pytest.approx(20.0, abs=0.3)
    assert gap < 1.0  # the two interpolants, as a line is no line in logarithms
    bent = Pieces(*(np.array([x]) for x in (10.0, 30.0, 40.0, 80.0, 3.0, 3.0)))
    assert bent._doubt(np.array([0.5]))[0] == pytest.approx(
        2.0 / bent_slope(bent, 0.5) * 0.25 * 20.0 * 0.1, rel=1e-6
    )
    (_,), (unknown,) = Pieces(*(np.array([x]) for x in (10.0, 30.0, 0.0, 80.0, 3.0, 3.0))).crossing(
        np.array([60.0])
    )
    assert unknown == math.inf


def bent_slope(own: Pieces, part: float) -> float:
    """Slope of the cubic by its closed form."""
    h, t = 20.0, part
    low, high, left, right = 40.0, 80.0, 3.0 * h, 3.0 * h
    rise = (6 * t * t - 6 * t) * (low - high) + left * (1 - 4 * t + 3 * t * t)
    return (rise + right * (3 * t * t - 2 * t)) / h


@pytest.mark.parametrize("place", [(0.0, 20.0), (15.0, 25.0), (-10.0, 30.0), (5.0, 8.0)])
def test_the_shortest_way_away_and_back_inside_the_turning_circle(
    place: tuple[float, float],
) -> None:
    """Against all ways of two arcs: away by an angle, then back until the place is met."""
    x, y, radius = *place, 40.0
    assert x * x + (y - radius) ** 2 < radius**2
    lengths = []
    for away in np.linspace(0.0, 2.0 * np.pi, 200_001):
        centre = np.array([2.0 * radius * np.sin(away), 2.0 * radius * np.cos(away) - radius])
        lengths.append(np.hypot(x - centre[0], y - centre[1]) - radius)
    apart = np.array(lengths)
    crossed = np.flatnonzero(apart[:-1] * apart[1:] <= 0)
    ways = []
    for k in crossed:
        away = 2.0 * np.pi * k / 200_000
        centre = np.array([2.0 * radius * np.sin(away), 2.0 * radius * np.cos(away) - radius])
        start = np.array([radius * np.sin(away), radius * np.cos(away) - radius]) - centre
        end = np.array([x, y]) - centre
        back = np.arctan2(start[0] * end[1] - start[1] * end[0], start @ end) % (2.0 * np.pi)
        ways.append(radius * (away + back))
    found = two_arcs(*(np.array([v]) for v in (x, y, radius)))[0]
    assert found == pytest.approx(min(ways), abs=0.01)
    chord, ahead = np.array([[x, y, 0.0]]), np.array([[1.0, 0.0, 0.0]])
    assert reach(chord, ahead, np.array([radius]))[0] == pytest.approx(found)
    assert two_arcs(*(np.array([v]) for v in (100.0, 0.0, radius)))[0] == math.inf


def test_draws_without_errors_are_the_shapes_themselves() -> None:
    cases = [(ELBOW, 200.0), (TURN_BACK, 190.0), (ELBOW, 230.0)]
    stack = Stack(cases)
    rows = np.array([0, 2])
    radii, lines = stack.drawn(rows, NO_ERRORS, True)
    assert radii == pytest.approx(np.repeat(stack.radius[rows, None], radii.shape[1], 1), rel=1e-6)
    for which, row in enumerate(rows):
        for draw in (0, 7, 127):
            assert lines[which, :, :, draw] == pytest.approx(stack.line[row, ::3], abs=1e-5)
    alone, none = stack.drawn(rows, NO_ERRORS, True, lines=False)
    assert alone == pytest.approx(radii)
    assert none.shape[-1] == 0


def test_a_stack_is_as_its_shapes_one_by_one() -> None:
    cases = [(ELBOW, 170.5), (ELBOW, 200.0), (TURN_BACK, 190.0), (TURN_BACK, 400.0)]
    stack = Stack(cases)
    for row, (pose, length) in enumerate(cases):
        alone = solve(pose, length)
        assert stack.radius[row] == pytest.approx(alone.tightest_radius, rel=5e-3)
        assert stack.line[row] == pytest.approx(alone.centreline(97), abs=0.05)


def test_a_shape_says_how_far_along_it_its_tangents_stand() -> None:
    shape = solve(ELBOW, 200.0)
    assert (shape.nodes[0], shape.nodes[-1]) == (0.0, pytest.approx(200.0))
    assert np.all(np.diff(shape.nodes) > 0)
    assert shape.centreline(51)[-1] == pytest.approx(ELBOW.end, abs=1e-6)


def test_a_straight_hose_is_solved_without_a_rest() -> None:
    pose = Pose(np.zeros(3), np.array([1.0, 0, 0]), np.array([100.0, 0, 0]), np.array([1.0, 0, 0]))
    shape = solve(pose, 100.0)
    state = shape.diagnostics
    assert (state.closure, state.invariant_spread, state.twist_spread, state.steps) == (0, 0, 0, 0)
    assert state.converged
    assert state.smallest_eigenvalue == pytest.approx(math.pi**2)
    assert shape.tightest_radius == math.inf


def curve(*tangents: tuple[float, float, float]) -> Array:
    return np.array([tangents], dtype=float)


@pytest.mark.parametrize(
    ("tangents", "is_folded"),
    [
        (((1, 0, 0), (-0.5, 0, 0), (1, 0, 0)), True),
        (((1, 0, 0), (0.5, 0, 0), (1, 0, 0)), False),
        (((1, 0, 0), (0, 1, 0), (-1, 0, 0)), False),
        (((1, 0, 0), (-0.5, 0.02, 0), (1, 0, 0)), False),
    ],
)
def test_a_guess_that_runs_forth_and_back_on_one_line(
    tangents: tuple[tuple[float, float, float], ...], is_folded: bool
) -> None:
    assert folded(curve(*tangents)).ravel().tolist() == [is_folded]


@pytest.mark.parametrize("pose", [ELBOW, TURN_BACK])
def test_the_best_radius_of_a_pose_is_that_of_its_shapes(pose: Pose) -> None:
    """Against the search of SciPy over the length, each shape solved by itself."""
    best, at = Profile([pose], 15.0).best_radius()

    def radius(length: float) -> float:
        return -solve(pose, length).tightest_radius

    low, high = max(pose.distance * 1.005, 0.8 * at), 1.2 * at
    found = minimize_scalar(radius, bounds=(low, high), method="bounded", options={"xatol": 1e-3})
    assert best == pytest.approx(-found.fun, rel=3e-5)


def test_ends_of_a_window_are_exact_for_one_pose_and_near_for_many() -> None:
    alone = Profile([ELBOW], 20.0)
    (window,) = alone.windows([60.0])
    assert solve(ELBOW, window.shortest).tightest_radius == pytest.approx(60.0, rel=2e-4)
    moved = [ELBOW, ELBOW.moved(np.array([4.0, -3.0, 5.0])), ELBOW.moved(np.array([-4.0, 3, -5.0]))]
    (all_of_them,) = Profile(moved, 20.0).windows([60.0])
    tightest = min(solve(pose, all_of_them.shortest).tightest_radius for pose in moved)
    assert tightest == pytest.approx(60.0, rel=5e-3)
    assert all_of_them.shortest > window.shortest


@pytest.mark.parametrize("pose", [ELBOW, TURN_BACK])
def test_the_roomiest_way_is_practical_and_no_wide_loop(pose: Pose) -> None:
    profile = Profile([pose], 15.0)
    radius, length = roomiest(profile)
    assert length <= profile.practical * (1 + 1e-9)
    assert not profile.wide_loops(np.array([length]), profile.bound(np.array([radius])))[0]
    best, _ = profile.best_radius()
    assert radius <= best
    assert solve(pose, length).tightest_radius == pytest.approx(radius, rel=2e-3)


def test_flow_in_a_bore_of_half_a_millimetre_has_a_number() -> None:
    """Re = 4 rho Q / (pi d mu)."""
    flow, bore, density, viscosity = 0.06, 0.5, 1000.0, 1e-3
    exact = 4 * density * (flow / 60000) / (math.pi * bore / 1000 * viscosity)
    assert reynolds_number(flow, bore, density, viscosity) == pytest.approx(exact)
    assert np.isnan(reynolds_number(flow, 0.0, density, viscosity))


def test_blow_by_is_a_share_of_the_air_drawn_in() -> None:
    """Two litres at 3000 1/min and a filling of 0.9: 2700 L/min, of which 1 to 3 in a hundred."""
    found = blow_by(2.0, 3000.0, 0.9, 0.01, 0.03)
    assert (found.low, found.high) == (pytest.approx(27.0), pytest.approx(81.0))


def test_slight_bends_count_where_they_add_up() -> None:
    def run(*angles: float) -> Run:
        parts = [Bend(math.radians(angle), 50.0) for angle in angles]
        return Run((Straight(10.0), *parts, Bend(1.5, 80.0)), slight=math.radians(10))

    assert run(6, 3).tightest_radius == 80.0
    assert run(6, 3.9).tightest_radius == 80.0
    assert run(6, 6).tightest_radius == 50.0
    assert run(12).tightest_radius == 50.0
    assert run().tightest_radius == 80.0


def test_a_wide_loop_is_long_for_the_distance_and_for_the_bound() -> None:
    profile = Profile([ELBOW], 15.0)
    far = 1.7 * profile.distance
    lengths = np.array([far, far, 1.5 * profile.distance])
    bounds = np.array([far / 1.4, far / 1.6, profile.distance / 2])
    assert profile.wide_loops(lengths, bounds).tolist() == [False, True, False]


def test_closed_movements_are_square_to_what_opens_the_hose() -> None:
    """The basis is orthonormal, and spans the jacobian of the closure."""
    shape = first_guess(16, *(np.array([v]) for v in ((1.0, 0, 0), (0, 1.0, 0), (0.5, 0.5, 0.2))),
                        np.zeros((1, 3)))  # fmt: skip
    own = system(shape.at, shape.tangent, shape.load)
    basis, jacobian = own.basis[0], own.jacobian[0]
    assert basis.T @ basis == pytest.approx(np.eye(3), abs=1e-9)
    assert basis @ (basis.T @ jacobian) == pytest.approx(jacobian, abs=1e-9)
    turned = own.projected()[0] @ basis
    assert turned == pytest.approx(basis * np.abs(np.diag(own.hessian[0])).mean(), abs=1e-8)


def test_other_ways_are_looked_for_again_where_a_guess_does_not_settle(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With few nodes first; a case of which one guess is lost is solved anew with more."""
    asked: list[tuple[int, int]] = []
    seeded = many._seeded

    def told(cases: Any, intervals: int) -> Any:
        asked.append((len(cases), intervals))
        stacks = seeded(cases, intervals)
        if intervals == many.FEWER:
            stacks[1].settled[2] = False
        return stacks

    monkeypatch.setattr(many, "_seeded", told)
    cases = [(ELBOW, 200.0), (BOW, 170.0)]
    first = [solve(*case) for case in cases]
    found = many.others_many(cases, first)
    assert asked == [(2, many.FEWER), (1, many.FIRST)]
    monkeypatch.setattr(many, "_seeded", seeded)
    plain = many.others_many(cases, first)
    assert [len(own) for own in found] == [len(own) for own in plain]
    assert len(plain[1]) > 0


def test_bending_stiffness_is_the_modulus_times_the_second_moment_of_a_ring() -> None:
    """Second moment by quadrature of y^2 over the ring."""
    inner, outer = 5.0, 10.0
    moment, _ = dblquad(
        lambda turn, radius: (radius * math.sin(turn)) ** 2 * radius, inner, outer, 0, 2 * math.pi
    )
    assert bending_stiffness(4.0, 2 * inner, 2 * outer) == pytest.approx(4.0 * moment, rel=1e-9)


def test_how_a_hose_leaves_its_nipples() -> None:
    """Angles against the chord; a straight lead of at most 5 deg; the radius at the tip."""
    shape = solve(ELBOW, 190.0)
    first, last = nipple_ends(shape)
    chord = ELBOW.chord / ELBOW.distance
    assert first.angle == pytest.approx(math.degrees(math.acos(ELBOW.start_direction @ chord)))
    assert last.angle == pytest.approx(math.degrees(math.acos(ELBOW.end_direction @ chord)))
    assert first.angle != pytest.approx(last.angle, abs=1.0)
    for own, tangents in ((first, shape.tangents_at(2001)), (last, shape.tangents_at(2001)[::-1])):
        turned = np.degrees(np.arccos(np.clip(tangents @ tangents[0], -1.0, 1.0)))
        exact = 190.0 * float(np.flatnonzero(turned > 5.0)[0]) / 2000
        assert own.lead == pytest.approx(exact, abs=0.2)
    assert first.radius == pytest.approx(1.0 / float(shape.curvatures(401)[0]))
    assert last.radius == pytest.approx(1.0 / float(shape.curvatures(401)[-1]))


def test_a_window_that_is_asked_for_alone_is_exact() -> None:
    window = Profile([ELBOW], 20.0).window(60.0)
    assert solve(ELBOW, window.shortest).tightest_radius == pytest.approx(60.0, rel=3e-6)


def test_twist_is_told_over_the_cube_of_the_curvature() -> None:
    """No twist: (t x k).n is the same all along, to round-off of the cube of the curvature."""
    shape = solve(ELBOW, 200.0)
    assert 0 <= shape.diagnostics.twist_spread < 1e-6


def test_a_shape_that_is_not_at_rest_yet_is_not_settled(monkeypatch: pytest.MonkeyPatch) -> None:
    at, chord = nodes(16), np.array([[0.5, 0.5, 0.2]])
    start, end = np.array([[1.0, 0, 0]]), np.array([[0, 1.0, 0]])
    guess = hermite(at, start, end, chord)
    assert newton.relax(at, guess, chord, np.zeros((1, 3))).settled.all()
    monkeypatch.setattr(newton, "ROUNDS", 1)
    begun = newton.relax(at, guess, chord, np.zeros((1, 3)))
    assert begun.stable.all()
    assert not begun.settled.any()


def test_directions_in_rings_to_begin_with_are_those_of_a_spline() -> None:
    """Against the clamped cubic spline of SciPy over the chord length."""
    rings = [np.array([40.0, 30.0, 5.0]), np.array([110.0, 45.0, -10.0]), np.array([150.0, 20, 20])]
    pose = Pose(np.zeros(3), np.array([0, 1.0, 0]), np.array([220.0, 60, 0]), np.array([1.0, 0, 0]))
    search = RingSearch([(pose, rings, 300.0)])
    places = np.array([pose.start, *rings, pose.end])
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(places, axis=0), axis=1))])
    ends = ((1, pose.start_direction), (1, pose.end_direction))
    exact = CubicSpline(along, places, bc_type=ends)(along[1:-1], 1)
    assert search.base[0] == pytest.approx(unit(exact), abs=1e-9)
