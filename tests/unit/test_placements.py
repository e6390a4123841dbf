"""Where a body can be that moves within a box and turns about an axis."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.rod import placements

STILL = np.zeros(3)
PLACE = np.array([40.0, -70.0, 25.0])
AXIS = np.array([1.0, 2.0, -2.0]) / 3
POINTS = np.array([[0.0, 0.0, 0.0], [120.0, 30.0, -80.0], [-4.0, 500.0, 1.0]])
figure = st.floats(-400, 400)
place = st.tuples(figure, figure, figure).map(np.array)
axis = place.filter(lambda vector: np.linalg.norm(vector) > 1e-3)
turn = st.floats(0.01, 20)
box = st.tuples(*[st.sampled_from([0.0, 3.0, 12.5])] * 3).map(np.array)


def test_at_rest_nothing_moves() -> None:
    (rest,) = placements(STILL)
    assert (rest.point(POINTS) == POINTS).all()
    assert (rest.direction(AXIS) == AXIS).all()


@pytest.mark.parametrize(
    ("axis", "point", "turned"),
    [
        ((0, 0, 1), (11, 0, 0), (10, 1, 0)),
        ((0, 0, 5), (10, 1, 0), (9, 0, 0)),
        ((1, 0, 0), (10, 1, 0), (10, 0, 1)),
        ((0, 1, 0), (10, 0, 1), (11, 0, 0)),
        ((0, 0, -1), (11, 0, 0), (10, -1, 0)),
    ],
)
def test_a_quarter_turn_is_right_handed(axis: Any, point: Any, turned: Any) -> None:
    """About an axis through (10, 0, 0); its length does not matter."""
    _, there, back = placements(STILL, np.array([10.0, 0, 0]), np.array(axis), 90)
    assert there.point(np.array(point)) == pytest.approx(turned)
    assert back.point(there.point(np.array(point))) == pytest.approx(point)


@given(place=place, axis=axis, angle=turn, movement=box)
def test_it_turns_as_an_outside_rotation_does(
    place: Any, axis: Any, angle: float, movement: Any
) -> None:
    """By scipy.spatial.transform.Rotation, which turns by quaternions."""
    along = axis / np.linalg.norm(axis)
    edges = [(-size, size) if size else (0.0,) for size in movement]
    corners = [np.array(c) for c in np.array(np.meshgrid(*edges, indexing="ij")).reshape(3, -1).T]
    wanted = [
        Rotation.from_rotvec(sign * angle * along, degrees=True).apply(POINTS - place)
        + place + corner
        for corner in corners
        for sign in (1, -1)
    ]  # fmt: skip
    found = placements(movement, place, axis, angle)
    assert len(found) == 1 + len(wanted)
    for one, expected in zip(found[1:], wanted, strict=True):
        assert one.point(POINTS) == pytest.approx(expected, abs=1e-9)


@given(place=place, axis=axis, angle=turn)
def test_a_turn_keeps_the_axis_and_every_distance_from_it(
    place: Any, axis: Any, angle: float
) -> None:
    along = axis / np.linalg.norm(axis)

    def away(points: Any) -> Any:
        return np.linalg.norm(np.cross(points - place, along), axis=-1)

    for one in placements(STILL, place, axis, angle):
        assert one.point(place + 7 * along) == pytest.approx(place + 7 * along, abs=1e-9)
        assert away(one.point(POINTS)) == pytest.approx(away(POINTS), abs=1e-9)
        assert one.direction(along) == pytest.approx(along)
        ends = one.point(POINTS + AXIS) - one.point(POINTS)
        assert ends == pytest.approx(np.tile(one.direction(AXIS), (3, 1)), abs=1e-9)


@pytest.mark.parametrize(
    ("movement", "angle", "count"),
    [
        ((0, 0, 0), 0, 1),
        ((0, 5, 0), 0, 3),
        ((3, 5, 7), 0, 9),
        ((0, 0, 0), 2, 3),
        ((3, 5, 7), 2, 17),
    ],
)
def test_every_corner_meets_every_turn_once(movement: Any, angle: float, count: int) -> None:
    found = placements(np.array(movement), PLACE, AXIS, angle)
    assert len(found) == count
    assert len({tuple(np.round(one.point(POINTS).ravel(), 6)) for one in found}) == count
    assert (found[0].point(POINTS) == POINTS).all()


@pytest.mark.parametrize("axis", [None, np.zeros(3)])
def test_a_turn_wants_an_axis(axis: Any) -> None:
    with pytest.raises(InputError, match="axis"):
        placements(STILL, PLACE, axis, 2.0)
    with pytest.raises(InputError, match="axis"):
        placements(STILL, None, AXIS, 2.0)


@pytest.mark.parametrize("movement", [(-1, 0, 0), (float("nan"), 0, 0), (1, 2)])
def test_a_movement_is_three_figures(movement: Any) -> None:
    with pytest.raises(InputError, match="movement"):
        placements(np.array(movement))
