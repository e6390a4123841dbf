"""Movement of the ends: one length of hose at nine positions of the end; a body that turns too."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.rod.nodes import Array


@dataclass(frozen=True, eq=False)
class Placement:
    """Where a body is that has turned and moved: a point goes to rotation x + shift.

    Parameters
    ----------
    rotation : (3, 3) of its directions [-]
    shift : (3,) where the origin goes [mm]
    """

    rotation: Array
    shift: Array

    def point(self, places: Array) -> Array:
        """Places fixed to the body, where they are now, (..., 3) [mm].

        Parameters
        ----------
        places : (..., 3) at rest [mm]
        """
        moved: Array = np.asarray(places, dtype=float) @ self.rotation.T + self.shift
        return moved

    def direction(self, vectors: Array) -> Array:
        """Directions fixed to the body, as they point now, (..., 3).

        Parameters
        ----------
        vectors : (..., 3) at rest
        """
        turned: Array = np.asarray(vectors, dtype=float) @ self.rotation.T
        return turned


def placements(
    movement: Array,
    axis_place: Array | None = None,
    axis: Array | None = None,
    angle_degrees: float = 0.0,
) -> list[Placement]:
    """Where a body can be that moves within a box and turns about an axis.

    Parameters
    ----------
    movement : (3,) largest movement either way along the three axes, 0 or more [mm]
    axis_place : (3,) a point of the axis [mm]; None where the body does not turn
    axis : (3,) its direction, of any length; None where the body does not turn
    angle_degrees : largest turn either way [deg]

    Returns
    -------
    At rest first, then the corners of the box, each with the turn either way

    Raises
    ------
    InputError : a movement is negative or no number, or the axis has no place or no direction
    """
    box = _box(movement)
    still = Placement(np.eye(3), np.zeros(3))
    turns = [still]
    if angle_degrees:
        if axis_place is None or axis is None or not np.linalg.norm(axis) > 0:
            raise InputError("rocking", "no axis", "a point and a direction of the axis")
        place, along = np.asarray(axis_place, dtype=float), np.asarray(axis, dtype=float)
        angle = np.radians(angle_degrees)
        rotations = [_rotation(along / np.linalg.norm(along), turn) for turn in (angle, -angle)]
        turns = [Placement(turn, place - turn @ place) for turn in rotations]
    found = [
        Placement(turn.rotation, turn.shift + corner) for corner in _corners(box) for turn in turns
    ]
    return [still, *found] if angle_degrees or box.any() else [still]


def _rotation(axis: Array, angle: float) -> Array:
    """Matrix of a right-handed turn about a unit vector by an angle [rad], after Rodrigues."""
    x, y, z = axis
    across = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    turned: Array = np.eye(3) + np.sin(angle) * across + (1 - np.cos(angle)) * across @ across
    return turned


def _box(movement: Array) -> Array:
    box = np.asarray(movement, dtype=float)
    if box.shape != (3,) or not np.all(np.isfinite(box)) or np.any(box < 0):
        raise InputError("movement", str(box.tolist()), "three numbers, 0 or more")
    return box


def _corners(box: Array) -> list[Array]:
    """Corners of a box round the origin; edges of no size have one end."""
    signs = itertools.product(*[(-1.0, 1.0) if size else (0.0,) for size in box])
    return [np.array(sign) * box for sign in signs]
