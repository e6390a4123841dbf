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
LISTS = frozenset({"fluids", "drips"})
"""Kinds of question to which several things may be said."""
IDLE = re.compile(
    r"(?:a|an|the|it|it'?s|is|was|were|are|there(?:'?s)?|some|just|of|kind|sort|in|on|at|by|inside|my"
    r"|your|one|small|little|tiny|big|bit|old|still|only|like|about|around|round|roughly|size|snug|fit"
    r"|hose|end|side|pipe|plastic|metal|rubber|top|bottom|left|right|front|rear|upper|lower|near|elbow"
    r"|nipple|stub|spigot|port|fitting|outlet|leak|drip|dripping|all|way|through|insert|yes|yep|yeah"
    r"|bead|bump|lip|smell|film|slight|slightly|very|black|brass|wire|middle|sit|them|has|dead|almost"
    r"|bean|beer|bend|bone|green|pink|engine)s?"
)
"""Words that say nothing more where they stand beside those of a choice."""
SPECIAL = {
    "radius": re.compile(r"\b(?:small|little|tiny|big|large|side|half)\b"),
    "bead": re.compile(
        r"^(?!.*\bboth\b).*\b(?:left|right|except|only|other|ends?|side|(?:on|at) [ab])\b"
    ),
}
"""Words with which a reply says something else than the choice whose words it holds, by kind."""


def chosen(asked: Asked, reply: str) -> Choice | None:
    """Return the choice that a reply means, None where it means none of them.

    A number counts where it is offered. Words count where they are those of one choice alone and
    nothing else is said: "a little valve" is one, "E10 and LPG" is not E10. A word that denies or
    compares ("not a valve", "tighter than a tin") is no choice by itself.

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
    if asked.kind in SPECIAL and SPECIAL[asked.kind].search(text):
        return None
    named = _named(asked.choices, text)
    if len(named) > 1 and asked.kind not in LISTS:
        raise InputError("reply", f"'{reply}', which is several of them", numbers(asked))
    return named[0] if len(named) == 1 and not more_than(named[0], text) else None


def _named(choices: tuple[Choice, ...], text: str) -> list[Choice]:
    """Return the choices of which words stand in a reply; one whose words hold all others alone."""
    said = {choice: words for choice in choices if (words := _said(choice, text))}
    for choice, words in said.items():
        longest = max(words, key=len)
        if all(word in longest for others in said.values() for word in others):
            return [choice]
    return list(said)


def _said(choice: Choice, text: str) -> list[str]:
    words = (choice.label.casefold(), *choice.words)
    return [word for word in words if _word(word).search(text)]


def names(choice: Choice, text: str) -> bool:
    """Return whether words of a choice stand in a reply in small letters."""
    return bool(_said(choice, text))


def more_than(choice: Choice, text: str) -> bool:
    """Return whether a reply in small letters says more than the words of a choice."""
    for word in sorted(choice.words, key=len, reverse=True):
        text = _word(word).sub(" ", text)
    label = WORDS.findall(choice.label.casefold())
    return any(word not in label and not IDLE.fullmatch(word) for word in WORDS.findall(text))


WORDS = re.compile(r"[^\s,;.:!?()]+")


@cache
def _word(word: str) -> re.Pattern[str]:
    return re.compile(rf"\b{re.escape(word)}s?\b")


def numbers(asked: Asked) -> str:
    """Return what may be said to a question."""
    if not asked.choices:
        return "what is asked for, or dunno"
    return f"a number from 1 to {len(asked.choices)}, or dunno"
