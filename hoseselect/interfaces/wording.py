"""One wording for terminal, page and paper: verdicts, lengths, headings."""

from __future__ import annotations

import math

from hoseselect.answer.answer import Answer
from hoseselect.answer.assumptions import SHOP_SETTING
from hoseselect.answer.looks import Look
from hoseselect.answer.values import Assumption
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.knowledge.load import table
from hoseselect.quantities.shown import AT_LEAST, NEAREST, both, shown

VERDICTS = {
    Verdict.ACCEPT: "[+] ACCEPT",
    Verdict.CONDITIONAL: "[~] CONDITIONAL",
    Verdict.UNKNOWN: "[?] UNKNOWN",
    Verdict.REJECT: "[x] REJECT",
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
USUAL = {
    "fluids": "worst fluid",
    "duty.fluid_steady": "fluid for hours",
    "duty.fluid_peak": "fluid at peak",
    "duty.air_steady": "air for hours",
    "duty.air_peak": "air at peak",
    "duty.coldest_start": "coldest start",
    "duty.pressure_min": "deepest suction",
    "duty.pressure_max": "highest pressure",
    "duty.pressure_spike": "highest pressure for short times",
}
"""What is taken as usual where it is not told: nobody can see to it at the vehicle."""
LOOKS = {
    "ends": "At both ends",
    "way": "Along the way",
    "round": "Round about and in the old hose",
}
TAKEN_AS_USUAL = "Taken as usual for such a line, because it was not told"
SEE_TO = "See to this before anything flows"
ADVICE = "The tool advises; the person at the vehicle decides and checks."


def taken_as_usual(answer: Answer) -> str:
    """Return in one line what was taken as usual; empty where all of it was told."""
    taken = [_taken(own) for own in answer.assumptions if own.source != SHOP_SETTING]
    return f"{'; '.join(filter(None, taken))}." if any(taken) else ""


def shop_settings(answer: Answer) -> str:
    """Return in one line what counts as the shop has set it; empty where nothing does."""
    told = [_taken(own) for own in answer.assumptions if own.source == SHOP_SETTING]
    return f"Shop settings: {', '.join(told)}." if told else ""


def _taken(assumption: Assumption) -> str:
    """Return what was assumed and nobody can see to at the vehicle; else an empty text."""
    if assumption.field not in USUAL:
        return ""
    return f"{USUAL[assumption.field]} {assumption.value} {assumption.unit}".strip()


def look_words(look: Look) -> str:
    """Return what to see to in one place, in one sentence."""
    return f"{LOOKS[look.place]}: {'; '.join(look.points)}."


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
    if table("services").has(service=service):
        return table("services").row(service=service)["name"]
    return table("stops").row(stop=service)["name"]


def job_title(job: Job) -> str:
    """Return the headline of a job."""
    words = service_words(job.service)
    return f"{job.name}: {words}" if job.name else words[:1].upper() + words[1:]


def per_cent(share: float) -> str:
    """Return a relative margin in per cent; nothing where it has no meaning."""
    return f"{share * 100:.0f} %" if math.isfinite(share) else ""
