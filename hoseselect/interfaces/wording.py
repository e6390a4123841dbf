"""One wording for terminal, page and paper: verdicts, lengths, headings."""

from __future__ import annotations

import math
from collections.abc import Mapping

from hoseselect.answer.answer import Answer
from hoseselect.answer.summary import Summary, line_name, told_lengths
from hoseselect.domain.cut import CutPlan
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.quantities.shown import AT_LEAST, AT_MOST, NEAREST, both, shown

VERDICTS = {
    Verdict.ACCEPT: "[+] USE",
    Verdict.CONDITIONAL: "[~] USE IF",
    Verdict.UNKNOWN: "[?] NOT YET",
    Verdict.REJECT: "[x] NO",
}
STOP = "[!] STOP"
STAGES = {
    "before": "Before",
    "during": "During",
    "after": "After",
    "look-inside": "Look inside the old hose",
    "cut": "Cut",
    "fit": "Fit",
    "clamp": "Clamp",
    "cold": "Cold check",
    "hot": "Hot check",
    "heat-cycles": "After heat cycles",
    "record": "Record",
}
TAKEN_AS_USUAL = "Taken as usual"
SEE_TO = "See to this before anything flows"
ADVICE = "The tool advises; the person at the vehicle decides and checks."


def taken_as_usual(answer: Answer) -> str:
    """Return in one line what was taken as usual; empty where all of it was told."""
    taken = answer.summary.usual
    return f"{taken}." if taken else ""


def shop_settings(answer: Answer) -> str:
    """Return in one line what counts as the shop has set it; empty where nothing does."""
    told = answer.summary.settings
    return f"Shop settings: {told}." if told else ""


def cut_words(told: Summary, units: str) -> str:
    """Return the length to cut, or between which lengths it lies, or that none is given yet."""
    if not math.isnan(told.cut_least):
        low, high = (shown(value, "mm", units) for value in (told.cut_least, told.cut_most))
        words = f"between {low} and {high}: measure first"
    elif math.isnan(told.cut):
        words = "no length yet: measure the run from nipple to nipple along the hose (string)"
    else:
        words = length(told.cut, units, up=True)
    others = [f"{length(value, units, up=True)} {when}" for value, when in told.other_cuts]
    return "; ".join([words, *others])


def guess_words(guesses: Mapping[str, str]) -> str:
    """Return the sentence about replies that are no measurement; empty where all are one."""
    said = ", ".join(f'"{reply}"' for reply in guesses.values())
    return f"Measure before you cut: {said} is no measurement." if said else ""


def plan_words(plan: CutPlan, units: str) -> str:
    """Return the length of a cut plan, or between which lengths it lies, as a first screen does."""
    return cut_words(Summary("", "", **told_lengths(plan)), units)


def money(amount: float, currency: str = "") -> str:
    """Return an amount of the catalogue's money, with its name where the shop has set one."""
    return f"{amount:.2f} {currency}".rstrip()


def length(value: float, units: str, *, up: bool = False) -> str:
    """Return a length in both units, the asked one first.

    Parameters
    ----------
    value : [mm]
    units : "mm" or "in"
    up : whether it is rounded up, as for a cut; else to the nearest
    """
    return (
        "straight" if math.isinf(value) else both(value, "mm", units, AT_LEAST if up else NEAREST)
    )


def window_words(window: tuple[float, float], units: str) -> str:
    """Return the lengths that work, each end rounded so that it works too.

    Parameters
    ----------
    window : shortest and longest; infinite where any longer one works [mm]
    units : "mm" or "in"
    """
    low, high = window
    longest = "any longer one" if math.isinf(high) else both(high, "mm", units, AT_MOST)
    return f"{both(low, 'mm', units, AT_LEAST)} to {longest}"


def one_length(value: float, units: str) -> str:
    """Return a length in the asked unit alone, on one line, for a mark in a drawing.

    Parameters
    ----------
    value : [mm]
    units : "mm" or "in"
    """
    return "straight" if math.isinf(value) else shown(value, "mm", units).replace(" ", "\u00a0")


def service_words(service: str) -> str:
    """Return the name of a service or a stop."""
    return line_name(service)


def job_title(job: Job) -> str:
    """Return the headline of a job."""
    words = service_words(job.service)
    return f"{job.name}: {words}" if job.name else words[:1].upper() + words[1:]


def per_cent(share: float) -> str:
    """Return a relative margin in per cent; nothing where it has no meaning."""
    return f"{share * 100:.0f} %" if math.isfinite(share) else ""
