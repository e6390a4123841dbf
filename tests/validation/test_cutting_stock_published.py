"""Cutting-stock examples of textbooks, cited from memory.

The figures were recalled, not read: printed values are those remembered, and each is confirmed
here by two ways that share no code, our planner and a plain list of all patterns.
"""

from __future__ import annotations

from itertools import product
from math import ceil

import numpy as np
import pytest
from scipy.optimize import linprog

from hoseselect.rolls import cutting_stock
from hoseselect.rolls.cutting_master import Master, Stage, best_patterns
from hoseselect.rolls.cutting_patterns import CuttingProblem, Pattern
from hoseselect.rolls.cutting_stock import plan_cuts

# Chvatal, Linear Programming (Freeman, 1983), chapter 13, opening example (from memory):
# raws of 100 in; finals 97 of 45 in, 610 of 36 in, 395 of 31 in, 211 of 14 in.
RAW = 100.0
FINALS = [45.0, 36.0, 31.0, 14.0]
ORDERED = [97, 610, 395, 211]
PRINTED_LINEAR = 452.25
PRINTED_WHOLE = 453


def linear_bound(raw: float, finals: list[float], ordered: list[int]) -> float:
    """Least number of raws when parts of raws may be cut, from a list of all patterns."""
    ranges = (range(int(raw // final) + 1) for final in finals)
    patterns = [p for p in product(*ranges) if 0 < np.dot(p, finals) <= raw]
    matrix = -np.array(patterns, dtype=float).T
    solved = linprog(np.ones(len(patterns)), matrix, -np.array(ordered, dtype=float))
    return float(solved.fun)


@pytest.mark.parametrize("most_patterns", [5_000, 0], ids=["all-patterns", "generated"])
def test_chvatal_chapter_13_needs_453_raws(
    most_patterns: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cutting_stock, "MOST_PATTERNS", most_patterns)
    plan = plan_cuts(FINALS, ORDERED, [RAW] * 600, [True] * 600)
    assert plan.new_rolls == PRINTED_WHOLE
    assert plan.new_rolls_least == PRINTED_WHOLE
    assert plan.status == "optimal"
    assert plan.pieces.sum(axis=0).tolist() == ORDERED
    assert plan.waste == pytest.approx(PRINTED_WHOLE * RAW - np.dot(FINALS, ORDERED))


def test_chvatal_chapter_13_linear_bound_is_452_and_a_quarter() -> None:
    order = np.argsort(FINALS)
    problem = CuttingProblem(
        widths=tuple(int(10 * FINALS[item]) for item in order),
        demand=tuple(ORDERED[item] for item in order),
        lengths=(1000,),
        room=(1000,),
        supply=(sum(ORDERED),),
        new=(True,),
        worth_keeping=float("inf"),
    )
    singles = [Pattern(0, tuple(int(i == j) for j in range(4))) for i in range(4)]
    master = Master(problem, Stage(1, (0,), (0,)), [], 10.0)
    for pattern in singles:
        master.add(pattern)
    values = []
    while True:
        prices = master.prices()
        values.append(prices.value)
        fresh = [p for p in best_patterns(problem, prices)[0] if p not in master.patterns]
        if not fresh:
            break
        for pattern in fresh:
            master.add(pattern)
    assert values[0] == sum(ORDERED)  # one piece from each raw, to begin with
    assert values[-1] == pytest.approx(PRINTED_LINEAR, abs=1e-9)
    assert linear_bound(RAW, FINALS, ORDERED) == pytest.approx(PRINTED_LINEAR, abs=1e-9)


# Bin packing with sizes above a third: first-fit decreasing and the sum of lengths both miss it.
# Standard example of the gap between the sum of lengths and the optimum (exact by argument):
# three pieces just above one half never share a roll.
def test_pieces_above_half_a_roll_never_share_one() -> None:
    plan = plan_cuts([51.0], [3], [100.0] * 5, [True] * 5)
    assert ceil(3 * 51 / 100) == 2  # what the sum of lengths alone would say
    assert (plan.new_rolls, plan.new_rolls_least) == (3, 3)


# Johnson, Demers, Ullman, Garey, Graham, SIAM J. Computing 3 (1974) 299 (from memory): first-fit
# decreasing needs 11/9 of the optimum on 6k pieces 1/2+e, 6k of 1/4+2e, 6k of 1/4+e and 12k of
# 1/4-2e; optimum 9k, first-fit decreasing 11k.
@pytest.mark.parametrize("k", [1, 2])
def test_first_fit_decreasing_worst_case_is_cut_from_9k_rolls(k: int) -> None:
    lengths, counts = [51.0, 27.0, 26.0, 23.0], [6 * k, 6 * k, 6 * k, 12 * k]
    plan = plan_cuts(lengths, counts, [100.0] * (12 * k), [True] * (12 * k))
    assert first_fit_decreasing(lengths, counts, 100.0) == 11 * k
    assert (plan.new_rolls, plan.new_rolls_least) == (9 * k, 9 * k)
    assert plan.waste == 0.0


def first_fit_decreasing(lengths: list[float], counts: list[int], roll: float) -> int:
    """Rolls that the plain rule of thumb opens."""
    free: list[float] = []
    pieces = [n for n, times in zip(lengths, counts, strict=True) for _ in range(times)]
    for piece in sorted(pieces, reverse=True):
        place = next((i for i, left in enumerate(free) if left >= piece), -1)
        if place < 0:
            free.append(roll - piece)
        else:
            free[place] -= piece
    return len(free)
