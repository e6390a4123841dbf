"""The words of a bench card, in the order of the work, as plain values for its template."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from hoseselect.answer.answer import Answer
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.answer.values import Remark
from hoseselect.domain.cut import CutPlan
from hoseselect.domain.verdict import Verdict
from hoseselect.interfaces.paper.bench_card_cut import clamps_words, cut_words, hose_words
from hoseselect.interfaces.paper.bench_card_reasons import (
    NAMED,
    fold_sources,
    must_not,
    reasons,
    worst_reasons,
)
from hoseselect.interfaces.paper.plain_text import LONGEST_CODE, clean, short
from hoseselect.interfaces.wording import (
    ADVICE,
    SEE_TO,
    STAGES,
    TAKEN_AS_USUAL,
    VERDICTS,
    look_words,
    service_words,
    taken_as_usual,
)

Kind = Literal["cut", "no-length", "refused", "nothing", "not-yet", "stop"]
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
    """

    code: str
    date: str
    units: str = "mm"
    paper: Paper = "a4"
    version: str = ""


def card_kind(answer: Answer, hose: HoseAnswer | None) -> Kind:
    """Return what a card says: a length to cut, none yet, or that nothing is fitted."""
    if answer.stops:
        return "stop"
    judged = answer.hoses if hose is None else (hose,)
    if not any(own.verdict.suits for own in judged):
        open_yet = any(own.verdict is Verdict.UNKNOWN for own in judged)
        refused: Kind = "nothing" if hose is None else "refused"
        return "not-yet" if open_yet else refused
    if hose is None:
        return "nothing"
    return "no-length" if hose.cut is None else "cut"


def card_text(answer: Answer, hose: HoseAnswer | None, frame: CardFrame) -> dict[str, Any]:
    """Return all words of a card.

    Parameters
    ----------
    answer : to the job
    hose : the one that the card is for; None where none suits or the job is stopped
    frame : code, date, units, paper, version

    Returns
    -------
    plain values; text without control characters, and never any figure of a cut for a job that is
    stopped or a hose that does not suit
    """
    kind = card_kind(answer, hose)
    job = answer.job
    plan = hose.cut if hose is not None and kind == "cut" else None
    shown = hose if kind in {"cut", "no-length"} else None
    conditions = [] if shown is None else [_looks(shown), _conditions(shown)]
    known = _knowledge(answer, hose, kind)
    work = _work(answer, plan)
    sections = [*conditions, *work, *known] if shown else [*known, *_before(answer)]
    text: dict[str, Any] = {
        "kind": kind,
        "paper": "us-letter" if frame.paper == "letter" else "a4",
        "name": short(job.name, LONGEST_NAME),
        "service": service_words(job.service),
        "verdict": _headline(answer, hose, kind),
        "date": frame.date,
        "version": frame.version,
        "advice": ADVICE,
        "again": AGAIN,
        "elsewhere": ELSEWHERE,
        "code": frame.code if len(frame.code) <= LONGEST_CODE else TOO_LONG,
        "hose": {} if shown is None else hose_words(shown, frame.units),
        "cut": {} if plan is None else cut_words(plan, frame.units),
        "clamps": [] if plan is None else clamps_words(plan),
        "sections": [section for section in sections if section["items"]],
        "sources": fold_sources(answer, hose, plan),
    }
    text["title"] = f"Bench card: {text['name'] or text['service']}"
    cleaned: dict[str, Any] = clean(text)
    return cleaned


ELSEWHERE = "Sources: no room here; hoseselect check names them, figure by figure."
AGAIN = 'The same job again: hoseselect card --code "..."'
TOO_LONG = "too long for a card: keep the job file with it"


def _headline(answer: Answer, hose: HoseAnswer | None, kind: Kind) -> str:
    if kind == "stop":
        return "; ".join(dict.fromkeys(stop.name for stop in answer.stops))
    if hose is None:
        return ""
    verdict = VERDICTS[hose.verdict]
    return f"{hose.hose}: {verdict}" if kind in {"refused", "not-yet"} else verdict


def _before(answer: Answer) -> list[Section]:
    return [_section("Make safe first", _remarks(answer.cautions, "before"), ticks=True)]


def _work(answer: Answer, plan: CutPlan | None) -> list[Section]:
    """Return the work in its order, each step with boxes to tick."""
    notes = () if plan is None else plan.notes
    checks, cautions = answer.checklist, answer.cautions
    refused = [] if plan is None else [f"No {f} clamp: {why}." for f, why in plan.clamps_refused]
    steps: list[tuple[str, list[str]]] = [
        ("Make safe", _remarks(cautions, "before")),
        (STAGES["look-inside"], [*_remarks(checks, "look-inside"), *answer.old_hose]),
        ("Cut, fit, clamp", [*notes, *_remarks(checks, "fit"), *refused]),
        ("Take care while you work", _remarks(cautions, "during")),
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
        sections.append(_section(title, fresh, ticks=True) | {"cycles": cycles})
    return [section | {"number": k} for k, section in enumerate(_filled(sections), start=1)]


def _filled(sections: list[Section]) -> list[Section]:
    return [section for section in sections if section["items"]]


def _knowledge(answer: Answer, hose: HoseAnswer | None, kind: Kind) -> list[Section]:
    """Return why, on which conditions, what must not be used, what was assumed."""
    sections: list[Section] = []
    if kind == "stop":
        for stop in answer.stops:
            sections.append(_section(f"Why: {stop.name}", [stop.reason]))
        helpers = list(dict.fromkeys(stop.who for stop in answer.stops))
        sections.append(_section("Who can help", helpers))
    elif hose is not None and kind in {"refused", "not-yet"}:
        sections.append(_section(f"Why not {hose.hose}", worst_reasons(hose)))
    elif hose is not None:
        sections.append(_section(f"Why {hose.hose}", reasons(hose)))
    if kind in {"refused", "nothing", "not-yet"}:
        sections.append(_section("Way out", list(answer.way_out)))
        suits = [other.hose for other in answer.suits]
        names = [", ".join(suits[:NAMED])] if suits else []
        sections.append(_section("These suit the same job", names))
    if kind not in {"cut", "no-length"}:
        sections.append(_section("The old hose", list(answer.old_hose)))
    if kind != "stop":
        asked = [f"{q.field}: {q.question}" for q in answer.ask_next[:NAMED]]
        route = [ROUTE] if kind == "no-length" else []
        sections.append(_section("Find out next", [*route, *asked]))
        sections.append(
            _section(TAKEN_AS_USUAL, [text] if (text := taken_as_usual(answer)) else [])
        )
    if kind in {"nothing", "not-yet"}:
        alone = " in one piece" if answer.two_pieces else ""
        sections.append(_section(f"Do not use{alone}", must_not(answer, None)))
    elif kind in {"cut", "no-length"}:
        sections.insert(1, _section("Do not use instead", must_not(answer, hose)))
    return sections


ROUTE = "Describe the route (straights and bends, or both nipples) for a cut length."


def _looks(hose: HoseAnswer) -> Section:
    return _section(SEE_TO, [look_words(look) for look in hose.looks], ticks=True)


def _conditions(hose: HoseAnswer) -> Section:
    conditions = [f"{finding.reason}. {finding.remedy}".strip() for finding in hose.own_conditions]
    return _section("Only on these conditions", conditions, ticks=True)


def _section(title: str, items: list[str], *, ticks: bool = False) -> Section:
    return {"title": title, "items": items, "ticks": ticks, "cycles": False, "number": 0}


def _remarks(remarks: tuple[Remark, ...], stage: str) -> list[str]:
    return [remark.text for remark in remarks if remark.stage == stage]
