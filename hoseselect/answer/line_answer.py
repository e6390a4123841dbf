"""The answer to one line of a sheet of jobs, and the columns in which it is written.

It is the summary of the answer, as screen and card tell it, told from the hose that leads alone.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from hoseselect.answer.answer import Answer
from hoseselect.answer.counter_words import injury
from hoseselect.answer.lead import Lead
from hoseselect.answer.stock_line import METRE, clamp_lines, stock_line
from hoseselect.answer.summary import NO, STOP, WORDS, look_words
from hoseselect.cutplan.open_length import other_lengths, to_measure
from hoseselect.intake.job_headings import PREFIX
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH
from hoseselect.quantities.shown import metres, shown

ERROR = "ERROR"
NAMED_OTHERS = 5
BETWEEN = " | "
"""Between several sentences in one cell."""
TO_ORDER = "to order"


@dataclass(frozen=True)
class LineAnswer:
    """What is told of one line; a field that has nothing to tell is empty or NaN.

    Parameters
    ----------
    verdict : USE, USE IF, NO, NOT YET, STOP or ERROR
    hose, description, print_line : the best hose that suits, and what must be read on it
    bore : of that hose [mm]
    cut : the length to cut [mm]; NaN where it rests on a guess
    cut_least, cut_most : where it does: between which lengths it lies [mm]
    other_cuts : the length under a circumstance that is not known
    clamps : of both ends
    checks : what must hold before anything flows
    conditions : what the hose itself leaves open
    usual : what was taken as usual
    roll : where the hose hangs and what is left of it
    price : of the piece, the longest that it may come to
    decided_by : the rule that decides, or the stops; empty where all accept
    reason : of the rule that decides, for the hose or for the nearest that does not suit
    way_out : what to order, who to see
    ask : what to find out first
    caution : what could injure somebody on such a line
    others : other hoses that suit, best first
    error : what is wrong with which cell
    """

    verdict: str
    hose: str = ""
    description: str = ""
    print_line: str = ""
    bore: float = math.nan
    cut: float = math.nan
    cut_least: float = math.nan
    cut_most: float = math.nan
    other_cuts: str = ""
    clamps: str = ""
    checks: str = ""
    conditions: str = ""
    usual: str = ""
    roll: str = ""
    price: float = math.nan
    decided_by: str = ""
    reason: str = ""
    way_out: str = ""
    ask: str = ""
    caution: str = ""
    others: str = ""
    error: str = ""


COLUMNS = {
    "verdict": "USE, USE IF (all that stands under checks and conditions holds), NO, NOT YET"
    " (nothing is offered until what stands under ask is known), STOP, or ERROR",
    "hose": "the best hose size that suits; empty where none does",
    "description": "what kind of hose it is",
    "print_line": "what must be read on it",
    "bore": "bore of that hose",
    "cut_length": "the length to cut; empty where it rests on a guess, or no hose suits",
    "cut_least": "where it rests on a guess: the shortest length that it may come to",
    "cut_most": "where it rests on a guess: the longest length that it may come to",
    "other_cuts": "where it rests on a guess: the length under a circumstance that is not known",
    "clamps": "clamps of both ends",
    "checks": "what must hold at the vehicle before anything flows",
    "conditions": "what the hose itself leaves open: the maker's word, a proof, a look at the roll",
    "taken_as_usual": "what rests on an assumption, as it is usual for such a line",
    "roll": "where the hose hangs, the roll to cut from and what is left on it",
    "price": "of the piece, the longest that it may come to, in the catalogue's money",
    "decided_by": "code of the rule that decides, or the stops; empty where every rule accepts",
    "reason": "what that rule says of the hose, or of the nearest one that does not suit",
    "way_out": "what to order or who to see",
    "ask": "what to find out first",
    "caution": "what could injure somebody on such a line",
    "other_hoses": "other hose sizes that suit, best first",
    "error": "what is wrong with which cell; such a line has no other answer",
}
"""Columns of an answer and their meaning, in their order."""

LENGTHS = ("bore", "cut_length", "cut_least", "cut_most")
FIGURES = (*LENGTHS, "price")


def headings(units: str) -> tuple[str, ...]:
    """Return the headings of the columns of answers, with the unit of lengths in brackets."""
    return tuple(f"{PREFIX}{n} [{units}]" if n in LENGTHS else f"{PREFIX}{n}" for n in COLUMNS)


DECIMALS, CENT = 3, 2


def cells(answer: LineAnswer, units: str) -> tuple[str | float | None, ...]:
    """Return the cells of an answer; figures stay figures, None is an empty cell.

    Parameters
    ----------
    answer : to one line
    units : "mm" or "in"
    """
    divisor = MILLIMETRES_PER_INCH if units == "in" else 1.0
    told: list[str | float | None] = []
    for column, value in zip(COLUMNS, vars(answer).values(), strict=True):
        if not isinstance(value, float):
            told.append(value or None)
        elif math.isnan(value):
            told.append(None)
        elif column in LENGTHS:
            told.append(round(value / divisor, DECIMALS) + 0.0)  # no zero with a sign
        else:
            told.append(round(value, CENT))
    return tuple(told)


def of_answer(answer: Answer) -> LineAnswer:
    """Return what a line tells of the answer to its job."""
    if answer.stops:
        return LineAnswer(
            STOP,
            decided_by="; ".join(stop.code for stop in answer.stops),
            reason=BETWEEN.join(stop.reason for stop in answer.stops),
            way_out=BETWEEN.join(answer.way_out),
        )
    lead = answer.lead
    if lead is None:
        return LineAnswer(NO, reason="the catalogue holds no hose")
    return LineAnswer(
        verdict=WORDS[lead.verdict],
        decided_by=lead.decided_by,
        reason=lead.reason,
        way_out=BETWEEN.join(answer.way_out),
        others="; ".join(answer.suiting[1 : 1 + NAMED_OTHERS]),
        ask=BETWEEN.join(dict.fromkeys(_asked(answer, lead))),
        caution=injury(answer.job.service),
        **(_offered(answer, lead) if lead.verdict.suits else {}),
    )


def _asked(answer: Answer, lead: Lead) -> list[str]:
    """Return what to find out: to know the length of a hose that is offered, then the verdict."""
    measured: tuple[str, ...] = ()
    if not lead.believed and not math.isnan(lead.cut):
        measured = to_measure(answer.job)
    return [*measured, *([answer.first_question] if answer.asked else [])]


def _offered(answer: Answer, lead: Lead) -> dict[str, Any]:
    """Return what is told of the hose that is offered."""
    sizes, types = answer.catalogue.sizes, answer.catalogue.types
    row = int(sizes.type_index[lead.place])
    own = [one for one in lead.conditions if not one.check]
    return {
        "hose": lead.hose,
        "description": types.description[row],
        "print_line": types.print_line[row],
        "bore": lead.bore,
        "clamps": BETWEEN.join(clamp_lines(answer, lead, answer.units)),
        "checks": BETWEEN.join(look_words(lead.looks)),
        "conditions": BETWEEN.join(f"{c.code}: {c.reason}" for c in own if not c.assumed),
        "usual": BETWEEN.join(f"{c.code}: {c.reason}" for c in own if c.assumed),
        "roll": _roll(answer, lead),
        "price": lead.cut / METRE * float(sizes.price_per_m[lead.place]),
        **_lengths(answer, lead),
    }


def _roll(answer: Answer, lead: Lead) -> str:
    """Return where the hose hangs, the roll to cut from and what is left on it."""
    stock = stock_line(answer, lead)
    if not stock.roll:
        return TO_ORDER
    left = f"roll {stock.roll}, {metres(stock.metres_left, answer.units)} left"
    return f"{stock.place}, {left}" if stock.place else left


def _lengths(answer: Answer, lead: Lead) -> dict[str, Any]:
    """Return the length to cut, or between which lengths it lies."""
    if lead.believed:
        return {"cut": lead.cut}
    if math.isnan(lead.cut):
        return {}
    others = other_lengths(answer.job, answer.units)
    return {
        "cut_least": lead.least,
        "cut_most": lead.cut,
        "other_cuts": BETWEEN.join(
            f"{shown(own.length, 'mm', answer.units)} {own.circumstance}" for own in others
        ),
    }
