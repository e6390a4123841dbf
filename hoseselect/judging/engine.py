"""Every rule on every hose: verdict codes, the worst of them, and the rule that decides.

One job at the counter is a sheet of one line: all jobs run through the same functions, and a rule
is run once for those that it cannot tell apart.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import Assumed, assume, of_both_ends
from hoseselect.judging.columns import Array, HoseColumns, JobColumns
from hoseselect.judging.comparison import Comparison, verdicts
from hoseselect.judging.distinct import DistinctJobs, Kinds, both, kinds_of, kinds_of_all
from hoseselect.judging.registry import Rule
from hoseselect.judging.view import JobView


@dataclass(frozen=True, eq=False, repr=False)
class RuleResult:
    """One rule on n jobs, of which those that it cannot tell apart share one evaluation.

    Parameters
    ----------
    rule : the rule
    comparison : its figures for each kind of job, k kinds
    place, other_place : of each job's adverse and favourable end among those kinds, shape (n,)
    end_codes : verdict codes of the kinds, shape (k, t) or (k, m)
    codes : verdict codes of the kinds of pairs of ends, shape (p, t) or (p, m)
    kind : place of each job among those, shape (n,)
    open_ended : where it reads a set of fluids that may hold others than those tried, shape (n,)
    gentle : where what it reads and is not known can be seen to at the vehicle, shape (n,)
    """

    rule: Rule
    comparison: Comparison
    place: Array
    other_place: Array
    end_codes: Array
    codes: Array
    kind: Array
    open_ended: Array
    gentle: Array

    def across(self, sizes: Array, hoses: HoseColumns) -> Array:
        """Return the positions of sizes along the rule's own axis, shape (p,)."""
        return hoses.sizes.type_index[sizes] if self.rule.axis == "type" else sizes

    def codes_at(self, rows: Array, sizes: Array, hoses: HoseColumns) -> Array:
        """Return the verdict codes of pairs of job and size, shape (p,)."""
        codes: Array = self.codes[self.kind[rows], self.across(sizes, hoses)]
        return codes

    def size_codes(self, rows: Array, hoses: HoseColumns) -> Array:
        """Return the verdict codes of some jobs on every size, shape (rows, m)."""
        codes = self.codes[self.kind[rows]]
        return codes[:, hoses.sizes.type_index] if self.rule.axis == "type" else codes

    def doubted(self, row: int) -> Array:
        """Return where an assumption casts doubt on the figures of one job, shape (t,) or (m,)."""
        one, two = self.place[row : row + 1], self.other_place[row : row + 1]
        apart = self.end_codes[one] != self.end_codes[two]
        apart |= ~alike(self.comparison, one, two, self.end_codes.shape[1])
        return self.open_ended[row] | apart[0]

    def telling(self, row: int, column: int) -> tuple[int, bool]:
        """Return which kind tells of a job and a hose, and whether that rests on an assumption.

        The end that says the worse tells; where both say the same, the adverse one.
        """
        one, two = int(self.place[row]), int(self.other_place[row])
        codes = self.end_codes[one, column], self.end_codes[two, column]
        doubted = bool(self.open_ended[row]) or codes[0] != codes[1]
        if one != two and not doubted:
            doubted = not _alike_at(self.comparison, one, two, column)
        return two if codes[1] > codes[0] else one, bool(doubted)


@dataclass(frozen=True, eq=False, repr=False)
class Judgement:
    """What all rules together say.

    Parameters
    ----------
    codes : worst verdict code, shape (n, m)
    decided_by : position of the first rule with that verdict, -1 where all accept, shape (n, m)
    """

    codes: Array
    decided_by: Array


FIGURES = ("demand", "limit", "caution", "applies")


def alike(comparison: Comparison, one: Array, two: Array, across: int) -> Array:
    """Return where the figures of two rows of a comparison are the same, shape (p, k).

    An assumption that changes no figure casts no doubt.

    Parameters
    ----------
    comparison : of a rule
    one, two : rows, each of shape (p,)
    across : number of hoses along the rule's axis
    """
    same = np.ones((len(one), across), dtype=bool)
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


def _alike_at(comparison: Comparison, one: int, two: int, column: int) -> bool:
    """Return whether the figures of two rows are the same for one hose."""
    for name in FIGURES:
        values = getattr(comparison, name)
        if values is None or len(np.atleast_2d(values)) == 1:
            continue
        place = column if values.shape[1] > 1 else 0
        first, second = values[one, place], values[two, place]
        if not (first == second or (np.isnan(first) and np.isnan(second))):
            return False
    return True


def evaluate(
    jobs: JobColumns, hoses: HoseColumns, rules: Iterable[Rule], filled: Assumed | None = None
) -> tuple[RuleResult, ...]:
    """Run rules on every hose, each once for all jobs that it cannot tell apart.

    Parameters
    ----------
    jobs : n jobs, unknown left unknown
    hoses : t types, m sizes
    rules : in the order that decides
    filled : the jobs filled, where it was worked out before
    """
    distinct = DistinctJobs(assume(jobs) if filled is None else filled)
    return tuple(run_rule(rule, distinct, hoses) for rule in rules)


def run_rule(rule: Rule, distinct: DistinctJobs, hoses: HoseColumns) -> RuleResult:
    """Run one rule, once for all jobs that it cannot tell apart.

    A rule is in doubt where its figures or verdicts differ between the two ends of what is
    assumed, and where it reads a set of fluids that may hold others than those tried.

    Parameters
    ----------
    rule : to run
    distinct : n jobs at both ends of what is assumed
    hoses : t types, m sizes
    """
    comparison, kinds = _compared(rule, distinct, hoses)
    across = len(hoses.types.name) if rule.axis == "type" else len(hoses.sizes)
    end_codes = np.broadcast_to(verdicts(comparison), (len(kinds), across))
    place, other = kinds.kind[: distinct.jobs], kinds.kind[distinct.jobs :]
    open_ended = distinct.filled.open_ended(rule.reads)
    gentle = distinct.filled.gentle(rule.reads)
    apart = (place != other) | open_ended
    if not apart.any():
        return RuleResult(
            rule, comparison, place, other, end_codes, end_codes, place, open_ended, gentle
        )
    hard = distinct.filled.hard(rule.reads)
    pairs = both(
        Kinds.of(place, len(kinds)), Kinds.of(np.where(apart, 1 + other, 0), 1 + len(kinds))
    )
    pairs = both(pairs, kinds_of((apart * (1 + hard + 2 * open_ended))[:, None]))
    adverse, favourable = place[pairs.first], other[pairs.first]
    codes = end_codes[adverse]
    mixed = np.flatnonzero(apart[pairs.first])
    adverse, favourable = adverse[mixed], favourable[mixed]
    doubted = open_ended[pairs.first[mixed]][:, None]
    doubted = doubted | ~alike(comparison, adverse, favourable, across)
    doubted |= end_codes[adverse] != end_codes[favourable]
    put = of_both_ends(
        end_codes[adverse], end_codes[favourable], doubted, hard[pairs.first[mixed]][:, None]
    )
    if comparison.applies is not None:  # an assumption that no rule reads casts no doubt
        applies = np.atleast_2d(comparison.applies)
        applies = np.broadcast_to(applies, (len(kinds), applies.shape[1]))
        put = np.where(applies[adverse] | applies[favourable], put, np.int8(0))
    codes[mixed] = put
    return RuleResult(
        rule, comparison, place, other, end_codes, codes, pairs.kind, open_ended, gentle
    )


def _compared(rule: Rule, distinct: DistinctJobs, hoses: HoseColumns) -> tuple[Comparison, Kinds]:
    """Return the figures of each kind of job, and the 2 n rows sorted into kinds.

    Kinds are made of the columns that the rule was seen to read. Where it reads another one the
    set grows and the rule is run again, so that no job passes for one unlike it.
    """
    if rule.of is not None:
        view = distinct.view()
        made = rule.of(view)
        rule.reads.update(view.read)
        kinds = kinds_of_all(made)
        return rule.function(tuple(column[kinds.first] for column in made), hoses), kinds
    while True:
        kinds = distinct.kinds(rule.reads)
        view = distinct.view(kinds.first)
        comparison = rule.function(view, hoses)
        if not rule.reads:
            _ask_words(comparison, view)
        if view.read <= rule.reads:
            view.close(rule.reads)
            return comparison, kinds
        rule.reads.update(view.read)


def _ask_words(comparison: Comparison, view: JobView) -> None:
    """Have the words of a finding written once, so that what they read is recorded too."""
    if len(view):
        for words in (comparison.note, comparison.source):
            if words is not None:
                words(0, 0)


def judge(
    jobs: JobColumns, hoses: HoseColumns, rules: Sequence[Rule], filled: Assumed | None = None
) -> Judgement:
    """Return the worst verdict of every job and size, and the rule that decides it."""
    return combine(evaluate(jobs, hoses, rules, filled), hoses)


def combine(results: Sequence[RuleResult], hoses: HoseColumns) -> Judgement:
    """Return the worst of the rules' results per job and size.

    Verdict and rule are put into one whole number, the worse and the earlier rule the greater, so
    that the greatest decides.
    """
    places = len(results)
    small = np.dtype(np.uint8 if places <= SMALL_RANKS else np.uint16)
    ranks: dict[str, Array] = {}
    held: dict[str, Array] = {}
    for position, result in enumerate(results):
        axis = result.rule.axis
        rank: Array = result.codes.astype(small)
        rank = rank * small.type(places) + small.type(places - 1 - position)
        if axis not in ranks:
            ranks[axis] = np.take(rank, result.kind, axis=0)
            held[axis] = np.empty_like(ranks[axis])
            continue
        np.take(rank, result.kind, axis=0, out=held[axis], mode="clip")
        np.maximum(ranks[axis], held[axis], out=ranks[axis])
    if "type" in ranks:
        of_types = ranks["type"][:, hoses.sizes.type_index]
        worst = np.maximum(ranks["size"], of_types) if "size" in ranks else of_types
    else:
        worst = ranks["size"]
    codes = (worst // small.type(places)).astype(np.int8)
    decided = (places - 1 - worst % small.type(places)).astype(np.int8)
    decided[codes == Verdict.ACCEPT] = -1
    return Judgement(codes, decided)


# How many rules find room beside four verdicts in one byte.
SMALL_RANKS = 256 // len(Verdict)
