"""An interview whose replies stand together, in the order of asking: replayed, and gone on with."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from hoseselect.answer.answer import Answer
from hoseselect.application.ask import asked_next, known_inputs
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.domain.job import Job
from hoseselect.intake.counter_question import Asked, chosen, counter_question
from hoseselect.intake.interview_answers import answered
from hoseselect.intake.interview_state import FREE_KEY, State, finished, flat, nested
from hoseselect.intake.read_job import read_job
from hoseselect.intake.told_stops import told_stops
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table

Pair = tuple[str, str]
"""A question of the interview, or a key of a job file, and what is said to it."""


@dataclass(frozen=True)
class Said:
    """One thing that was said.

    Parameters
    ----------
    place : among the replies, from 0
    field : question of the interview, or key of a job file
    question : in words; empty for a key of a job file that is no question
    reply : as typed
    label : of the choice that it means; else the reply
    """

    place: int
    field: str
    question: str
    reply: str
    label: str


@dataclass(frozen=True)
class Interviewing:
    """How far an interview has come.

    Parameters
    ----------
    state : of the interview
    said : what was said, in order
    before : job from which it went on, with dotted keys
    units : "in" where bare pressures and temperatures are asked about
    around : dotted keys of what lies round a free route, beside what the job before it holds
    """

    state: State
    said: tuple[Said, ...]
    before: Mapping[str, Any]
    units: str = "mm"
    around: Mapping[str, Any] = field(default_factory=dict)

    @property
    def values(self) -> dict[str, Any]:
        """The job so far, with keys as in a job file; what is a stop for sure stays one.

        Raises
        ------
        InputError
            when something lies round a route on which nobody can tell how near it is.
        """
        said = dict(self.state.said)
        if self.around and not any(key.startswith(FREE_KEY) for key in said):
            raise InputError(
                next(iter(self.around)), "what a hose must keep clear of", A_FREE_ROUTE
            )
        for key, listed in self.around.items():
            said[key] = [*said.get(key, []), *listed]
        return finished({**said, **told_stops(nested(self.before))})

    @property
    def begun(self) -> bool:
        """Whether it is known which line it is about."""
        return SERVICE in self.state.said

    @property
    def unanswered(self) -> Asked | None:
        """The first question that a reply brought up and nobody answered: it waits for that."""
        waiting = [asked for asked in self.state.pending if asked.field in OF_A_REPLY]
        return waiting[-1] if waiting else None

    def job(self) -> Job:
        """Return the job so far.

        Raises
        ------
        InputError
            when what was said cannot be used.
        """
        return read_job(self.values, "", self.units)

    def question(self, catalogue: Catalogue, answer: Answer | None = None) -> Asked | None:
        """Return what is to be asked next; None where nothing is.

        Parameters
        ----------
        catalogue : of the shop, which decides what is worth asking
        answer : to the job so far, which need not be worked out again
        """
        keys = {one.field.removeprefix(RAW): one.reply for one in self.said if not one.question}
        told = {**self.before, **keys}
        return asked_next(
            self.state, frozenset(known_inputs(told)), hose_columns(catalogue), answer
        )


SERVICE = "service"
A_FREE_ROUTE = "a route told by where the nipples are, in one plane or by a wire; or none of it"
RAW = "job."
"""Before a key of a job file that is no reply to a question, though one has its name."""


def interviewing(
    pairs: Sequence[Pair],
    before: Mapping[str, Any] | None = None,
    units: str = "mm",
    around: Mapping[str, Any] | None = None,
) -> Interviewing:
    """Return an interview after its replies.

    Parameters
    ----------
    pairs : questions or keys, and replies, in the order of asking
    before : job from which it goes on, with keys as in a job file
    units : "in" where bare pressures and temperatures are asked about
    around : dotted keys of what lies round a free route

    Raises
    ------
    InputError
        when a reply cannot be used; its place is the question.
    """
    start = dict(flat(before or {}))
    state = State(start, frozenset(known_inputs(start)))
    said, keys = [], {}
    for place, (asked, reply) in enumerate(pairs):
        try:
            question = None if asked.startswith(RAW) else question_of(state, asked)
            if question is None:
                keys[asked.removeprefix(RAW)] = reply
                said.append(Said(place, asked, "", reply, reply))
                continue
            label = _label(question, reply)
            after = answered(state, question, reply, units)
            keys = {key: text for key, text in keys.items() if _unsaid(key, state, after)}
            state = after
        except InputError as error:
            raise InputError(asked, error.found, error.expected, keys=error.keys) from None
        said.append(Said(place, asked, question.question, reply, label))
    state = replace(state.saying(keys), asked=state.asked | keys.keys())
    return Interviewing(state, tuple(said), start, units, dict(around or {}))


def _unsaid(key: str, before: State, after: State) -> bool:
    """Return whether a reply leaves a key alone that was told before it: the later one counts."""
    return key not in after.said or after.said[key] == before.said.get(key)


def question_of(state: State, field: str) -> Asked | None:
    """Return a question as it is put in a state of the interview; None for what is no question."""
    for asked in state.pending:
        if asked.field == field:
            return asked
    if not table("counter_questions").has(input=field):
        return None
    asked = counter_question(field, state.group)
    if field in OF_A_REPLY:
        raise InputError(field, "a reply to what was not asked", "replies in the order of asking")
    return asked


OF_A_REPLY = ("confirm", "line.which")
"""Questions that only a reply brings up: without it there is nothing to choose from."""


def _label(question: Asked, reply: str) -> str:
    """Return the words of the choice that a reply means; the reply where it means none."""
    choice = chosen(question, reply) if question.choices else None
    return reply if choice is None else choice.label
