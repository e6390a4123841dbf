"""Low spots and fall along a bent hose."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import unit
from hoseselect.mechanics.rod.shape import Shape

POINTS = 401


@dataclass(frozen=True)
class LowSpot:
    """A place where fluid can stand.

    Attributes
    ----------
    at : along the hose from the start [mm]
    point : (3,) its place [mm]
    depth : how far it lies below the lower of the two rims around it [mm]
    """

    at: float
    point: Array
    depth: float


def low_spots(shape: Shape, down: Array, least_depth: float = 0.5) -> list[LowSpot]:
    """Low spots along the centreline, the start and the end left out.

    Parameters
    ----------
    shape : the bent hose
    down : (3,) direction of gravity, any length [-]
    least_depth : shallower ones are left out [mm]
    """
    line = shape.centreline(POINTS)
    low = line @ unit(np.asarray(down, dtype=float))
    inner = np.flatnonzero((low[1:-1] >= low[:-2]) & (low[1:-1] > low[2:])) + 1
    found = []
    for index in inner:
        depth = float(low[index] - max(low[: index + 1].min(), low[index:].min()))
        if depth >= least_depth:
            at = shape.length * float(index) / (POINTS - 1)
            found.append(LowSpot(at, line[index], depth))
    return found


def least_fall(shape: Shape, down: Array) -> float:
    """Least fall on the way from start to end, negative where the hose rises [deg].

    Parameters
    ----------
    shape : the bent hose
    down : (3,) direction of gravity, any length [-]
    """
    fall = shape.tangents_at(POINTS) @ unit(np.asarray(down, dtype=float))
    return float(np.degrees(np.arcsin(np.clip(fall.min(), -1.0, 1.0))))
