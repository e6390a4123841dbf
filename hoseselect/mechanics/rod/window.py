"""The lengths of hose that work on a route for a least bend radius."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Window:
    """Lengths between which the tightest radius is at least the wanted one.

    Attributes
    ----------
    radius : the wanted least centreline radius [mm]
    shortest : shortest length that works; NaN if none does [mm]
    longest : longest of the same unbroken range; infinite if open [mm]
    bound : length below which no hose of that radius fits, by closed form [mm]
    loop_from : start of a second range beyond `longest`; NaN if none was found [mm]
    big_loop_only : whether the shortest length is a wide loop, far beyond distance and bound
    best_radius : largest tightest radius within the practical length limit [mm]
    best_length : the length that gives it [mm]
    """

    radius: float
    shortest: float
    longest: float
    bound: float
    loop_from: float
    big_loop_only: bool
    best_radius: float
    best_length: float

    @property
    def exists(self) -> bool:
        """Whether any length works."""
        return bool(np.isfinite(self.shortest))

    @property
    def width(self) -> float:
        """Longest minus shortest; infinite if open, NaN if no length works [mm]."""
        return self.longest - self.shortest
