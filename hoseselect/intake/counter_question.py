"""The questions of the counter as they are put: words, numbered choices and help."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.quantities.spelling import is_unknown, plain_text


@dataclass(frozen=True)
class Choice:
    """One numbered choice.

    Parameters
    ----------
    label : as shown
    sets : dotted keys and what they become
    words : replies that mean it, beside its label
    then : question that follows from it; empty where none does
    """

    label: str
    sets: tuple[tuple[str, str], ...]
    words: tuple[str, ...] = ()
    then: str = ""


@dataclass(frozen=True)
class Asked:
    """One question of the interview.

    Parameters
    ----------
    field : input as in the table of questions, or a name of the interview's own
    kind : how its reply is read
    question : in plain words
    help : what to look for and where to measure, with a picture where one helps
    choices : numbered from 1
    about : question whose reply it reads back; empty for any other
    """

    field: str
    kind: str
    question: str
    help: str
    choices: tuple[Choice, ...] = ()
    about: str = ""


@cache
def counter_question(field: str, group: str = "") -> Asked:
    """Return a question.

    Parameters
    ----------
    field : as in the table of the counter's questions
    group : of the service, where the choices depend on it
    """
    row = table("counter_questions").row(input=field)
    choices = tuple(
        Choice(
            found["label"],
            tuple(_pair(text) for text in found["sets"].split(";")),
            tuple(filter(None, found["words"].split("|"))),
            found["then"],
        )
        for found in table("counter_choices").where(input=field)
        if found["service_group"] in {"", group}
    )
    return Asked(field, row["kind"], row["question"], row["help"], choices)


def _pair(text: str) -> tuple[str, str]:
    key, _, value = text.partition("=")
    return key, value


def reading_back(asked: Asked, choices: tuple[Choice, ...], question: str) -> Asked:
    """Return the question that reads a reply to another one back."""
    return replace(with_choices(counter_question("confirm"), choices, question), about=asked.field)


def with_choices(asked: Asked, choices: tuple[Choice, ...], question: str = "") -> Asked:
    """Return a question with other choices, and other words where there are any."""
    return replace(asked, choices=choices, question=question or asked.question)


COUNTED = re.compile(r"(?:no\.? ?|number |#)?([0-9]{1,2})[.)]?", re.IGNORECASE)
DENIES = re.compile(r"\b(?:no|not|never|none|without|tighter|smaller|sharper|less|half)\b|n't\b")


def chosen(asked: Asked, reply: str) -> Choice | None:
    """Return the choice that a reply means, None where it means none of them.

    A number counts where it is offered. Words count where they are those of one choice alone; a
    word that denies or compares ("not a valve", "tighter than a tin") is no choice by itself.

    Raises
    ------
    InputError
        when the words of several choices are in it.
    """
    text = plain_text(reply).casefold().rstrip(".!")
    if counted := COUNTED.fullmatch(text):
        number = int(counted[1])
        return asked.choices[number - 1] if 1 <= number <= len(asked.choices) else None
    for choice in asked.choices:
        if text in {choice.label.casefold(), *choice.words}:
            return choice
    if DENIES.search(text) or is_unknown(text):
        return None
    named = [choice for choice in asked.choices if _names(choice, text)]
    if len(named) > 1:
        raise InputError("reply", f"'{reply}', which is several of them", numbers(asked))
    return named[0] if named else None


def _names(choice: Choice, text: str) -> bool:
    words = (choice.label.casefold(), *choice.words)
    return any(re.search(rf"\b{re.escape(word)}s?\b", text) for word in words)


def numbers(asked: Asked) -> str:
    """Return what may be said to a question with choices."""
    return f"a number from 1 to {len(asked.choices)}, or dunno"
