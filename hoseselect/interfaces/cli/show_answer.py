"""The answer on the terminal: verdict and cut length first, then why, conditions, cautions."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from hoseselect.application.answer import Answer, HoseAnswer, Remark
from hoseselect.domain.finding import Finding
from hoseselect.domain.verdict import Verdict
from hoseselect.interfaces.cli.common import heading, item, screen
from hoseselect.interfaces.cli.show_cut import write_cut
from hoseselect.interfaces.wording import (
    ADVICE,
    STAGES,
    STOP,
    VERDICTS,
    job_title,
    length,
    per_cent,
)
from hoseselect.rules.report import NOT_ASKED
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
    console = screen()
    console.print(Text(job_title(answer.job), style="bold"))
    if answer.stops:
        write_stops(console, answer.stops)
    elif answer.suits:
        write_best(console, answer.suits[0], units)
        write_others(console, answer.suits[1:], units)
    else:
        heading(console, "Nothing on the shelf suits.")
    write_list(console, "The old hose", answer.old_hose)
    write_list(console, "Way out", answer.way_out)
    write_questions(console, answer)
    write_refused(console, answer, every=every)
    write_assumptions(console, answer)
    write_remarks(console, "Cautions", answer.cautions)
    write_remarks(console, "Checks", answer.checklist)
    write_sources(console, answer)
    console.print()
    console.print(Text(ADVICE))


def show_check(answer: Answer, units: str) -> None:
    """Write every finding of the hoses asked for."""
    console = screen()
    console.print(Text(job_title(answer.job), style="bold"))
    if answer.stops:
        write_stops(console, answer.stops)
    for hose in answer.hoses:
        write_verdict(console, hose, units)
        for finding in hose.findings:
            if finding.reason != NOT_ASKED:
                write_finding(console, finding, source=True)
        idle = [finding.code for finding in hose.findings if finding.reason == NOT_ASKED]
        item(console, f"Does not matter for this job: {', '.join(idle)}")
        if hose.cut:
            write_cut(console, hose.cut, units)
    write_list(console, "Way out", answer.way_out)
    write_questions(console, answer)
    write_assumptions(console, answer)
    write_remarks(console, "Cautions", answer.cautions)
    write_remarks(console, "Checks", answer.checklist)


def write_stops(console: Console, stops: tuple[Stop, ...]) -> None:
    """Write why a job is stopped and who can help."""
    for stop in stops:
        heading(console, f"{STOP}  {stop.name}")
        item(console, stop.reason)
        item(console, f"Who can help: {stop.who}")
        item(console, f"Source: {stop.source}")
    console.print()
    item(console, "No hose and no cut length are given for this job.", 0)


def write_verdict(console: Console, hose: HoseAnswer, units: str) -> None:
    """Write verdict, hose and cut length."""
    cut = ""
    if hose.cut is not None:
        cut = f"   CUT {length(hose.cut.cut, units, up=True)}"
    elif hose.verdict.suits:
        cut = "   no cut length yet: describe the route"
    heading(console, f"{VERDICTS[hose.verdict]}  {hose.hose}{cut}")
    item(console, f"{hose.description}; bore {length(hose.bore, units)}")
    if hose.print_line:
        item(console, f"Look for the print: {hose.print_line}")


def write_best(console: Console, hose: HoseAnswer, units: str) -> None:
    """Write the best hose: why, conditions, cut."""
    write_verdict(console, hose, units)
    heading(console, "Why")
    for finding in why(hose):
        write_finding(console, finding)
    conditions = [f for f in hose.findings if f.verdict is Verdict.CONDITIONAL]
    if conditions:
        heading(console, "Only on these conditions")
        for finding in conditions:
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


def write_finding(console: Console, finding: Finding, *, source: bool = False) -> None:
    """Write one finding: mark, code, reason; remedy and source below."""
    margin = per_cent(finding.margin)
    tail = f" (margin {margin})" if margin and finding.verdict is Verdict.ACCEPT else ""
    item(console, f"{finding.verdict.mark} {finding.code}: {finding.reason}{tail}")
    if finding.remedy:
        item(console, finding.remedy, 6)
    if source:
        item(console, f"source: {finding.source}", 6)


def write_others(console: Console, hoses: tuple[HoseAnswer, ...], units: str) -> None:
    """Write the other hoses that suit, one line each."""
    if not hoses:
        return
    heading(console, "Also suits, in this order")
    for hose in hoses:
        margin = f", worst margin {per_cent(hose.margin)}" if per_cent(hose.margin) else ""
        conditions = sum(f.verdict is Verdict.CONDITIONAL for f in hose.findings)
        only = f", conditions: {conditions}" if conditions else ""
        cut = f", cut {length(hose.cut.cut, units, up=True)}" if hose.cut else ""
        item(console, f"{hose.verdict.mark} {hose.hose}{cut}{margin}{only}")


def write_refused(console: Console, answer: Answer, *, every: bool) -> None:
    """Write why the other hoses do not suit, grouped by the rule that decides."""
    refused = [hose for hose in answer.hoses if not hose.verdict.suits]
    if not refused:
        return
    heading(console, "Does not suit" if every else "Does not suit, by the rule that decides")
    if every:
        for hose in refused:
            item(console, f"{hose.verdict.mark} {hose.hose}: {hose.worst()[0].reason}")
        return
    groups: dict[tuple[Verdict, str], list[HoseAnswer]] = {}
    for hose in refused:
        groups.setdefault((hose.verdict, hose.decided_by), []).append(hose)
    for (verdict, code), hoses in groups.items():
        names = ", ".join(hose.hose for hose in hoses[:NAMED])
        more = f" and {len(hoses) - NAMED} more" if len(hoses) > NAMED else ""
        item(console, f"{verdict.mark} {code}: {names}{more}")
        item(console, f"e.g. {hoses[0].hose}: {hoses[0].worst()[0].reason}", 6)


def write_questions(console: Console, answer: Answer) -> None:
    """Write what to find out next."""
    if not answer.ask_next:
        return
    heading(console, "Find out next, most decisive first")
    for question in answer.ask_next:
        item(console, f"{question.field}: {question.question}")
        names = ", ".join(question.decides[:NAMED])
        item(console, f"decides {' or '.join(question.verdicts)} for {names}", 6)


def write_assumptions(console: Console, answer: Answer) -> None:
    """Write what was assumed."""
    if not answer.assumptions:
        return
    heading(console, "Assumed, because not stated")
    for assumption in answer.assumptions:
        value = f"{assumption.value} {assumption.unit}".strip()
        item(console, f"{assumption.field} = {value}  [{assumption.source}]")


def write_list(console: Console, title: str, texts: tuple[str, ...]) -> None:
    """Write a titled list."""
    if texts:
        heading(console, title)
        for text in texts:
            item(console, text)


def write_remarks(console: Console, title: str, remarks: tuple[Remark, ...]) -> None:
    """Write cautions or checks under their stages."""
    stage = ""
    for remark in remarks:
        if remark.stage != stage:
            stage = remark.stage
            heading(console, f"{title}: {STAGES[stage].lower()}")
        item(console, f"- {remark.text}")


def write_sources(console: Console, answer: Answer) -> None:
    """Write the sources of what is shown."""
    if answer.sources:
        heading(console, "Sources")
        for source in answer.sources:
            item(console, source)
