"""The counter interview: a few questions in the deciding order, "don't know" always allowed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from hoseselect.answer.answer import Answer
from hoseselect.answer.next_question import next_question
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.domain.job import Job
from hoseselect.intake.counter_question import Asked, counter_question
from hoseselect.intake.interview_answers import NIPPLE_B, answered
from hoseselect.intake.interview_state import UNKNOWN, State, finished, flat, job_of, nested
from hoseselect.intake.read_job import read_job
from hoseselect.judging.columns import HoseColumns
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.quantities.spelling import is_unknown

MOST_QUESTIONS = 8
SERVICE = "service"
HELP, BACK = frozenset({"?", "help"}), frozenset({"<", "go back"})
FIRST = "This is the first question."

Ask = Callable[[Asked, str], str]
"""Puts one question, with a note that comes before it, and returns what was typed."""


@dataclass(frozen=True)
class Interviewed:
    """What an interview has found.

    Parameters
    ----------
    values : what was said, with keys as in a job file
    job : that it describes
    guesses : replies that are no measurement, such as "about a foot", by the input
    """

    values: dict[str, Any]
    job: Job
    guesses: Mapping[str, str]


def interview(
    ask: Ask,
    catalogue: Catalogue,
    told: Mapping[str, Any] | None = None,
    units: str = "mm",
) -> Interviewed:
    """Ask until the answer stands or eight things are asked.

    Parameters
    ----------
    ask : puts one question, with a complaint or the help before it, and returns the reply
    catalogue : of the shop, which decides what is worth asking
    told : what is known of the job before, with keys as in a job file; it is not asked again
    units : "in" where bare pressures and temperatures are asked about
    """
    said = dict(flat(told or {}))
    read_job(nested({SERVICE: UNKNOWN, **said}), "interview", units)
    known, hoses = frozenset(known_inputs(said)), hose_columns(catalogue)
    state, note = State(said, known), ""
    behind: list[tuple[State, Asked]] = []
    question = asked_next(state, known, hoses)
    while question is not None:
        reply = ask(question, note).strip()
        note = ""
        if reply.casefold() in HELP:
            note = question.help
        elif reply.casefold() in BACK and behind:
            state, question = behind.pop()
        elif reply.casefold() in BACK:
            note = FIRST
        else:
            try:
                after = answered(state, question, reply, units)
            except InputError as error:
                note = f"Not understood: {error.found}. Say {error.expected}."
                continue
            behind.append((state, question))
            state, question = after, asked_next(after, known, hoses)
    values = finished(state.said)
    return Interviewed(values, read_job(values, "interview"), state.guesses)


def known_inputs(said: Mapping[str, Any]) -> set[str]:
    """Return the inputs that need not be asked for; one that is told to be unknown must."""
    fields = {field for field, value in said.items() if not is_unknown(str(value))}
    fields |= {field.replace("nipples.", f"nipple_{end}.") for field in fields for end in "ab"}
    if any(field.startswith(("route.measured", "route.run", "route.free")) for field in fields):
        fields |= {"route"}
    return fields


def asked_next(
    state: State, known: frozenset[str], hoses: HoseColumns, told: Answer | None = None
) -> Asked | None:
    """Return the next question: what follows from a reply, else what changes a verdict.

    Parameters
    ----------
    state : of the interview
    known : inputs that were told before it
    hoses : of the shop, which decide what is worth asking
    told : the answer so far, which need not be worked out again
    """
    if state.pending:
        return state.pending[0]
    if SERVICE not in state.said:
        return counter_question(SERVICE)
    inputs = {SERVICE, *table("questions").column("input")} - {NIPPLE_B}
    if len(inputs & state.asked - known) >= MOST_QUESTIONS:
        return None
    field = next_question(job_of(state.said), hoses, state.asked, told)
    return counter_question(field, state.group) if field else None
