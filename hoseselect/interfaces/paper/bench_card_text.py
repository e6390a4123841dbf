"""The words of a bench card, in the order of the work, as plain values for its template."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from hoseselect.answer.answer import Answer
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.answer.summary import NOT_YET, STOP, Summary
from hoseselect.answer.told_figures import BETWEEN
from hoseselect.answer.values import Remark
from hoseselect.catalogue.locate import BUILT_IN_NAME, catalogue_name
from hoseselect.domain.cut import CutPlan
from hoseselect.interfaces.paper.bench_card_cut import clamps_words, cut_words, hose_words
from hoseselect.interfaces.paper.bench_card_reasons import (
    NAMED,
    fold_sources,
    must_not,
    worst_reasons,
)
from hoseselect.interfaces.paper.measure_again import measure_again
from hoseselect.interfaces.paper.plain_text import LONGEST_CODE, clean, short
from hoseselect.interfaces.wording import ADVICE, STAGES
from hoseselect.quantities.shown import AT_LEAST, both

Kind = Literal["cut", "no-length", "no", "not-yet", "stop"]
Paper = Literal["a4", "letter"]
Section = dict[str, Any]

LONGEST_NAME = 160


@dataclass(frozen=True)
class CardFrame:
    """What stands on a card besides the answer.

    Parameters
    ----------
    code : of the job
    date : of the card, as printed
    units : "mm" or "in", shown first
    paper : "a4" or "letter"
    version : of the tool
    number : of the job in the book; None where it has none
    """

    code: str
    date: str
    units: str = "mm"
    paper: Paper = "a4"
    version: str = ""
    number: int | None = None


def card_kind(summary: Summary, hose: HoseAnswer | None) -> Kind:
    """Return what a card says: a length to cut, none yet, or that nothing is fitted."""
    if summary.offers:
        planned = hose is not None and hose.cut is not None and math.isfinite(summary.cut)
        return "cut" if planned else "no-length"
    kinds: dict[str, Kind] = {STOP: "stop", NOT_YET: "not-yet"}
    return kinds.get(summary.word, "no")


def card_text(
    answer: Answer, summary: Summary, hose: HoseAnswer | None, frame: CardFrame
) -> dict[str, Any]:
    """Return all words of a card.

    Parameters
    ----------
    answer : to the job, of the whole shelf
    summary : what is told first of the hose of the card
    hose : the one that the card is for; None where none suits or the job is stopped
    frame : code, date, units, paper, version

    Returns
    -------
    plain values; text without control characters, and never any figure of a cut for a job that is
    stopped or a hose that does not suit
    """
    kind = card_kind(summary, hose)
    offered = hose if summary.offers else None
    plan = offered.cut if offered is not None and kind == "cut" else None
    work = _work(answer, plan) if summary.offers else _before(answer)
    text: dict[str, Any] = slip_text(answer, summary, frame) | {
        "kind": kind,
        "elsewhere": WHY,
        "again_by_code": BY_CODE,
        "code": frame.code if len(frame.code) <= LONGEST_CODE else TOO_LONG,
        "hose": {} if offered is None else hose_words(offered, summary, frame.units),
        "cut": {} if plan is None else cut_words(plan, frame.units),
        "clamps": [] if plan is None else clamps_words(plan, frame.units),
        "measure": measure_again(answer.job, frame.units),
        "work": work,
        "reasons": [s for s in _reasons(answer, summary, hose) if s["items"]],
        "sources": fold_sources(answer, hose, plan),
    }
    if answer.suiting and not summary.offers:
        text["go_to"] = ""  # what to order is no way out where another hose of the shelf suits
    text["title"] = f"Bench card: {text['name'] or text['service']}"
    text["job"] = _job_line(text)
    cleaned: dict[str, Any] = clean(text)
    return cleaned


def _hoses_of(folder: Path) -> str:
    """Return of which catalogue a card is, in few words."""
    named = catalogue_name(folder)
    return "invented hoses" if named == BUILT_IN_NAME else f"hoses of {short(folder.name, FEW)}"


FEW = 24  # letters


def slip_text(answer: Answer, summary: Summary, frame: CardFrame) -> dict[str, Any]:
    """Return the words of a slip for the customer: verdict, checks, what to tell, who to go to.

    Parameters
    ----------
    answer : to the job
    summary : what is told first
    frame : date, units, paper, version
    """
    return {
        "paper": "us-letter" if frame.paper == "letter" else "a4",
        "name": short(answer.job.name, LONGEST_NAME),
        "service": summary.service,
        "word": summary.word,
        "date": frame.date,
        "version": f"{frame.version}, {_hoses_of(answer.catalogue.folder)}",
        "number": "" if frame.number is None else f"Job {frame.number}",
        "advice": ADVICE,
        "lead": LEADS[summary.word],
        "why": summary.why,
        "offered": summary.hose,
        "print": summary.print_line,
        "length": _length(summary, frame.units),
        "other_lengths": [
            f"{both(cut, 'mm', frame.units, AT_LEAST)} {when}" for cut, when in summary.other_cuts
        ],
        "held_by": list(summary.clamps),
        "checks": [*summary.checks, *summary.conditions],
        "back": list(summary.tell[:-1]),
        "again": summary.tell[-1] if summary.tell else "",
        "injury": summary.injury,
        "usual": summary.usual,
        "settings": summary.settings,
        "question": summary.question,
        "choices": list(summary.choices),
        "go_to": summary.go_to,
    }


LEADS = {
    "USE": "This hose suits the job as it was told.",
    "USE IF": "Only if every box below can be ticked YES. One NO: fit nothing, come back.",
    "NO": "This does not suit the job. No length is given.",
    "NOT YET": "Too little is known to fit a hose. No length is given.",
    "STOP": "No bulk hose on this line. No hose and no length are given.",
}
WHY = "Reasons and sources: on the sheet behind."
BY_CODE = 'The same job again: hoseselect card --code "..."'
TOO_LONG = "too long for a card: keep the job file with it"


def _length(summary: Summary, units: str) -> str:
    """The length to cut, or between which lengths it lies."""
    if math.isfinite(summary.cut):
        return both(summary.cut, "mm", units, AT_LEAST)
    if math.isfinite(summary.cut_least) and math.isfinite(summary.cut_most):
        low, high = (both(v, "mm", units) for v in (summary.cut_least, summary.cut_most))
        return f"{low} to {high}: measure first"
    return ""


def _job_line(text: dict[str, Any]) -> str:
    """Job, hose and cut in one line, for every sheet that may lie alone on a bench."""
    said = [text["number"], short(text["name"] or text["service"], 60), text["offered"]]
    if text["cut"]:
        said.append(f"cut {text['cut']['first']}")
    return "; ".join(filter(None, said))


def _before(answer: Answer) -> list[Section]:
    safe = _section("Make safe first", _remarks(answer.cautions, "before"))
    old = _section("The old hose", list(answer.old_hose))
    return [section for section in (safe, old) if section["items"]]


def _work(answer: Answer, plan: CutPlan | None) -> list[Section]:
    """Return the work in its order, each step with boxes to tick."""
    notes = () if plan is None else plan.notes
    checks, cautions = answer.checklist, answer.cautions
    refused = [] if plan is None else [f"No {f} clamp: {why}." for f, why in plan.clamps_refused]
    steps: list[tuple[str, list[str]]] = [
        ("Make safe, old hose off", _remarks(cautions, "before")),
        (STAGES["look-inside"], [*_remarks(checks, "look-inside"), *answer.old_hose]),
        (STAGES["cut"], [*notes, *_remarks(checks, "cut")]),
        (STAGES["fit"], [*_remarks(checks, "fit"), *_remarks(cautions, "during")]),
        (STAGES["clamp"], [*_remarks(checks, "clamp"), *refused]),
        (STAGES["cold"], _remarks(checks, "cold")),
        ("Before the engine starts", _remarks(cautions, "after")),
        (STAGES["hot"], _remarks(checks, "hot")),
        (STAGES["heat-cycles"], _remarks(checks, "heat-cycles")),
        (STAGES["record"], _remarks(checks, "record")),
    ]
    said: set[str] = set()
    sections = []
    for title, texts in steps:
        fresh = [text for text in dict.fromkeys(texts) if text not in said]
        said.update(fresh)
        cycles = title == STAGES["heat-cycles"]
        sections.append(_section(title, fresh) | {"cycles": cycles})
    filled = [section for section in sections if section["items"]]
    return [section | {"number": k} for k, section in enumerate(filled, start=1)]


def _reasons(answer: Answer, summary: Summary, hose: HoseAnswer | None) -> list[Section]:
    """Return why, what must not be used, what was taken as usual, what to find out."""
    if summary.word == STOP:
        return [_section(f"Why: {stop.name}", [stop.reason]) for stop in answer.stops]
    asked = [question.question for question in answer.ask_next[:NAMED]]
    usual = _section("Taken as usual, because it was not told", list(filter(None, [summary.usual])))
    settings = _section("Taken as set in this shop", list(filter(None, [summary.settings])))
    more = _section("What would settle more", asked)
    if summary.offers and hose is not None:
        return [
            _section(f"Why {hose.hose}", summary.why.split(BETWEEN)),
            _section("Do not use instead", must_not(answer, hose)),
            usual,
            settings,
            more,
        ]
    suits = [other.hose for other in answer.suits[:NAMED]]
    alone = " in one piece" if answer.two_pieces else ""
    refused = [] if hose is None else worst_reasons(hose)
    return [
        _section("These suit the same job", [", ".join(suits)] if suits else []),
        _section("" if hose is None else f"Why not {hose.hose}", refused),
        _section("What to do instead", [way for way in answer.way_out if way != summary.go_to]),
        _section("What to find out", asked),
        usual,
        settings,
        _section(f"Do not use{alone}", must_not(answer, None)),
    ]


def _section(title: str, items: list[str]) -> Section:
    return {"title": title, "items": items, "cycles": False, "number": 0}


def _remarks(remarks: tuple[Remark, ...], stage: str) -> list[str]:
    return [remark.text for remark in remarks if remark.stage == stage]
