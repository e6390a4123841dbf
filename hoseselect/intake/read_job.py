"""From a mapping, as a job file or options give it, to a job; every fault is told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from pydantic import ValidationError

from hoseselect.domain.job import Job
from hoseselect.intake.door import checked_text
from hoseselect.intake.faults import faults_of
from hoseselect.intake.gates import contradictions
from hoseselect.intake.job_form import JobForm
from hoseselect.intake.parted_thousands import parted_thousands
from hoseselect.intake.plausibility import Typed, implausible, typed_in
from hoseselect.intake.usual_movement import with_usual_movement
from hoseselect.knowledge.errors import InputError, ManyFaultsError, refuse
from hoseselect.knowledge.load import table
from hoseselect.rules.stop import stops


def read_job(values: Mapping[str, Any], place: str = "job", units: str = "mm") -> Job:
    """Return the job that a mapping describes, once nothing in it contradicts itself.

    Parameters
    ----------
    values : keys as in a job file
    place : name of the file or of the command line, for complaints; empty = the keys alone
    units : "in" where people think in inch units: then bare pressures and temperatures are asked
        about

    Raises
    ------
    ManyFaultsError
        when the job cannot be used; its `faults` name every field that cannot, or else everything
        that contradicts itself and every bare figure far outside what is usual.
    """
    try:
        plain = checked_text(values)
        return job_of(JobForm.model_validate(plain), typed_in(plain), units)
    except ValidationError as error:
        faults = faults_of(error, place)
        stopped = _stopped(plain) if only_contradicts(faults) else None
        if stopped is not None:
            return stopped
        raise ManyFaultsError(faults) from error
    except InputError as error:
        places = (f"{place}: {fault.place}" if place else fault.place for fault in error.faults)
        told = (fault.at(where) for fault, where in zip(error.faults, places, strict=True))
        raise ManyFaultsError(tuple(told)) from None


def only_contradicts(faults: Sequence[InputError]) -> bool:
    """Return whether each field by itself can be used: all faults are about several of them."""
    return bool(faults) and all(len(fault.keys) > 1 for fault in faults)


def _stopped(values: Mapping[str, Any]) -> Job | None:
    """Return the job without the parts that may contradict, where a stop meets it; else None."""
    told = {key: values[key] for key in STOPPING if key in values}
    try:
        job = JobForm.model_validate(told).to_domain()
    except ValidationError:
        return None
    return job if stopped_for_good(job) else None


STOPPING = ("service", "name", "fluids", "drips", "features")
"""Keys and tables of a job file that tell of a stop, whatever the rest says."""


def job_of(form: JobForm, typed: Typed, units: str = "mm", *, decimal_known: bool = False) -> Job:
    """Return the job of a form, once it has passed every gate; what a stop meets passes none.

    Nothing that is asked could lift a stop: the stop is the answer, but for a line that nobody has
    named yet.

    Parameters
    ----------
    form : of the job
    typed : gives what was typed at a dotted key, as `typed_in` does
    units : as for `read_job`
    decimal_known : whether the decimal sign is known, as that of a sheet is

    Raises
    ------
    InputError
        when suction is typed as a pressure, when the job contradicts itself, or when a bare figure
        is far outside what is usual, or one with its unit but for thousands; the places are keys.
    """
    job = form.to_domain()
    if stopped_for_good(job):
        return with_usual_movement(job)
    if job.duty.pressure_min > 0:
        _suction_typed_as_pressure(job)
    parted = () if decimal_known else parted_thousands(typed)
    refuse((*contradictions(job), *implausible(job.service, typed, units), *parted))
    return with_usual_movement(job)


def stopped_for_good(job: Job) -> bool:
    """Return whether a stop meets a job that no further word of the job can lift."""
    return any(stop.code != UNKNOWN_SERVICE for stop in stops(job))


UNKNOWN_SERVICE = "unknown-service"


def _suction_typed_as_pressure(job: Job) -> None:
    """Refuse a lowest pressure above the air on a line that is usually sucked."""
    duty = table("service_duty")
    if not duty.has(service=job.service, field="pressure_min"):
        return
    usual = duty.row(service=job.service, field="pressure_min").number("adverse")
    if usual < 0:
        raise InputError(
            "duty.pressure_min",
            f"{job.duty.pressure_min:g} kPa, a pressure",
            f"suction as -{job.duty.pressure_min:g} kPa or {job.duty.pressure_min:g} kPa vacuum, or"
            " 0 where the line is never sucked",
            keys=("duty.pressure_min",),
        )
