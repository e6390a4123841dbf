"""Directions in words and offsets in the vehicle's own directions."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from hoseselect.intake.directions import axis, read_direction, swung
from hoseselect.intake.offsets import read_box, read_movement, read_offset
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
        ("straight up", (0, 0, 1)),
        ("rearward", (-1, 0, 0)),
        ("Pointing to the rear", (-1, 0, 0)),
        ("up and forward", (math.sqrt(0.5), 0, math.sqrt(0.5))),
        ("halfway between up and forward", (math.sqrt(0.5), 0, math.sqrt(0.5))),
        ("back-up", (-math.sqrt(0.5), 0, math.sqrt(0.5))),
        ("up, forward and left", (math.sqrt(1 / 3), math.sqrt(1 / 3), math.sqrt(1 / 3))),
        ("forward 30 deg up", (ROOT, 0, HALF)),
        ("up and left, 90 deg down", (0, math.sqrt(0.5), -math.sqrt(0.5))),
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
        "", "sideways", "up and down", "forward and 30 deg back", "forward and 30 deg forward",
        "30 deg up", "up and a little forward", "slightly up", "right up", "forward and forward",
        "forward and 30 deg up and left",
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
        ("180 mm forward", (180, 0, 0)),
        ("forward 180 mm, up 60 mm", (180, 0, 60)),
        ("180 mm forward and 60 mm up", (180, 0, 60)),
        ("180 forward 60 up", (180, 0, 60)),
        ("forward 180mm,up 60mm", (180, 0, 60)),
        ("120,5 mm to the rear, 3 cm left", (-120.5, 30, 0)),
        ("1 1/2 in forward; 2 in straight down", (38.1, 0, -50.8)),
        ("60 mm above A, 100 mm behind", (-100, 0, 60)),
        ("4 in front", (101.6, 0, 0)),
    ],
)
def test_offsets_in_vehicle_directions(values: Any, place: tuple[float, ...]) -> None:
    assert read_offset(values) == pytest.approx(place)


def test_a_movement_has_no_sign() -> None:
    assert read_box({"back": "5 mm", "up": "-8 mm"}) == (5, 0, 8)


@pytest.mark.parametrize(
    ("text", "moves"),
    [
        ("12 mm sideways, 10 mm up and down", (0, 12, 10)),
        ("fore and aft 5 mm", (5, 0, 0)),
        ("8 mm left and right", (0, 8, 0)),
        ("+/-5 mm up", (0, 0, 5)),
        ("5 mm either way sideways", (0, 5, 0)),
        ("none", (0, 0, 0)),
        ("don't know", None),
    ],
)
def test_a_movement_as_people_say_it(text: str, moves: tuple[int, ...] | None) -> None:
    assert read_movement(text) == moves


@pytest.mark.parametrize(
    "values",
    [
        {}, "", None, 5, [1, 2, 3], {"forward": "unknown"}, {"forward": True}, {"out": "3 mm"},
        {"forward": "3 mm", "back": "2 mm"}, {"forward": "3 deg"}, {"up": "1e9 mm"},
        "forward 3 mm; forward 4 mm", "forward", "120 mm", "forward 120,60 up",
        "10 to 12 mm forward", "forward and up 60 mm", "forward 1 and 1/2 in", "right behind",
        "up 60 mm 20", "forward 180 60 mm up",
    ],
)  # fmt: skip
def test_what_is_no_offset_is_refused(values: Any) -> None:
    with pytest.raises(InputError) as told:
        read_offset(values)
    assert told.value.found
    assert told.value.expected
