"""Runs of straights and bends: edge cases."""

from __future__ import annotations

import math

import numpy as np
import pytest

from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.bends import (
    bend_arc,
    path_length,
    tightest,
    with_slack,
)
from hoseselect.mechanics.centreline import centreline
from hoseselect.mechanics.run import Run

NAN = math.nan


def test_run_of_straight_bend_straight() -> None:
    run = Run((Straight(60), Bend(90, 110), Straight(180)))
    assert run.length == pytest.approx(60 + math.pi / 2 * 110 + 180, rel=1e-15)
    assert run.tightest_radius == 110
    assert run.tightest_at == pytest.approx(60 + math.pi / 4 * 110, rel=1e-15)
    assert (run.lead_start, run.lead_end) == (60, 180)


def test_tightest_is_the_smaller_of_two_bends() -> None:
    run = Run((Straight(10), Bend(90, 80), Straight(20), Bend(45, 60), Straight(5)))
    assert run.tightest_radius == 60
    second = 10 + math.pi / 2 * 80 + 20 + math.pi / 8 * 60
    assert run.tightest_at == pytest.approx(second, rel=1e-15)


def test_first_of_two_equal_bends_is_named() -> None:
    run = Run((Bend(90, 80), Straight(20), Bend(90, 80)))
    assert run.tightest_at == pytest.approx(math.pi / 4 * 80)


def test_run_without_bends_has_no_tightest_place() -> None:
    run = Run((Straight(100), Straight(50)))
    assert run.length == 150
    assert run.tightest_radius == math.inf
    assert math.isnan(run.tightest_at)
    assert (run.lead_start, run.lead_end) == (150, 150)


def test_bend_of_no_angle_counts_for_nothing() -> None:
    run = Run((Straight(30), Bend(0, 5), Straight(40), Bend(90, 50), Straight(7)))
    assert run.tightest_radius == 50
    assert run.lead_start == 70
    assert run.lead_end == 7


def test_bends_at_the_ends_leave_no_lead() -> None:
    run = Run((Bend(90, 50), Straight(20), Bend(90, 50)))
    assert (run.lead_start, run.lead_end) == (0, 0)


@pytest.mark.parametrize(
    "unknown",
    [
        Run((Straight(NAN), Bend(90, 50))),
        Run((Straight(10), Bend(NAN, 50))),
        Run((Straight(10), Bend(90, NAN))),
    ],
)
def test_unknown_part_makes_the_length_unknown(unknown: Run) -> None:
    assert math.isnan(unknown.length)


def test_unknown_radius_makes_the_tightest_unknown() -> None:
    run = Run((Bend(90, 200), Straight(10), Bend(90, NAN)))
    assert math.isnan(run.tightest_radius)
    assert math.isnan(run.tightest_at)


def test_unknown_angle_makes_the_tightest_unknown() -> None:
    assert math.isnan(Run((Bend(90, 200), Bend(NAN, 50))).tightest_radius)


def test_unknown_straight_leaves_the_tightest_known() -> None:
    assert Run((Straight(NAN), Bend(90, 60))).tightest_radius == 60


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Straight(-1), "length of a straight: found -1"),
        (lambda: Straight(math.inf), "length of a straight: found inf"),
        (lambda: Bend(90, -5), "radius of a bend: found -5"),
        (lambda: Bend(90, 0), "radius of a bend: found 0"),
        (lambda: Bend(90, math.inf), "radius of a bend: found inf"),
        (lambda: Bend(-90, 50), "angle of a bend: found -90"),
        (lambda: Bend(361, 50), "angle of a bend: found 361"),
        (lambda: Bend(90, 50, math.inf), "turn of a bend: found inf"),
        (lambda: Run(()), "found no parts"),
    ],
)
def test_impossible_parts_are_refused(make: object, words: str) -> None:
    assert callable(make)
    with pytest.raises(InputError) as caught:
        make()
    assert words in str(caught.value)


def test_many_runs_at_once_equal_one_by_one() -> None:
    straights = np.array([[60.0, 180.0], [40.0, 0.0]])
    angles = np.array([[90.0, 0.0], [45.0, 90.0]])
    radii = np.array([[110.0, 0.0], [70.0, 55.0]])
    ones = [
        Run((Straight(60), Bend(90, 110), Straight(180))),
        Run((Straight(40), Bend(45, 70), Bend(90, 55))),
    ]
    np.testing.assert_allclose(
        path_length(straights, angles, radii), [one.length for one in ones], rtol=1e-15
    )
    np.testing.assert_array_equal(tightest(angles, radii), [one.tightest_radius for one in ones])


def test_bend_arc_broadcasts_and_passes_nan_on() -> None:
    arcs = bend_arc([[90.0], [NAN]], [100.0, 50.0, NAN])
    assert arcs.shape == (2, 3)
    np.testing.assert_array_equal(np.isnan(arcs), [[False, False, True], [True, True, True]])


@pytest.mark.parametrize("share", [-0.01, 1.0, 1.5, NAN])
def test_slack_out_of_range_is_unknown(share: float) -> None:
    assert np.isnan(with_slack(250.0, share))


def test_centreline_of_an_elbow_ends_where_geometry_says() -> None:
    line = centreline(Run((Straight(60), Bend(90, 110), Straight(180))))
    np.testing.assert_allclose(line.points[-1], [60 + 110, 110 + 180, 0], atol=1e-12)
    np.testing.assert_allclose(line.directions[-1], [0, 1, 0], atol=1e-15)
    assert line.along[-1] == pytest.approx(60 + math.pi / 2 * 110 + 180, rel=1e-15)


def test_turn_of_180_makes_an_offset() -> None:
    line = centreline(Run((Bend(90, 50), Bend(90, 50, 180))))
    np.testing.assert_allclose(line.points[-1], [100, 100, 0], atol=1e-12)
    np.testing.assert_allclose(line.directions[-1], [1, 0, 0], atol=1e-15)


def test_turn_of_90_leaves_the_plane_towards_z() -> None:
    line = centreline(Run((Bend(90, 50), Bend(90, 50, 90))))
    np.testing.assert_allclose(line.points[-1], [50, 100, 50], atol=1e-12)
    np.testing.assert_allclose(line.directions[-1], [0, 0, 1], atol=1e-15)


def test_turn_is_counted_from_the_bend_before() -> None:
    """Up, then back over the first straight: the third bend lies in the plane of the second."""
    line = centreline(Run((Bend(90, 50), Bend(90, 50, 90), Bend(90, 50))))
    np.testing.assert_allclose(line.directions[-1], [0, -1, 0], atol=1e-15)
    np.testing.assert_allclose(line.points[-1], [50, 50, 100], atol=1e-12)


def test_points_are_no_further_apart_than_asked_and_circle_closes() -> None:
    line = centreline(Run((Bend(360, 30),)), spacing=1.5)
    assert np.diff(line.along).max() <= 1.5 + 1e-12
    np.testing.assert_allclose(line.points[-1], 0, atol=1e-12)
    np.testing.assert_allclose(np.linalg.norm(line.points - [0, 30, 0], axis=1), 30, rtol=1e-12)


@pytest.mark.parametrize(
    "run", [Run((Straight(NAN),)), Run((Bend(90, NAN),)), Run((Bend(90, 50, NAN),))]
)
def test_no_points_for_an_unknown_run(run: Run) -> None:
    with pytest.raises(InputError, match="unknown"):
        centreline(run)


@pytest.mark.parametrize("spacing", [0.0, -1.0, NAN])
def test_spacing_must_be_above_zero(spacing: float) -> None:
    with pytest.raises(InputError, match="spacing"):
        centreline(Run((Straight(10),)), spacing)
