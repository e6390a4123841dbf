"""How far a nipple must be turned, and which way, before a hose suits a free route."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from hoseselect.cutplan.bench_words import TURN_STEP, rounded_direction
from hoseselect.cutplan.changed_route import Advice, Need
from hoseselect.cutplan.free_solution import turned
from hoseselect.cutplan.rough_shape import rough_margins
from hoseselect.domain.free_route import FreeRoute, Vector
from hoseselect.judging.columns import Array

LARGEST_TURN = 60.0
TURNS = np.arange(TURN_STEP, LARGEST_TURN + TURN_STEP / 2, TURN_STEP)
TRIES = 3
PROMISING = 0.1  # margin of the rough guess above which a turn is likely to stand errors
MORE = 0.1  # further margin that is wanted after a turn that did not
LESS_TURN = 2e-3  # margin for which one degree more is worth while, where none promises
STRAIGHT_ON = 1e-3


@dataclass(frozen=True, eq=False)
class Turn:
    """A nipple that is turned.

    Parameters
    ----------
    end : "A" or "B"
    way : unit vector towards which it is turned
    name : that way in words; empty where only the new direction says it
    angle : [deg]
    route : with it turned
    """

    end: str
    way: Array
    name: str
    angle: float
    route: FreeRoute

    @property
    def words(self) -> str:
        """What to do."""
        points = self.route.points_a if self.end == "A" else self.route.points_b
        to = "" if not self.name else f" {self.name}"
        where = f", so that it points {rounded_direction(np.array(points))[1]}"
        said = where if self.route.oriented else ""
        return f"turn nipple {self.end} by about {self.angle:.0f} deg{to}{said}"


def turn_advice(route: FreeRoute, need: Need, fit: float = 1.0) -> Advice | None:
    """Return the turn of one nipple that helps; None where none was found.

    Parameters
    ----------
    route : on which a hose does not suit
    need : of the hose
    fit : the best radius of the route over that of its rough guess
    """
    turn = least_turn(route, need, fit)
    return None if turn is None else Advice("turn", turn.words, (turn.route,))


def least_turn(route: FreeRoute, need: Need, fit: float = 1.0) -> Turn | None:
    """Return the least turn of one nipple, in steps, with which a hose suits a route."""
    turns = list(_turns(route))
    if any(clip.along is None for clip in route.clips):
        guess = np.full(len(turns), PROMISING)
    else:
        routes = [turn.route for turn in turns]
        guess = rough_margins(routes, need.radius / fit, need.half)
    angles = np.array([turn.angle for turn in turns])
    asked = PROMISING
    tried: set[int] = set()
    for _ in range(TRIES):
        left = np.array([k not in tried for k in range(len(turns))])
        good = left & (guess >= asked)
        value = np.where(good, -angles, np.where(left, guess - LESS_TURN * angles - 1e3, -np.inf))
        best = int(value.argmax())
        tried.add(best)
        if need.met(turns[best].route):
            return _less(route, turns[best], need)
        asked = max(asked, float(guess[best])) + MORE
    return None


def _less(route: FreeRoute, found: Turn, need: Need) -> Turn:
    """Return the least turn the same way that suits; where all moves, as found."""
    low, high, best = 0, round(found.angle / TURN_STEP), found
    if any(route.movement) or route.rocking is not None:
        return found
    while high - low > 1:
        middle = (low + high) // 2
        less = _turn(route, found.end, found.way, found.name, middle * TURN_STEP)
        if need.met(less.route):
            high, best = middle, less
        else:
            low = middle
    return best


def _turns(route: FreeRoute) -> Iterator[Turn]:
    """Yield turns of both nipples: towards the neighbour, away from it, and to both sides."""
    places = [np.zeros(3), *(np.array(clip.place) for clip in route.clips)]
    places.append(np.array(route.mouth_b))
    for end, points, here, there in (
        ("A", route.points_a, places[0], places[1]),
        ("B", route.points_b, places[-1], places[-2]),
    ):
        towards = _unit(there - here)
        normal = np.cross(points, towards)
        other = "the next clip" if route.clips else "the other one"
        ways = [(towards, f"towards {other}")]
        if np.linalg.norm(normal) > STRAIGHT_ON:
            ways.append((-towards, f"away from {other}"))
        else:
            normal = np.cross(points, np.eye(3)[int(np.abs(points).argmin())])
            across = _unit(np.cross(normal, points))
            ways += [(across, ""), (-across, "")]
        ways += [(way, "") for way in (_unit(normal), -_unit(normal))]
        for way, name in ways:
            if not name and not route.oriented:
                continue
            most = math.degrees(math.acos(float(np.clip(np.dot(points, way), -1, 1))))
            for angle in TURNS[TURNS < most + TURN_STEP]:
                yield _turn(route, end, way, name, min(float(angle), most))


def _turn(route: FreeRoute, end: str, way: Array, name: str, angle: float) -> Turn:
    points = route.points_a if end == "A" else route.points_b
    x, y, z = (float(value) for value in turned(points, way, math.radians(angle)))
    new: Vector = (x, y, z)
    changed = replace(route, points_a=new) if end == "A" else replace(route, points_b=new)
    return Turn(end, way, name, angle, changed)


def _unit(values: Array) -> Array:
    return values / np.linalg.norm(values)
