"""Cautions and checks for a service, and what to say of the broken hose."""

from __future__ import annotations

import math

from hoseselect.answer.values import Remark
from hoseselect.domain.job import UNKNOWN, Job
from hoseselect.intake.plausibility import HEAT, is_mild
from hoseselect.knowledge.load import table

CAUTION_STAGES = ("before", "during", "after")
CHECK_STAGES = ("look-inside", "cut", "fit", "clamp", "cold", "hot", "heat-cycles", "record")
EVERY_JOB = "every-job"


def cautions(service: str) -> tuple[Remark, ...]:
    """Return the cautions for a service or a stop, in the order of the work."""
    return _remarks("cautions", service, CAUTION_STAGES)


def checklist(service: str) -> tuple[Remark, ...]:
    """Return the checks for a service, from the look inside the old hose to the record."""
    return _remarks("checks", service, CHECK_STAGES)


def mild_heat(job: Job) -> tuple[Remark, ...]:
    """Return the check of heat that was told far below what is usual of such a line."""
    told = {field: getattr(job.duty, field) for field in HEAT}
    if not any(is_mild(job.service, field, value) for field, value in told.items()):
        return ()
    source = table("limits").row(limit="mild-temperature").source
    return (Remark("look-inside", MILD, source),)


MILD = (
    "The heat of the line was told far below what is usual: measure it at the hot engine, in"
    " traffic and after it is stopped, before you trust this answer."
)


def _remarks(name: str, service: str, stages: tuple[str, ...]) -> tuple[Remark, ...]:
    applies = {EVERY_JOB, service}
    if table("services").has(service=service):
        applies.add(table("services").row(service=service)["group"])
    rows = [row for row in table(name) if row["applies_to"] in applies]
    rows.sort(key=lambda row: stages.index(row["stage"]))
    return tuple(Remark(row["stage"], row["text"], row.source) for row in rows)


def old_hose(job: Job) -> tuple[str, ...]:
    """Return what is to be said of the broken hose: its cause, its reuse, what sat in it."""
    said = []
    if job.old_hose.reuse == "yes":
        said.append(
            "Do not fit the old hose again: hard rubber does not seal twice. Tape, heat-shrink and"
            " sealant do not hold, and a splice pushed inside narrows the bore and can be drawn"
            " into the engine."
        )
    if job.old_hose.condition != UNKNOWN:
        row = table("failures").row(failure=job.old_hose.condition)
        text = " ".join((f"{row['name']}.", row["cause"], row["consequence"], row["choice"]))
        said.append(text[:1].upper() + text[1:])
    said += _measured(job)
    insert = job.features.insert
    if insert not in {"none", "unknown", "something", "moulded-in"}:
        said.append(
            f"Refit the {insert.replace('-', ' ')} from the old hose in the same place and the same"
            " direction."
        )
    return tuple(said)


def _measured(job: Job) -> list[str]:
    """Return what the figures of the old hose are worth: hints, none of which decides."""
    old, said = job.old_hose, []
    nipples = (job.nipple_a.outside_diameter, job.nipple_b.outside_diameter)
    if all(old.bore > nipple for nipple in nipples):
        said.append(
            f"Its bore of {old.bore:g} mm is wider than the nipples: it has widened, or was the"
            " wrong size. Do not order by it."
        )
    elif not math.isnan(old.bore):
        said.append(f"Its bore of {old.bore:g} mm is a hint only: the nipple decides.")
    if not math.isnan(old.outside_diameter):
        said.append(
            f"It measures {old.outside_diameter:g} mm outside: its clamps fit the new hose only if"
            " that is as thick; measure over the new one."
        )
    if not math.isnan(old.length):
        said.append(
            f"It is {old.length:g} mm long: a hint only, it may have shrunk or been too short from"
            " the first. Cut by the route; to have it checked, give it as a piece."
        )
    return said
