"""A route drawn as straights and bends: how long it is, where it is tightest, how it lies.

Lengths are along the centreline of the hose and bend radii are radii of the centreline.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.bends import path_length, tightest


@dataclass(frozen=True)
class Run:
    """A route of straights and bends, from one nipple mouth to the other.

    Parameters
    ----------
    parts : straights and bends in their order
    slight : bends that together turn no more than this are not counted as bends of a radius, only
        by their length [deg]

    Raises
    ------
    InputError : there are no parts
    """

    parts: tuple[Straight | Bend, ...]
    slight: float = 0.0

    def __post_init__(self) -> None:
        if not self.parts:
            raise InputError("run", "no parts", "at least one straight or bend")

    @property
    def bends(self) -> tuple[Bend, ...]:
        """The bends, in their order."""
        return tuple(part for part in self.parts if isinstance(part, Bend))

    @cached_property
    def tight(self) -> tuple[Bend, ...]:
        """The bends whose radius counts, in their order."""
        slight = [bend for bend in self.bends if bend.angle <= self.slight]
        if sum(bend.angle for bend in slight) > self.slight:
            return self.bends
        return tuple(bend for bend in self.bends if not bend.angle <= self.slight)

    @cached_property
    def starts(self) -> tuple[float, ...]:
        """Where each part begins, and last of all the end of the run [mm]."""
        return (0.0, *np.cumsum([part.length for part in self.parts]).tolist())

    @cached_property
    def length(self) -> float:
        """Length of the path along the centreline [mm]."""
        straights = [part.length for part in self.parts if isinstance(part, Straight)]
        angles = [bend.angle for bend in self.bends]
        return float(path_length(straights, angles, [bend.radius for bend in self.bends]))

    @cached_property
    def tightest_radius(self) -> float:
        """Smallest radius of the centreline; infinite without a bend, NaN if unknown [mm]."""
        return float(tightest([b.angle for b in self.tight], [b.radius for b in self.tight]))

    @cached_property
    def tightest_at(self) -> float:
        """Middle of the (first) tightest bend, along the centreline; NaN if none [mm]."""
        for part, start in zip(self.parts, self.starts, strict=False):
            bent = isinstance(part, Bend) and part.angle > 0 and part in self.tight
            if isinstance(part, Bend) and bent and part.radius == self.tightest_radius:
                return start + part.length / 2
        return math.nan

    @property
    def lead_start(self) -> float:
        """Straight length before the first bend; the whole run if it has none [mm]."""
        return _lead(self.parts)

    @property
    def lead_end(self) -> float:
        """Straight length after the last bend; the whole run if it has none [mm]."""
        return _lead(self.parts[::-1])


def _lead(parts: tuple[Straight | Bend, ...]) -> float:
    """Straight length before the first bend of some parts [mm]."""
    lead = 0.0
    for part in parts:
        if isinstance(part, Bend) and part.angle != 0:
            break
        lead += part.length
    return lead
