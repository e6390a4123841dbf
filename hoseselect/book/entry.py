"""A job in the book: what was asked, what was answered, what was fitted."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any, Protocol

from hoseselect.domain.job import Job


@dataclass(frozen=True)
class Asked:
    """A job as it was asked, and the answer to it in a few words.

    Parameters
    ----------
    job : keys as in a job file
    command : that asked: pick, check, cut, ask or card
    service : id of the service or stop
    verdict : accept, conditional, unknown, reject, stop, or none where no hose was looked at
    hose : size that was offered or looked at; empty where none was
    cut : length to cut [mm]; NaN where none was given
    options : what else was asked for, by name: hose, shelf, prefer, radius, outside_diameter
    units : "mm" or "in"
    name : of the job
    note : whose vehicle, in the words of the shop
    altered_from : number of the job of which one answer was altered; 0 = none
    """

    job: Mapping[str, Any]
    command: str
    service: str
    verdict: str
    hose: str = ""
    cut: float = math.nan
    options: Mapping[str, Any] = field(default_factory=dict)
    units: str = "mm"
    name: str = ""
    note: str = ""
    altered_from: int = 0


class Told(Protocol):
    """An answer of which the book keeps a few words: that of a pick or of a cut."""

    @property
    def job(self) -> Job:
        """The job as understood."""

    @property
    def in_short(self) -> tuple[str, str, float]:
        """Verdict in a word, hose, and length to cut [mm]; NaN where there is none."""


def asked_of(
    told: Told,
    job: Mapping[str, Any],
    command: str,
    units: str,
    *,
    options: Mapping[str, Any] | None = None,
    note: str = "",
    altered_from: int = 0,
) -> Asked:
    """Return what is written of a job that was answered.

    Parameters
    ----------
    told : the answer
    job : keys as in a job file
    command : that asked
    units : "mm" or "in"
    options : what else was asked for, by name; what is empty is not kept
    note : in the words of the shop
    altered_from : number of the job of which one answer was altered; 0 = none
    """
    verdict, hose, cut = told.in_short
    return Asked(
        job=job,
        command=command,
        service=told.job.service,
        verdict=verdict,
        hose=hose,
        cut=cut,
        options={name: value for name, value in (options or {}).items() if value},
        units=units,
        name=told.job.name,
        note=note,
        altered_from=altered_from,
    )


@dataclass(frozen=True)
class Entry:
    """A line of the book.

    Parameters
    ----------
    number : of the job, never given twice
    asked_at : day and time of the till, as 2031-05-30 14:05
    asked : the job
    fitted : "yes", "no", or empty where nobody has said
    fitted_hose : what was fitted
    fitted_on, recheck_on, done_on : days as 2031-05-30; empty = none
    """

    number: int
    asked_at: str
    asked: Asked
    fitted: str = ""
    fitted_hose: str = ""
    fitted_on: str = ""
    recheck_on: str = ""
    done_on: str = ""

    def as_json(self) -> dict[str, Any]:
        """Return the line as plain values; a length that is not known is null."""
        own = {**asdict(self), **asdict(self.asked)}
        del own["asked"]
        cut = own.pop("cut")
        return {**own, "cut_mm": None if math.isnan(cut) else cut}
