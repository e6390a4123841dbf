"""How to cut pieces from rolls and remnants with the least loss.

Goals, in this order: the most pieces cut, the fewest new rolls opened, the least waste (what is
left over and too short to keep), the fewest rolls opened. Each goal is solved with the ones
before it held, and each comes with the value that no plan can be below.

Few ways to cut: all of them go into one whole-number program, and the plan is exact. Many: the
patterns worth having come from column generation, whose linear program also proves how far from
the best the plan can be at most.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, floor, inf, isfinite
from time import monotonic
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from hoseselect.knowledge.errors import InputError
from hoseselect.rolls.cutting_bounds import longest_rolls, narrowest, simple_bound
from hoseselect.rolls.cutting_exchange import exchange
from hoseselect.rolls.cutting_master import Master, Stage, best_patterns
from hoseselect.rolls.cutting_patterns import (
    TENTHS,
    CuttingProblem,
    Pattern,
    Solution,
    Worth,
    every_pattern,
    fill_in_order,
    without_surplus,
)

MOST_PATTERNS = 5_000  # up to so many ways to cut, all of them are weighed
TRIES = 12  # plans tried with fewer and fewer pieces when the stock is short
SHARE = 0.7  # of the time left that one goal may take
NEGLIGIBLE = 1e-6  # of the solver's own tolerance


@dataclass(frozen=True)
class CuttingPlan:
    """Which pieces are cut from which roll.

    A `_least` figure is the value that no plan can be below which is as good in the figures
    before it; where it equals what was found, the figure is proven to be the best one.

    Parameters
    ----------
    pieces : pieces cut, one row for each roll, one column for each length asked for [-]
    left_over : length left over of each roll, at least [mm]
    missing : pieces of each length that are not cut [-]
    missing_least : least number of pieces missing in any plan [-]
    new_rolls : new rolls opened [-]
    new_rolls_least : least number of new rolls [-]
    waste : length left over that is too short to keep [mm]
    waste_least : least waste [mm]
    rolls : rolls opened, new ones and remnants [-]
    rolls_least : least number of rolls opened [-]
    """

    pieces: NDArray[np.int64]
    left_over: NDArray[np.float64]
    missing: NDArray[np.int64]
    missing_least: int
    new_rolls: int
    new_rolls_least: int
    waste: float
    waste_least: float
    rolls: int
    rolls_least: int

    @property
    def status(self) -> Literal["optimal", "best-found"]:
        """Whether every figure is proven to be the best one."""
        proven = (
            int(self.missing.sum()) == self.missing_least
            and self.new_rolls == self.new_rolls_least
            and self.waste == self.waste_least
            and self.rolls == self.rolls_least
        )
        return "optimal" if proven else "best-found"


def plan_cuts(
    lengths: Sequence[float],
    counts: Sequence[int],
    rolls: Sequence[float],
    new: Sequence[bool],
    *,
    saw: float = 0.0,
    tolerance: float = 0.0,
    worth_keeping: float = inf,
    time_limit: float = 10.0,
) -> CuttingPlan:
    """Plan the cuts of one kind of hose.

    Source: patterns and column generation after Gilmore and Gomory, Operations Research 9
    (1961) 849 (from memory).

    Parameters
    ----------
    lengths : length of each piece asked for, rounded up to 0.1 [mm]
    counts : pieces of each length [-]
    rolls : length of each roll and remnant in stock, rounded down to 0.1 [mm]
    new : whether each roll is a new one; remnants are cut first
    saw : length lost in a cut [mm]
    tolerance : how much longer a piece may turn out than it was asked for [mm]
    worth_keeping : least remnant worth keeping; what is left over below it is waste [mm]
    time_limit : when to stop looking for a better plan or a better proof [s]

    Returns
    -------
    plan; the best one that was found when the time is up

    Raises
    ------
    InputError : a length is not above zero, a count or an allowance is below zero, or two
        columns differ in length
    """
    _check(lengths, counts, rolls, new, (saw, tolerance, worth_keeping, time_limit))
    problem, item_of, kind_of = _problem(
        lengths, counts, rolls, new, saw=saw, tolerance=tolerance, worth_keeping=worth_keeping
    )
    too_long = sum(counts) - sum(problem.demand)
    least, solution = _solve(problem, monotonic() + time_limit)
    worth = problem.worth(solution)
    pieces = np.zeros((len(rolls), len(counts)), dtype=np.int64)
    left_over = np.array(rolls, dtype=np.float64)
    patterns = _spread(problem, solution, kind_of)
    left = list(counts)
    for roll, pattern in sorted(patterns.items()):
        left_over[roll] = problem.left_over(pattern.kind, problem.used(pattern.pieces)) / TENTHS
        take = list(pattern.pieces)
        for asked, item in enumerate(item_of):
            cut = min(left[asked], take[item]) if item >= 0 else 0
            pieces[roll, asked] = cut
            left[asked] -= cut
            take[item] -= cut
    return CuttingPlan(
        pieces=pieces,
        left_over=left_over,
        missing=np.array(counts, dtype=np.int64) - pieces.sum(axis=0),
        missing_least=least.missing + too_long,
        new_rolls=worth.new_rolls,
        new_rolls_least=least.new_rolls,
        waste=worth.waste / TENTHS,
        waste_least=least.waste / TENTHS,
        rolls=worth.rolls,
        rolls_least=least.rolls,
    )


def _check(
    lengths: Sequence[float],
    counts: Sequence[int],
    rolls: Sequence[float],
    new: Sequence[bool],
    options: tuple[float, float, float, float],
) -> None:
    """Complain about figures that make no plan."""
    for name, columns in (("lengths", (lengths, counts)), ("rolls", (rolls, new))):
        if len(columns[0]) != len(columns[1]):
            raise InputError(name, f"{len(columns[0])} and {len(columns[1])}", "as many")
    for name, lengths_ in (("length", lengths), ("roll length", rolls)):
        for length in lengths_:
            if not (isfinite(length) and length > 0):
                raise InputError(name, f"{length:g} mm", "a length above 0 mm")
    for count in counts:
        if count < 0:
            raise InputError("count", f"{count}", "0 or more")
    names = ("saw allowance", "cut tolerance", "remnant worth keeping", "time limit")
    for name, value in zip(names, options, strict=True):
        if not value >= 0:
            raise InputError(name, f"{value:g}", "0 or more")
    for name, value in zip(names[:2], options[:2], strict=True):
        if not isfinite(value):
            raise InputError(name, f"{value:g}", "a length")


def _up(length: float) -> int:
    return ceil(length * TENTHS - NEGLIGIBLE)


def _down(length: float) -> int:
    return floor(length * TENTHS + NEGLIGIBLE)


def _problem(
    lengths: Sequence[float],
    counts: Sequence[int],
    rolls: Sequence[float],
    new: Sequence[bool],
    *,
    saw: float,
    tolerance: float,
    worth_keeping: float,
) -> tuple[CuttingProblem, list[int], list[int]]:
    """Whole-number problem; the width of each length (-1: fits no roll), the kind of each roll."""
    wide = [_up(length + tolerance + saw) for length in lengths]
    longest = max((_down(roll + saw) for roll in rolls), default=0)
    widths = sorted({width for width in wide if width <= longest})
    item_of = [widths.index(width) if width <= longest else -1 for width in wide]
    demand = [0] * len(widths)
    for item, count in zip(item_of, counts, strict=True):
        if item >= 0:
            demand[item] += count
    kinds = sorted({(bool(is_new), roll) for is_new, roll in zip(new, rolls, strict=True)})
    kind_of = [kinds.index((bool(n), roll)) for n, roll in zip(new, rolls, strict=True)]
    problem = CuttingProblem(
        widths=tuple(widths),
        demand=tuple(demand),
        lengths=tuple(_down(roll) for _, roll in kinds),
        room=tuple(_down(roll + saw) for _, roll in kinds),
        supply=tuple(kind_of.count(kind) for kind in range(len(kinds))),
        new=tuple(is_new for is_new, _ in kinds),
        worth_keeping=_up(worth_keeping) if isfinite(worth_keeping) else inf,
    )
    return problem, item_of, kind_of


def _solve(problem: CuttingProblem, until: float) -> tuple[Worth, Solution]:
    """Goal after goal; the least values proven, and the plan."""
    solution = _first_plan(problem, until)
    pool = every_pattern(problem, MOST_PATTERNS)
    complete = bool(pool)
    least: list[int] = []
    for goal in range(len(Worth._fields)):
        worth = problem.worth(solution)
        bound = simple_bound(problem, goal, worth)
        if Worth._fields[goal] == "rolls":
            solution = _fewer_rolls(problem, solution, bound, until)
        if bound < problem.worth(solution)[goal] and monotonic() < until:
            stage = Stage(goal, tuple(least), tuple(worth[:goal]))
            share = monotonic() + (until - monotonic()) * SHARE
            if complete:
                proven, solution = _all_patterns(problem, stage, pool, solution, until)
            else:
                proven, solution = _generated(problem, stage, pool, solution, share)
            bound = max(bound, proven)
        least.append(bound)
    return Worth(*least), solution


def _first_plan(problem: CuttingProblem, until: float) -> Solution:
    """The best of a few plain plans; when the stock is short, plans for the narrowest pieces."""
    until = monotonic() + (until - monotonic()) * (1 - SHARE)
    pieces = sum(problem.demand)
    most = pieces - simple_bound(problem, 0, Worth(0, 0, 0, 0))
    plans = []
    for wanted in range(most, max(most - TRIES, -1), -1):
        narrow = replace(problem, demand=narrowest(problem, count=wanted))
        plans.append(_plain_plan(narrow, until))
        if narrow.worth(plans[-1]).missing == 0 or monotonic() > until:
            break
    return min(plans, key=problem.worth)


def _fewer_rolls(problem: CuttingProblem, best: Solution, least: int, until: float) -> Solution:
    """Try plans from the longest rolls only, one roll more each time."""
    worth = problem.worth(best)
    for rolls in range(least, worth.rolls):
        supply = longest_rolls(problem, rolls, worth.new_rolls)
        plan = _plain_plan(replace(problem, supply=supply), until)
        best = min(best, plan, key=problem.worth)
        if problem.worth(best).rolls <= rolls or monotonic() > until:
            break
    return best


def _plain_plan(problem: CuttingProblem, until: float) -> Solution:
    """Fill the rolls from the shortest or from the longest one on, remnants first."""
    plans = []
    for sign in (1, -1):
        keys = [(new, sign * n) for new, n in zip(problem.new, problem.lengths, strict=True)]
        plan = fill_in_order(problem, sorted(range(len(keys)), key=keys.__getitem__))
        worth = problem.worth(plan)
        if any(simple_bound(problem, goal, worth) < worth[goal] for goal in range(len(worth))):
            plan = exchange(problem, plan, until)
        plans.append(plan)
    return min(plans, key=problem.worth)


def _better(problem: CuttingProblem, old: Solution, new: Solution) -> Solution:
    """The better one of two plans; the old one when the new one cannot be cut."""
    new = without_surplus(problem, new)
    usable = problem.can_be_cut(new)
    return new if usable and problem.worth(new) < problem.worth(old) else old


def _whole_bound(stage: Stage, bound: float) -> int:
    """Round a bound up to the next value that the goal can take."""
    if not isfinite(bound):
        return 0
    scaled = bound * TENTHS if Worth._fields[stage.goal] == "waste" else bound
    return max(0, ceil(scaled - 1e-4))


def _all_patterns(
    problem: CuttingProblem, stage: Stage, pool: list[Pattern], solution: Solution, until: float
) -> tuple[int, Solution]:
    """Weigh every pattern there is: the whole-number program is exact."""
    answer = Master(problem, stage, pool, until - monotonic()).whole()
    return _whole_bound(stage, answer.bound), _better(problem, solution, answer.solution)


def _generated(
    problem: CuttingProblem, stage: Stage, pool: list[Pattern], solution: Solution, until: float
) -> tuple[int, Solution]:
    """Generate patterns until none gains, then solve the whole-number program over them."""
    known = dict.fromkeys([*pool, *solution])
    master = Master(problem, stage, known, until - monotonic())
    bound, found = 0, problem.worth(solution)[stage.goal]
    half = monotonic() + (until - monotonic()) / 2
    while monotonic() < half and bound < found:
        prices = master.prices()
        if not isfinite(prices.value):
            break
        patterns, gains = best_patterns(problem, prices)
        proven = prices.value + float(gains @ np.array(problem.supply))
        bound = max(bound, _whole_bound(stage, proven))
        fresh = [pattern for pattern in patterns if pattern not in known]
        if not fresh or bound >= _whole_bound(stage, prices.value):
            break
        for pattern in fresh:
            known[pattern] = None
            master.add(pattern)
    pool[:] = known
    if bound < found:
        answer = Master(problem, stage, known, until - monotonic()).whole()
        better = _better(problem, solution, answer.solution)
        solution = min(better, exchange(problem, better, until), key=problem.worth)
    return bound, solution


def _spread(
    problem: CuttingProblem, solution: Solution, kind_of: Sequence[int]
) -> dict[int, Pattern]:
    """Give each pattern a roll of its kind, the first ones of the list first."""
    free = [[r for r, kind in enumerate(kind_of) if kind == k] for k in range(len(problem.supply))]
    return {free[pattern.kind].pop(0): pattern for pattern in solution.elements()}
