"""Linear and whole-number programs over patterns, solved by HiGHS, and the next pattern.

Column generation: a linear program over the patterns known so far gives each width a price;
a knapsack then finds the pattern that would gain most at these prices.

Source: Gilmore and Gomory, Operations Research 9 (1961) 849 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from hoseselect.rolls.cutting_patterns import (
    TENTHS,
    CuttingProblem,
    Pattern,
    Solution,
    Worth,
)

if TYPE_CHECKING:
    from highspy import Highs

NO_BOUND = math.inf
GOALS = Worth._fields
WRONG = 1e-3  # a solver's value that differs so much from its own plan's value proves nothing


@dataclass(frozen=True)
class Stage:
    """One question: the least of a goal while the goals before it keep to what was found.

    Parameters
    ----------
    goal : index of the goal in `Worth`
    least : least of each goal before it, proven
    found : each goal before it, as found
    """

    goal: int
    least: tuple[int, ...]
    found: tuple[int, ...]

    @property
    def exact(self) -> bool:
        """Whether no surplus may be planned: it would be counted as if it were used."""
        return GOALS[self.goal] in ("waste", "rolls")


class Prices(NamedTuple):
    """Solution of the linear program.

    Parameters
    ----------
    value : least value of the goal over the known patterns, pieces of rolls allowed
    items : price of each width
    kinds : fixed cost of a roll of each kind, supply and new rolls' limit counted
    waste : cost of a millimetre of waste
    """

    value: float
    items: NDArray[np.float64]
    kinds: NDArray[np.float64]
    waste: float


class Whole(NamedTuple):
    """Answer of the whole-number program: a plan, and the value that none can be below."""

    solution: Solution
    bound: float


def pattern_costs(problem: CuttingProblem, pattern: Pattern) -> tuple[float, float, float, float]:
    """What one roll with a pattern adds to each goal; waste in millimetres."""
    waste = problem.waste(pattern.kind, problem.used(pattern.pieces)) / TENTHS
    return 0.0, float(problem.new[pattern.kind]), waste, 1.0


def silent_highs() -> Highs:
    """Solver that writes nothing: some releases greet on the standard output when made."""
    import highspy

    callbacks: Any = highspy.Highs.enableCallbacks

    def silent_callbacks(solver: Highs) -> None:
        solver.silent()
        callbacks(solver)

    make: Any = type("SilentHighs", (highspy.Highs,), {"enableCallbacks": silent_callbacks})
    solver: Highs = make()
    return solver


class Master:
    """A program over patterns for one stage."""

    def __init__(
        self, problem: CuttingProblem, stage: Stage, patterns: Iterable[Pattern], seconds: float
    ) -> None:
        self.problem, self.stage = problem, stage
        self.patterns: list[Pattern] = []
        self.model = silent_highs()
        self.model.setOptionValue("time_limit", max(seconds, 0.01))
        self._add_rows()
        for pattern in patterns:
            self.add(pattern)

    def _add_rows(self) -> None:
        """Rows: pieces of each width, rolls of each kind, limits; columns: missing pieces."""
        none = (0, np.array([], dtype=np.int32), np.array([], dtype=np.float64))
        for wanted in self.problem.demand:
            self.model.addRow(wanted, wanted if self.stage.exact else NO_BOUND, *none)
        for supply in self.problem.supply:
            self.model.addRow(-NO_BOUND, supply, *none)
        for least, found in self._limits():
            self.model.addRow(least, found, *none)
        first = len(self.problem.demand) + len(self.problem.supply)
        cost = float(self.stage.goal == 0)
        for item, wanted in enumerate(self.problem.demand):
            rows = np.array([item, first], dtype=np.int32)
            self.model.addCol(cost, 0, wanted, 2, rows, np.ones(2))

    def _limits(self) -> list[tuple[float, float]]:
        """Limits of missing pieces, new rolls and waste."""
        limits: list[tuple[float, float]] = [(0, NO_BOUND)] * 3
        known = list(zip(self.stage.least, self.stage.found, strict=True))
        limits[: len(known)] = known
        units = (1, 1, TENTHS)
        return [(a / unit, b / unit) for (a, b), unit in zip(limits, units, strict=True)]

    def add(self, pattern: Pattern) -> None:
        """Add a pattern as a column."""
        items, kinds = len(self.problem.demand), len(self.problem.supply)
        costs = pattern_costs(self.problem, pattern)
        entries = {item: float(count) for item, count in enumerate(pattern.pieces) if count}
        entries[items + pattern.kind] = 1.0
        entries |= {items + kinds + goal: costs[goal] for goal in (1, 2) if costs[goal]}
        rows = np.fromiter(entries.keys(), dtype=np.int32)
        values = np.fromiter(entries.values(), dtype=np.float64)
        self.model.addCol(costs[self.stage.goal], 0, NO_BOUND, len(rows), rows, values)
        self.patterns.append(pattern)

    def prices(self) -> Prices:
        """Solve the linear program; the value is NaN when the time is up before it is solved."""
        from highspy import HighsModelStatus

        self.model.run()
        if self.model.getModelStatus() != HighsModelStatus.kOptimal:
            nothing = np.zeros(0)
            return Prices(math.nan, nothing, nothing, math.nan)
        dual = np.array(self.model.getSolution().row_dual)
        items, kinds = len(self.problem.demand), len(self.problem.supply)
        fixed = np.array([self._fixed(kind) for kind in range(kinds)])
        new_limit, waste_limit = dual[items + kinds + 1], dual[items + kinds + 2]
        fixed = fixed - dual[items : items + kinds] - new_limit * np.array(self.problem.new)
        waste = float(GOALS[self.stage.goal] == "waste") - float(waste_limit)
        value = float(self.model.getInfo().objective_function_value)
        return Prices(value, dual[:items], fixed, waste)

    def _fixed(self, kind: int) -> float:
        """What opening a roll of a kind adds to the goal, waste apart."""
        goal = GOALS[self.stage.goal]
        return float(goal == "rolls" or (goal == "new_rolls" and self.problem.new[kind]))

    def whole(self) -> Whole:
        """Solve the whole-number program over the known patterns.

        No plan to start from is handed over: release 1.16.0 of the solver misjudges its value.
        """
        from highspy import HighsModelStatus, HighsVarType

        count = len(self.problem.demand) + len(self.patterns)
        self.model.changeColsIntegrality(
            count, np.arange(count, dtype=np.int32), np.full(count, HighsVarType.kInteger)
        )
        for option in ("mip_rel_gap", "mip_abs_gap"):
            self.model.setOptionValue(option, 0.0)
        self.model.run()
        info = self.model.getInfo()
        optimal = self.model.getModelStatus() == HighsModelStatus.kOptimal
        bound = info.objective_function_value if optimal else info.mip_dual_bound
        values = np.array(self.model.getSolution().col_value)
        if len(values) != count:
            return Whole(Solution(), -NO_BOUND)
        value = float(values @ np.array(self.model.getLp().col_cost_))
        if abs(value - info.objective_function_value) > WRONG or bound > value + WRONG:
            bound = -NO_BOUND
        found = Solution()
        for pattern, times in zip(self.patterns, values[-len(self.patterns) :], strict=True):
            if round(times) > 0:
                found[pattern] = round(times)
        return Whole(found, float(bound))


def best_patterns(
    problem: CuttingProblem, prices: Prices
) -> tuple[list[Pattern], NDArray[np.float64]]:
    """For each kind of roll, the pattern that gains most at the prices.

    Returns
    -------
    the patterns that gain, and what a roll of each kind can gain at most (zero or below)
    """
    value, layers = _knapsack(problem, prices.items)
    gains, found = np.zeros(len(problem.supply)), []
    for kind, most in enumerate(problem.most):
        left = np.maximum(0, problem.lengths[kind] - np.arange(most + 1) * problem.step)
        waste = np.where(left < problem.worth_keeping, left, 0) / TENTHS
        reduced = prices.kinds[kind] + prices.waste * waste - value[: most + 1]
        reduced[0] = 0.0
        used = int(np.argmin(reduced))
        gains[kind] = min(0.0, float(reduced[used]))
        if used and gains[kind] < 0:
            found.append(Pattern(kind, _unpack(problem, layers, used)))
    return found, gains


def _knapsack(
    problem: CuttingProblem, item_prices: NDArray[np.float64]
) -> tuple[NDArray[np.float64], list[tuple[int, int, NDArray[np.uint8]]]]:
    """Best price for each number of steps filled exactly; -inf where no pieces fill it.

    Pieces of no price count too: they fill a roll, and what is filled is no waste.
    """
    most = max(problem.most)
    value = np.full(most + 1, -np.inf)
    value[0] = 0.0
    layers = []
    for item, width in enumerate(problem.steps):
        left, times = min(problem.demand[item], most // width), 1
        while left > 0:
            times = min(times, left)
            shift = width * times
            offer = value[: most + 1 - shift] + item_prices[item] * times
            better = offer > value[shift:]
            value[shift:] = np.where(better, offer, value[shift:])
            layers.append((item, times, np.packbits(better)))
            left, times = left - times, times * 2
    return value, layers


def _unpack(
    problem: CuttingProblem, layers: list[tuple[int, int, NDArray[np.uint8]]], used: int
) -> tuple[int, ...]:
    """Pieces of the best pattern that fills `used` steps."""
    pieces = [0] * len(problem.widths)
    for item, times, better in reversed(layers):
        place = used - problem.steps[item] * times
        if place >= 0 and better[place >> 3] >> (7 - (place & 7)) & 1:
            pieces[item] += times
            used = place
    return tuple(pieces)
