"""The other stable shapes of a hose through rings: it lies in whichever it is put into."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from hoseselect.mechanics.rod.many import solve_many
from hoseselect.mechanics.rod.newton import Equilibria, of
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.ring_descent import SOFTEST, descend
from hoseselect.mechanics.rod.ring_search import Mask, RingCase, RingSearch
from hoseselect.mechanics.rod.rings import RingShape

LONGER = 4.0  # by whose power a span begins with more of the spare length
TURN = 0.8  # of the hose in all rings to one side, to begin with
ROUNDS = 24  # of a search: one that takes longer mostly comes to no rest
FEW = 4  # rings, up to which longer spans are turned too: with more it takes too long
SAME = 0.02  # of directions in the rings, and of lengths over the whole: no other shape
ALIKE = 1e-6  # of the energy: a shape that turns freely is one shape


def others_through_rings(
    cases: Sequence[RingCase], first: Sequence[RingShape]
) -> list[tuple[RingShape, ...]]:
    """Return the other stable shapes of many cases, as far as the guesses lead to them: not all.

    Each is searched from most of the spare length in each span in turn, and from the hose turned to
    each side in the rings, through few rings from both at once; mirror images are other shapes. Of
    a shape of which not every span is certain the others are told.

    Parameters
    ----------
    cases : pose, places of the rings and length of each; as many rings in all [mm]
    first : the shape already known of each
    """
    if not cases:
        return []
    begun = [
        (number, start)
        for number, case in enumerate(cases)
        for start in _starts(RingSearch([case]))
    ]
    owner = np.array([number for number, _ in begun])
    search = RingSearch([cases[number] for number, _ in begun])
    x, good = descend(search, np.array([start for _, start in begun]), ROUNDS)
    energy, relaxed = search.relaxed(x, np.arange(len(x)))
    features, soft = _features(search, x), _turns_freely(search, x, good, relaxed)
    kept: list[int] = []
    for number, known_shape in enumerate(first):
        known = [(_features_of(known_shape), known_shape.energy * cases[number][2])]
        for row in np.flatnonzero(good & (owner == number)).tolist():
            one = features[row], float(energy[row])
            if not any(_same(one, other, free=bool(soft[row])) for other in known):
                known.append(one)
                kept.append(row)
    spans = search.spans(x)
    shapes = iter(solve_many([span for row in kept for span in spans[row]]))
    found: list[list[RingShape]] = [[] for _ in cases]
    for row in kept:
        sure = [shape for _ in spans[row] if (shape := next(shapes)) is not None]
        if sure:
            found[owner[row]].append(RingShape(sure))
    return [tuple(sorted(own, key=lambda shape: shape.energy)) for own in found]


def _starts(search: RingSearch) -> Iterator[Array]:
    """Yield unknowns of one case from which another shape may be reached, (3 R,) each."""
    (plain,), turns = search.guess(), 2 * search.count
    begun = []
    for span in range(search.count + 1):
        longer = plain.copy()
        if span < search.count:
            longer[turns + span] += LONGER
        else:
            longer[turns:] -= LONGER
        begun.append(longer)
    yield from begun
    for start in (plain, *(begun if search.count <= FEW else ())):
        for side in range(2):
            for turn in (TURN, -TURN):
                turned = start.copy()
                turned[side:turns:2] += turn
                yield turned


def _features(search: RingSearch, x: Array) -> Array:
    """Directions in the rings and lengths over the whole, by which shapes differ, (C, m)."""
    _, ways, _, lengths = search.unpack(x, np.arange(len(x)))
    share = lengths / search.length[:, None]
    return np.concatenate([ways[:, 1:-1].reshape(len(x), -1), share], axis=1)


def _features_of(shape: RingShape) -> Array:
    lengths = np.array([span.length for span in shape.shapes])
    ways = [span.tangents[-1] for span in shape.shapes[:-1]]
    return np.concatenate([*ways, lengths / lengths.sum()])


def _turns_freely(search: RingSearch, x: Array, good: Mask, shapes: Equilibria) -> Mask:
    """Return which cases at rest, with the spans of all, give way without any force, (C,)."""
    rows = np.flatnonzero(good)
    free = np.zeros(len(x), dtype=bool)
    if len(rows):
        own = of(shapes, search.within(rows))
        value = np.linalg.eigvalsh(search.derivatives(x[rows], rows, own)[1])
        free[rows] = value[:, 0] < 10.0 * SOFTEST * np.abs(value).max(axis=1)
    return free


def _same(one: tuple[Array, float], other: tuple[Array, float], *, free: bool) -> bool:
    """Return whether two shapes, by features and energy, are one."""
    if float(np.abs(one[0] - other[0]).max()) < SAME:
        return True
    return free and abs(one[1] - other[1]) < ALIKE * one[1]
