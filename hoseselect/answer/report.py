"""Findings from results: verdict, figures, margin and words of one rule on one hose."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.answer.sentences import check_words, reason, remedy
from hoseselect.answer.told import Told, quotes_caution, told
from hoseselect.domain.finding import Finding
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import relative_margin
from hoseselect.judging.engine import RuleResult
from hoseselect.judging.registry import Rule
from hoseselect.knowledge.load import limit as limit_of


def finding(
    result: RuleResult, hoses: HoseColumns, row: int, size: int, units: str = "mm"
) -> Finding:
    """Return the finding of one rule on one hose size for one job.

    Parameters
    ----------
    result : of the rule
    hoses : the columns it ran on
    row : position of the job
    size : position of the hose size
    units : "mm" or "in": in which its sentences tell their figures
    """
    own = told(result, hoses, row, size, units)
    rule, comparison = own.rule, own.comparison
    demand, limit = own.figures if own.matters else (math.nan, math.nan)
    source = rule.row.source
    if comparison.source is not None:
        source = comparison.source(own.row, own.column) or source
    check = check_words(own)
    return Finding(
        code=rule.code,
        verdict=own.verdict,
        demand=demand,
        limit=limit,
        unit=rule.row["unit"],
        margin=_margin(own, demand, limit),
        reason=reason(own, check),
        remedy=remedy(own),
        source=source,
        matters=own.matters,
        assumed=own.assumed,
        check=check,
        look=rule.row["look"] if check else "",
        note=own.note,
    )


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
