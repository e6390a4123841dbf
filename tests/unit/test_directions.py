"""Directions in words and offsets in the vehicle's own directions."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from hoseselect.intake.directions import axis, read_box, read_direction, read_offset, swung
from hoseselect.knowledge.errors import InputError

HALF, ROOT = 0.5, math.sqrt(3) / 2


@pytest.mark.parametrize(
    ("word", "vector"),
    [
        ("forward", (1, 0, 0)), ("Back", (-1, 0, 0)), (" left ", (0, 1, 0)), ("right", (0, -1, 0)),
        ("UP", (0, 0, 1)), ("downwards", (0, 0, -1)), ("rear", (-1, 0, 0)), ("front", (1, 0, 0)),
    ],
)  # fmt: skip
def test_six_words_and_their_other_names(word: str, vector: tuple[int, ...]) -> None:
    assert axis(word) == vector
    assert read_direction(word) == vector


@pytest.mark.parametrize(
    ("text", "vector"),
    [
        ("forward and 30 deg up", (ROOT, 0, HALF)),
        ("forward and 30 deg to the left", (ROOT, HALF, 0)),
        ("up and 90 deg back", (-1, 0, 0)),
        ("up, 60 deg right", (0, -ROOT, HALF)),
        ("forward and -30 deg up", (ROOT, 0, -HALF)),
        ("forward and 30 up", (ROOT, 0, HALF)),
        ("Forward  and  0.5236 rad  Up", (ROOT, 0, HALF)),
        ("left and 180 deg up", (0, -1, 0)),
    ],
)
def test_a_direction_swung_towards_another(text: str, vector: tuple[float, ...]) -> None:
    assert read_direction(text) == pytest.approx(vector, abs=1e-5)  # pi / 6 typed with 4 digits


def test_turns_follow_each_other() -> None:
    """30 deg to the left, then out of that level direction 20 deg up."""
    level, up = math.radians(30), math.radians(20)
    expected = (
        math.cos(up) * math.cos(level), math.cos(up) * math.sin(level), math.sin(up),
    )  # fmt: skip
    assert read_direction("forward, 30 deg left and 20 deg up") == pytest.approx(expected)


@pytest.mark.parametrize("angle", [-170.0, -45.0, 0.0, 10.0, 90.0, 180.0])
def test_a_swing_turns_by_its_angle_and_keeps_the_length(angle: float) -> None:
    first, towards = read_direction("forward and 20 deg up"), read_direction("left")
    found = swung(first, towards, math.radians(angle))
    assert math.hypot(*found) == pytest.approx(1)
    assert np.dot(first, found) == pytest.approx(math.cos(math.radians(angle)))


@pytest.mark.parametrize(
    "text",
    [
        "", "sideways", "forward and up", "forward and 30 deg back", "forward and 30 deg forward",
        "forward and 200 deg up", "forward and 30 mm up", "forward and unknown up",
        "forward and nan deg up", "unknown", "forward and 30 deg", 3, None, ["up"],
    ],
)  # fmt: skip
def test_what_is_no_direction_is_refused(text: Any) -> None:
    with pytest.raises(InputError) as told:
        read_direction(text)
    assert told.value.found
    assert told.value.expected


@pytest.mark.parametrize(
    ("values", "place"),
    [
        ({"forward": "120 mm", "up": "80 mm"}, (120, 0, 80)),
        ({"back": "1 in", "right": 3}, (-25.4, -3, 0)),
        ({"down": "-5 mm"}, (0, 0, 5)),
        ("forward 120 mm; left 3 cm; down 8 mm", (120, 30, -8)),
        ("Back 10", (-10, 0, 0)),
    ],
)
def test_offsets_in_vehicle_directions(values: Any, place: tuple[float, ...]) -> None:
    assert read_offset(values) == pytest.approx(place)


def test_a_movement_has_no_sign() -> None:
    assert read_box({"back": "5 mm", "up": "-8 mm"}) == (5, 0, 8)


@pytest.mark.parametrize(
    "values",
    [
        {}, "", None, 5, [1, 2, 3], {"forward": "unknown"}, {"forward": True}, {"out": "3 mm"},
        {"forward": "3 mm", "back": "2 mm"}, {"forward": "3 deg"}, {"up": "1e9 mm"},
        "forward 3 mm; forward 4 mm", "forward", "120 mm", "forward 120 mm, up 80 mm",
    ],
)  # fmt: skip
def test_what_is_no_offset_is_refused(values: Any) -> None:
    with pytest.raises(InputError) as told:
        read_offset(values)
    assert told.value.found
    assert told.value.expected
