"""How far a nipple must be turned, and which way, before a hose suits a free route."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from hoseselect.cutplan.bench_words import TURN_STEP, rounded_direction
from hoseselect.cutplan.changed_route import Advice, Need, moves
from hoseselect.cutplan.free_spans import turned
from hoseselect.cutplan.rough_shape import poses_of, solved_margins, with_held_rings
from hoseselect.domain.free_route import FreeRoute, vector
from hoseselect.judging.columns import Array
from hoseselect.mechanics.rod import Pose, unit

LARGEST_TURN = 60.0
HINGES = (10.0, 22.0, 38.0, LARGEST_TURN)  # solved at rest, to read the other turns off
TRIES, TRIES_MOVING = 3, 2
PROMISING = 0.1  # margin at rest above which a turn is likely to stand errors
MORE = 0.08  # further margin that is wanted beyond that of a route that does not
HOPELESS = -0.05  # margin at rest below which nothing is tried
HOPELESS_IN_RINGS = -0.5  # the same where rings, in which the hose turns too, are held for it
STRAIGHT_ON = 1e-3


@dataclass(frozen=True, eq=False)
class Turn:
    """A nipple that is turned.

    Parameters
    ----------
    end : "A" or "B"
    name : the way in words; empty where the new direction says it
    says : the new direction in words
    angle : [deg]
    route : with it turned
    """

    end: str
    name: str
    says: str
    angle: float
    route: FreeRoute

    @property
    def words(self) -> str:
        """What to do."""
        how = f" {self.name}" if self.name else f", so that it points {self.says}"
        return f"turn nipple {self.end} by about {self.angle:.0f} deg{how}"


@dataclass(frozen=True, eq=False)
class Way:
    """A way to turn a nipple: towards a unit vector, by so many degrees at most."""

    end: str
    towards: Array
    name: str
    most: float


def turn_advice(route: FreeRoute, need: Need, best_radius: float) -> Advice | None:
    """Return the turn of one nipple that helps; None where none was found.

    Parameters
    ----------
    route : on which a hose does not suit
    need : of the hose
    best_radius : that the route allows [mm]
    """
    turn = least_turn(route, need, best_radius)
    return None if turn is None else Advice("turn", turn.words, (turn.route,))


def least_turn(route: FreeRoute, need: Need, best_radius: float) -> Turn | None:
    """Return the least turn of one nipple, in steps, with which a hose suits a route."""
    bare, guesses = _guesses(route, need, best_radius)
    asked = max(PROMISING, bare + MORE)
    hopeless = HOPELESS_IN_RINGS if any(clip.along is None for clip in route.clips) else HOPELESS
    for _ in range(TRIES_MOVING if moves(route) else TRIES):
        enough = [one for one in guesses if one[0] >= asked]
        if enough:
            found = min(enough, key=lambda one: one[2])
        else:
            found = max(guesses, key=lambda one: one[0], default=(-1.0, None, 0.0))
        margin, way, angle = found
        if way is None or margin < hopeless:
            return None
        turn = _turn(route, way, angle)
        if need.met(turn.route):
            return _less(route, way, turn, need)
        guesses.remove(found)
        asked = max(asked, margin) + MORE
    return None


def _guesses(route: FreeRoute, need: Need, best_radius: float) -> tuple[float, list[Guess]]:
    """Return the margin at rest of a route and of every turn, read off between solved ones."""
    ways, still = list(_ways(route)), with_held_rings(route)
    first, last = _ends(still)
    poses = [_pose(_turn(still, way, hinge).route, way.end) for way in ways for hinge in HINGES]
    solved = solved_margins([first, last, *poses], route, need.radius, need.half)
    allowed, reached = best_radius / need.radius, 1.0 + min(solved[:2])
    fit = allowed / reached if allowed < reached else 1.0
    solved = np.minimum(solved, (1.0 + solved) * fit - 1.0)
    found: list[Guess] = []
    for number, way in enumerate(ways):
        bare = solved[0 if way.end == "A" else 1]
        own = solved[2 + len(HINGES) * number :][: len(HINGES)]
        for angle in _angles(way):
            margin = float(np.interp(angle, (0.0, *HINGES), (bare, *own)))
            if way.name or _turn(route, way, angle).angle > LEAST_SHARE * TURN_STEP:
                found.append((margin, way, angle))
    return float(min(solved[:2])), found


LEAST_SHARE = 0.8  # of a step: a turn that is rounded to less is none
Guess = tuple[float, Way | None, float]


def _angles(way: Way) -> list[float]:
    """Return the turns of a way, in steps."""
    steps = np.arange(TURN_STEP, LARGEST_TURN + TURN_STEP / 2, TURN_STEP)
    return [min(float(angle), way.most) for angle in steps if angle < way.most + TURN_STEP]


def _ends(route: FreeRoute) -> tuple[Pose, Pose]:
    """Return the first and the last span at rest."""
    poses = poses_of(route)
    return poses[0], poses[-1]


def _pose(route: FreeRoute, end: str) -> Pose:
    """Return the span at one nipple at rest."""
    return _ends(route)[0 if end == "A" else 1]


def _less(route: FreeRoute, way: Way, found: Turn, need: Need) -> Turn:
    """Return the least turn the same way that suits; where all moves, as found."""
    if moves(route):
        return found

    def turn(steps: int) -> Turn:
        return _turn(route, way, steps * TURN_STEP)

    fewer = range(1, math.ceil(found.angle / TURN_STEP))
    place = bisect_left(fewer, True, key=lambda steps: need.met(turn(steps).route))
    return turn(fewer[place]) if place < len(fewer) else found


def _ways(route: FreeRoute) -> Iterator[Way]:
    """Yield ways to turn both nipples: towards the neighbour, away from it, and to both sides."""
    places = [np.zeros(3), *(np.array(clip.place) for clip in route.clips)]
    places.append(np.array(route.mouth_b))
    for end, points, here, there in (
        ("A", route.points_a, places[0], places[1]),
        ("B", route.points_b, places[-1], places[-2]),
    ):
        towards = unit(there - here)
        other = "the next clip" if route.clips else "the other one"
        normal = np.cross(points, towards)
        ways = []
        if np.linalg.norm(normal) > STRAIGHT_ON:
            ways += [(towards, f"towards {other}"), (-towards, f"away from {other}")]
        else:
            normal = np.cross(points, np.eye(3)[int(np.abs(points).argmin())])
            across = unit(np.cross(normal, points))
            ways += [(across, ""), (-across, "")]
        ways += [(unit(normal), ""), (-unit(normal), "")]
        for way, name in ways:
            if name or route.oriented:
                most = math.degrees(math.acos(float(np.clip(np.dot(points, way), -1, 1))))
                yield Way(end, way, name, most)


def _turn(route: FreeRoute, way: Way, angle: float) -> Turn:
    """Return a turn; one whose way has no name ends in a direction that words can say."""
    points = route.points_a if way.end == "A" else route.points_b
    new = turned(points, way.towards, math.radians(angle))
    says = ""
    if not way.name:
        direction, says = rounded_direction(new)
        new = np.array(direction)
        angle = math.degrees(math.acos(float(np.clip(new @ points, -1, 1))))
    points = vector(new)
    at_a = way.end == "A"
    changed = replace(route, points_a=points) if at_a else replace(route, points_b=points)
    return Turn(way.end, way.name, says, angle, changed)
