"""The name of a job against its service: a name that speaks of a stopped line is asked about.

A name is free text, of a customer as well as of a line. It speaks of a line where the words of a
listed stop stand in it ("brake hose"), or where all its words are of the trade and lead to a stop.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from hoseselect.domain.job import Job
from hoseselect.intake.names import ascii_text, line_name, plain
from hoseselect.intake.questions import asked
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.quantities.spelling import without_unseen
from hoseselect.rules.name_words import danger_of, read_words
from hoseselect.rules.stop import is_stop

GRAVE = (
    *("brake-hydraulics", "clutch-hydraulics", "brake-fluid-reservoir", "air-brakes"),
    *("refrigerant", "steering-pressure", "active-suspension", "hydraulic-brake-booster"),
    "urea-line",
)
"""Stops whose names nobody gives to another line. A fuel, an engine ("common rail") or a part that
a line is pushed on ("air duct") may stand in the name of any line."""


def name_of_a_stopped_line(job: Job) -> Iterator[InputError]:
    """Ask where the name of a job speaks of a stopped line and its service is another one."""
    stop = stop_in_name(job.name)
    if not stop or is_stop(job.service):
        return
    yield asked(
        ("name", "service"),
        f"the name {ascii_text(job.name)}, which speaks of {line_name(stop)}, beside the service"
        f" {line_name(job.service)}",
        "the service of the line it is, or a name that speaks of no other line",
    )


def stop_in_name(name: str) -> str:
    """Return the stopped line that the name of a job speaks of; an empty text if none.

    Examples
    --------
    >>> stop_in_name("Brake hose front left"), stop_in_name("PCV hose of Mr Brake")
    ('brake-hydraulics', '')
    """
    name = without_unseen(name)
    words = f" {plain(name)} "
    for phrase, stop in _phrases().items():
        if phrase in words:
            return stop
    read = read_words(name)
    stop = "" if read.unknown else danger_of(read.senses)[0]
    return stop if stop in GRAVE else ""


@cache
def _phrases() -> dict[str, str]:
    """Return the listed names of stops of two words and more, with a space at either end."""
    rows = (row for row in table("stop_names") if row["stop"] in GRAVE)
    return {
        f" {plain(row['other_name'])} ": row["stop"]
        for row in rows
        if len(plain(row["other_name"]).split()) > 1
    }
