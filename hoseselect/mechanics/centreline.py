"""Where the centreline of a run lies in space: for drawings and for clearances."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hoseselect.domain.run_parts import Bend
from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.arrays import Floats
from hoseselect.mechanics.run import Run


@dataclass(frozen=True)
class Centreline:
    """Points on the centreline of a run.

    Parameters
    ----------
    along : distance from the start, shape (points,) [mm]
    points : places, shape (points, 3) [mm]
    directions : unit vectors along the hose, shape (points, 3) [-]
    """

    along: Floats
    points: Floats
    directions: Floats


def centreline(run: Run, spacing: float = 2.0) -> Centreline:
    """Points along a run that starts at the origin in the direction of x.

    The first bend goes towards y; its turn swings that towards z. Ends of parts are always
    points, so bends and straights are drawn true.

    Parameters
    ----------
    run : the route
    spacing : largest distance of neighbouring points along the hose [mm]

    Returns
    -------
    Centreline

    Raises
    ------
    InputError : a part of the run is unknown (NaN), or the spacing is not above zero
    """
    if not spacing > 0:
        raise InputError("spacing of the points", f"{spacing:g}", "a distance above 0 mm")
    if math.isnan(run.length) or any(math.isnan(bend.turn) for bend in run.bends):
        raise InputError("run", "an unknown length, angle or radius", "a run that is fully known")
    place = np.zeros(3)
    frame = np.eye(3)  # rows: along the hose, towards the bend, square to both
    along, points, directions = [np.zeros(1)], [place[None, :]], [frame[:1]]
    for part, start in zip(run.parts, run.starts, strict=False):
        if isinstance(part, Bend):
            frame = _turned(frame, part.turn)
        if part.length == 0:
            continue
        steps = np.linspace(0.0, part.length, math.ceil(part.length / spacing) + 1)[1:]
        if isinstance(part, Bend):
            angles = steps / part.radius
            local = np.column_stack((np.sin(angles), 1 - np.cos(angles))) * part.radius
            heading = np.column_stack((np.cos(angles), np.sin(angles)))
        else:
            local = np.column_stack((steps, np.zeros_like(steps)))
            heading = np.column_stack((np.ones_like(steps), np.zeros_like(steps)))
        along.append(start + steps)
        points.append(place + local @ frame[:2])
        directions.append(heading @ frame[:2])
        place = points[-1][-1]
        ahead = directions[-1][-1]
        frame = np.array([ahead, np.cross(frame[2], ahead), frame[2]])
    return Centreline(np.concatenate(along), np.concatenate(points), np.concatenate(directions))


def _turned(frame: Floats, turn: float) -> Floats:
    """Turn the bending plane about the axis of the hose by an angle [deg]."""
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    ahead, side, across = frame
    turned: Floats = np.array([ahead, cosine * side + sine * across, cosine * across - sine * side])
    return turned
