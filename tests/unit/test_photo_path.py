"""A flat path of straights and arcs: its places, its length, and how it moves with its figures."""

from __future__ import annotations

import math

import numpy as np
import pytest

from hoseselect.photo.first_guess import first_guesses
from hoseselect.photo.fit_path import HoseTaps, likeliest_path, off_path, slopes_off
from hoseselect.photo.path import bends_of, feet_on, length_of, pieces_of, points_on

S_BEND = np.array([1.0, 2.0, 0.3, 50.0, -1.2, math.log(40), 30.0, 2.0, math.log(60), 70.0])


def on(path: np.ndarray, count: int) -> np.ndarray:
    pieces = pieces_of(path)
    ends = np.cumsum(pieces.lengths)
    along = np.linspace(0, ends[-1], count)
    piece = np.minimum(np.searchsorted(ends, along), len(ends) - 1)
    within = along - (ends - pieces.lengths)[piece]
    return points_on(pieces, piece.astype(float), within)[0]


def taps_of(points: np.ndarray, scale: float = 0.3) -> HoseTaps:
    return HoseTaps(points, np.tile(np.eye(2) * scale, (len(points), 1, 1)), 9.0, 2.0)


def test_the_length_is_that_of_its_parts() -> None:
    assert length_of(S_BEND) == pytest.approx(50 + 1.2 * 40 + 30 + 2.0 * 60 + 70)
    steps = np.diff(on(S_BEND, 20001), axis=0)
    assert np.hypot(*steps.T).sum() == pytest.approx(length_of(S_BEND), rel=1e-6)


def test_a_quarter_circle_ends_where_it_must() -> None:
    path = np.array([0.0, 0.0, 0.0, 10.0, math.pi / 2, math.log(20.0), 5.0])
    assert pieces_of(path).starts[-1] == pytest.approx([30.0, 25.0])


def test_points_beside_a_path_come_down_square_to_it() -> None:
    points = on(S_BEND, 40)[1:-1]
    feet = feet_on(pieces_of(S_BEND), points)
    assert feet.aside == pytest.approx(0.0, abs=1e-9)
    across = np.column_stack([-np.sin(feet.headings), np.cos(feet.headings)])
    assert feet_on(pieces_of(S_BEND), points + 3 * across).aside == pytest.approx(3.0, abs=1e-6)


def test_slopes_are_those_of_small_steps() -> None:
    random = np.random.default_rng(1)
    taps = taps_of(on(S_BEND, 30) + random.normal(0, 1, (30, 2)))
    step = 1e-6
    by_steps = np.array(
        [
            (off_path(S_BEND + move, taps) - off_path(S_BEND - move, taps)) / (2 * step)
            for move in np.eye(len(S_BEND)) * step
        ]
    ).T
    assert slopes_off(S_BEND, taps) == pytest.approx(by_steps, abs=2e-5)


def test_a_path_without_scatter_is_found_again() -> None:
    points = on(S_BEND, 60)
    found = likeliest_path(taps_of(points), 8.0).path
    assert found == pytest.approx(S_BEND, rel=0.01, abs=0.05)


@pytest.mark.parametrize("angle", [100.0, 180.0, 270.0])
def test_a_bend_of_any_angle_is_one_bend(angle: float) -> None:
    path = np.array([0.0, 0.0, 0.5, 60.0, math.radians(angle), math.log(45.0), 80.0])
    points = on(path, 60) + np.random.default_rng(2).normal(0, 0.3, (60, 2))
    found = likeliest_path(taps_of(points), 8.0)
    assert bends_of(found.path) == 1
    assert math.degrees(found.path[4]) == pytest.approx(angle, abs=2)


def test_a_straight_line_has_no_bend() -> None:
    points = on(np.array([0.0, 0.0, 0.5, 300.0]), 30)
    points += np.random.default_rng(3).normal(0, 0.6, (30, 2))
    assert bends_of(likeliest_path(taps_of(points), 8.0).path) == 0


def test_guesses_have_as_many_bends_as_their_number() -> None:
    guesses = first_guesses(on(S_BEND, 40), 4, 2.0)
    assert [bends_of(guess.path) for guess in guesses] == [0, 1, 2, 3, 4]
    assert guesses[2].squares < guesses[1].squares / 10
