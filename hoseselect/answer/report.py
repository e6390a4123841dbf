"""Findings from results: the figures of one rule on one hose, in words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoseselect.domain.finding import Finding
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import Comparison, relative_margin
from hoseselect.judging.engine import RuleResult
from hoseselect.judging.registry import Rule
from hoseselect.knowledge.load import limit as limit_of

SMALLEST_SHOWN = 0.0005  # below it a figure is shown as 0, a matter of print
PERCENT = 100.0
SMALL, SMALL_STEP, HAIR = 30.0, 0.1, 1e-6  # lengths that are shown in tenths [mm]
FOUR_DIGITS = 10_000  # from here on whole figures are shown, a matter of print
DIGITS, MORE_DIGITS = 4, 8  # shown; more where demand and limit would look alike
LIMIT = "{"
"""What words have in them where they quote the limit of the hose."""
NOT_ASKED = "does not matter for this job"


@dataclass(frozen=True, eq=False)
class Told:
    """What one rule says of one job and one hose, at the end that tells.

    Parameters
    ----------
    rule, comparison : the rule and its figures
    row, column : place in them
    bore : of the hose [mm]
    verdict : of the rule
    end : verdict of the end that tells
    doubted : whether the figures rest on an assumption
    gentle : whether what is assumed can be seen to at the vehicle
    """

    rule: Rule
    comparison: Comparison
    row: int
    column: int
    bore: float
    verdict: Verdict
    end: Verdict
    doubted: bool
    gentle: bool

    def at(self, values: Array) -> float:
        """Return one figure."""
        array = np.asarray(values)
        if array.ndim < 2:
            array = np.atleast_2d(array)
        row = self.row if array.shape[0] > 1 else 0
        return float(array[row, self.column if array.shape[1] > 1 else 0])

    @property
    def matters(self) -> bool:
        """Whether the rule has anything to say: it applies, or does not accept."""
        applies = self.comparison.applies
        return applies is None or self.verdict is not Verdict.ACCEPT or bool(self.at(applies))

    @property
    def assumed(self) -> bool:
        """Whether the hose is conditional only because of what was assumed."""
        return self.verdict is Verdict.CONDITIONAL and self.end is Verdict.ACCEPT

    @cached_property
    def check(self) -> str:
        """What somebody must see to at the vehicle, by the hose's own limit; empty = nothing.

        It is so where the rule has words for it and would pass a hose whose figures are known.
        """
        words: str = self.rule.row["check"]
        figures = [self.at(self.comparison.demand)]
        if LIMIT not in words:
            figures.append(self.at(self.comparison.limit))
        open_to_see = (self.doubted and self.gentle) or any(map(math.isnan, figures))
        if self.verdict is not Verdict.CONDITIONAL or not words or not open_to_see:
            return ""
        limit = shown_limit(self, Verdict.CONDITIONAL)
        return words.format(
            limit=safe_figure(limit, at_most=self.comparison.sense == "at_most"),
            percent=figure(limit * PERCENT),
            over=safe_figure(self.bore * (1 + limit / PERCENT), at_most=True),
            under=safe_figure(self.bore * (1 - limit / PERCENT), at_most=False),
            note=self.note,
        )

    @property
    def note(self) -> str:
        """Words of the rule for this job and hose."""
        return "" if self.comparison.note is None else self.comparison.note(self.row, self.column)


def told(result: RuleResult, hoses: HoseColumns, row: int, size: int) -> Told:
    """Return what one rule says of one hose size for one job.

    Parameters
    ----------
    result : of the rule
    hoses : the columns it ran on
    row : position of the job
    size : position of the hose size
    """
    column = int(hoses.sizes.type_index[size]) if result.rule.axis == "type" else size
    place, doubted = result.telling(row, column)
    return Told(
        rule=result.rule,
        comparison=result.comparison,
        row=place,
        column=column,
        bore=float(hoses.sizes.bore[size]),
        verdict=Verdict(int(result.codes[result.kind[row], column])),
        end=Verdict(int(result.end_codes[place, column])),
        doubted=doubted,
        gentle=bool(result.gentle[row]),
    )


def finding(result: RuleResult, hoses: HoseColumns, row: int, size: int) -> Finding:
    """Return the finding of one rule on one hose size for one job.

    Parameters
    ----------
    result : of the rule
    hoses : the columns it ran on
    row : position of the job
    size : position of the hose size
    """
    own = told(result, hoses, row, size)
    rule, comparison = own.rule, own.comparison
    demand, limit = figures(own) if own.matters else (math.nan, math.nan)
    source = rule.row.source
    if comparison.source is not None:
        source = comparison.source(own.row, own.column) or source
    return Finding(
        code=rule.code,
        verdict=own.verdict,
        demand=demand,
        limit=limit,
        unit=rule.row["unit"],
        margin=_margin(own, demand, limit),
        reason=reason(own),
        remedy=_remedy(own),
        source=source,
        matters=own.matters,
        assumed=own.assumed,
        check=own.check,
        look=rule.row["look"] if own.check else "",
        note=own.note,
    )


def figures(own: Told) -> tuple[float, float]:
    """Return demand and limit as they are shown."""
    return own.at(own.comparison.demand), shown_limit(own, own.end)


RESTS_ON_ASSUMPTION = "Find out what was assumed, then ask again."


def _remedy(own: Told) -> str:
    """Return what to do, with the limit where it is known and the remedy speaks of it."""
    if own.verdict is Verdict.ACCEPT or own.check:
        return ""
    if own.assumed:
        return RESTS_ON_ASSUMPTION
    limit = shown_limit(own, own.end)
    template = own.rule.row["remedy"]
    if math.isnan(limit):
        template = own.rule.row["remedy_without_limit"] or template
    return template.format(limit=figure(limit), note=own.note)


def figure(value: float, digits: int = DIGITS) -> str:
    """Return a figure for a sentence: few digits, no needless zeros."""
    if math.isnan(value):
        return "unknown"
    if math.isinf(value):
        return "unlimited"
    if abs(value) >= FOUR_DIGITS:
        return f"{value:.0f}"
    if abs(value) < SMALLEST_SHOWN:
        return "0"
    text = f"{value:.{digits}g}"
    return f"{float(text):.0f}" if "e" in text else text


def safe_figure(value: float, *, at_most: bool) -> str:
    """Return a length to measure, rounded to the safe side: tenths of small ones, else whole [mm].

    Parameters
    ----------
    value : the limit [mm]
    at_most : whether what is measured must be at most that
    """
    if not math.isfinite(value):
        return figure(value)
    step = SMALL_STEP if abs(value) < SMALL else 1.0
    steps = value / step
    whole = math.floor(steps + HAIR) if at_most else math.ceil(steps - HAIR)
    return figure(whole * step)


def shown_limit(own: Told, verdict: Verdict) -> float:
    """Return the limit that a sentence quotes: the one that a verdict turns on."""
    comparison = own.comparison
    limit = own.at(comparison.limit)
    if comparison.caution is None:
        return limit
    quoted = quotes_caution(own.rule)[verdict] or not math.isfinite(limit)
    return own.at(comparison.caution) if quoted else limit


def quotes_caution(rule: Rule) -> Array:
    """Return at which verdicts the caution is quoted and not the limit, shape (verdicts,)."""
    words = rule.row["quotes_caution"].split(";")
    return np.array([verdict.word in words for verdict in Verdict])


def reason(own: Told) -> str:
    """Return what the rule says, in one sentence."""
    if not own.matters:
        return NOT_ASKED
    if own.check:
        return f"suits if {own.check}"
    demand, limit = figures(own)
    verdict, end, row = own.verdict, own.end, own.rule.row
    told_by_end = (verdict is Verdict.CONDITIONAL and end is Verdict.ACCEPT) or (
        verdict is Verdict.UNKNOWN and end is not Verdict.UNKNOWN
    )
    word = end.word if own.doubted and told_by_end else verdict.word
    if math.isnan(demand) and verdict is Verdict.CONDITIONAL:
        word = Verdict.UNKNOWN.word
    if own.rule.group == "bend" and math.isinf(demand):
        return "no bend on the route"
    digits = DIGITS if figure(demand) != figure(limit) or demand == limit else MORE_DIGITS
    sentence = row[word].format(
        demand=figure(demand, digits),
        limit=figure(limit, digits),
        lacking=figure(abs(limit - demand)),
        unit=row["unit"],
        note=own.note,
    )
    if not own.doubted:
        return sentence
    if verdict is Verdict.UNKNOWN and end is not Verdict.UNKNOWN:
        return f"depends on what is not known: {sentence}, on the adverse assumption"
    return f"{sentence} (on an assumption)"


def margins(result: RuleResult, hoses: HoseColumns, rows: Array, sizes: Array) -> Array:
    """Return the relative margins of a rule for pairs of job and size, shape (p,); NaN none.

    Parameters
    ----------
    result : of the rule
    hoses : the columns it ran on
    rows, sizes : positions of jobs and sizes, shape (p,)
    """
    place, across = result.place[rows], result.across(sizes, hoses)
    comparison = result.comparison.at(place, across)
    limit: Array = comparison.limit
    if comparison.caution is not None:
        end_codes = result.end_codes[place, across][:, None]
        far = np.where(np.isfinite(limit), limit, np.nan)
        limit = np.where(quotes_caution(result.rule)[end_codes], comparison.caution, far)
    demand = comparison.demand
    if comparison.applies is not None:
        demand = np.where(comparison.applies, demand, np.nan)
    found: Array = relative_margin(
        demand, limit, at_most=comparison.sense == "at_most", scale=_scale(result.rule, limit)
    )[:, 0]
    return found


def _scale(rule: Rule, limit: Array) -> Array:
    kind = rule.row["scale"]
    if kind == "none":
        return np.full_like(limit, np.nan)
    return np.abs(limit - limit_of("room-temperature")) if kind == "room" else np.abs(limit)


def _margin(own: Told, demand: float, limit: float) -> float:
    at_most = own.comparison.sense == "at_most"
    values = np.array(demand), np.array(limit)
    return float(relative_margin(*values, at_most=at_most, scale=_scale(own.rule, values[1])))
