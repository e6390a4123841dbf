"""The counter interview: a few questions in the deciding order, "don't know" always allowed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from hoseselect.application.pick_hose import pick_hose
from hoseselect.application.read_job import read_job
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job
from hoseselect.knowledge.load import table

MOST_QUESTIONS = 8

# What one answer at the counter fills in beside the field itself.
ALSO = {
    "nipple_a.outside_diameter": {"nipple_a.measured_on": "plain", "nipple_b.measured_on": "plain"},
}
SAME_AT_B = {
    "nipple_a.outside_diameter": "nipple_b.outside_diameter",
    "nipple_a.bead": "nipple_b.bead",
}


@dataclass(frozen=True)
class Asked:
    """One question of the interview.

    Parameters
    ----------
    field : input as in a job file
    question : in plain words
    """

    field: str
    question: str


SERVICE = Asked("service", "Which two parts does it join, and what runs in it? (e.g. PCV hose)")
NIPPLE_B = "The same for nipple B (leave empty if it is like A)"


def interview(
    ask: Callable[[Asked, Callable[[str], None]], str], catalogue: Catalogue
) -> tuple[dict[str, Any], Job]:
    """Ask until the answer stands or eight questions are asked; return what was said and the job.

    Parameters
    ----------
    ask : puts one question, tries the reply with the function it is given, returns the reply
    catalogue : of the shop, which decides what is worth asking
    """
    said: dict[str, str] = {}
    _put(said, SERVICE, ask)
    asked = {SERVICE.field}
    while len(asked) < MOST_QUESTIONS:
        job = read_job(nested(said), "interview")
        question = _next(job, catalogue, asked)
        if question is None:
            break
        asked.add(question.field)
        _put(said, question, ask)
        partner = SAME_AT_B.get(question.field)
        if partner:
            said[partner] = said[question.field]
            if question.field.endswith("outside_diameter") and said[question.field] != "unknown":
                reply = ask(Asked(partner, NIPPLE_B), _trial(said, partner))
                said[partner] = reply or said[question.field]
        for field, value in ALSO.get(question.field, {}).items():
            said[field] = value
        if question.field == "route" and said.get("route.measured", "unknown") == "unknown":
            asked.add("route.tightest_radius")
    return nested(said), read_job(nested(said), "interview")


def _next(job: Job, catalogue: Catalogue, asked: set[str]) -> Asked | None:
    """Return the next question in the deciding order that would change a verdict."""
    answer = pick_hose(job, catalogue)
    if answer.stops:
        return None
    decisive = {question.field for question in answer.ask_next}
    rows = [row for row in table("questions") if row["interview"] != ""]
    rows.sort(key=lambda row: row.number("interview"))
    for row in rows:
        if row["input"] in decisive and row["input"] not in asked:
            return Asked(row["input"], row["question"])
    return None


FIELD_OF = {"route": "route.measured"}


def _put(
    said: dict[str, str], question: Asked, ask: Callable[[Asked, Callable[[str], None]], str]
) -> None:
    field = FIELD_OF.get(question.field, question.field)
    said[field] = ask(question, _trial(said, field)) or "unknown"


def _trial(said: Mapping[str, str], field: str) -> Callable[[str], None]:
    """Return a function that tries a reply and raises InputError where it cannot be used."""

    def trial(reply: str) -> None:
        if reply:
            read_job(nested({**said, field: reply}), "answer")

    return trial


def nested(said: Mapping[str, str]) -> dict[str, Any]:
    """Return dotted fields as the mapping of a job file."""
    values: dict[str, Any] = {}
    for field, value in said.items():
        *parents, last = field.split(".")
        inner = values
        for name in parents:
            inner = inner.setdefault(name, {})
        inner[last] = value
    return values
