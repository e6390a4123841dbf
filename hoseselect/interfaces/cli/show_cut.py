"""The cut plan on the terminal."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hoseselect.answer.summary import NO
from hoseselect.domain.cut import ClampChoice, CutPlan
from hoseselect.interfaces.cli.common import HEIGHT, Screen
from hoseselect.interfaces.cli.first_screen import first_screen, labelled
from hoseselect.interfaces.wording import STOP, job_title, length, plan_words, window_words
from hoseselect.quantities.shown import shown

if TYPE_CHECKING:
    from hoseselect.application.cut import CutResult


def write_cut(console: Screen, plan: CutPlan, units: str) -> None:
    """Write the sum, tolerance, window, tightest bend, clamps and clips."""

    def line(text: str) -> None:
        console.item(text)

    console.heading(f"Cut {plan_words(plan, units)}")
    if not plan.believed:
        line("the longest of them is the sum of:")
    for part in plan.parts:
        line(f"{part.name}: {length(part.length, units)}, {part.source}")
    if plan.believed:
        short = min(plan.tolerance, plan.cut - plan.window[0])
        line(f"tolerance +{plan.tolerance:g} -{short:.3g} mm ({plan.tolerance_source})")
    if not math.isnan(plan.squareness):
        line(f"cut square within {plan.squareness:g} mm")
    window = window_words(plan.window, units) if plan.believed else "told once it is measured"
    line(f"lengths that work: {window}")
    if math.isfinite(plan.tightest_radius):
        place = ""
        if not math.isnan(plan.tightest_at):
            place = f", {length(plan.tightest_at, units)} from nipple A"
        line(f"tightest bend {length(plan.tightest_radius, units)} on the centreline{place}")
    if plan.supports:
        line(f"clips: {plan.supports}, at most {length(plan.support_spacing, units)} apart")
    for end, clamps in (("A", plan.clamps_a), ("B", plan.clamps_b)):
        for rank, clamp in enumerate(clamps):
            line(f"{'clamp' if rank == 0 else 'or'} {end}: {clamp_words(clamp)}")
    if plan.clamps_a:
        line(f"sits {plan.clamps_a[0].position}")
    for family, reason in plan.clamps_refused:
        line(f"[x] no {family} clamp: {reason}")
    if not plan.believed:
        for question in plan.measure:
            line(f"to find out: {question}")
    for note in plan.notes:
        line(note)


def clamp_words(clamp: ClampChoice) -> str:
    """Return one clamp in words."""
    torque = ""
    if not math.isnan(clamp.torque_new):
        again = f", again {clamp.torque_again:g}" if not math.isnan(clamp.torque_again) else ""
        torque = f", {clamp.torque_new:g} N m new{again}"
    return (
        f"{clamp.number} x {clamp.clamp} ({clamp.family}, {clamp.range_min:g} to"
        f" {clamp.range_max:g} mm; hose on the nipple {clamp.hose_diameter:.1f} mm{torque})"
    )


def show_cut_first(result: CutResult, units: str) -> None:
    """Write the first screen of a cut: of its hose, or of the route alone."""
    console = Screen()
    told = result.summary
    if told is not None:
        for row in first_screen(told, units, console.width):
            console.line(row)
        return
    for row in route_rows(result, units, console.width)[:HEIGHT]:
        console.line(row)


def route_rows(result: CutResult, units: str, width: int) -> list[str]:
    """Return what is told of a route for which no hose was named.

    Parameters
    ----------
    result : its cut, or why there is none
    units : "mm" or "in", shown first
    width : of the terminal
    """
    rows = [job_title(result.job), ""]
    plan = result.plan
    if plan is None:
        rows += labelled(NO, "No cut length is given.", width)
        for reason in result.reasons:
            rows += labelled("", reason.partition(": ")[2] or reason, width, 3)
        return rows
    low, high = plan.window
    longest = "any longer" if math.isinf(high) else length(high, units)
    tightest = ""
    if math.isfinite(plan.tightest_radius):
        tightest = f"tightest bend R {length(plan.tightest_radius, units)}"
    parts = [f"{part.name} {shown(part.length, 'mm', units)}" for part in plan.parts]
    for label, text in (
        ("CUT", plan_words(plan, units)),
        ("made of", ", ".join(parts)),
        ("works", f"from {length(low, units)} to {longest}" if plan.believed else ""),
        ("bend", tightest),
        *(("measure", question) for question in ([] if plan.believed else plan.measure)),
        *(("mind", note) for note in plan.notes),
    ):
        rows += labelled(label, text, width, 3)
    return rows


def show_cut_result(result: CutResult, units: str) -> None:
    """Write a cut plan, or why there is none."""
    console = Screen()
    console.line(job_title(result.job), bold=True)
    for stop in result.stops:
        console.item(f"{STOP}  {stop.name}: {stop.reason}", 0)
        console.item(f"Go to: {stop.who}", 0)
    if result.reasons:
        console.line("No cut length is given.", bold=True)
        for reason in result.reasons:
            console.item(f"[x] {reason}")
    if result.plan is not None:
        write_cut(console, result.plan, units)
        if result.hose is not None:
            for finding in result.hose.findings:
                if finding.verdict.name == "CONDITIONAL":
                    console.item(f"{finding.verdict.mark} {finding.reason}")
