"""Sentences of the rules: the figures of one rule on one hose, in the units of the shop.

The templates stand in the table of rules. Every figure is written with its unit, and no finer than
it is measured; only where demand and limit would look alike are they told apart.
"""

from __future__ import annotations

import math
from functools import lru_cache

from hoseselect.answer.told import Told
from hoseselect.domain.verdict import Verdict
from hoseselect.knowledge.load import table
from hoseselect.knowledge.tolerances import PERCENT
from hoseselect.quantities.shown import AT_LEAST, AT_MOST, shown

SMALLEST_SHOWN = 0.0005  # below it a figure is shown as 0, a matter of print
FOUR_DIGITS = 10_000  # from here on whole figures are shown, a matter of print
DIGITS = 4
FINEST = 3  # how often a figure is shown finer, where demand and limit would look alike
NOT_ASKED = "does not matter for this job"
RESTS_ON_ASSUMPTION = "Find out what was assumed, then ask again."
SHOWN = {"share": (PERCENT, "%"), "times": (1.0, ""), "-": (1.0, "")}
"""Factor and sign of units that are not shown as they are worked in."""


def figure(value: float) -> str:
    """Return a figure for a sentence: few digits, no needless zeros."""
    if math.isnan(value):
        return "unknown"
    if math.isinf(value):
        return "unlimited"
    if abs(value) >= FOUR_DIGITS:
        return f"{value:.0f}"
    if abs(value) < SMALLEST_SHOWN:
        return "0"
    text = f"{value:.{DIGITS}g}"
    return f"{float(text):.0f}" if "e" in text else text


def filled(
    template: str, demand: float, limit: float, unit: str, units: str, note: str = ""
) -> str:
    """Return a sentence with demand and limit in it, each with its unit.

    Parameters
    ----------
    template : of the table of rules; {suction} and {stands} are the two without their sign
    demand, limit : figures [unit]
    unit : working unit of the rule
    units : "mm" or "in"
    note : words of the rule
    """
    factor, sign = SHOWN.get(unit, (1.0, unit))

    def told(value: float, finer: int = 0) -> str:
        return shown(value * factor, sign, units, finer=finer)

    differ = demand != limit and math.isfinite(demand) and math.isfinite(limit)
    finer = 0
    while differ and finer < FINEST and told(demand, finer) == told(limit, finer):
        finer += 1
    return template.format(
        demand=told(demand, finer),
        limit=told(limit, finer),
        suction=told(abs(demand), finer),
        stands=told(abs(limit), finer),
        lacking=told(abs(limit - demand)),
        note=note,
    )


def reason(own: Told, check: str) -> str:
    """Return what the rule says, in one sentence.

    Parameters
    ----------
    own : what it says, in figures
    check : its words of what must be seen to; empty = nothing
    """
    if not own.matters:
        return NOT_ASKED
    if check:
        return f"suits if {check}"
    demand, limit = own.figures
    verdict, end, row = own.verdict, own.end, own.rule.row
    told_by_end = (verdict is Verdict.CONDITIONAL and end is Verdict.ACCEPT) or (
        verdict is Verdict.UNKNOWN and end is not Verdict.UNKNOWN
    )
    word = end.word if own.doubted and told_by_end else verdict.word
    if math.isnan(demand) and verdict is Verdict.CONDITIONAL:
        word = Verdict.UNKNOWN.word
    if own.rule.group == "bend" and math.isinf(demand):
        return "no bend on the route"
    template: str = row[word]
    for place, words in IN_LENGTHS.items():
        if place in template:
            template = template.replace(place, words(own))
    sentence = filled(template, demand, limit, row["unit"], own.units, own.note)
    if not own.doubted:
        return sentence
    if verdict is Verdict.UNKNOWN and end is not Verdict.UNKNOWN:
        return f"worst case: {sentence}"
    return f"{sentence} (on an assumption)"


def _gap(own: Told) -> str:
    """Return by how much the bore is wider or tighter than the nipple."""
    gap = own.bore * own.figures[0] / PERCENT
    if not math.isfinite(gap):
        return shown(math.nan, "mm", own.units)
    words = shown(abs(gap), "mm", own.units)
    if words.startswith("0 "):
        return "as wide as the nipple"
    return f"{words} {'wider' if gap > 0 else 'tighter'} than the nipple"


def _stretch(own: Told) -> str:
    """Return by how much the hose is stretched, as a length and a share of its bore."""
    percent = own.figures[0]
    if not math.isfinite(percent):
        return shown(math.nan, "mm", own.units)
    if percent <= 0:
        return "no stretch"
    wider = shown(own.bore * percent / PERCENT, "mm", own.units)
    return f"stretched by {wider} ({shown(percent, '%')})"


IN_LENGTHS = {"{gap}": _gap, "{stretch}": _stretch}
"""Places of a sentence that tell a share of the bore as a length."""


def check_words(own: Told) -> str:
    """Return what somebody must see to at the vehicle, by the hose's own limit; empty = nothing."""
    if not own.has_check:
        return ""
    limit = own.passing_limit
    words: str = own.rule.row["check"]
    care = f" ({own.note.lstrip(', ')})" if own.at_best and own.note else ""
    return _filled_check(words, own, limit) + care


def _filled_check(words: str, own: Told, limit: float) -> str:
    """Return the words of a check with its figures."""
    return words.format(
        beside=beside(limit, own.units),
        limit=_to_measure(own, limit),
        worst=_to_measure(own, own.at(own.comparison.limit)),
        over=shown(own.bore * (1 + limit / PERCENT), "mm", own.units, AT_MOST),
        under=shown(own.bore * (1 - limit / PERCENT), "mm", own.units, AT_LEAST),
    )


@lru_cache(maxsize=4096)
def beside(radius: float, units: str) -> str:
    """Return a round thing that is wide enough, to picture a bend by; empty where none is near.

    Parameters
    ----------
    radius : of the bend [mm]
    units : "mm" or "in"
    """
    wider = [row for row in table("household_measures") if row.number("across_mm") >= 2 * radius]
    nearest = min(wider, key=lambda row: row.number("across_mm"), default=None)
    if nearest is None or nearest.number("across_mm") > 2 * radius * NEAR:
        return ""
    own = shown(nearest.number("across_mm") / 2, "mm", units)
    return f" ({nearest['thing']} is R {own})"


NEAR = 1.5
"""How much wider than a bend a thing may be, to picture it by."""


def _to_measure(own: Told, limit: float) -> str:
    """Return a limit as somebody measures it at the vehicle, rounded to its safe side."""
    side = AT_MOST if own.comparison.sense == "at_most" else AT_LEAST
    if own.comparison.measured is None:
        return shown(limit, "mm", own.units, side)
    measured = own.comparison.measured(own.row, limit)
    if math.isnan(measured):  # a share of a length that is not known
        return f"{shown(limit * PERCENT, '%')} of its free length"
    return shown(measured, "mm", own.units, side)


def remedy(own: Told) -> str:
    """Return what to do, with the limit where it is known and the remedy speaks of it."""
    if own.verdict is Verdict.ACCEPT or own.has_check:
        return ""
    if own.assumed:
        return RESTS_ON_ASSUMPTION
    limit = own.shown_limit(own.end)
    row = own.rule.row
    column = "remedy"
    if own.verdict is Verdict.CONDITIONAL and row["remedy_conditional"]:
        column = "remedy_conditional"
    elif math.isnan(limit) and row["remedy_without_limit"]:
        column = "remedy_without_limit"
    return filled(row[column], math.nan, limit, row["unit"], own.units, own.note)
