"""Ways to cut one roll: the whole-number problem, what a plan is worth, and filling a roll.

A pattern says how many pieces of each width come from one roll of a kind. Widths are whole
numbers of tenths of a millimetre: the piece, what it may turn out longer, and one saw cut.
A roll is taken one saw cut longer than it is, because its last piece may end at its end.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import gcd
from operator import mul
from typing import NamedTuple

TENTHS = 10  # whole numbers are tenths of a millimetre


class Pattern(NamedTuple):
    """How many pieces of each width are cut from one roll of a kind."""

    kind: int
    pieces: tuple[int, ...]


Solution = Counter[Pattern]
"""How often each pattern is cut."""


class Worth(NamedTuple):
    """What a plan is worth; the smaller one is better, the first difference decides.

    Parameters
    ----------
    missing : pieces that are not cut [-]
    new_rolls : new rolls opened [-]
    waste : length left over and not worth keeping [0.1 mm]
    rolls : rolls opened, remnants too [-]
    """

    missing: int
    new_rolls: int
    waste: int
    rolls: int


@dataclass(frozen=True)
class CuttingProblem:
    """Pieces wanted and kinds of roll in stock, in whole numbers.

    Parameters
    ----------
    widths : piece with its allowances, ascending, one entry for each width [0.1 mm]
    demand : pieces wanted of each width [-]
    lengths : length of each kind of roll [0.1 mm]
    room : length of each kind of roll and one saw cut [0.1 mm]
    supply : rolls of each kind [-]
    new : whether the kind is a new roll, not a remnant
    worth_keeping : least remnant worth keeping; below it, what is left over is waste [0.1 mm]
    """

    widths: tuple[int, ...]
    demand: tuple[int, ...]
    lengths: tuple[int, ...]
    room: tuple[int, ...]
    supply: tuple[int, ...]
    new: tuple[bool, ...]
    worth_keeping: float

    @cached_property
    def step(self) -> int:
        """Greatest common divisor of the widths [0.1 mm]."""
        return max(gcd(*self.widths), 1)

    @cached_property
    def steps(self) -> tuple[int, ...]:
        """Widths in whole steps."""
        return tuple(width // self.step for width in self.widths)

    @cached_property
    def most(self) -> tuple[int, ...]:
        """Steps that go into each kind of roll."""
        return tuple(room // self.step for room in self.room)

    def left_over(self, kind: int, used: int) -> int:
        """Length left over of a roll when `used` steps are cut from it [0.1 mm]."""
        return max(0, self.lengths[kind] - used * self.step)

    def waste(self, kind: int, used: int) -> int:
        """Length left over and not worth keeping [0.1 mm]; nothing of a roll not opened."""
        left = self.left_over(kind, used)
        return left if used and left < self.worth_keeping else 0

    def used(self, pieces: Sequence[int]) -> int:
        """Steps that the pieces take."""
        return sum(map(mul, pieces, self.steps))

    def missing(self, solution: Solution) -> list[int]:
        """Pieces of each width that a plan leaves out; below zero where it cuts too many."""
        left = list(self.demand)
        for pattern, times in solution.items():
            for item, count in enumerate(pattern.pieces):
                left[item] -= count * times
        return left

    def worth(self, solution: Solution) -> Worth:
        """What a plan is worth."""
        rolls = new_rolls = waste = 0
        for pattern, times in solution.items():
            rolls += times
            new_rolls += times * self.new[pattern.kind]
            waste += times * self.waste(pattern.kind, self.used(pattern.pieces))
        return Worth(sum(max(0, left) for left in self.missing(solution)), new_rolls, waste, rolls)

    def can_be_cut(self, solution: Solution) -> bool:
        """Whether a plan keeps to the stock, the rolls' lengths and what is wanted."""
        taken: Counter[int] = Counter()
        for pattern, times in solution.items():
            taken[pattern.kind] += times
            if self.used(pattern.pieces) > self.most[pattern.kind] or not any(pattern.pieces):
                return False
        return all(taken[kind] <= self.supply[kind] for kind in taken) and all(
            left >= 0 for left in self.missing(solution)
        )


def sums_of(
    problem: CuttingProblem, pieces: Sequence[int], most: int, *, until_full: bool = False
) -> tuple[int, list[tuple[int, int]]]:
    """Every number of steps that some of the pieces fill, up to `most`, wide pieces first.

    Returns
    -------
    the sums as bits of a whole number, and (item, sums before it) for each piece taken up;
    with `until_full` no further piece is taken up once `most` itself is among the sums
    """
    mask = (1 << (most + 1)) - 1
    reach = 1
    layers: list[tuple[int, int]] = []
    for item in range(len(pieces) - 1, -1, -1):
        width = problem.steps[item] if pieces[item] else most + 1
        for _ in range(min(pieces[item], most // width)):
            if until_full and reach >> most:
                return reach, layers
            layers.append((item, reach))
            reach |= (reach << width) & mask
    return reach, layers


def pieces_for(
    problem: CuttingProblem, layers: list[tuple[int, int]], used: int
) -> tuple[int, ...]:
    """Pieces that fill exactly `used` steps, with as wide ones as the sums allow."""
    pieces = [0] * len(problem.widths)
    for item, before in reversed(layers):
        if not before >> used & 1:
            pieces[item] += 1
            used -= problem.steps[item]
    return tuple(pieces)


def fill_in_order(problem: CuttingProblem, kinds: Sequence[int]) -> Solution:
    """Fill roll after roll as full as it goes, wide pieces first, until nothing is left to cut."""
    left, solution = list(problem.demand), Solution()
    for kind in kinds:
        for _ in range(problem.supply[kind]):
            reach, layers = sums_of(problem, left, problem.most[kind], until_full=True)
            used = reach.bit_length() - 1
            if used == 0:
                break
            pieces = pieces_for(problem, layers, used)
            left = [have - cut for have, cut in zip(left, pieces, strict=True)]
            solution[Pattern(kind, pieces)] += 1
    return solution


def every_pattern(problem: CuttingProblem, most_patterns: int) -> list[Pattern]:
    """Every way to cut each kind of roll; an empty list when there are too many."""
    found: list[Pattern] = []
    for kind, most in enumerate(problem.most):
        for pieces in _ways(problem, 0, most, [0] * len(problem.widths)):
            if any(pieces):
                found.append(Pattern(kind, pieces))
            if len(found) > most_patterns:
                return []
    return found


def _ways(
    problem: CuttingProblem, first: int, most: int, chosen: list[int]
) -> Iterator[tuple[int, ...]]:
    """Yield every choice of pieces, from the width `first` on, that fits into `most` steps."""
    yield tuple(chosen)
    for item in range(first, len(chosen)):
        if problem.steps[item] > most:
            break
        if chosen[item] < problem.demand[item]:
            chosen[item] += 1
            yield from _ways(problem, item, most - problem.steps[item], chosen)
            chosen[item] -= 1


def without_surplus(problem: CuttingProblem, solution: Solution) -> Solution:
    """Leave out the pieces that a plan cuts beyond what is wanted."""
    left, kept = list(problem.demand), Solution()
    for pattern, times in solution.items():
        for _ in range(times):
            pieces = tuple(min(a, b) for a, b in zip(pattern.pieces, left, strict=True))
            left = [have - cut for have, cut in zip(left, pieces, strict=True)]
            if any(pieces):
                kept[Pattern(pattern.kind, pieces)] += 1
    return kept
