"""A first guess of straights and arcs along points, for each number of bends.

Every stretch of points is held against a straight line and against a circle; the cheapest chain
of straights and arcs with a given number of arcs is then found by dynamic programming, as
Bellman, On the approximation of curves by line segments using dynamic programming, Communications
of the ACM 4(6), 1961, has it for straight lines.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from hoseselect.mechanics.arrays import Floats

MOST_POINTS = 60
"""Points that are looked at; more are thinned out."""

LEAST_ON_ARC = 3
STRAIGHT, ARC = 0, 1
LEAST_TURN = 1e-3


class Stretch(NamedTuple):
    """A stretch of points: its kind, and the numbers of its first and last point."""

    kind: int
    first: int
    last: int


class Guess(NamedTuple):
    """A guess: the figures of a path, and the squares of the points off their stretches [mm2]."""

    path: Floats
    squares: float


def first_guesses(points: Floats, most_bends: int, clear: float) -> list[Guess]:
    """Return a guess for each number of bends from none, as far as points suffice.

    Parameters
    ----------
    points : along the hose, shape (points, 2) [mm]
    most_bends : largest number of bends
    clear : distance from which the direction between points is clear of their scatter; nearer
        points are looked at as one [mm]

    Returns
    -------
    guesses, their paths as `path.py` describes them; the squares are no more than those of a path
    """
    given = len(points)
    points = _gathered(points, max(clear, _length(points) / MOST_POINTS))
    most_bends = min(most_bends, (len(points) - 1) // 2)
    straight, circle, centres = _costs(points)
    share = given / len(points)
    return [
        Guess(_path(points, stretches, centres), share * squares)
        for stretches, squares in _chains(straight, circle, most_bends)
        if stretches
    ]


def _length(points: Floats) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def _gathered(points: Floats, clear: float) -> Floats:
    """Return points with those that lie near each other gathered in their middle; ends stay."""
    groups: list[list[int]] = [[0]]
    for number in range(1, len(points) - 1):
        first = points[groups[-1][0]]
        near = np.hypot(*(points[number] - first)) < clear
        if near and groups[-1] != [0]:
            groups[-1].append(number)
        else:
            groups.append([number])
    groups.append([len(points) - 1])
    return np.array([points[group].mean(axis=0) for group in groups])


def _costs(points: Floats) -> tuple[Floats, Floats, Floats]:
    """Return squares off a straight line and off a circle, and its centre, of every stretch."""
    count = len(points)
    order = np.arange(count)
    inside = (order >= order[:, None, None]) & (order <= order[None, :, None])
    weights = inside.astype(np.float64)
    number = np.maximum(weights.sum(axis=2), 1.0)
    middle = weights @ points / number[..., None]
    x = (points[:, 0] - middle[..., 0, None]) * weights
    y = (points[:, 1] - middle[..., 1, None]) * weights
    xx, xy, yy = (x * x).sum(-1), (x * y).sum(-1), (y * y).sum(-1)
    straight = (xx + yy) / 2 - np.sqrt(((xx - yy) / 2) ** 2 + xy**2)
    square = x * x + y * y
    right, left = (x * square).sum(-1) / 2, (y * square).sum(-1) / 2
    flat = xx * yy - xy * xy
    firm = flat > 1e-9 * (xx + yy + 1e-12) ** 2
    safe = np.where(firm, flat, 1.0)
    across, up = (yy * right - xy * left) / safe, (xx * left - xy * right) / safe
    radius = np.sqrt(across**2 + up**2 + (xx + yy) / number)
    far = np.hypot(x - across[..., None], y - up[..., None])
    circle = (((far - radius[..., None]) * weights) ** 2).sum(-1)
    size = order[None, :] - order[:, None] + 1
    circle = np.where(firm & (size >= LEAST_ON_ARC), circle, np.inf)
    straight = np.where(size >= 2, np.maximum(straight, 0.0), np.inf)
    return straight, circle, middle + np.stack([across, up], axis=-1)


def _chains(straight: Floats, circle: Floats, most: int) -> list[tuple[list[Stretch], float]]:
    """Return the cheapest chain of stretches and its cost for each number of arcs."""
    count = len(straight)
    best = np.full((most + 1, 2, count), np.inf)
    best[0, STRAIGHT, 0] = best[0, ARC, 0] = 0.0
    came = np.zeros((most + 1, 2, count, 2), dtype=np.intp)
    numbers = np.arange(most + 1)
    for last in range(1, count):
        behind_arc = best[:, ARC, :last] + straight[:last, last]
        from_arc = behind_arc.argmin(axis=1)
        best[:, STRAIGHT, last] = behind_arc[numbers, from_arc]
        came[:, STRAIGHT, last, 0], came[:, STRAIGHT, last, 1] = from_arc, ARC
        kind = best[:-1, :, :last].argmin(axis=1)
        behind_any = best[:-1, :, :last].min(axis=1) + circle[:last, last]
        from_any = behind_any.argmin(axis=1)
        best[1:, ARC, last] = behind_any[numbers[:-1], from_any]
        came[1:, ARC, last, 0] = from_any
        came[1:, ARC, last, 1] = kind[numbers[:-1], from_any]
    found = []
    for number in range(most + 1):
        kind, last, left = int(best[number, :, -1].argmin()), count - 1, number
        chain: list[Stretch] = []
        if np.isfinite(best[number, kind, -1]):
            while last > 0:
                first, before = came[left, kind, last]
                chain.insert(0, Stretch(kind, int(first), last))
                left -= kind == ARC
                kind, last = int(before), int(first)
        found.append((chain, float(best[number, :, -1].min())))
    return found


def _path(points: Floats, stretches: list[Stretch], centres: Floats) -> Floats:
    """Return the path that a chain of stretches means, roughly."""
    sweeps = [_sweep(points[one.first : one.last + 1], centres[one[1:]]) for one in stretches]
    joints = []
    for number in range(len(stretches) + 1):
        beside = range(max(number - 1, 0), min(number + 1, len(stretches)))
        straight = [place for place in beside if stretches[place].kind == STRAIGHT]
        place = straight[0] if straight else beside[-1]
        _, first, last = stretches[place]
        if straight:
            ahead = points[last] - points[first]
        else:
            out = points[last if number > place else first] - centres[first, last]
            ahead = np.array([-out[1], out[0]]) * np.sign(sweeps[place])
        joints.append(float(np.arctan2(ahead[1], ahead[0])))
    figures, open_straight = [*points[0], joints[0]], 0.0
    for number, (kind, first, last) in enumerate(stretches):
        if kind == STRAIGHT:
            open_straight = float(np.linalg.norm(points[last] - points[first]))
            continue
        turn = joints[number + 1] - joints[number]
        turn += 2 * np.pi * np.round((sweeps[number] - turn) / (2 * np.pi))
        radius = float(np.linalg.norm(points[first] - centres[first, last]))
        figures += [open_straight, turn or LEAST_TURN, float(np.log(radius))]
        open_straight = 0.0
    return np.array([*figures, open_straight])


def _sweep(points: Floats, centre: Floats) -> float:
    """Return the angle through which points go round a centre, left positive [rad]."""
    out = points - centre
    cross = out[:-1, 0] * out[1:, 1] - out[:-1, 1] * out[1:, 0]
    return float(np.arctan2(cross, (out[:-1] * out[1:]).sum(axis=1)).sum())
