"""From a mapping, as a job file or options give it, to a job; every fault is told."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from hoseselect.domain.job import Job
from hoseselect.intake.door import checked_text
from hoseselect.intake.faults import faults_of
from hoseselect.intake.job_form import JobForm
from hoseselect.knowledge.errors import InputError, ManyFaultsError
from hoseselect.knowledge.load import table


def read_job(values: Mapping[str, Any], place: str = "job") -> Job:
    """Return the job that a mapping describes.

    Parameters
    ----------
    values : keys as in a job file
    place : name of the file or of the command line, for complaints; empty = the keys alone

    Raises
    ------
    InputError
        when the job cannot be used; its `faults` name every field that cannot.
    """
    try:
        checked_text(values)
        return job_of(JobForm.model_validate(dict(values)))
    except ValidationError as error:
        raise ManyFaultsError(faults_of(error, place)) from error
    except InputError as error:
        raise error.at(f"{place}: {error.place}" if place else error.place) from None


def job_of(form: JobForm) -> Job:
    """Return the job of a form.

    Raises
    ------
    InputError
        when suction is typed as a pressure; its place is the key.
    """
    job = form.to_domain()
    if job.duty.pressure_min > 0:
        _suction_typed_as_pressure(job)
    return job


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
