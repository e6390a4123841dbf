"""Bounds from the sum of lengths alone: what no plan of cuts can do better."""

from __future__ import annotations

from math import inf, isfinite

from hoseselect.rolls.cutting_patterns import CuttingProblem, Worth


def simple_bound(problem: CuttingProblem, goal: int, worth: Worth) -> int:
    """Value that a goal cannot be below.

    Parameters
    ----------
    problem : pieces wanted and rolls in stock
    goal : index of the goal in `Worth`
    worth : values that the goals before it keep to

    Returns
    -------
    bound, in the unit of the goal
    """
    pieces = sum(problem.demand)
    if goal == 0:
        room = sum(most * n for most, n in zip(problem.most, problem.supply, strict=True))
        return pieces - sum(narrowest(problem, room=room))
    if goal == 2:
        return 0
    steps = problem.used(narrowest(problem, count=pieces - worth.missing))
    old = [problem.most[kind] for kind in _rolls(problem, new=False)]
    new = [problem.most[kind] for kind in _rolls(problem, new=True)]
    if goal == 1:
        return _how_many(steps - sum(old), new)
    return _how_many(steps, sorted(old + new[: worth.new_rolls], reverse=True))


def narrowest(problem: CuttingProblem, count: float = inf, room: float = inf) -> tuple[int, ...]:
    """Pieces wanted, the narrowest first, up to a count or up to a number of steps."""
    chosen = []
    for width, wanted in zip(problem.steps, problem.demand, strict=True):
        fit = int(min(wanted, count, room // width if isfinite(room) else inf))
        count, room = count - fit, room - fit * width
        chosen.append(fit)
    return tuple(chosen)


def longest_rolls(problem: CuttingProblem, rolls: int, new_rolls: int) -> tuple[int, ...]:
    """Supply of each kind when only the longest rolls are taken, of new ones so many at most."""
    kinds = _rolls(problem, new=False) + _rolls(problem, new=True)[:new_rolls]
    kinds.sort(key=lambda kind: -problem.most[kind])
    taken = kinds[:rolls]
    return tuple(taken.count(kind) for kind in range(len(problem.supply)))


def _rolls(problem: CuttingProblem, *, new: bool) -> list[int]:
    """Kind of each new roll, or of each remnant, the longest first."""
    kinds = [
        kind
        for kind, supply in enumerate(problem.supply)
        for _ in range(supply)
        if problem.new[kind] == new
    ]
    return sorted(kinds, key=lambda kind: -problem.most[kind])


def _how_many(steps: int, rolls: list[int]) -> int:
    """How many rolls, from the first on, take so many steps."""
    count = 0
    for most in rolls:
        if steps <= 0:
            break
        steps -= most
        count += 1
    return count
