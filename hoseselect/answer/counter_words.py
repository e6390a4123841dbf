"""What the counter says with every offer of a line: what could injure, and what to tell."""

from __future__ import annotations

from hoseselect.domain.job import UNKNOWN, Job
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import table

EVERY_JOB = "every-job"
NO_PART = ("none", "something")


def injury(service: str) -> str:
    """Return in one line what could injure somebody on a line."""
    return _words(service, "injury") or _words(EVERY_JOB, "injury")


def tell(job: Job) -> tuple[str, ...]:
    """Return what to tell the customer: what goes back in, which way round, when to look again."""
    columns = service_columns()
    place = columns.index[job.service]
    insert = job.features.insert
    told = ""
    if insert not in {UNKNOWN, *NO_PART}:
        told = f"The {insert.replace('-', ' ')} goes back in, same place, same way round."
    elif insert == UNKNOWN and columns.insert_possible[place]:
        told = _words(EVERY_JOB, "insert")
    again = _words(EVERY_JOB, "clamped" if columns.clamped[place] else "pushed-on")
    return tuple(text for text in (told, _words(job.service, "direction"), again) if text)


def _words(service: str, kind: str) -> str:
    """Return the words of a kind for a service: its own, else those of its group; empty none."""
    words = table("counter_words")
    places = [service]
    if table("services").has(service=service):
        places.append(table("services").row(service=service)["group"])
    for place in places:
        if words.has(kind=kind, applies_to=place):
            return words.row(kind=kind, applies_to=place)["text"]
    return ""
