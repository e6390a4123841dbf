"""Hose through rings at many lengths and positions at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hoseselect.knowledge.errors import SolveError
from hoseselect.mechanics.rod.many import solve_many
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose
from hoseselect.mechanics.rod.ring_descent import descend
from hoseselect.mechanics.rod.ring_search import RingCase, RingSearch
from hoseselect.mechanics.rod.rings import RingShape, at_rest

AGAIN = 6  # from the nearest length that was found


def through_rings_many(cases: Sequence[RingCase]) -> list[RingShape | None]:
    """Return what `through_rings` gives for many cases; None where no shape at rest was found.

    One Newton search for all, from the middle length: each step bends all spans of all cases in
    one stack.

    Parameters
    ----------
    cases : pose, places of the rings and length of each; as many rings in all [mm]
    """
    usable = [k for k, (pose, rings, length) in enumerate(cases) if _slack(pose, rings, length)]
    found: list[RingShape | None] = [None] * len(cases)
    if not usable:
        return found
    middle = cases[sorted(usable, key=lambda k: cases[k][2])[len(usable) // 2]]
    try:
        known, start = at_rest(*middle)
    except SolveError:
        return found
    ways = np.tile(known.base, (len(usable), 1, 1))
    search = RingSearch([cases[k] for k in usable], ways=ways)
    x, good = descend(search, np.tile(start, (len(usable), 1)))
    for _ in range(AGAIN):
        if good.all() or not good.any():
            break
        left, there = np.flatnonzero(good == 0), np.flatnonzero(good)
        near = there[np.abs(search.length[left, None] - search.length[there]).argmin(axis=1)]
        part = RingSearch([cases[usable[k]] for k in left], ways=search.base[near])
        x[left], good[left] = descend(part, x[near])
        search.base[left], search.sides[left] = part.base, part.sides
    spans = search.spans(x)
    shapes = iter(solve_many([case for one in spans for case in one]))
    for row, k in enumerate(usable):
        own = [next(shapes) for _ in spans[row]]
        sure = [shape for shape in own if shape is not None]
        if good[row] and len(sure) == len(own):
            found[k] = RingShape(sure)
    return found


def _slack(pose: Pose, rings: Sequence[Array], length: float) -> bool:
    places = np.vstack([pose.start, *rings, pose.end])
    distances = np.linalg.norm(np.diff(places, axis=0), axis=1)
    return bool(distances.min() > 0 and length > distances.sum())
