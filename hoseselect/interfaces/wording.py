"""One wording for terminal, page and paper: verdicts, lengths, headings."""

from __future__ import annotations

import math

from hoseselect.answer.answer import Answer
from hoseselect.answer.looks import Look
from hoseselect.answer.summary import LOOKS, Summary, line_name
from hoseselect.answer.told_figures import usual
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH
from hoseselect.quantities.figure_text import nearest_fraction
from hoseselect.quantities.shown import shown

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
    "fit": "Fit",
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
    taken = usual(answer)
    return f"{taken}." if taken else ""


def look_words(look: Look) -> str:
    """Return what to see to in one place, in one sentence."""
    return f"{LOOKS[look.place]}: {'; '.join(look.points)}."


def cut_words(told: Summary, units: str) -> str:
    """Return the length to cut, or between which lengths it lies, or that none is given yet."""
    if not math.isnan(told.cut_least):
        low, high = (shown(value, "mm", units) for value in (told.cut_least, told.cut_most))
        words = f"between {low} and {high}: measure first"
    elif math.isnan(told.cut):
        words = "no length yet: measure the run from stub to stub along the hose (string)"
    else:
        words = length(told.cut, units, up=True)
    others = [f"{length(value, units, up=True)} {when}" for value, when in told.other_cuts]
    return "; ".join([words, *others])


def money(amount: float) -> str:
    """Return an amount of the catalogue's money."""
    return f"{amount:.2f}"


SIXTEENTHS = 16
SMALL = 60.0
CLOSE = 0.2


def length(value: float, units: str, *, up: bool = False) -> str:
    """Return a length in both units, the asked one first.

    Parameters
    ----------
    value : [mm]
    units : "mm" or "in"
    up : whether inches are rounded up to the next sixteenth, as for a cut; else to the nearest,
        and small diameters that are no sixteenth in decimals
    """
    if math.isnan(value):
        return "not known"
    if math.isinf(value):
        return "straight"
    millimetres = f"{value:.0f} mm" if abs(value - round(value)) < 0.05 else f"{value:.1f} mm"
    inches = _inches(value, up)
    return f"{inches} ({millimetres})" if units == "in" else f"{millimetres} ({inches})"


def one_length(value: float, units: str) -> str:
    """Return a length in the asked unit alone, on one line, for a mark in a drawing.

    Parameters
    ----------
    value : [mm]
    units : "mm" or "in"
    """
    return length(value, units).partition(" (")[0].replace(" ", "\u00a0")


def _inches(value: float, up: bool) -> str:
    exact = value / MILLIMETRES_PER_INCH
    rounded = math.ceil(exact * SIXTEENTHS - 1e-6) if up else round(exact * SIXTEENTHS)
    shown = rounded / SIXTEENTHS
    if value < SMALL and not up and abs(shown * MILLIMETRES_PER_INCH - value) > CLOSE:
        return f"{exact:.3f} in"
    return f"{nearest_fraction(shown)} in"


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
