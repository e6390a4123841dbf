"""Movement of the ends: one length of hose at nine positions of the end."""

from __future__ import annotations

import itertools

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose
from hoseselect.mechanics.rod.profile import Profile


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
