"""The answer on the terminal: verdict and cut length first, then why, conditions, cautions."""

from __future__ import annotations

from hoseselect.answer.answer import Answer
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.answer.summary import NO, NOT_YET
from hoseselect.answer.values import Remark
from hoseselect.catalogue.locate import catalogue_name
from hoseselect.domain.finding import Finding
from hoseselect.domain.verdict import Verdict
from hoseselect.interfaces.cli.common import Screen
from hoseselect.interfaces.cli.show_cut import write_cut
from hoseselect.interfaces.cli.show_looks import write_looks, write_usual
from hoseselect.interfaces.wording import (
    ADVICE,
    STAGES,
    STOP,
    VERDICTS,
    job_title,
    length,
    per_cent,
    plan_words,
)
from hoseselect.rules.stop import Stop

CLOSEST = 3
NAMED = 6


def show_answer(answer: Answer, units: str, *, every: bool = False) -> None:
    """Write a whole answer.

    Parameters
    ----------
    answer : to show
    units : "mm" or "in", shown first
    every : whether every hose that does not suit is listed
    """
    console = Screen()
    console.line(job_title(answer.job), bold=True)
    if answer.stops:
        write_stops(console, answer.stops)
    elif answer.suits:
        write_best(console, answer.suits[0], units)
        write_others(console, answer.suits[1:])
    elif any(hose.verdict is Verdict.UNKNOWN for hose in answer.hoses):
        may = sum(hose.verdict is Verdict.UNKNOWN for hose in answer.hoses)
        console.heading(f"{NOT_YET}: {may} hoses may suit, but too little is known.")
    else:
        console.heading(f"{NO}: nothing on the shelf suits.")
    write_two_pieces(console, answer, units)
    write_list(console, "The old hose", answer.old_hose)
    write_list(console, "What to do instead", answer.way_out)
    write_questions(console, answer)
    write_refused(console, answer, every=every)
    if not answer.suits:
        write_usual(console, answer)
    write_remarks(console, "Cautions", answer.cautions)
    write_remarks(console, "Checks", answer.checklist)
    write_sources(console, answer)
    console.line("")
    console.item(f"Catalogue: {catalogue_name(answer.catalogue.folder)}", 0)
    console.line(ADVICE)


def show_check(answer: Answer, units: str) -> None:
    """Write every finding of the hoses asked for."""
    console = Screen()
    console.line(job_title(answer.job), bold=True)
    if answer.stops:
        write_stops(console, answer.stops)
    for hose in answer.hoses:
        write_verdict(console, hose, units)
        for finding in hose.findings:
            if finding.matters:
                write_finding(console, finding, source=True)
        idle = [finding.code for finding in hose.findings if not finding.matters]
        console.item(f"Does not matter for this job: {', '.join(idle)}")
        if hose.cut:
            write_cut(console, hose.cut, units)
    write_list(console, "What to do instead", answer.way_out)
    write_questions(console, answer)
    write_usual(console, answer)
    write_remarks(console, "Cautions", answer.cautions)
    write_remarks(console, "Checks", answer.checklist)


def write_stops(console: Screen, stops: tuple[Stop, ...]) -> None:
    """Write why a job is stopped and who can help."""
    for stop in stops:
        console.heading(f"{STOP}  {stop.name}")
        console.item(stop.reason)
        console.item(f"Go to: {stop.who}")
        console.item(f"Source: {stop.source}")
    console.line("")
    console.item("No hose and no cut length are given for this job.", 0)


def write_verdict(console: Screen, hose: HoseAnswer, units: str) -> None:
    """Write verdict, hose and cut length."""
    cut = ""
    if hose.cut is not None:
        cut = f"   CUT {plan_words(hose.cut, units)}"
    elif hose.verdict.suits:
        cut = "   no length yet: measure the run"
    console.heading(f"{VERDICTS[hose.verdict]}  {hose.hose}{cut}")
    console.item(f"{hose.description}; bore {length(hose.bore, units)}")
    if hose.print_line:
        console.item(f"Look for the print: {hose.print_line}")


def write_reasons(
    console: Screen, answer: Answer, units: str, hose: HoseAnswer | None = None
) -> None:
    """Write why there is a stop, or all that is told of a hose that suits, the best if not named.

    Parameters
    ----------
    console : to write on
    answer : to a job
    units : "mm" or "in", shown first
    hose : another one that suits
    """
    if answer.stops:
        write_stops(console, answer.stops)
    elif answer.suits:
        write_best(console, hose or answer.suits[0], units)
    write_list(console, "What to do instead", answer.way_out)


def write_best(console: Screen, hose: HoseAnswer, units: str) -> None:
    """Write the best hose: why, conditions, cut."""
    write_verdict(console, hose, units)
    console.heading("Why")
    for finding in why(hose):
        write_finding(console, finding)
    write_looks(console, hose)
    if hose.own_conditions:
        console.heading("Only on these conditions")
    for finding in hose.own_conditions:
        write_finding(console, finding)
    if any(finding.assumed and not finding.check for finding in hose.findings):
        write_usual(console, hose.answer)
    if hose.cut is not None:
        write_cut(console, hose.cut, units)


def write_two_pieces(console: Screen, answer: Answer, units: str) -> None:
    """Write both pieces where the nipples differ: hose, looks, conditions and cut of each."""
    if answer.two_pieces is None:
        return
    console.heading("In two pieces")
    console.item(answer.two_pieces.words)
    for own in answer.two_pieces.answers:
        hose = own.suits[0]
        write_verdict(console, hose, units)
        write_looks(console, hose)
        for finding in hose.own_conditions:
            write_finding(console, finding)
        if hose.cut is not None:
            write_cut(console, hose.cut, units)


def why(hose: HoseAnswer) -> list[Finding]:
    """Return the findings that say why a hose suits: what flows, then the tightest margins."""
    told = [f for f in hose.findings if f.code == "fluid-liner"]
    figures = [
        f
        for f in hose.findings
        if f.verdict is Verdict.ACCEPT
        and f.margin == f.margin
        and not f.code.startswith(("fit-", "route-"))
    ]
    figures.sort(key=lambda f: f.margin)
    fit = [f for f in hose.findings if f.code == "fit-stretch"]
    return told + figures[:CLOSEST] + fit


def write_finding(console: Screen, finding: Finding, *, source: bool = False) -> None:
    """Write one finding: mark, code, reason; remedy and source below."""
    margin = per_cent(finding.margin)
    tail = f" (margin {margin})" if margin and finding.verdict is Verdict.ACCEPT else ""
    console.item(f"{finding.verdict.mark} {finding.code}: {finding.reason}{tail}")
    if finding.remedy:
        console.item(finding.remedy, 6)
    if source:
        console.item(f"source: {finding.source}", 6)


def write_others(console: Screen, hoses: tuple[HoseAnswer, ...]) -> None:
    """Write the other hoses that suit, one line each."""
    if not hoses:
        return
    console.heading("Also suits, in this order")
    for hose in hoses:
        margin = f", worst margin {per_cent(hose.margin)}" if per_cent(hose.margin) else ""
        only = f", conditions: {hose.conditions}" if hose.conditions else ""
        console.item(f"{hose.verdict.mark} {hose.hose}{margin}{only}")


def write_refused(console: Screen, answer: Answer, *, every: bool) -> None:
    """Write why the other hoses do not suit, grouped by the rule that decides."""
    refused = [hose for hose in answer.hoses if not hose.verdict.suits]
    if not refused:
        return
    console.heading(
        "Why not the others" if every else "Why not the others, by the rule that decides"
    )
    if every:
        for hose in refused:
            console.item(f"{hose.verdict.mark} {hose.hose}: {hose.deciding.reason}")
        return
    groups: dict[tuple[Verdict, str], list[HoseAnswer]] = {}
    for hose in refused:
        groups.setdefault((hose.verdict, hose.decided_by), []).append(hose)
    for (verdict, code), hoses in groups.items():
        names = ", ".join(hose.hose for hose in hoses[:NAMED])
        more = f" and {len(hoses) - NAMED} more" if len(hoses) > NAMED else ""
        console.item(f"{verdict.mark} {code}: {names}{more}")
        console.item(f"e.g. {hoses[0].hose}: {hoses[0].deciding.reason}", 6)


def write_questions(console: Screen, answer: Answer) -> None:
    """Write what to find out next."""
    if not answer.ask_next:
        return
    console.heading("Find out next, most decisive first")
    for question in answer.ask_next:
        console.item(f"- {question.question}")
        names = ", ".join(question.decides[:NAMED])
        console.item(f"decides for {names}; in a job file {question.field}", 6)


def write_list(console: Screen, title: str, texts: tuple[str, ...]) -> None:
    """Write a titled list."""
    if texts:
        console.heading(title)
        for text in texts:
            console.item(text)


def write_remarks(console: Screen, title: str, remarks: tuple[Remark, ...]) -> None:
    """Write cautions or checks under their stages."""
    stage = ""
    for remark in remarks:
        if remark.stage != stage:
            stage = remark.stage
            console.heading(f"{title}: {STAGES[stage].lower()}")
        console.item(f"- {remark.text}")


def write_sources(console: Screen, answer: Answer) -> None:
    """Write the sources of what is shown."""
    if answer.sources:
        console.heading("Sources")
        for source in answer.sources:
            console.item(source)
