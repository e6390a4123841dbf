"""Every rule on every hose: verdict codes, the worst of them, and the rule that decides.

One job at the counter and a million lines in a sheet run through the same functions.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import Assumed, assume, combine, gentle_columns
from hoseselect.judging.columns import Array, HoseColumns, JobColumns
from hoseselect.judging.comparison import Comparison, verdicts
from hoseselect.judging.distinct import DistinctJobs, Kinds, both, columns_read, kinds_of
from hoseselect.judging.registry import Rule, rules


@dataclass(frozen=True, eq=False, repr=False)
class RuleResult:
    """One rule on all jobs and all hoses.

    Parameters
    ----------
    rule : the rule
    comparison : its figures at the adverse end of what is assumed
    end_codes : verdict codes at the adverse end, shape (n, t) or (n, m)
    codes : verdict codes, shape (n, t) or (n, m)
    doubted : where an assumption changes the rule's figures, shape (n, 1), (n, t) or (n, m)
    other, other_codes : figures and codes at the favourable end, where anything was assumed
    """

    rule: Rule
    comparison: Comparison
    end_codes: Array
    codes: Array
    doubted: Array
    other: Comparison | None = None
    other_codes: Array | None = None

    def telling(self, row: int, column: int) -> RuleResult:
        """Return the result with the end that says the worse of one job and one hose."""
        if self.other is None or self.other_codes is None:
            return self
        if self.other_codes[row, column] <= self.end_codes[row, column]:
            return self
        return replace(self, comparison=self.other, end_codes=self.other_codes)


@dataclass(frozen=True, eq=False, repr=False)
class SharedResult:
    """One rule on many jobs, of which those that it cannot tell apart share one evaluation.

    Parameters
    ----------
    rule : the rule
    comparison : its figures for each kind of job, k kinds
    place, other_place : of each job's adverse and favourable end among those kinds, shape (n,)
    end_codes : verdict codes of the kinds, shape (k, t) or (k, m)
    codes : verdict codes of the kinds of pairs of ends, shape (p, t) or (p, m)
    kind : place of each job among those, shape (n,)
    doubted : where a column the rule reads was assumed, shape (n, 1)
    open_ended : where that column is a set of fluids, shape (n, 1)
    """

    rule: Rule
    comparison: Comparison
    place: Array
    other_place: Array
    end_codes: Array
    codes: Array
    kind: Array
    doubted: Array
    open_ended: Array

    def of_job(self, row: int) -> RuleResult:
        """Return the result for one job, as `evaluate` gives it."""
        place, kind = int(self.place[row]), int(self.kind[row])
        other = int(self.other_place[row])
        return RuleResult(
            rule=self.rule,
            comparison=self.comparison.row(place),
            end_codes=self.end_codes[place : place + 1],
            codes=self.codes[kind : kind + 1],
            doubted=self._doubted(row),
            other=self.comparison.row(other),
            other_codes=self.end_codes[other : other + 1],
        )

    def at(self, rows: Array, sizes: Array, hoses: HoseColumns) -> RuleResult:
        """Return the result for pairs of job and size, each a row with one column.

        Parameters
        ----------
        rows, sizes : positions of jobs and sizes, shape (p,)
        hoses : the columns the rule ran on
        """
        across = hoses.sizes.type_index[sizes] if self.rule.axis == "type" else sizes
        place, other, kind = self.place[rows], self.other_place[rows], self.kind[rows]
        comparison = self.comparison.at(place, across)
        doubted, favourable = self.doubted[rows], None
        if doubted.any():
            favourable = self.comparison.at(other, across)
            alike = _alike(comparison, favourable, (len(rows), 1))
            doubted = doubted & (self.open_ended[rows] | ~alike)
        return RuleResult(
            rule=self.rule,
            comparison=comparison,
            end_codes=self.end_codes[place, across][:, None],
            codes=self.codes[kind, across][:, None],
            doubted=doubted,
            other=favourable,
            other_codes=self.end_codes[other, across][:, None],
        )

    def codes_at(self, rows: Array, sizes: Array, hoses: HoseColumns) -> Array:
        """Return the verdict codes of pairs of job and size, shape (p,)."""
        across = hoses.sizes.type_index[sizes] if self.rule.axis == "type" else sizes
        codes: Array = self.codes[self.kind[rows], across]
        return codes

    def size_codes(self, rows: Array, hoses: HoseColumns) -> Array:
        """Return the verdict codes of some jobs on every size, shape (rows, m)."""
        codes = self.codes[self.kind[rows]]
        return codes[:, hoses.sizes.type_index] if self.rule.axis == "type" else codes

    def _doubted(self, row: int) -> Array:
        """Return where an assumption changes the figures of one job, shape (1, t) or (1, m)."""
        ends = self.place[row : row + 1], self.other_place[row : row + 1]
        alike = _alike_rows(self.comparison, *ends, self.end_codes.shape)
        open_ended = self.open_ended[row : row + 1]
        return self.doubted[row : row + 1] & (open_ended | ~alike)


@dataclass(frozen=True, eq=False, repr=False)
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
    other = rule.function(filled.favourable, hoses)
    other_codes = np.broadcast_to(verdicts(other), shape)
    doubted = doubted & (_open_ended(rule, filled) | ~_alike(comparison, other, shape))
    mixed = combine(codes, other_codes, doubted, hard)
    mixed = np.where(np.broadcast_to(_idle(comparison, other), shape), np.int8(0), mixed)
    return RuleResult(rule, comparison, codes, mixed, doubted, other, other_codes)


FIGURES = ("demand", "limit", "caution", "applies")


def _alike(adverse: Comparison, favourable: Comparison, shape: tuple[int, int]) -> Array:
    """Return where the figures of a rule are the same at both ends, shape (n, k).

    An assumption that changes no figure casts no doubt.
    """
    same = np.ones(shape, dtype=bool)
    for name in FIGURES:
        one, two = getattr(adverse, name), getattr(favourable, name)
        if one is not None and two is not None:
            same &= (one == two) | (np.isnan(one) & np.isnan(two))
    return same


def _alike_rows(comparison: Comparison, one: Array, two: Array, shape: tuple[int, int]) -> Array:
    """Return where the figures of rows of one comparison are the same, as `_alike` does."""
    same = np.ones((len(one), shape[1]), dtype=bool)
    for name in FIGURES:
        values = getattr(comparison, name)
        if values is None or len(np.atleast_2d(values)) == 1:
            continue
        first, second = values[one], values[two]
        equal = first == second
        if values.dtype.kind == "f" and not equal.all():
            equal |= np.isnan(first) & np.isnan(second)
        same &= equal
    return same


def _idle(adverse: Comparison, favourable: Comparison) -> Array:
    """Return where a rule applies at neither end."""
    applies = [
        np.ones((1, 1), dtype=bool) if c.applies is None else np.asarray(c.applies)
        for c in (adverse, favourable)
    ]
    return ~(applies[0] | applies[1])


OPEN_ENDED = ("fluids", "drips")


def _open_ended(rule: Rule, filled: Assumed) -> Array:
    """Return where a rule reads a set of fluids that may hold others than those tried, (n, 1)."""
    mask = np.zeros((len(filled.adverse), 1), dtype=bool)
    for name in OPEN_ENDED:
        if name in rule.needs and name in filled.doubted:
            mask = mask | filled.doubted[name]
    return mask


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


def evaluate_kinds(
    jobs: JobColumns, hoses: HoseColumns, assumed: Assumed | None = None
) -> Iterator[SharedResult]:
    """Run every rule on every hose as `evaluate` does, once for all jobs it cannot tell apart."""
    filled = assume(jobs) if assumed is None else assumed
    distinct = DistinctJobs(filled)
    for rule in rules():
        yield run_on_kinds(rule, filled, distinct, hoses)


def run_on_kinds(
    rule: Rule, filled: Assumed, distinct: DistinctJobs, hoses: HoseColumns
) -> SharedResult:
    """Run one rule, once for all jobs it cannot tell apart.

    Parameters
    ----------
    rule : to run
    filled : n jobs at both ends of what is assumed
    distinct : the same jobs
    hoses : t types, m sizes
    """
    names = columns_read(rule)
    kinds = distinct.kinds_for(rule)
    comparison = rule.function(distinct.take(names, kinds.first), hoses)
    across = len(hoses.types.name) if rule.axis == "type" else len(hoses.sizes)
    end_codes = np.broadcast_to(verdicts(comparison), (len(kinds), across))
    jobs = len(filled.adverse)
    place, other = kinds.kind[:jobs], kinds.kind[jobs:]
    doubted, hard = _doubt(rule, filled)
    if not doubted.any():
        return SharedResult(
            rule, comparison, place, other, end_codes, end_codes, place, doubted, doubted
        )
    apart = np.where(doubted[:, 0], 1 + other, 0)
    pairs = both(Kinds.of(place, len(kinds)), Kinds.of(apart, 1 + len(kinds)))
    open_ended = _open_ended(rule, filled)
    marks = doubted.astype(np.int64) + hard + 2 * open_ended
    pairs = both(pairs, kinds_of(marks))
    adverse, favourable = place[pairs.first], other[pairs.first]
    codes = end_codes[adverse]
    mixed = np.flatnonzero(doubted[pairs.first, 0])
    ends = end_codes[adverse[mixed]], end_codes[favourable[mixed]]
    alike = _alike_rows(comparison, adverse[mixed], favourable[mixed], (len(kinds), across))
    kept = open_ended[pairs.first[mixed]]
    put = combine(*ends, kept | ~alike, hard[pairs.first[mixed]])
    if comparison.applies is not None:  # an assumption that no rule reads casts no doubt
        applies = np.broadcast_to(
            comparison.applies, np.broadcast_shapes(np.shape(comparison.applies), (len(kinds), 1))
        )
        put = np.where(applies[adverse[mixed]] | applies[favourable[mixed]], put, np.int8(0))
    codes[mixed] = put
    return SharedResult(
        rule, comparison, place, other, end_codes, codes, pairs.kind, doubted, open_ended
    )


def judge(jobs: JobColumns, hoses: HoseColumns, assumed: Assumed | None = None) -> Judgement:
    """Return the worst verdict of every job and size, and the rule that decides it."""
    return combine_kinds(evaluate_kinds(jobs, hoses, assumed), hoses)


def combine_kinds(results: Iterable[SharedResult], hoses: HoseColumns) -> Judgement:
    """Return the worst of the rules' shared results per job and size.

    Verdict and rule are put into one whole number, the worse and the earlier rule the greater, so
    that the greatest decides.
    """
    places = len(rules())
    ranks: dict[str, Array] = {}
    held: dict[str, Array] = {}
    for position, shared in enumerate(results):
        axis = shared.rule.axis
        rank: Array = shared.codes.astype(np.uint8 if places <= SMALL_RANKS else np.uint16)
        rank = rank * rank.dtype.type(places) + rank.dtype.type(places - 1 - position)
        if axis not in ranks:
            ranks[axis] = np.take(rank, shared.kind, axis=0)
            held[axis] = np.empty_like(ranks[axis])
            continue
        np.take(rank, shared.kind, axis=0, out=held[axis], mode="clip")
        np.maximum(ranks[axis], held[axis], out=ranks[axis])
    worst = ranks["size"]
    np.maximum(worst, ranks["type"][:, hoses.sizes.type_index], out=worst)
    codes = (worst // worst.dtype.type(places)).astype(np.int8)
    decided = (places - 1 - worst % worst.dtype.type(places)).astype(np.int8)
    decided[codes == Verdict.ACCEPT] = -1
    return Judgement(codes, decided)


# How many rules find room beside four verdicts in one byte.
SMALL_RANKS = 256 // len(Verdict)


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
