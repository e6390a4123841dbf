"""Where a clip must hold the hose, and which way it runs there, before it suits a free route."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from hoseselect.cutplan.bench_words import place_words, rounded_direction, rounded_place
from hoseselect.cutplan.changed_route import Advice, Need, at_rest, moves
from hoseselect.cutplan.free_lie import Lie
from hoseselect.cutplan.rough_shape import poses_of, rough_margins, solved_margins
from hoseselect.domain.free_route import Clip, FreeRoute, Vector
from hoseselect.judging.columns import Array
from hoseselect.mechanics.rod import unit

SHARES = (0.2, 0.33, 0.5, 0.67, 0.8)  # of the length of a span, at which clips are tried
STEPS = (0.0, 0.05, 0.12, 0.22, 0.35)  # of the distance, by which they are moved aside
AROUND = np.arange(8) * np.pi / 4  # sides to which they are moved
TILTS = (0.35, 0.7)  # of the hose there, as slope
FEW, SOLVED, TRIES, TRIES_MOVING = 80, 12, 3, 2
HOPELESS = -0.1  # margin at rest below which nothing is tried
APART = 0.1  # of the distance: a place nearer to one that failed is not tried
NEAR_END = 25.0  # mm: no clip nearer to a nipple


@dataclass(frozen=True, eq=False)
class ClipPlace:
    """A clip that is added: the route with it, its number there, its direction in words."""

    route: FreeRoute
    number: int
    runs: str

    @property
    def clip(self) -> Clip:
        """The clip itself."""
        return self.route.clips[self.number]


def clip_advice(route: FreeRoute, lie: Lie | None, need: Need) -> Advice | None:
    """Return where a clip helps; None where none was found, or up is not known.

    Parameters
    ----------
    route : on which a hose does not suit
    lie : how it lies best, near which places are looked for
    need : of the hose
    """
    if lie is None or not route.oriented or any(clip.along is None for clip in route.clips):
        return None
    for one in _promising(route, lie, need):
        if need.met(one.route):
            return Advice("clip", _words(one, need.units), (one.route,))
    return None


def _promising(route: FreeRoute, lie: Lie, need: Need) -> list[ClipPlace]:
    """Return the places that are most likely to help, best first."""
    places = _places(route, lie)
    guess = rough_margins([at_rest(one.route) for one in places], need.radius, need.half)
    few = np.argsort(-guess, kind="stable")[:FEW]
    best, still = [places[k] for k in few], guess[few]
    if moves(route):
        if route.mouth_moves:
            best, still = best + [_moving(one) for one in best], np.tile(still, 2)
        guess = rough_margins([one.route for one in best], need.radius, need.half)
    else:
        guess = still
    apart = APART * float(np.linalg.norm(route.mouth_b))
    kept: list[int] = []
    for k in np.argsort(-guess, kind="stable").tolist():
        if not any(_alike(best[k], best[other], apart) for other in kept):
            kept.append(k)
        if len(kept) == SOLVED:
            break
    poses = [pose for k in kept for pose in poses_of(best[k].route)]
    solved = solved_margins(poses, route, need.radius, need.half).reshape(len(kept), -1).min(axis=1)
    solved += guess[kept] - still[kept]
    tries = TRIES_MOVING if moves(route) else TRIES
    order = np.argsort(-solved, kind="stable")[:tries]
    return [best[kept[k]] for k in order if solved[k] > HOPELESS]


def _alike(one: ClipPlace, other: ClipPlace, apart: float) -> bool:
    """Return whether two places are next to each other on the same body."""
    away = np.subtract(one.clip.place, other.clip.place)
    return one.clip.moves == other.clip.moves and float(np.linalg.norm(away)) < apart


def _places(route: FreeRoute, lie: Lie) -> list[ClipPlace]:
    """Return clips along the hose and beside it, on whole steps of tape and angle."""
    distance = float(np.linalg.norm(route.mouth_b))
    found: dict[tuple[int, Vector, Vector], str] = {}
    ends = [np.zeros(3), np.array(route.mouth_b)]
    for number, shape in enumerate(lie.at_rest):
        line = shape.centreline(SAMPLES)
        ways = np.gradient(line, axis=0)
        ways /= np.linalg.norm(ways, axis=1)[:, None]
        for share in SHARES:
            at = round(share * (SAMPLES - 1))
            side, other = _square(ways[at])
            sides = [np.cos(a) * side + np.sin(a) * other for a in AROUND]
            runs = [ways[at]] + [ways[at] + t * one for t in TILTS for one in sides[::2]]
            said = [rounded_direction(unit(one)) for one in runs]
            for step in STEPS:
                for one in sides if step else sides[:1]:
                    place = rounded_place(line[at] + step * distance * one)
                    if min(np.linalg.norm(end - place) for end in ends) < NEAR_END:
                        continue
                    found |= {(number, place, along): words for along, words in said}
    return [
        ClipPlace(_with(route, number, Clip(place, along)), number, words)
        for (number, place, along), words in found.items()
    ]


SAMPLES = 61


def _square(along: Array) -> tuple[Array, Array]:
    """Return two directions square to one and to each other."""
    side = np.cross(along, np.eye(3)[int(np.abs(along).argmin())])
    side /= np.linalg.norm(side)
    return side, np.cross(along, side)


def _with(route: FreeRoute, number: int, clip: Clip) -> FreeRoute:
    """Return a route with one more clip."""
    return replace(route, clips=(*route.clips[:number], clip, *route.clips[number:]))


def _moving(one: ClipPlace) -> ClipPlace:
    """Return the same clip on what nipple B sits on."""
    clips = list(one.route.clips)
    clips[one.number] = replace(one.clip, moves=True)
    return replace(one, route=replace(one.route, clips=tuple(clips)))


def _words(one: ClipPlace, units: str) -> str:
    """Return where the clip sits and which way the hose runs in it."""
    route = one.route
    sits = ""
    if moves(route):
        sits = f", fixed to what nipple {'B' if one.clip.moves else 'A'} sits on"
    return (
        f"a clip that holds the hose {place_words(one.clip.place, units)} of nipple A's mouth"
        f"{sits}, the hose running {one.runs} there"
    )
