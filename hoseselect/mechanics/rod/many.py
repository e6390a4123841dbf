"""Shapes of many poses and lengths, solved in stacks instead of one by one; other ways to lie."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hoseselect.knowledge.errors import SolveError
from hoseselect.mechanics.rod.newton import Equilibria, of, relax
from hoseselect.mechanics.rod.nodes import nodes
from hoseselect.mechanics.rod.pose import Pose
from hoseselect.mechanics.rod.seed import hermite, six_seeds
from hoseselect.mechanics.rod.shape import Shape
from hoseselect.mechanics.rod.solve import FIRST, check_length, finish, scaled, solve
from hoseselect.mechanics.rod.sweep import GOOD_SPREAD
from hoseselect.mechanics.rod.tightest import tightest

FEWER = 16  # intervals with which other shapes are looked for, more where one does not settle
SAME_TANGENT = 1e-2  # tangents nearer than this are those of one shape
FAMILY = 1e-5  # an eigenvalue nearer to 0 than this means a shape that turns freely

Case = tuple[Pose, float]


def solve_many(cases: Sequence[Case]) -> list[Shape | None]:
    """Return what `solve` gives for pairs of pose and length; None where it refuses.

    Parameters
    ----------
    cases : pose and length between the nipple tips [mm]
    """
    found: list[Shape | None] = [None] * len(cases)
    stacked = []
    for number, (pose, length) in enumerate(cases):
        try:
            check_length(pose, length)
            if pose.straight:
                found[number] = solve(pose, length)
            else:
                stacked.append(number)
        except SolveError:
            continue
    if not stacked:
        return found
    chord = np.array([cases[k][0].chord / cases[k][1] for k in stacked])
    start = np.array([cases[k][0].start_direction for k in stacked])
    end = np.array([cases[k][0].end_direction for k in stacked])
    at = nodes(FIRST)
    stack = relax(at, hermite(at, start, end, chord), chord, np.zeros_like(chord))
    finished = _all_finished([cases[k] for k in stacked], stack)
    for number, shape in zip(stacked, finished, strict=True):
        found[number] = shape
    return found


def others_many(cases: Sequence[Case], first: Sequence[Shape]) -> list[tuple[Shape, ...]]:
    """Return the other stable shapes of pairs of pose and length, mirror images included.

    Parameters
    ----------
    cases : pose and length between the nipple tips [mm]
    first : the shape already known of each
    """
    bent = [k for k, shape in enumerate(first) if np.isfinite(shape.tightest_radius)]
    others: list[tuple[Shape, ...]] = [()] * len(cases)
    for intervals in (FEWER, FIRST):
        lost = []
        for k, stack in zip(bent, _seeded([cases[k] for k in bent], intervals), strict=True):
            if intervals == FEWER and not stack.settled.all():
                lost.append(k)
            else:
                rows = np.flatnonzero(stack.settled).tolist()
                others[k] = _distinct(cases[k], first[k], stack, rows)
        bent = lost
    return others


def _seeded(cases: Sequence[Case], intervals: int) -> list[Equilibria]:
    """Return what the guesses of each case relax to, solved in one stack."""
    if not cases:
        return []
    at = nodes(intervals)
    guesses, chords = [], []
    for pose, length in cases:
        chord = pose.chord / length
        guess = six_seeds(at, pose.start_direction, pose.end_direction, chord)
        guesses.append(guess)
        chords.append(np.tile(chord, (len(guess), 1)))
    many, each = np.concatenate(chords), len(guesses[0])
    stack = relax(at, np.concatenate(guesses), many, np.zeros_like(many))
    return [of(stack, slice(k * each, (k + 1) * each)) for k in range(len(cases))]


def same(one: Shape, other: Shape) -> bool:
    """Whether two shapes of one pose and length are the same, or turn into each other freely."""
    gap = np.abs(one.tangents_at() - other.tangents_at()).max()
    if gap < SAME_TANGENT:
        return True
    free = abs(one.diagnostics.smallest_eigenvalue) < FAMILY
    return free and abs(one.energy - other.energy) < 1e-6 * one.energy


def _distinct(case: Case, first: Shape, stack: Equilibria, rows: list[int]) -> tuple[Shape, ...]:
    """Return the shapes of some rows of a stack that differ from the first and from each other."""
    found: list[Shape] = [first]
    kept: list[int] = []
    for row in rows:
        tangent = stack.tangent[row]
        if not any(np.abs(tangent - stack.tangent[one]).max() < SAME_TANGENT for one in kept):
            kept.append(row)
    for other in _all_finished([case] * len(kept), of(stack, kept)):
        if other is not None and not any(same(other, one) for one in found):
            found.append(other)
    return tuple(sorted(found[1:], key=lambda shape: shape.energy))


def _all_finished(cases: Sequence[Case], stack: Equilibria) -> list[Shape | None]:
    """Return the shapes of a stack with as many nodes as they need; None where not certain."""
    if not len(cases):
        return []
    spot = tightest(stack)
    good = stack.settled & (spot.spread < GOOD_SPREAD)
    ready = scaled(cases, stack, spot, 0.0)
    return [
        shape if fine else _finished(case, stack, row)
        for row, (case, shape, fine) in enumerate(zip(cases, ready, good.tolist(), strict=True))
    ]


def _finished(case: Case, stack: Equilibria, row: int) -> Shape | None:
    """Return one shape of a stack with as many nodes as it needs; None where it is not certain."""
    try:
        return finish(*case, of(stack, [row]), 0.0)
    except SolveError:
        return None
