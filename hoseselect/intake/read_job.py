"""From a mapping, as a job file or options give it, to a job; one sentence for every fault."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from hoseselect.domain.job import Job
from hoseselect.intake.door import checked_text, shown
from hoseselect.intake.gates import contradictions
from hoseselect.intake.job_form import JobForm
from hoseselect.intake.plausibility import implausible, typed_in
from hoseselect.intake.usual_movement import with_usual_movement
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table


def read_job(values: Mapping[str, Any], place: str = "job", units: str = "mm") -> Job:
    """Return the job that a mapping describes, once nothing in it contradicts itself.

    Parameters
    ----------
    values : keys as in a job file
    place : name of the file or of the command line, for complaints
    units : "in" where people think in inch units: then bare pressures and temperatures are asked
        about

    Raises
    ------
    InputError
        with one sentence for every field that cannot be used, or else for everything that
        contradicts itself and every bare figure far outside what is usual.
    """
    try:
        checked_text(values)
        job = JobForm.model_validate(dict(values)).to_domain()
        _suction_typed_as_pressure(job)
        questions = (*contradictions(job), *implausible(job.service, typed_in(values), units))
        if not questions:
            return with_usual_movement(job)
    except ValidationError as error:
        sentences = (one_sentence(place, detail) for detail in error.errors(include_url=False))
        raise JobError(place, sentences) from error
    except InputError as error:
        raise InputError(f"{place}: {error.place}", error.found, error.expected) from None
    raise JobError(place, (f"{place}: {question}" for question in questions))


def _suction_typed_as_pressure(job: Job) -> None:
    """Refuse a lowest pressure above the air on a line that is usually sucked."""
    duty = table("service_duty")
    if not job.duty.pressure_min > 0 or not duty.has(service=job.service, field="pressure_min"):
        return
    usual = duty.row(service=job.service, field="pressure_min").number("adverse")
    if usual < 0:
        found = f"{job.duty.pressure_min:g} kPa, a pressure"
        raise InputError(
            "duty.pressure_min",
            found,
            f"suction as -{job.duty.pressure_min:g} kPa or {job.duty.pressure_min:g} kPa vacuum, or"
            " 0 where the line is never sucked",
        )


class JobError(InputError):
    """A job that cannot be used: one sentence for every field.

    Parameters
    ----------
    place : name of the file or of the command line
    sentences : about every field
    """

    def __init__(self, place: str, sentences: Iterable[str]) -> None:
        self.sentences = tuple(dict.fromkeys(sentences))
        super().__init__(place, "what cannot be used", "a job")

    def __str__(self) -> str:
        return "\n".join(self.sentences)


def one_sentence(place: str, detail: ErrorDetails) -> str:
    """Return what is wrong with a field in one sentence."""
    field = ".".join(str(part) for part in detail["loc"] if str(part) not in NOISE)
    where = f"{place}: {field}" if field else place
    found = shown(detail.get("input"))
    match detail["type"]:
        case "input":
            return f"{where}: {detail['msg']}"
        case "extra_forbidden":
            return f"{where}: found a key that no job has; expected one of the keys of a job file"
        case "missing":
            return f"{where}: found nothing; expected a value"
        case "literal_error":
            return f"{where}: found {found}; expected {detail['ctx']['expected']}"
        case "model_type" | "dict_type" | "model_attributes_type":
            return f"{where}: found {found}; expected a table of keys, such as [{field}]"
        case "tuple_type" | "list_type":
            pieces = field.endswith(("run", "wire"))
            wanted = "a list of straights and bends" if pieces else "a list in brackets"
            return f"{where}: found {found}; expected {wanted}"
        case "string_type":
            return f"{where}: found {found}; expected text"
        case _:
            return f"{where}: found {found}; expected {detail['msg'].lower()}"


NOISE = {"float", "BendForm"}
