"""Findings from results: the figures of one rule on one hose, in words."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.finding import Finding
from hoseselect.domain.verdict import Verdict
from hoseselect.knowledge.load import limit as limit_of
from hoseselect.rules.columns import Array, HoseColumns
from hoseselect.rules.comparison import relative_margin
from hoseselect.rules.engine import RuleResult

FOUR_DIGITS = 10_000  # from here on whole figures are shown, a matter of print
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
    rule, comparison = result.rule, result.comparison
    column = int(hoses.sizes.type_index[size]) if rule.axis == "type" else size
    verdict = Verdict(int(result.codes[row, column]))
    demand = _at(comparison.demand, row, column)
    limit = _shown_limit(result, row, column)
    applies = comparison.applies is None or bool(_at(comparison.applies, row, column))
    if not applies and verdict is Verdict.ACCEPT:
        demand = limit = math.nan
        reason, remedy = NOT_ASKED, ""
    else:
        reason = _reason(result, verdict, demand, limit, row, column)
        remedy = (
            ""
            if verdict is Verdict.ACCEPT
            else rule.row["remedy"].format(limit=figure(limit), note=_note(result, row, column))
        )
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
        reason=reason,
        remedy=remedy,
        source=source,
    )


def figure(value: float) -> str:
    """Return a figure for a sentence: at most four digits, no needless zeros."""
    if math.isnan(value):
        return "unknown"
    if math.isinf(value):
        return "unlimited"
    return f"{value:.4g}" if abs(value) < FOUR_DIGITS else f"{value:.0f}"


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
    caution = _at(comparison.caution, row, column)
    refused = result.end_codes[row, column] == Verdict.REJECT and math.isfinite(limit)
    return limit if refused and result.rule.row["unit"] != "rating" else caution


def _note(result: RuleResult, row: int, column: int) -> str:
    return "" if result.comparison.note is None else result.comparison.note(row, column)


def _reason(
    result: RuleResult, verdict: Verdict, demand: float, limit: float, row: int, column: int
) -> str:
    end = Verdict(int(result.end_codes[row, column]))
    doubted = bool(result.doubted[row, 0])
    told_by_end = (verdict is Verdict.CONDITIONAL and end is Verdict.ACCEPT) or (
        verdict is Verdict.UNKNOWN and end is not Verdict.UNKNOWN
    )
    word = end.word if doubted and told_by_end else verdict.word
    words = {
        "demand": figure(demand),
        "limit": figure(limit),
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
    comparison = result.comparison
    shape = result.codes.shape
    demand = np.broadcast_to(comparison.demand, shape)
    limit = np.broadcast_to(comparison.limit, shape)
    if comparison.caution is not None:
        beyond = (result.end_codes == Verdict.REJECT) & np.isfinite(limit)
        limit = np.where(beyond, limit, comparison.caution)
    if comparison.applies is not None:
        demand = np.where(comparison.applies, demand, np.nan)
    found = relative_margin(
        demand, limit, at_most=comparison.sense == "at_most", scale=_scale(result, limit)
    )
    return found[:, hoses.sizes.type_index] if result.rule.axis == "type" else found


def _scale(result: RuleResult, limit: Array) -> Array:
    kind = result.rule.row["scale"]
    if kind == "none":
        return np.full_like(limit, np.nan)
    return np.abs(limit - limit_of("room-temperature")) if kind == "room" else np.abs(limit)


def _margin(result: RuleResult, demand: float, limit: float) -> float:
    at_most = result.comparison.sense == "at_most"
    values = np.array(demand), np.array(limit)
    return float(relative_margin(*values, at_most=at_most, scale=_scale(result, values[1])))
