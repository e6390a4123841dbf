"""Findings from results: the figures of one rule on one hose, in words."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.finding import Finding
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import relative_margin
from hoseselect.judging.engine import RuleResult
from hoseselect.knowledge.load import limit as limit_of

SMALLEST_SHOWN = 0.0005  # below it a figure is shown as 0, a matter of print
FOUR_DIGITS = 10_000  # from here on whole figures are shown, a matter of print
DIGITS, MORE_DIGITS = 4, 8  # shown; more where demand and limit would look alike
NOT_ASKED = "does not matter for this job"


def finding(result: RuleResult, hoses: HoseColumns, row: int, size: int) -> Finding:
    """Return what one rule says of one hose size for one job.

    Parameters
    ----------
    result : of the rule
    hoses : the columns it ran on
    row : position of the job
    size : position of the hose size
    """
    column = int(hoses.sizes.type_index[size]) if result.rule.axis == "type" else size
    result = result.telling(row, column)
    rule, comparison = result.rule, result.comparison
    verdict = Verdict(int(result.codes[row, column]))
    matters = _matters(result, verdict, row, column)
    assumed = _rests_on_assumption(result, verdict, row, column)
    demand, limit = _figures(result, row, column) if matters else (math.nan, math.nan)
    source = rule.row.source
    if comparison.source is not None:
        source = comparison.source(row, column) or source
    return Finding(
        code=rule.code,
        verdict=verdict,
        demand=demand,
        limit=limit,
        unit=rule.row["unit"],
        margin=_margin(result, demand, limit),
        reason=_reason(result, verdict, row, column),
        remedy=RESTS_ON_ASSUMPTION if assumed else _remedy(result, verdict, row, column),
        source=source,
        matters=matters,
        assumed=assumed,
    )


def reason(result: RuleResult, row: int, column: int) -> str:
    """Return the reason of one finding alone.

    Parameters
    ----------
    result : of the rule
    row : position of the job
    column : position of the hose type or size along the rule's own axis
    """
    result = result.telling(row, column)
    return _reason(result, Verdict(int(result.codes[row, column])), row, column)


def _matters(result: RuleResult, verdict: Verdict, row: int, column: int) -> bool:
    """Return whether the rule has anything to say: it applies, or does not accept."""
    applies = result.comparison.applies
    return applies is None or verdict is not Verdict.ACCEPT or bool(_at(applies, row, column))


def _rests_on_assumption(result: RuleResult, verdict: Verdict, row: int, column: int) -> bool:
    """Return whether the hose is conditional only because of what was assumed."""
    end = result.end_codes[row, column]
    return verdict is Verdict.CONDITIONAL and bool(end == Verdict.ACCEPT)


def _figures(result: RuleResult, row: int, column: int) -> tuple[float, float]:
    """Return demand and limit as they are shown."""
    return _at(result.comparison.demand, row, column), _shown_limit(result, row, column)


RESTS_ON_ASSUMPTION = "Find out what was assumed, then ask again."


def _remedy(result: RuleResult, verdict: Verdict, row: int, column: int) -> str:
    """Return what to do, with the limit where it is known and the remedy speaks of it."""
    if verdict is Verdict.ACCEPT:
        return ""
    limit = _shown_limit(result, row, column)
    template = result.rule.row["remedy"]
    if math.isnan(limit):
        template = result.rule.row["remedy_without_limit"] or template
    return template.format(limit=figure(limit), note=_note(result, row, column))


def _doubted(result: RuleResult, row: int, column: int) -> bool:
    across = result.doubted.shape[1]
    return bool(result.doubted[row, column if across > 1 else 0])


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


def _at(values: Array, row: int, column: int) -> float:
    array = np.asarray(values)
    if array.ndim < 2:
        array = np.atleast_2d(array)
    return float(array[row if array.shape[0] > 1 else 0, column if array.shape[1] > 1 else 0])


def _shown_limit(result: RuleResult, row: int, column: int) -> float:
    """Return the limit that the sentence quotes: the one the verdict turned on."""
    comparison = result.comparison
    limit = _at(comparison.limit, row, column)
    if comparison.caution is None:
        return limit
    quoted = _quotes_caution(result)[result.end_codes[row, column]] or not math.isfinite(limit)
    return _at(comparison.caution, row, column) if quoted else limit


def _quotes_caution(result: RuleResult) -> Array:
    """Return at which verdicts the caution is quoted and not the limit, shape (verdicts,)."""
    words = result.rule.row["quotes_caution"].split(";")
    return np.array([verdict.word in words for verdict in Verdict])


def _note(result: RuleResult, row: int, column: int) -> str:
    return "" if result.comparison.note is None else result.comparison.note(row, column)


def _reason(result: RuleResult, verdict: Verdict, row: int, column: int) -> str:
    """Return what the rule says, in one sentence."""
    if not _matters(result, verdict, row, column):
        return NOT_ASKED
    demand, limit = _figures(result, row, column)
    end = Verdict(int(result.end_codes[row, column]))
    doubted = _doubted(result, row, column)
    told_by_end = (verdict is Verdict.CONDITIONAL and end is Verdict.ACCEPT) or (
        verdict is Verdict.UNKNOWN and end is not Verdict.UNKNOWN
    )
    word = end.word if doubted and told_by_end else verdict.word
    if math.isnan(demand) and verdict is Verdict.CONDITIONAL:
        word = Verdict.UNKNOWN.word
    if result.rule.group == "bend" and math.isinf(demand):
        return "no bend on the route"
    digits = DIGITS if figure(demand) != figure(limit) or demand == limit else MORE_DIGITS
    words = {
        "demand": figure(demand, digits),
        "limit": figure(limit, digits),
        "unit": result.rule.row["unit"],
        "note": _note(result, row, column),
    }
    sentence = result.rule.row[word].format(**words)
    if not doubted:
        return sentence
    if verdict is Verdict.UNKNOWN and end is not Verdict.UNKNOWN:
        return f"depends on what is not known: {sentence}, on the adverse assumption"
    return f"{sentence} (on an assumption)"


def margins(result: RuleResult, hoses: HoseColumns) -> Array:
    """Return the relative margins of a rule for every job and size, shape (n, m); NaN none."""
    found = own_margins(result)
    return found[:, hoses.sizes.type_index] if result.rule.axis == "type" else found


def own_margins(result: RuleResult) -> Array:
    """Return the relative margins of a rule along its own axis, shape (n, t) or (n, m)."""
    comparison = result.comparison
    shape = result.codes.shape
    demand = np.broadcast_to(comparison.demand, shape)
    limit = np.broadcast_to(comparison.limit, shape)
    if comparison.caution is not None:
        far = np.where(np.isfinite(limit), limit, np.nan)
        limit = np.where(_quotes_caution(result)[result.end_codes], comparison.caution, far)
    if comparison.applies is not None:
        demand = np.where(comparison.applies, demand, np.nan)
    return relative_margin(
        demand, limit, at_most=comparison.sense == "at_most", scale=_scale(result, limit)
    )


def _scale(result: RuleResult, limit: Array) -> Array:
    kind = result.rule.row["scale"]
    if kind == "none":
        return np.full_like(limit, np.nan)
    return np.abs(limit - limit_of("room-temperature")) if kind == "room" else np.abs(limit)


def _margin(result: RuleResult, demand: float, limit: float) -> float:
    at_most = result.comparison.sense == "at_most"
    values = np.array(demand), np.array(limit)
    return float(relative_margin(*values, at_most=at_most, scale=_scale(result, values[1])))
