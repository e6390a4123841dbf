"""The name of a job against its service: a name that speaks of a stopped line is asked about.

A name is free text, of a customer as well as of a line. It speaks of a line where the words of a
listed stop stand in it ("brake hose"), or where all its words are of the trade and lead to a stop.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from hoseselect.domain.job import Job
from hoseselect.intake.names import ascii_text, line_name, plain
from hoseselect.intake.questions import asked
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.quantities.spelling import without_unseen
from hoseselect.rules.name_words import NOTHING, danger_of, known_words, names_gas_fuel, read_words
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
    stop = "" if _is_silent(job.name) else stop_in_name(job.name)
    if not stop or is_stop(job.service):
        return
    yield asked(
        ("name", "service"),
        f"the name {ascii_text(job.name)}, which speaks of {line_name(stop)}, beside the service"
        f" {line_name(job.service)}",
        "the service of the line it is, or a name that speaks of no other line",
    )


def speaks_of_a_line(name: str) -> bool:
    """Return whether the name of a job may decide anything: a stop, or a question."""
    return not _is_silent(name) and (names_gas_fuel(name) or bool(stop_in_name(name)))


def _is_silent(name: str) -> bool:
    """Return whether a quick look at a name tells that it speaks of nothing."""
    words = WORD.findall(name.lower()) if name.isascii() else [""]
    return min(map(len, words), default=2) > 1 and _telling().isdisjoint(words)


WORD = re.compile(r"[a-z0-9]+")


@cache
def _telling() -> frozenset[str]:
    """Return words of which one at least stands in a name that speaks of anything.

    A name in other letters, or with letters that stand alone ("a/c", "l.p.g."), is looked at whole.
    """
    runs = [words for words, senses in known_words().items() if senses != {NOTHING}]
    runs += [tuple(phrase.split()) for phrase in _phrases()]
    idle = {words for words, senses in known_words().items() if senses == {NOTHING}}
    told: set[str] = set()
    for run in runs:
        telling = [word for word in run if (word,) not in idle] or list(run)
        parts = [part for word in telling for part in WORD.findall(word)]
        told.update(parts, (f"{part}s" for part in parts))
    return frozenset(told)


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
