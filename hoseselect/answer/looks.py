"""What to see to at the vehicle before anything flows: the checks of a hose, by where one looks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

LOOKS = ("ends", "way", "round")
"""Where one looks: at both ends, along the way, round about and in the old hose."""


class Asks(Protocol):
    """What asks for a look: a finding, or a condition of the hose that leads."""

    @property
    def code(self) -> str:
        """Code of the rule."""
        ...

    @property
    def check(self) -> str:
        """What must hold; empty = nothing is to be seen to."""
        ...

    @property
    def look(self) -> str:
        """Where one looks."""
        ...


@dataclass(frozen=True)
class Look:
    """What to see to in one place, by the limits of one hose.

    Parameters
    ----------
    place : "ends", "way" or "round"
    points : what must hold there, one sentence each
    rules : codes of the rules that ask for it
    """

    place: str
    points: tuple[str, ...]
    rules: tuple[str, ...]


def looks(findings: Iterable[Asks]) -> tuple[Look, ...]:
    """Return what to see to for one hose, at most one look in each place."""
    asked = [finding for finding in findings if finding.check]
    made = []
    for place in LOOKS:
        own = [finding for finding in asked if finding.look == place]
        if own:
            points = tuple(dict.fromkeys(finding.check for finding in own))
            made.append(Look(place, points, tuple(finding.code for finding in own)))
    return tuple(made)
