"""Movement of the ends: one length of hose at nine positions of the end."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose
from hoseselect.mechanics.rod.profile import Profile


@dataclass(frozen=True, eq=False)
class Placement:
    """How a body has moved: turned, then shifted.

    Parameters
    ----------
    rotation : (3, 3) [-]
    shift : (3,) [mm]
    """

    rotation: Array
    shift: Array

    def point(self, places: Array) -> Array:
        """Places (..., 3) of the body after it has moved [mm]."""
        return np.asarray(places, dtype=float) @ self.rotation.T + self.shift

    def direction(self, vectors: Array) -> Array:
        """Directions (..., 3) of the body after it has moved [-]."""
        return np.asarray(vectors, dtype=float) @ self.rotation.T


def placements(
    movement: Array,
    axis_place: Array | None = None,
    axis: Array | None = None,
    angle_degrees: float = 0.0,
) -> list[Placement]:
    """Return the placements of a body: at rest, then every corner of its movement."""
    box = np.asarray(movement, dtype=float)
    signs = list(itertools.product(*[(-1.0, 1.0) if size else (0.0,) for size in box]))
    turns = [np.eye(3)]
    centre = np.zeros(3)
    if angle_degrees and axis is not None and axis_place is not None:
        x, y, z = axis
        cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
        sine, rest = np.sin(np.radians(angle_degrees)), 1 - np.cos(np.radians(angle_degrees))
        turns = [np.eye(3) + sign * sine * cross + rest * cross @ cross for sign in (1, -1)]
        centre = np.asarray(axis_place, dtype=float)
    moved = [
        Placement(turn, centre - turn @ centre + np.array(sign) * box)
        for turn in turns
        for sign in signs
    ]
    still = Placement(np.eye(3), np.zeros(3))
    return [still] + ([] if len(moved) == 1 and not box.any() else moved)


def positions(pose: Pose, movement: Array) -> list[Pose]:
    """The pose at rest and with its end at the corners of a box.

    Parameters
    ----------
    pose : the route at rest
    movement : (3,) largest movement of nipple B relative to nipple A either way along the
        three axes, 0 or more [mm]

    Returns
    -------
    One to nine poses, the one at rest first

    Raises
    ------
    InputError : a movement is negative or no number
    """
    box = np.asarray(movement, dtype=float)
    if box.shape != (3,) or not np.all(np.isfinite(box)) or np.any(box < 0):
        raise InputError("movement", str(box.tolist()), "three numbers, 0 or more")
    if not box.any():
        return [pose]
    signs = itertools.product(*[(-1.0, 1.0) if size else (0.0,) for size in box])
    return [pose, *[pose.moved(np.array(sign) * box) for sign in signs]]


class MovementProfile(Profile):
    """Profile of a route whose end moves: its windows hold at every position.

    Parameters
    ----------
    pose : the route at rest
    movement : (3,) largest movement either way along the three axes [mm]
    smallest : least radius that will be asked for; 0 = a twentieth of the distance [mm]
    practical : longest practical length; 0 = three times the distance [mm]

    Raises
    ------
    InputError : a movement is negative or no number
    """

    def __init__(
        self, pose: Pose, movement: Array, smallest: float = 0.0, practical: float = 0.0
    ) -> None:
        self.pose = pose
        self.movement = np.asarray(movement, dtype=float)
        super().__init__(positions(pose, self.movement), smallest, practical)
