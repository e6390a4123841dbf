"""What was typed, what was taken as usual and why a hose suits, each in one line."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from hoseselect.answer.assumptions import SHOP_SETTING
from hoseselect.answer.sentences import filled
from hoseselect.answer.values import Assumption
from hoseselect.domain.finding import Finding
from hoseselect.domain.job import UNKNOWN, Job
from hoseselect.domain.verdict import Verdict
from hoseselect.intake.plausibility import HEAT, is_mild
from hoseselect.knowledge.load import table
from hoseselect.quantities.shown import AT_LEAST, AT_MOST, NEAREST, both, shown
from hoseselect.rules.stop import STOP_FLUID

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer
    from hoseselect.answer.hose_answer import HoseAnswer

BETWEEN = "; "
LINER = "takes {note}"
"""Words without a figure."""
DUTY = (
    ("pressure_min", "suction {}", "kPa", NEAREST),
    ("pressure_max", "pressure up to {}", "kPa", AT_LEAST),
    ("pressure_spike", "for short times {}", "kPa", AT_LEAST),
    ("fluid_steady", "inside {}", "degC", AT_LEAST),
    ("fluid_peak", "inside at peak {}", "degC", AT_LEAST),
    ("air_steady", "round the hose {}", "degC", AT_LEAST),
    ("air_peak", "round the hose at peak {}", "degC", AT_LEAST),
    ("coldest_start", "coldest start {}", "degC", AT_MOST),
)
"""Fields of the duty, their words, their working unit and which way they are rounded."""

FAR = ", far less than usual: measure it hot"

HIGHER = {"fluid_steady": "fluid_peak", "air_steady": "air_peak"}
"""Fields whose figure need not be told where that at peak is, and is no other."""


def understood(job: Job, units: str) -> str:
    """Return what was typed, in short: in the units of the shop, then in the others.

    Parameters
    ----------
    job : as understood
    units : "mm" or "in"
    """
    return BETWEEN.join(_typed(job, units))


def _typed(job: Job, units: str) -> Iterator[str]:
    def length(value: float) -> str:
        return both(value, "mm", units)

    if job.fluids:
        yield ", ".join(_fluid_name(fluid) for fluid in job.fluids)
    yield from _stubs(job, units)
    route, features = job.route, job.features
    if route.kind == "measured":
        yield f"run {length(route.measured)}"
    elif route.kind != UNKNOWN:
        yield {"run": "run in straights and bends"}.get(route.kind, "free bend between two nipples")
    if not math.isnan(route.tightest_radius):
        yield f"tightest bend R {length(route.tightest_radius)}"
    if features.turbo != UNKNOWN:
        yield "turbo" if features.turbo == "yes" else "no turbo"
    if features.sees_boost != UNKNOWN:
        yield "sees boost" if features.sees_boost == "yes" else "sees no boost"
    if features.insert not in {UNKNOWN, "none"}:
        yield f"{features.insert.replace('-', ' ')} in the old hose"
    for field, words, unit, side in DUTY:
        value = getattr(job.duty, field)
        at_peak = getattr(job.duty, HIGHER.get(field, ""), math.nan)
        if not math.isnan(value) and value != at_peak:
            far = FAR if field in HEAT and is_mild(job.service, field, value) else ""
            yield words.format(both(_positive(field, value), unit, units, side)) + far
    if not math.isnan(job.old_hose.bore):
        yield f"old bore {length(job.old_hose.bore)}"


def _positive(field: str, value: float) -> float:
    """Return a figure of the duty; a suction is told without its sign."""
    return -value if field == "pressure_min" else value


def _stubs(job: Job, units: str) -> Iterator[str]:
    sizes = [own.outside_diameter for own in (job.nipple_a, job.nipple_b)]
    told = [both(size, "mm", units) for size in sizes if not math.isnan(size)]
    if told:
        words = told[0] if len(set(told)) == 1 else " and ".join(told)
        beads = {job.nipple_a.bead, job.nipple_b.bead}
        yield f"nipples {words}" + {"yes": ", beaded", "no": ", no bead"}.get(
            beads.pop() if len(beads) == 1 else "", ""
        )


def _fluid_name(fluid: str) -> str:
    if fluid.startswith(STOP_FLUID):
        return table("stops").row(stop=fluid.removeprefix(STOP_FLUID))["name"]
    known = table("fluids")
    return known.row(fluid=fluid)["name"] if known.has(fluid=fluid) else fluid


def usual(answer: Answer) -> str:
    """Return in one line what was taken as usual; empty where all of it was told."""
    return _taken(answer, lambda own: own.source != SHOP_SETTING)


def shop_settings(answer: Answer) -> str:
    """Return in one line what counts as the shop has set it; empty where nothing does."""
    return _taken(answer, lambda own: own.source == SHOP_SETTING)


def _taken(answer: Answer, counts: Callable[[Assumption], bool]) -> str:
    """Return in one line what was assumed, of the assumptions that count."""
    taken = {own.field.removeprefix("duty."): own for own in answer.assumptions if counts(own)}
    worst = taken["fluids"].value.split(", ") if "fluids" in taken else []
    words = [", ".join(_fluid_name(fluid) for fluid in worst)] if worst else []
    for field, template, unit, side in DUTY:
        if field in taken and HIGHER.get(field, "") not in taken:
            value = float(taken[field].value)
            words.append(template.format(shown(_positive(field, value), unit, answer.units, side)))
    return BETWEEN.join(words)


def why(hose: HoseAnswer) -> str:
    """Return in one line why a hose suits."""
    words = [text for finding in hose.findings if (text := why_words(finding, hose.answer.units))]
    return BETWEEN.join(words)


def why_words(finding: Finding, units: str) -> str:
    """Return what one finding says for a hose, in a few words; empty where it says nothing."""
    template = table("rules").row(code=finding.code)["why"]
    holds = finding.verdict is Verdict.ACCEPT or (finding.assumed and not finding.check)
    if not template or not holds or not finding.matters:
        return ""
    if template != LINER and not (math.isfinite(finding.demand) and math.isfinite(finding.limit)):
        return ""
    return filled(template, finding.demand, finding.limit, finding.unit, units, finding.note)
