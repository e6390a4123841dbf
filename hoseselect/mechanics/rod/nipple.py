"""What a bent hose does at its nipples."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.shape import Shape


@dataclass(frozen=True)
class NippleLoad:
    """Load of the hose on one nipple, as a range because stiffness is one.

    Attributes
    ----------
    side : (low, high) force square to the nipple [N]
    pull : (low, high) force along the nipple, positive = pulls the hose off [N]
    moment : (low, high) bending moment at the tip [N mm]
    """

    side: tuple[float, float]
    pull: tuple[float, float]
    moment: tuple[float, float]


def nipple_loads(shape: Shape, stiffness: tuple[float, float]) -> tuple[NippleLoad, NippleLoad]:
    """Loads on nipple A and nipple B.

    Parameters
    ----------
    shape : the bent hose, weight left out
    stiffness : (low, high) bending stiffness EI [N mm2]

    Raises
    ------
    InputError : stiffness that is no positive range
    """
    low, high = stiffness
    if not 0 < low <= high:
        raise InputError("stiffness", f"{low} to {high} N mm2", "a positive range")
    tension = shape.end_force
    return (
        _load(tension, shape.pose.start_direction, shape.start_moment, low, high),
        _load(tension, shape.pose.end_direction, shape.end_moment, low, high),
    )


def _load(force: Array, direction: Array, moment: Array, low: float, high: float) -> NippleLoad:
    along = float(force @ direction)
    side = float(np.linalg.norm(force - along * direction))
    bend = float(np.linalg.norm(moment))
    pull = (along * low, along * high) if along >= 0 else (along * high, along * low)
    return NippleLoad((side * low, side * high), pull, (bend * low, bend * high))


@dataclass(frozen=True)
class NippleExit:
    """How the hose leaves one nipple.

    Attributes
    ----------
    angle : between the nipple and the chord of the route [deg]
    radius : of the centreline at the tip, infinite if straight there [mm]
    lead : length from the tip that stays within 5 deg of the nipple's direction [mm]
    """

    angle: float
    radius: float
    lead: float


def nipple_ends(shape: Shape, within: float = 5.0) -> tuple[NippleExit, NippleExit]:
    """Angle and straight lead at nipple A and nipple B.

    Parameters
    ----------
    shape : the bent hose
    within : turn that still counts as straight [deg]
    """
    chord = shape.pose.chord / shape.pose.distance
    tangents, bends = shape.tangents_at(401), shape.curvatures(401)
    found = []
    for line, curve in ((tangents, bends), (tangents[::-1], bends[::-1])):
        turn = np.degrees(np.arccos(np.clip(line @ line[0], -1.0, 1.0)))
        beyond = np.flatnonzero(turn > within)
        part = len(turn) - 1.0
        if len(beyond):
            after = int(beyond[0])
            part = after - (turn[after] - within) / (turn[after] - turn[after - 1])
        lead = shape.length * float(part) / (len(turn) - 1)
        radius = 1.0 / float(curve[0]) if curve[0] > 1e-12 else float("inf")
        angle = float(np.degrees(np.arccos(np.clip(line[0] @ chord, -1.0, 1.0))))
        found.append(NippleExit(angle, radius, lead))
    return found[0], found[1]
