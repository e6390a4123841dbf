"""How far a nipple must be turned before a free route suits a least bend radius."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.application.free_solution import FreeSolution, turned
from hoseselect.domain.free_route import FreeRoute, Vector
from hoseselect.knowledge.errors import HoseselectError

LARGEST_TURN = 60.0
FIRST_TURNS = (15.0, 30.0, 45.0, LARGEST_TURN)
ROUNDS = 3


def least_turn(route: FreeRoute, radius: float) -> tuple[str, float] | None:
    """Return the nipple and the least turn towards the other nipple that lets a radius pass.

    Parameters
    ----------
    route : on which the radius does not pass
    radius : least bend radius [mm]

    Returns
    -------
    "A" or "B" and the turn [deg], rounded up to 5 deg where possible; None where no turn helps
    """
    found = []
    for end in ("A", "B"):
        turn = _least(route, radius, end)
        if turn is not None:
            found.append((turn, end))
    if not found:
        return None
    turn, end = min(found)
    return end, turn


def _least(route: FreeRoute, radius: float, end: str) -> float | None:
    low = 0.0
    for high in FIRST_TURNS:
        if _suits(route, radius, end, high):
            for _ in range(ROUNDS):
                middle = (low + high) / 2
                if _suits(route, radius, end, middle):
                    high = middle
                else:
                    low = middle
            return math.ceil(high)
        low = high
    return None


def _suits(route: FreeRoute, radius: float, end: str, turn: float) -> bool:
    try:
        return FreeSolution(_turned(route, end, turn), radius).best()[0] >= radius
    except HoseselectError:
        return False


def _turned(route: FreeRoute, end: str, turn: float) -> FreeRoute:
    """Return the route with one nipple turned towards the mouth of the other."""
    chord = np.array(route.mouth_b)
    towards = chord / np.linalg.norm(chord)
    if end == "A":
        points_a = _vector(turned(route.points_a, towards, math.radians(turn)))
        return FreeRoute(route.mouth_b, points_a, route.points_b)
    points_b = _vector(turned(route.points_b, -towards, math.radians(turn)))
    return FreeRoute(route.mouth_b, route.points_a, points_b)


def _vector(values: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Vector:
    x, y, z = (float(value) for value in values)
    return (x, y, z)
