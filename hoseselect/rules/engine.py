"""Every rule on every hose: verdict codes, the worst of them, and the rule that decides.

One job at the counter and a million lines in a sheet run through the same functions.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from hoseselect.rules.assume import Assumed, assume, combine, gentle_columns
from hoseselect.rules.columns import Array, HoseColumns, JobColumns
from hoseselect.rules.comparison import Comparison, verdicts
from hoseselect.rules.registry import Rule, rules


@dataclass(frozen=True)
class RuleResult:
    """One rule on all jobs and all hoses.

    Parameters
    ----------
    rule : the rule
    comparison : its figures at the adverse end of what is assumed
    end_codes : verdict codes at the adverse end, shape (n, t) or (n, m)
    codes : verdict codes, shape (n, t) or (n, m)
    doubted : where a column the rule reads was assumed, shape (n, 1)
    """

    rule: Rule
    comparison: Comparison
    end_codes: Array
    codes: Array
    doubted: Array


@dataclass(frozen=True)
class Judgement:
    """What all rules together say.

    Parameters
    ----------
    codes : worst verdict code, shape (n, m)
    decided_by : position of the first rule with that verdict, shape (n, m)
    """

    codes: Array
    decided_by: Array


def evaluate(
    jobs: JobColumns, hoses: HoseColumns, assumed: Assumed | None = None
) -> Iterator[RuleResult]:
    """Run every rule on every hose, in the order that decides.

    Parameters
    ----------
    jobs : n jobs, unknown left unknown
    hoses : t types, m sizes
    assumed : the jobs filled, where it was worked out before
    """
    filled = assume(jobs) if assumed is None else assumed
    for rule in rules():
        yield run_rule(rule, filled, hoses)


def run_rule(rule: Rule, filled: Assumed, hoses: HoseColumns) -> RuleResult:
    """Run one rule on all jobs, filled at both ends of what is assumed."""
    comparison = rule.function(filled.adverse, hoses)
    across = len(hoses.types.name) if rule.axis == "type" else len(hoses.sizes)
    shape = (len(filled.adverse), across)
    codes = np.broadcast_to(verdicts(comparison), shape)
    doubted, hard = _doubt(rule, filled)
    if not doubted.any():
        return RuleResult(rule, comparison, codes, codes, doubted)
    other = np.broadcast_to(verdicts(rule.function(filled.favourable, hoses)), shape)
    mixed = combine(codes, other, doubted, hard)
    if comparison.applies is not None:  # an assumption that no rule reads casts no doubt
        mixed = np.where(np.broadcast_to(_idle(rule, filled, hoses, comparison), shape), 0, mixed)
    return RuleResult(rule, comparison, codes, mixed, doubted)


def _idle(rule: Rule, filled: Assumed, hoses: HoseColumns, adverse: Comparison) -> Array:
    """Return where a rule applies at neither end."""
    favourable = rule.function(filled.favourable, hoses)
    applies = [
        np.ones((1, 1), dtype=bool) if c.applies is None else np.asarray(c.applies)
        for c in (adverse, favourable)
    ]
    return ~(applies[0] | applies[1])


def _doubt(rule: Rule, filled: Assumed) -> tuple[Array, Array]:
    """Return where a rule reads an assumed column, and where that doubt is a hard one."""
    doubted = np.zeros((len(filled.adverse), 1), dtype=bool)
    hard = doubted.copy()
    for name in rule.needs:
        mask = filled.doubted.get(name)
        if mask is not None:
            doubted = doubted | mask
            if name not in gentle_columns():
                hard = hard | mask
    return doubted, hard


def judge(jobs: JobColumns, hoses: HoseColumns, assumed: Assumed | None = None) -> Judgement:
    """Return the worst verdict of every job and size, and the rule that decides it."""
    return combine_results(evaluate(jobs, hoses, assumed), hoses)


def combine_results(results: Iterator[RuleResult], hoses: HoseColumns) -> Judgement:
    """Return the worst of the rules' results per job and size."""
    worst: Array | None = None
    decided: Array | None = None
    for position, result in enumerate(results):
        codes = result.codes
        if result.rule.axis == "type":
            codes = codes[:, hoses.sizes.type_index]
        if worst is None or decided is None:
            worst = np.zeros(codes.shape, dtype=np.int8)
            decided = np.full(codes.shape, -1, dtype=np.int8)
        worse = codes > worst
        np.copyto(decided, np.int8(position), where=worse)
        np.copyto(worst, codes, where=worse, casting="unsafe")
    if worst is None or decided is None:
        worst = decided = np.zeros((0, 0), dtype=np.int8)
    return Judgement(worst, decided)
