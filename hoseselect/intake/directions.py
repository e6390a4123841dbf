"""Directions without coordinates: words in the vehicle's own directions."""

from __future__ import annotations

import itertools
import math
import re
from typing import Any

from hoseselect.domain.free_route import Vector
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.read import read_quantity
from hoseselect.quantities.spelling import plain_text

AXES: dict[str, Vector] = {
    "forward": (1.0, 0.0, 0.0),
    "back": (-1.0, 0.0, 0.0),
    "left": (0.0, 1.0, 0.0),
    "right": (0.0, -1.0, 0.0),
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
}
SAME = {"backward": "back", "backwards": "back", "rear": "back", "rearward": "back",
        "rearwards": "back", "behind": "back", "aft": "back", "front": "forward",
        "forwards": "forward", "ahead": "forward", "upward": "up", "upwards": "up", "above": "up",
        "higher": "up", "top": "up", "downward": "down", "downwards": "down", "below": "down",
        "lower": "down", "bottom": "down", "leftward": "left", "leftwards": "left",
        "rightward": "right", "rightwards": "right"}  # fmt: skip
DIRECTION = (
    'a direction such as "up", "up and forward" (halfway between) or "forward and 30 deg up"'
)
TURNED = re.compile(r"^(-?[\d.].*?)\s*(?:to the |towards? (?:the )?)?([a-z]+)$")
FILLERS = re.compile(
    r"\b(?:straight|directly|exactly|square|diagonally|pointing|points|facing|to the"
    r"|(?:half ?way )?between|towards?(?: the)?)\s+(?=[a-z])"
)
SEPARATORS = re.compile(r"\s+and\s+|\s*[,;/+]\s*|(?<=[a-z])-(?=[a-z])")
NAMES = "|".join(sorted((*AXES, *SAME), key=len, reverse=True))
ANGLE_FIRST = re.compile(rf"\b({NAMES})\s+(?=-?[\d.])")
SIDE = re.compile(r"\s+side$")
SOME = re.compile(r"\b(?:a (?:little|bit)|slightly|somewhat|a touch)\b")


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
    """Return a unit vector from words: directions, then turns "and ANGLE TOWARDS".

    Two or three plain directions mean the one halfway between them. Each turn swings the
    direction so far by an angle towards another one.

    Raises
    ------
    InputError
        when the words cannot be read.

    Examples
    --------
    >>> read_direction("straight up")
    (0.0, 0.0, 1.0)
    >>> [round(part, 3) for part in read_direction("up and forward")]
    [0.707, 0.0, 0.707]
    """
    if not isinstance(text, str) or not text.strip():
        raise InputError("", repr(text), DIRECTION)
    plain = without_fillers(plain_text(text).lower())
    if SOME.search(plain):
        raise InputError("", f"'{text.strip()}'", 'by how much, such as "up and 15 deg forward"')
    parts = SEPARATORS.split(ANGLE_FIRST.sub(r"\1 and ", plain))
    words = list(itertools.takewhile(lambda part: TURNED.match(part) is None, parts))
    direction = _halfway([axis(SIDE.sub("", word)) for word in words], text)
    for turn in parts[len(words) :]:
        match = TURNED.match(turn)
        if match is None:
            raise InputError("", f"'{turn}' in '{text}'", DIRECTION)
        angle = read_quantity(match[1], "angle", "", minimum=-180.0, maximum=180.0)
        if math.isnan(angle):
            raise InputError("", f"an unknown angle in '{text}'", DIRECTION)
        direction = swung(direction, axis(match[2]), math.radians(angle))
    return direction


def without_fillers(plain: str) -> str:
    """Return words without those that say nothing: "straight", "pointing", "to the"."""
    while (shorter := FILLERS.sub("", plain)) != plain:
        plain = shorter
    return plain


def _halfway(directions: list[Vector], text: str) -> Vector:
    """Return the direction halfway between directions that stand square to each other."""
    pairs = itertools.combinations(directions, 2)
    if not directions or any(sum(a * b for a, b in zip(*pair, strict=True)) for pair in pairs):
        raise InputError("", f"'{text.strip()}'", DIRECTION)
    if len(directions) == 1:
        return directions[0]
    x, y, z = (sum(parts) / math.sqrt(len(directions)) for parts in zip(*directions, strict=True))
    return (x, y, z)


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
