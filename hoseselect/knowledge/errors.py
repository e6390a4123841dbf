"""The exceptions of the package.

    HoseselectError          the question could not be answered
    |-- InputError           a job, an option or a sheet cannot be used
    |   `-- AmbiguousNameError  a name may mean several lines; one question tells
    |-- CatalogueError       a catalogue folder cannot be used
    |-- KnowledgeError       a published table shipped with the package is damaged
    `-- SolveError           no shape can be given for a route

A refusal ("no hose suits") is a value, never an exception.
"""

from __future__ import annotations

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


@dataclass
class AmbiguousNameError(InputError):
    """A name that may mean several lines, or one line that it does not quite name.

    Parameters
    ----------
    choices : ids of the services and stops that may be meant, as the sentence numbers them
    """

    choices: tuple[str, ...] = ()


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
