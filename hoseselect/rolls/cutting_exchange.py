"""Better plans by exchange: two rolls share their pieces anew, as long as it helps."""

from __future__ import annotations

from itertools import combinations_with_replacement
from operator import add, sub
from time import monotonic

import numpy as np

from hoseselect.rolls.cutting_patterns import (
    CuttingProblem,
    Pattern,
    Solution,
    pieces_for,
    sums_of,
)

Score = tuple[int, int, int, int]
"""New rolls, waste, rolls, and (negative) squares of what is left over: smaller is better."""


def exchange(problem: CuttingProblem, solution: Solution, until: float) -> Solution:
    """Let pairs of rolls share their pieces anew until no pair gains, or the time is up.

    Every change lowers new rolls, waste or rolls opened in this order, or gathers what is left
    over on fewer rolls, so the search ends.

    Parameters
    ----------
    problem : pieces wanted and rolls in stock
    solution : plan to start from
    until : when to stop at the latest, on the monotonic clock [s]

    Returns
    -------
    plan that is worth at least as much
    """
    fruitless: set[tuple[Pattern, Pattern]] = set()
    while monotonic() < until:
        before = solution
        solution = _one_round(problem, _with_missing(problem, solution), fruitless, until)
        if solution == before:
            break
    return solution


def _one_round(
    problem: CuttingProblem,
    solution: Solution,
    fruitless: set[tuple[Pattern, Pattern]],
    until: float,
) -> Solution:
    """Try every pair of rolls once; a roll not opened counts as an empty one."""
    solution = Solution(solution)
    for first, second in combinations_with_replacement(_with_empty(problem, solution), 2):
        if monotonic() >= until:
            break
        if (first, second) in fruitless or (first == second and solution[first] < 2):
            continue
        if not all(_there(problem, solution, pattern) for pattern in (first, second)):
            continue
        shared = _shared(problem, first, second)
        if shared == (first, second):
            fruitless.add(shared)
        else:
            solution.subtract(pattern for pattern in (first, second) if any(pattern.pieces))
            solution.update(pattern for pattern in shared if any(pattern.pieces))
            solution = +solution
    return solution


def _with_empty(problem: CuttingProblem, solution: Solution) -> list[Pattern]:
    """Patterns of a plan and an empty one for each kind with a roll left in stock."""
    nothing = (0,) * len(problem.widths)
    empty = [Pattern(kind, nothing) for kind in range(len(problem.supply))]
    return [*solution, *(one for one in empty if _there(problem, solution, one))]


def _there(problem: CuttingProblem, solution: Solution, pattern: Pattern) -> bool:
    """Whether a roll with this pattern is at hand."""
    if any(pattern.pieces):
        return solution[pattern] > 0
    opened = sum(times for other, times in solution.items() if other.kind == pattern.kind)
    return opened < problem.supply[pattern.kind]


def _shared(problem: CuttingProblem, first: Pattern, second: Pattern) -> tuple[Pattern, Pattern]:
    """Share the pieces of two rolls in the best way."""
    union = tuple(map(add, first.pieces, second.pieces))
    total = problem.used(union)
    if total == 0:
        return first, second
    reach, layers = sums_of(problem, union, min(total, problem.most[first.kind]))
    bits = np.frombuffer(reach.to_bytes((reach.bit_length() + 7) // 8, "little"), dtype=np.uint8)
    sums = np.flatnonzero(np.unpackbits(bits, bitorder="little"))
    sums = sums[total - sums <= problem.most[second.kind]]
    best, used = _score(problem, first, second, problem.used(first.pieces), total), -1
    for candidate in _likely(problem, first, second, sums, total):
        score = _score(problem, first, second, candidate, total)
        if score < best:
            best, used = score, candidate
    if used < 0:
        return first, second
    pieces = pieces_for(problem, layers, used)
    rest = tuple(map(sub, union, pieces))
    return Pattern(first.kind, pieces), Pattern(second.kind, rest)


def _likely(
    problem: CuttingProblem,
    first: Pattern,
    second: Pattern,
    sums: np.typing.NDArray[np.intp],
    total: int,
) -> list[int]:
    """Sums among which the best one is: the ends, and the ends of where a remnant is kept."""
    marks = [0, problem.most[first.kind], total - problem.most[second.kind], total]
    if np.isfinite(problem.worth_keeping):
        keep = int(problem.worth_keeping)
        marks.append((problem.lengths[first.kind] - keep) // problem.step)
        marks.append(total - (problem.lengths[second.kind] - keep) // problem.step)
    likely: set[int] = set()
    for place in np.searchsorted(sums, marks):
        likely.update(int(one) for one in sums[max(0, place - 1) : place + 2])
    return sorted(likely)


def _score(
    problem: CuttingProblem, first: Pattern, second: Pattern, used: int, total: int
) -> Score:
    """What two rolls are worth when `used` of the steps are cut from the first one."""
    new = waste = rolls = squares = 0
    for kind, part in ((first.kind, used), (second.kind, total - used)):
        opened = part > 0
        new += opened and problem.new[kind]
        waste += problem.waste(kind, part)
        rolls += opened
        squares += problem.left_over(kind, part) ** 2
    return new, waste, rolls, -squares


def _with_missing(problem: CuttingProblem, solution: Solution) -> Solution:
    """Cut missing pieces, narrow ones first, from the longest that is left over."""
    left = problem.missing(solution)
    if not any(left):
        return solution
    solution = Solution(solution)
    rolls = _with_empty(problem, solution)
    rolls.sort(key=lambda one: problem.used(one.pieces) - problem.most[one.kind])
    for pattern in rolls:
        if not _there(problem, solution, pattern):
            continue
        space = problem.most[pattern.kind] - problem.used(pattern.pieces)
        pieces = list(pattern.pieces)
        for item, width in enumerate(problem.steps):
            more = min(left[item], space // width)
            pieces[item], left[item] = pieces[item] + more, left[item] - more
            space -= more * width
        if tuple(pieces) != pattern.pieces:
            solution.subtract([pattern] if any(pattern.pieces) else [])
            solution[Pattern(pattern.kind, tuple(pieces))] += 1
            solution = +solution
    return solution
