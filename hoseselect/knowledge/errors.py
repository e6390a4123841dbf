"""The exceptions of the package, all of them.

    HoseselectError              the question could not be answered
    |-- InputError               what was given cannot be used: a job, an option, a sheet
    |   |-- NoFigureError        words where a figure is wanted
    |   |-- SideNeededError      a pressure that may be a vacuum as well
    |   |-- AmbiguousNameError   a name that may mean several; one question tells
    |   |-- CatalogueError       a catalogue folder cannot be used
    |   `-- ManyFaultsError      several of them at once, each kept
    |-- KnowledgeError           a published table shipped with the package is damaged
    `-- SolveError               no shape can be given for a route

A refusal ("no hose suits") is a value, never an exception. Place, found and expected are kept to
the end; nobody reads them back from the sentence.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, fields, replace
from typing import Any, Self

SHOWN = 20
"""Faults that are written out at once; the rest are counted."""

LONGEST_PART = 300
"""Letters of a part of a sentence; of a longer one the middle is left out."""


@dataclass(unsafe_hash=True)
class HoseselectError(Exception):
    """Keeps the parts of a complaint; the sentence is written when it is asked for.

    Parameters
    ----------
    place : name of the field, or file:line:column
    found : what stands there
    expected : what would be right
    keys : dotted keys of a job file that it is about; empty where it is about none
    """

    place: str
    found: str
    expected: str
    keys: tuple[str, ...] = field(default=(), compare=False, kw_only=True)

    def __str__(self) -> str:
        place, found = _cut(self.place), _cut(self.found)
        return f"{place}: found {found}; expected {self.expected}"

    def __reduce__(self) -> tuple[Any, ...]:
        """Keep every part when the error is copied, or carried to another process."""
        parts = {part.name: getattr(self, part.name) for part in fields(self) if part.init}
        return _made_again, (type(self), parts)

    @property
    def faults(self) -> tuple[HoseselectError, ...]:
        """The single faults: itself, or those that it holds."""
        return (self,)

    def at(self, place: str) -> Self:
        """Return the same complaint about another place."""
        return replace(self, place=place)


def _cut(text: str) -> str:
    """Return a text without its middle where it is long: a place tells most at both its ends."""
    half = LONGEST_PART // 2
    return text if len(text) <= LONGEST_PART else f"{text[:half]} ... {text[-half:]}"


def _made_again(kind: type[HoseselectError], parts: dict[str, Any]) -> HoseselectError:
    return kind(**parts)


class InputError(HoseselectError):
    """What was given cannot be used: a job, an option, a sheet."""


class NoFigureError(InputError):
    """Words stand where a figure is wanted."""


class SideNeededError(InputError):
    """A pressure in a unit that workshops use for vacuum as well, without saying which."""


@dataclass(unsafe_hash=True)
class AmbiguousNameError(InputError):
    """A name that may mean several lines or fluids, or one that it does not quite name.

    Parameters
    ----------
    choices : ids of what may be meant, as the sentence numbers them
    """

    choices: tuple[str, ...] = ()


class CatalogueError(InputError):
    """A catalogue folder cannot be used."""


@dataclass(unsafe_hash=True)
class ManyFaultsError(InputError):
    """Several faults at once; place, found and expected are those of the first.

    Parameters
    ----------
    several : the single faults, at least one, in the order in which they are told
    heading : line above them, or empty
    most : how many are written out, the rest being counted
    """

    place: str = field(init=False)
    found: str = field(init=False)
    expected: str = field(init=False)
    keys: tuple[str, ...] = field(init=False, compare=False)
    several: tuple[HoseselectError, ...]
    heading: str = ""
    most: int = SHOWN

    def __post_init__(self) -> None:
        first = self.several[0]
        self.place, self.found, self.expected = first.place, first.found, first.expected
        self.keys = first.keys

    def __str__(self) -> str:
        told = self.several[: self.most]
        left = len(self.several) - len(told)
        lines = [self.heading, *map(str, told), f"... and {left} more" if left else ""]
        return "\n".join(line for line in lines if line)

    @property
    def faults(self) -> tuple[HoseselectError, ...]:
        """The single faults."""
        return self.several


def refuse(faults: Iterable[HoseselectError]) -> None:
    """Raise all faults at once, where there are any.

    Raises
    ------
    ManyFaultsError
        with every fault.
    """
    several = tuple(faults)
    if several:
        raise ManyFaultsError(several)


class KnowledgeError(HoseselectError):
    """A published table shipped with the package is damaged."""


class SolveError(HoseselectError):
    """No shape can be given for a route; `found` is the reason."""

    @property
    def reason(self) -> str:
        """The reason in plain words."""
        return self.found
