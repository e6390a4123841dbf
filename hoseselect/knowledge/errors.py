"""The exceptions of the package.

    HoseselectError          the question could not be answered
    |-- InputError           a job, an option or a sheet cannot be used
    |   `-- ManyFaultsError  ... for several reasons, each with its place
    |-- CatalogueError       a catalogue folder cannot be used
    |-- KnowledgeError       a published table shipped with the package is damaged
    `-- SolveError           no shape can be given for a route

A refusal ("no hose suits") is a value, never an exception.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass
class HoseselectError(Exception):
    """Keeps the parts of a complaint; the sentence is written when it is asked for.

    Parameters
    ----------
    place : name of the field, or file:line:column
    found : what stands there
    expected : what would be right
    """

    place: str
    found: str
    expected: str

    def __str__(self) -> str:
        return f"{self.place}: found {self.found}; expected {self.expected}"


class InputError(HoseselectError):
    """A job, an option or a sheet cannot be used."""


class ManyFaultsError(InputError):
    """A job or a sheet that cannot be used: one sentence for every fault.

    Parameters
    ----------
    faults : one at least, in the order in which they are told
    """

    def __init__(self, faults: Iterable[InputError]) -> None:
        told = {(fault.place, fault.found, fault.expected): fault for fault in faults}
        self.faults = tuple(told.values())
        first = self.faults[0]
        super().__init__(first.place, first.found, first.expected)

    @property
    def sentences(self) -> tuple[str, ...]:
        """One sentence for every fault."""
        return tuple(map(str, self.faults))

    def __str__(self) -> str:
        return "\n".join(self.sentences)


class CatalogueError(HoseselectError):
    """A catalogue folder cannot be used."""


class KnowledgeError(HoseselectError):
    """A published table shipped with the package is damaged."""


class SolveError(HoseselectError):
    """No shape can be given for a route; `found` is the reason."""

    @property
    def reason(self) -> str:
        """The reason in plain words."""
        return self.found
