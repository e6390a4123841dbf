"""Places and directions in the words of a bench, rounded to what a bench can set."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.cutplan.lengths import length_words
from hoseselect.domain.free_route import Vector
from hoseselect.intake.directions import AXES
from hoseselect.judging.columns import Array

PLACE_STEP = 5.0  # mm
TURN_STEP = 5.0  # deg
SIDES = (("forward", "back"), ("left", "right"), ("up", "down"))


def rounded_place(place: Array) -> Vector:
    """Return a place on whole steps of a tape [mm]."""
    x, y, z = (PLACE_STEP * round(value / PLACE_STEP) for value in place)
    return (x, y, z)


def place_words(place: Vector, units: str) -> str:
    """Return a place as offsets from nipple A.

    Examples
    --------
    >>> place_words((120.0, 0.0, -45.0), "mm")
    '120 mm forward, 45 mm down'
    """
    said = [
        f"{length_words(abs(value), units)} {names[value < 0]}"
        for value, names in zip(place, SIDES, strict=True)
        if value
    ]
    return ", ".join(said)


def rounded_direction(direction: Array) -> tuple[Vector, str]:
    """Return a direction on whole steps of angle, as unit vector and in words.

    Examples
    --------
    >>> rounded_direction(np.array([0.87, 0.0, 0.5]))[1]
    'forward and 30 deg up'
    """
    order = np.argsort(-np.abs(direction), kind="stable")
    names = [SIDES[k][bool(direction[k] < 0)] for k in order]
    main, side, third = (abs(float(direction[k])) for k in order)
    size = math.hypot(main, side, third)
    first = _on_step(math.atan2(side, main))
    second = _on_step(math.asin(third / size))
    axes = [np.array(AXES[name]) for name in names]
    a, b = math.radians(first), math.radians(second)
    found = math.cos(b) * (math.cos(a) * axes[0] + math.sin(a) * axes[1]) + math.sin(b) * axes[2]
    words = names[0]
    for angle, name in ((first, names[1]), (second, names[2])):
        words += f" and {angle:.0f} deg {name}" if angle else ""
    x, y, z = (float(value) + 0.0 for value in found)
    return (x, y, z), words


def _on_step(angle: float) -> float:
    """Return an angle [rad] on whole steps [deg]."""
    return TURN_STEP * round(math.degrees(angle) / TURN_STEP)
