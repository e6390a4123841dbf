"""How far a nipple must be turned before a free route suits a least bend radius."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from hoseselect.cutplan.free_solution import FreeSolution, turned
from hoseselect.cutplan.size_plan import with_room
from hoseselect.domain.free_route import FreeRoute, Vector
from hoseselect.judging.columns import Array
from hoseselect.knowledge.errors import HoseselectError
from hoseselect.knowledge.load import limit

LARGEST_TURN = 60.0
FIRST_TURNS = (7.5, 15.0, 22.5, 30.0, 45.0, LARGEST_TURN)
ROUNDS = 4
STILL: Vector = (0.0, 0.0, 0.0)


def least_turn(
    route: FreeRoute, radius: float, engagements: float = math.nan
) -> tuple[str, float] | None:
    """Return the nipple and the least turn towards the other nipple that lets a radius pass.

    It passes where a cut with its tolerance fits into the window, at rest and at all extremes.

    Parameters
    ----------
    route : on which the radius does not pass
    radius : least bend radius [mm]
    engagements : on both nipples together, for the tolerance of the cut; NaN the usual ones [mm]

    Returns
    -------
    "A" or "B" and the turn [deg], whole degrees; None where no turn helps
    """
    ends = 2 * limit("engagement-large") if math.isnan(engagements) else engagements
    found: list[tuple[float, str]] = []
    for end in ("A", "B"):
        turn = _least(route, radius, end, ends, min((t for t, _ in found), default=math.inf))
        if turn is not None:
            found.append((turn, end))
    if not found:
        return None
    turn, end = min(found)
    return end, turn


def _least(route: FreeRoute, radius: float, end: str, ends: float, beaten: float) -> float | None:
    """Return the least turn of one nipple; None where none suits, or the other's is less."""
    low = 0.0
    for first in FIRST_TURNS:
        if low >= beaten:
            return None
        if _suits(route, radius, end, ends, first):
            high = first
            for _ in range(ROUNDS):
                middle = (low + high) / 2
                if _suits(route, radius, end, ends, middle):
                    high = middle
                else:
                    low = middle
            return math.ceil(high)
        low = first
    return None


def _suits(route: FreeRoute, radius: float, end: str, ends: float, turn: float) -> bool:
    """Return whether a cut fits after a turn; what fails at rest is not tried with movement."""
    turned_route = _turned(route, end, turn)
    tries = [replace(turned_route, movement=STILL, rocking=None)]
    if any(route.movement) or route.rocking is not None:
        tries.append(turned_route)
    try:
        return all(
            with_room(
                [span[0] for span in FreeSolution(one, radius).windows(np.array([radius]))], ends
            )
            for one in tries
        )
    except HoseselectError:
        return False


def _turned(route: FreeRoute, end: str, turn: float) -> FreeRoute:
    """Return the route with one nipple turned towards its neighbour: a clip or the other mouth."""
    places = [STILL, *(clip.place for clip in route.clips), route.mouth_b]
    if end == "A":
        towards = np.subtract(places[1], places[0])
        direction = turned(route.points_a, _unit(towards), math.radians(turn))
        return replace(route, points_a=_vector(direction))
    towards = np.subtract(places[-2], places[-1])
    direction = turned(route.points_b, _unit(towards), math.radians(turn))
    return replace(route, points_b=_vector(direction))


def _unit(values: Array) -> Array:
    return values / np.linalg.norm(values)


def _vector(values: Array) -> Vector:
    x, y, z = (float(value) for value in values)
    return (x, y, z)
