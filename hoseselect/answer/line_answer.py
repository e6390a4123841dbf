"""The answer to one line of a sheet of jobs, and the columns in which it is written."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoseselect.answer.answer import Answer
from hoseselect.domain.verdict import Verdict
from hoseselect.intake.job_headings import PREFIX
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH

STOP, ERROR = "stop", "error"
NAMED_OTHERS = 5
BETWEEN = " | "
"""Between several sentences in one cell."""


@dataclass(frozen=True)
class LineAnswer:
    """What is told of one line.

    Parameters
    ----------
    verdict : accept, conditional, unknown, reject, stop or error
    hose : the best hose that suits; empty where none does
    bore : of that hose [mm]
    cut : the length to cut [mm]; NaN where a part of it is not known, or nothing suits
    decided_by : the rule that decides, or the stops; empty where all accept
    reason : of the rule that decides, for the hose or for the nearest that does not suit
    conditions : what that hose depends on
    way_out : what to order, who to see
    ask_next : what to find out first
    others : other hoses that suit, best first
    error : what is wrong with which cell
    """

    verdict: str
    hose: str = ""
    bore: float = math.nan
    cut: float = math.nan
    decided_by: str = ""
    reason: str = ""
    conditions: str = ""
    way_out: str = ""
    ask_next: str = ""
    others: str = ""
    error: str = ""


COLUMNS = {
    "verdict": "accept, conditional, unknown (nothing is passed until it is known), reject, stop or"
    " error",
    "hose": "the best hose size that suits; empty where none does",
    "bore": "bore of that hose",
    "cut_length": "the length to cut; empty where a part of it is not known or no hose suits",
    "decided_by": "code of the rule that decides, or the stops; empty where every rule accepts",
    "reason": "what that rule says of the hose, or of the nearest one that does not suit",
    "conditions": "what the hose depends on: code of the rule and its sentence",
    "way_out": "what to order or who to see",
    "ask_next": "what to find out first: key of a job file and question",
    "other_hoses": "other hose sizes that suit, best first",
    "error": "what is wrong with which cell; such a line has no other answer",
}
"""Columns of an answer and their meaning, in their order."""

LENGTHS = ("bore", "cut_length")


def headings(units: str) -> tuple[str, ...]:
    """Return the headings of the columns of answers, with the unit of lengths in brackets."""
    return tuple(f"{PREFIX}{n} [{units}]" if n in LENGTHS else f"{PREFIX}{n}" for n in COLUMNS)


DECIMALS = 3


def cells(answer: LineAnswer, units: str) -> tuple[str | float | None, ...]:
    """Return the cells of an answer; figures stay figures, None is an empty cell.

    Parameters
    ----------
    answer : to one line
    units : "mm" or "in"
    """
    divisor = MILLIMETRES_PER_INCH if units == "in" else 1.0

    def figure(value: float) -> float | None:
        return None if math.isnan(value) else round(value / divisor, DECIMALS)

    return (
        answer.verdict,
        answer.hose or None,
        figure(answer.bore),
        figure(answer.cut),
        answer.decided_by or None,
        answer.reason or None,
        answer.conditions or None,
        answer.way_out or None,
        answer.ask_next or None,
        answer.others or None,
        answer.error or None,
    )


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
        return LineAnswer(Verdict.REJECT.word, reason="the catalogue holds no hose")
    suits = lead.verdict.suits
    return LineAnswer(
        verdict=lead.verdict.word,
        hose=lead.hose if suits else "",
        bore=lead.bore if suits else math.nan,
        cut=lead.cut,
        decided_by=lead.decided_by,
        reason=lead.reason,
        conditions=BETWEEN.join(f"{code}: {reason}" for code, reason in lead.conditions),
        way_out=BETWEEN.join(answer.way_out),
        ask_next=answer.first_question,
        others="; ".join(answer.suiting[1 : 1 + NAMED_OTHERS]),
    )
