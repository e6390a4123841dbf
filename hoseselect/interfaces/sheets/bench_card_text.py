"""The words of a bench card, in the order of the work, as plain values for its template."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from typing import Any, Literal

from hoseselect.application.answer import Answer, HoseAnswer, Remark
from hoseselect.domain.cut import ClampChoice, CutPlan
from hoseselect.domain.verdict import Verdict
from hoseselect.interfaces.sheets.bench_card_reasons import (
    NAMED,
    fold_sources,
    must_not,
    reasons,
    worst_reasons,
)
from hoseselect.interfaces.wording import ADVICE, STAGES, VERDICTS, length, service_words

Kind = Literal["cut", "no-length", "refused", "nothing", "stop"]
Paper = Literal["a4", "letter"]
Section = dict[str, Any]

LONGEST_NAME = 160
LONGEST_TEXT = 420
LONGEST_WORD = 18
"""Longer words may be broken, so that no name runs out of its column."""
LONGEST_CODE = 4000
NO_BREAK = "\u00a0"
BREAK_HERE = "\u200b"
JOINERS = "\u200c\u200d"
"""Characters that cannot be seen and are parts of letters in some scripts."""


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
    if hose is None:
        return "nothing"
    if not hose.verdict.suits:
        return "refused"
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
    conditions = [] if shown is None else [_conditions(shown)]
    known = _knowledge(answer, hose, kind)
    work = _work(answer, plan)
    sections = [*conditions, *work, *known] if shown else [*known, *_before(answer)]
    text: dict[str, Any] = {
        "kind": kind,
        "paper": "us-letter" if frame.paper == "letter" else "a4",
        "name": _short(job.name, LONGEST_NAME),
        "service": service_words(job.service),
        "verdict": _headline(answer, hose, kind),
        "date": frame.date,
        "version": frame.version,
        "advice": ADVICE,
        "again": AGAIN,
        "elsewhere": ELSEWHERE,
        "code": frame.code if len(frame.code) <= LONGEST_CODE else TOO_LONG,
        "hose": {} if shown is None else _hose(shown, frame.units),
        "cut": {} if plan is None else _cut(plan, frame.units),
        "clamps": [] if plan is None else _clamps(plan),
        "sections": [section for section in sections if section["items"]],
        "sources": fold_sources(answer, hose, plan),
    }
    text["title"] = f"Bench card: {text['name'] or text['service']}"
    cleaned: dict[str, Any] = _clean(text)
    return cleaned


ELSEWHERE = "Sources: no room here; hoseselect check names them, figure by figure."
AGAIN = 'The same job again: hoseselect ticket --code "..."'
TOO_LONG = "too long for a card: keep the job file with it"


def _headline(answer: Answer, hose: HoseAnswer | None, kind: Kind) -> str:
    if kind == "stop":
        return "; ".join(dict.fromkeys(stop.name for stop in answer.stops))
    if hose is None:
        return ""
    verdict = VERDICTS[hose.verdict]
    return f"{hose.hose}: {verdict}" if kind == "refused" else verdict


def _hose(hose: HoseAnswer, units: str) -> dict[str, Any]:
    outside = hose.outside_diameter
    size = f"bore {length(hose.bore, units)}"
    if math.isfinite(outside):
        size += f", outside {length(outside, units)}"
    return {"id": hose.hose, "description": hose.description, "size": size} | {
        "print": hose.print_line or "",
        "no_print": "The catalogue names no print for it: prove what it is in another way.",
    }


def _both(value: float, units: str, *, up: bool = False) -> tuple[str, str]:
    """Return a length in the unit asked for, and in the other one."""
    first, _, second = length(value, units, up=up).replace(" ", NO_BREAK).partition(f"{NO_BREAK}(")
    return first, second.removesuffix(")")


def _cut(plan: CutPlan, units: str) -> dict[str, Any]:
    first, second = _both(plan.cut, units, up=True)
    low, high = plan.window
    longest = length(high, units) if math.isfinite(high) else "any longer length"
    tolerance = f"+/- {length(plan.tolerance, units)}"
    if math.isfinite(plan.squareness):
        tolerance += f", square within {length(plan.squareness, units)}"
    parts = []
    for part in plan.parts:
        shown = _both(part.length, units)
        parts.append({"name": part.name, "first": shown[0], "second": shown[1]} | {
            "share": max(part.length, 0.0) / plan.cut
        })  # fmt: skip
    return {
        "first": first,
        "second": second,
        "tolerance": tolerance,
        "works": f"{length(low, units)} to {longest}",
        "parts": parts,
        "tightest": _tightest(plan, units),
        "mark": _mark(plan),
        "clips": _clips(plan, units),
    }


def _tightest(plan: CutPlan, units: str) -> str:
    if math.isinf(plan.tightest_radius):
        return "no bend: the route is straight"
    if math.isnan(plan.tightest_radius):
        return "not known: look along the whole route for it"
    radius = f"R {length(plan.tightest_radius, units)} on the centreline"
    if math.isnan(plan.tightest_at):
        return f"{radius}; where it is was not measured"
    mouth = length(plan.tightest_at, units)
    end = length(plan.tightest_at + _over_a(plan), units)
    return f"{radius}, {end} from the cut end at A ({mouth} from the mouth of nipple A)"


def _over_a(plan: CutPlan) -> float:
    return next((part.length for part in plan.parts if part.name == "engagement A"), 0.0)


def _mark(plan: CutPlan) -> float:
    """Where the tightest bend is, as a share of the cut; negative where it is not known."""
    at = (plan.tightest_at + _over_a(plan)) / plan.cut
    known = math.isfinite(plan.tightest_radius) and math.isfinite(at)
    return min(max(at, 0.0), 1.0) if known else -1.0


def _clips(plan: CutPlan, units: str) -> str:
    if not plan.supports:
        return ""
    apart = plan.support_spacing
    far = f", at most {length(apart, units)} apart" if math.isfinite(apart) else ""
    return f"{plan.supports} on the way{far}"


def _clamps(plan: CutPlan) -> list[dict[str, str]]:
    """Return the clamps of both ends; ends that are alike stand together."""
    ends = [("A", plan.clamps_a), ("B", plan.clamps_b)]
    if plan.clamps_a == plan.clamps_b:
        ends = [("A, B", plan.clamps_a)]
    rows = []
    for end, clamps in ends:
        for rank, clamp in enumerate(clamps):
            rows.append({
                "end": end if rank == 0 else "or",
                "what": f"{clamp.number} x {clamp.clamp}",
                "text": _clamp(clamp),
                "torque": _torque(clamp),
            })  # fmt: skip
    if plan.clamps_a:
        place = f"Sits {plan.clamps_a[0].position}."
        if any(math.isnan(clamp.torque_new) for clamp in (*plan.clamps_a, *plan.clamps_b)):
            place += " Where no torque stands here, none is published: ask the clamp's maker."
        rows.append({"end": "", "what": "", "text": place, "torque": ""})
    return rows


def _clamp(clamp: ClampChoice) -> str:
    return (
        f"{clamp.family}, {clamp.range_min:g} to {clamp.range_max:g} mm; hose on the nipple"
        f" {clamp.hose_diameter:.1f} mm"
    )


def _torque(clamp: ClampChoice) -> str:
    if math.isnan(clamp.torque_new):
        return ""
    again = f", again {clamp.torque_again:g} N m" if math.isfinite(clamp.torque_again) else ""
    return f"{clamp.torque_new:g} N m new{again}"


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
    elif hose is not None and kind == "refused":
        sections.append(_section(f"Why not {hose.hose}", worst_reasons(hose)))
    elif hose is not None:
        sections.append(_section(f"Why {hose.hose}", reasons(hose)))
    if kind in {"refused", "nothing"}:
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
        sections.append(_section("Assumed, because nobody said", _assumed(answer)))
    if kind == "nothing":
        sections.append(_section("Do not use", must_not(answer, None)))
    elif kind in {"cut", "no-length"}:
        sections.insert(1, _section("Do not use instead", must_not(answer, hose)))
    return sections


ROUTE = "Describe the route (straights and bends, or both nipples) for a cut length."


def _assumed(answer: Answer) -> list[str]:
    """Return what was assumed, a few to the line."""
    said = [f"{a.field} = {a.value} {a.unit}".strip() for a in answer.assumptions]
    return ["; ".join(said[k : k + A_LINE]) for k in range(0, len(said), A_LINE)]


A_LINE = 4


def _conditions(hose: HoseAnswer) -> Section:
    conditions = [
        f"{finding.reason}. {finding.remedy}".strip()
        for finding in hose.findings
        if finding.verdict is Verdict.CONDITIONAL
    ]
    return _section("Only on these conditions", conditions, ticks=True)


def _section(title: str, items: list[str], *, ticks: bool = False) -> Section:
    return {"title": title, "items": items, "ticks": ticks, "cycles": False, "number": 0}


def _remarks(remarks: tuple[Remark, ...], stage: str) -> list[str]:
    return [remark.text for remark in remarks if remark.stage == stage]


def _short(text: str, longest: int) -> str:
    return text if len(text) <= longest else f"{text[: longest - 1].rstrip()}…"


def _clean(value: Any, longest: int = LONGEST_TEXT) -> Any:
    """Return plain values with text that any paper can carry: no controls, no endless words."""
    if isinstance(value, dict):
        return {
            key: _clean(item, LONGEST_CODE if key == "code" else longest)
            for key, item in value.items()
        }
    if isinstance(value, list):
        return [_clean(item, longest) for item in value]
    if not isinstance(value, str):
        return value
    seen = "".join(c if _visible(c) else " " for c in value)
    plain = _short(re.sub(" +", " ", seen).strip(), longest)
    return re.sub(rf"([^\s-]{{{LONGEST_WORD}}})(?=[^\s-])", rf"\1{BREAK_HERE}", plain)


def _visible(character: str) -> bool:
    hidden = {"Cc", "Cf", "Cs", "Cn", "Co", "Zl", "Zp"}
    return character in JOINERS or unicodedata.category(character) not in hidden
