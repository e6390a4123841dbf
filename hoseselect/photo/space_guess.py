"""Where points that were tapped in two photos lie in space, roughly, and paths along them."""

from __future__ import annotations

import numpy as np

from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.placed_view import PlacedView
from hoseselect.photo.space_path import path_through

POINTS = 45
"""Along the hose in each photo."""

STRAY = 40.0
"""How far two points of one place may be apart in their share of the hose, as if it were [mm]."""


def places_in_space(views: tuple[PlacedView, ...], taps: tuple[Floats, ...]) -> Floats:
    """Return places along a hose: where the looks of both photos pass each other, shape (n, 3).

    The points of one photo are matched to those of the other in their order, by dynamic
    programming, so that the looks pass near each other and both go on evenly.
    """
    lines = [_evenly(one) for one in taps]
    (seat, ways), (other_seat, other_ways) = (
        view.rays(line) for view, line in zip(views, lines, strict=True)
    )
    square = np.cross(ways[:, None], other_ways[None])
    size = np.maximum(np.linalg.norm(square, axis=-1), 1e-9)
    gap = other_seat - seat
    apart = (square @ gap) / size
    share = np.linspace(0, 1, POINTS)
    strays = STRAY * (share[:, None] - share[None])
    match = _in_order(apart**2 + strays**2)
    found = []
    for one, other in match:
        way, other_way = ways[one], other_ways[other]
        sides = np.column_stack([way, -other_way])
        far = np.linalg.lstsq(sides, gap, rcond=None)[0]
        found.append((seat + far[0] * way + other_seat + far[1] * other_way) / 2)
    return np.array(found)


def space_guesses(places: Floats, most_bends: int, radius: float) -> list[Floats]:
    """Return a path for each number of bends, from straight lines through the places.

    Parameters
    ----------
    places : along the hose, shape (n, 3) [mm]
    most_bends : largest number of bends
    radius : greatest radius of bends of a guess [mm]
    """
    count = len(places)
    cost = np.full((count, count), np.inf)
    for first in range(count):
        for last in range(first + 2, count):
            part = places[first : last + 1] - places[first : last + 1].mean(axis=0)
            cost[first, last] = (part**2).sum() - np.linalg.svd(part, compute_uv=False)[0] ** 2
    best, came = cost[0].copy(), []
    guesses = [path_through(places[[0, -1]], radius)]
    for _ in range(most_bends):
        total = best[:, None] + cost
        came.append(total.argmin(axis=0))
        best = total.min(axis=0)
        if not np.isfinite(best[-1]):
            break
        knots = [count - 1]
        for back in reversed(came):
            knots.insert(0, int(back[knots[0]]))
        guesses.append(path_through(places[[0, *knots]], radius))
    return guesses


def _evenly(points: Floats) -> Floats:
    """Return points at even distances along others."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    even = np.linspace(0, along[-1], POINTS)
    return np.column_stack([np.interp(even, along, points[:, axis]) for axis in (0, 1)])


def _in_order(cost: Floats) -> list[tuple[int, int]]:
    """Return the cheapest chain of pairs from both first to both last, forwards in both."""
    count, width = cost.shape
    total = np.full((count + 1, width + 1), np.inf)
    total[0, 0] = 0.0
    for one in range(count):
        for other in range(width):
            before = min(total[one, other], total[one, other + 1], total[one + 1, other])
            total[one + 1, other + 1] = cost[one, other] + before
    one, other, chain = count - 1, width - 1, []
    while one >= 0 and other >= 0:
        chain.append((one, other))
        steps = {
            (one - 1, other - 1): total[one, other],
            (one - 1, other): total[one, other + 1],
            (one, other - 1): total[one + 1, other],
        }
        one, other = min(steps, key=lambda step: float(steps[step]))
    return chain[::-1]
