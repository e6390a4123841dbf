"""The one value from which screen, card, slip, sheet and JSON tell the verdict.

Lengths are in mm and money as in the catalogue; sentences quote figures in the units of the
answer. Whoever shows an answer shows this, so that no two papers can differ.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from hoseselect.answer.counter_words import injury, tell
from hoseselect.answer.first_question import first_question
from hoseselect.answer.looks import Look
from hoseselect.answer.not_these import not_these
from hoseselect.answer.stock_line import clamp_lines, stock_line
from hoseselect.answer.told_figures import shop_settings, understood, usual, why
from hoseselect.catalogue.locate import catalogue_name
from hoseselect.domain.cut import CutPlan
from hoseselect.domain.finding import number_or_null
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.knowledge.load import table
from hoseselect.rules.stop import Stop

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer
    from hoseselect.answer.hose_answer import HoseAnswer

USE, USE_IF, NO, NOT_YET, STOP = "USE", "USE IF", "NO", "NOT YET", "STOP"
WORDS = {
    Verdict.ACCEPT: USE,
    Verdict.CONDITIONAL: USE_IF,
    Verdict.UNKNOWN: NOT_YET,
    Verdict.REJECT: NO,
}
ALSO = 3
NAN = math.nan


@dataclass(frozen=True)
class Summary:
    """What is told first of an answer; a field that has nothing to tell is empty or NaN.

    Parameters
    ----------
    word : "USE", "USE IF", "NO", "NOT YET" or "STOP"
    service : the line in the words of the trade
    name : what the job is called; empty where it has no name
    understood : what was typed, in short
    catalogue : on which the answer rests; empty where a stop rests on none
    hose, description, print_line : what is offered, and what must be read on it
    place, roll : where it hangs, and the roll to cut from; empty where it must be ordered
    metres_left : on that roll [m]
    price_per_m, cost, currency : in the catalogue's money; the cost of the cut, or of its longest
    cut : the length to cut [mm]; NaN where none is given
    cut_least, cut_most : where the cut rests on a guess: between which lengths it lies [mm]
    other_cuts : further lengths [mm], each with the circumstance in which it holds
    measure : what to find out to know the length
    clamps : in words, each kind once
    why : why it suits, or why not, in one line
    checks : what must hold before anything flows, at most three
    conditions : what the hose itself leaves open: the maker's word, a proof, a look at the roll
    usual : what was taken as usual, in one line
    settings : what counts as the shop has set it, in one line
    injury : what could injure somebody on this job, in one line
    tell : what to tell the customer: what goes back in, direction, when to look again
    not_these : families of hose that somebody might take, each with the reason against it
    also : the next best hoses
    question_key, question : key of a job file and words of the one thing that decides, where
        nothing can be offered yet
    choices : replies to it, as a job file takes them; empty = a figure
    go_to : who helps, or what to order, where nothing is offered
    """

    word: str
    service: str
    name: str = ""
    understood: str = ""
    catalogue: str = ""
    hose: str = ""
    description: str = ""
    print_line: str = ""
    place: str = ""
    roll: str = ""
    metres_left: float = NAN
    price_per_m: float = NAN
    cost: float = NAN
    currency: str = ""
    cut: float = NAN
    cut_least: float = NAN
    cut_most: float = NAN
    other_cuts: tuple[tuple[float, str], ...] = ()
    measure: tuple[str, ...] = ()
    clamps: tuple[str, ...] = ()
    why: str = ""
    checks: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()
    usual: str = ""
    settings: str = ""
    injury: str = ""
    tell: tuple[str, ...] = ()
    not_these: tuple[tuple[str, str], ...] = ()
    also: tuple[str, ...] = ()
    question_key: str = ""
    question: str = ""
    choices: tuple[str, ...] = ()
    go_to: str = ""

    @property
    def offers(self) -> bool:
        """Whether a hose is offered."""
        return self.word in {USE, USE_IF}

    def as_json(self) -> dict[str, Any]:
        """Return it as plain values; NaN becomes null. Without a hose there is no word of a cut."""
        left_out = () if self.offers else OF_THE_HOSE
        told = asdict(self).items()
        return {name: _plain(value) for name, value in told if name not in left_out}


OF_THE_HOSE = (
    *("hose", "description", "print_line", "place", "roll", "metres_left", "price_per_m", "cost"),
    "currency",
    *("cut", "cut_least", "cut_most", "other_cuts", "measure", "clamps", "checks", "conditions"),
    *("tell", "also"),
)
"""Fields that are told of a hose that is offered, and else are no part of the plain values."""


def _plain(value: Any) -> Any:
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return number_or_null(value, DIGITS) if isinstance(value, float) else value


DIGITS = 3  # as of a cut plan


def summary(answer: Answer) -> Summary:
    """Return what is told first of an answer."""
    job = answer.job
    if answer.stops:
        return stop_summary(job, answer.stops, answer.units)
    told = _line(job, answer.units) | {"injury": injury(job.service)}
    told["catalogue"] = catalogue_name(answer.catalogue.folder)
    if answer.lead is None:
        return Summary(NO, **told, why="The catalogue holds no hose.")
    word = WORDS[answer.lead.verdict]
    told |= {"usual": usual(answer), "settings": shop_settings(answer)}
    told |= {"not_these": not_these(answer)}
    if answer.lead.verdict.suits:
        return Summary(word, **told, **_offered(answer, answer.best(1)[0]))
    nearest = "" if answer.shelf or word == NOT_YET else "nothing on the shelf suits, not even "
    told["why"] = f"{nearest}{answer.lead.hose}: {answer.lead.reason}"
    if word == NOT_YET:
        told |= asdict(first_question(answer))
    else:
        told["go_to"] = answer.way_out[0] if answer.way_out else ""
    return Summary(word, **told)


def line_name(service: str) -> str:
    """Return the name of a service or of a stop."""
    if table("services").has(service=service):
        return table("services").row(service=service)["name"]
    return table("stops").row(stop=service)["name"]


def stop_summary(job: Job, met: tuple[Stop, ...], units: str) -> Summary:
    """Return what is told first of a job that is stopped: why, and who helps.

    Parameters
    ----------
    job : as understood
    met : the stops
    units : "mm" or "in"
    """
    why = " ".join(dict.fromkeys(stop.reason for stop in met))
    who = tuple(dict.fromkeys(stop.who for stop in met))
    go_to = "; ".join(own for own in who if not any(own != other and own in other for other in who))
    return Summary(STOP, **_line(job, units), why=why, go_to=go_to)


def _line(job: Job, units: str) -> dict[str, Any]:
    return {
        "service": line_name(job.service),
        "name": job.name,
        "understood": understood(job, units),
    }


def _offered(answer: Answer, hose: HoseAnswer) -> dict[str, Any]:
    """Return what is told of the hose that is offered."""
    stock = stock_line(answer, hose)
    plan = hose.cut
    return {
        "hose": hose.hose,
        "description": hose.description,
        "print_line": hose.print_line,
        **asdict(stock),
        "price_per_m": hose.price,
        "currency": answer.catalogue.currency,
        "cost": hose.cut_length / METRE * hose.price,
        **({} if plan is None else told_lengths(plan)),
        "clamps": clamp_lines(answer, hose, answer.units),
        "why": why(hose),
        "checks": look_words(hose.looks),
        "conditions": tuple(finding.reason for finding in hose.own_conditions),
        "tell": tell(answer.job),
        "also": answer.suiting[1 : 1 + ALSO],
    }


def look_words(looks: Iterable[Look]) -> tuple[str, ...]:
    """Return looks as sentences, one for each place."""
    return tuple(f"{LOOKS[look.place]}: {'; '.join(look.points)}." for look in looks)


def told_lengths(plan: CutPlan) -> dict[str, Any]:
    """Return the length to cut, or between which it lies where it rests on a guess."""
    if plan.believed:
        return {"cut": plan.cut}
    least, most = plan.range
    others = tuple((other.length, other.circumstance) for other in plan.others)
    return {
        "cut_least": least,
        "cut_most": most,
        "other_cuts": others,
        "measure": plan.measure,
    }


METRE = 1000.0  # [mm]
LOOKS = {
    "ends": "Ends",
    "way": "Run",
    "round": "Round it",
}
