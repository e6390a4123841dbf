"""Places and directions without coordinates: offsets and words in the vehicle's directions."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from hoseselect.domain.free_route import Vector
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.read import read_quantity
from hoseselect.quantities.spelling import is_unknown

AXES: dict[str, Vector] = {
    "forward": (1.0, 0.0, 0.0),
    "back": (-1.0, 0.0, 0.0),
    "left": (0.0, 1.0, 0.0),
    "right": (0.0, -1.0, 0.0),
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
}
SAME = {"backward": "back", "backwards": "back", "rear": "back", "front": "forward",
        "forwards": "forward", "upward": "up", "upwards": "up", "downward": "down",
        "downwards": "down"}  # fmt: skip
DIRECTION = 'a direction such as "up" or "forward and 30 deg up"'
OFFSET = 'an offset such as {forward = "120 mm", up = "80 mm"}'
FARTHEST = 100_000.0
TURNED = re.compile(r"^(.+?)\s+(?:to the\s+)?([a-z]+)$")


def axis(word: str) -> Vector:
    """Return the unit vector of a vehicle direction.

    Raises
    ------
    InputError
        when the word is none.
    """
    name = SAME.get(word.strip().lower(), word.strip().lower())
    if name not in AXES:
        raise InputError("", f"'{word.strip()}'", ", ".join(AXES))
    return AXES[name]


def read_direction(text: Any) -> Vector:
    """Return a unit vector from words: a direction, then turns "and ANGLE TOWARDS".

    Each turn swings the direction so far by an angle towards another one.

    Raises
    ------
    InputError
        when the words cannot be read.

    Examples
    --------
    >>> read_direction("up")
    (0.0, 0.0, 1.0)
    """
    if not isinstance(text, str) or not text.strip():
        raise InputError("", repr(text), DIRECTION)
    first, *turns = re.split(r"\s+and\s+|\s*,\s*", text.strip().lower())
    direction = axis(first)
    for turn in turns:
        match = TURNED.match(turn)
        if match is None:
            raise InputError("", f"'{turn}' in '{text}'", DIRECTION)
        angle = read_quantity(match[1], "angle", "", minimum=-180.0, maximum=180.0)
        if math.isnan(angle):
            raise InputError("", f"an unknown angle in '{text}'", DIRECTION)
        direction = swung(direction, axis(match[2]), math.radians(angle))
    return direction


def swung(direction: Vector, towards: Vector, angle: float) -> Vector:
    """Return a direction swung by an angle towards another one.

    Parameters
    ----------
    direction, towards : unit vectors
    angle : [rad]

    Raises
    ------
    InputError
        when the two lie on one line, so that the swing has no plane.
    """
    along = sum(a * b for a, b in zip(direction, towards, strict=True))
    across = [b - along * a for a, b in zip(direction, towards, strict=True)]
    size = math.hypot(*across)
    if size < SAME_LINE:
        raise InputError("", "a turn towards the same or the opposite direction", DIRECTION)
    x, y, z = (
        math.cos(angle) * a + math.sin(angle) * b / size
        for a, b in zip(direction, across, strict=True)
    )
    return (x, y, z)


SAME_LINE = 1e-9


def read_offset(values: Any) -> Vector:
    """Return a place from offsets in vehicle directions [mm]; what is not named is 0.

    Raises
    ------
    InputError
        when a direction is none, an offset cannot be read, or a direction is named both ways.
    """
    if isinstance(values, str):
        values = _offset_words(values)
    if not isinstance(values, Mapping) or not values:
        raise InputError("", repr(values), OFFSET)
    place = [0.0, 0.0, 0.0]
    seen: set[int] = set()
    for word, text in values.items():
        direction = axis(str(word))
        number = next(k for k in range(3) if direction[k])
        if number in seen:
            raise InputError("", f"'{word}' and its opposite", "one of the two")
        seen.add(number)
        length = read_quantity(text, "length", "", minimum=-FARTHEST, maximum=FARTHEST)
        if math.isnan(length):
            raise InputError("", f"'{word}' unknown", OFFSET)
        place[number] = length * direction[number]
    return (place[0], place[1], place[2])


def _offset_words(text: str) -> dict[str, str]:
    """Return offsets from one line: "forward 120 mm; up 80 mm"."""
    parts: dict[str, str] = {}
    for part in re.split(r"\s*;\s*", text.strip()):
        word, _, length = part.partition(" ")
        if word in parts:
            raise InputError("", f"'{word}' twice", "every direction once")
        parts[word] = length.strip()
    return parts


def read_box(values: Any) -> Vector:
    """Return a movement either way along the three directions [mm].

    Raises
    ------
    InputError
        when it cannot be read.
    """
    x, y, z = read_offset(values)
    return (abs(x), abs(y), abs(z))


def read_movement(values: Any) -> Vector | None:
    """Return a movement either way along the three directions [mm], None where it is unknown.

    Raises
    ------
    InputError
        when it cannot be read.
    """
    return None if isinstance(values, str) and is_unknown(values) else read_box(values)
