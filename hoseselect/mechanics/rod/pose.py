"""The pose of a route: where a hose starts and ends and in which directions."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.rod.nodes import Array

UNIT_TOLERANCE = 1e-6


@dataclass(frozen=True)
class Pose:
    """Two clamped ends of a hose, between nipple tips.

    Parameters
    ----------
    start : (3,) tip of nipple A [mm]
    start_direction : (3,) unit vector along the hose as it leaves nipple A [-]
    end : (3,) tip of nipple B [mm]
    end_direction : (3,) unit vector along the hose as it arrives at nipple B, that is from
        the hose into the nipple [-]

    Raises
    ------
    InputError : a number is missing, a direction is no unit vector, or the ends coincide
    """

    start: Array
    start_direction: Array
    end: Array
    end_direction: Array

    def __post_init__(self) -> None:
        for name in ("start", "start_direction", "end", "end_direction"):
            value = np.array(getattr(self, name), dtype=float)
            if value.shape != (3,) or not np.all(np.isfinite(value)):
                raise InputError(name, str(value.tolist()), "three numbers")
            value.flags.writeable = False
            object.__setattr__(self, name, value)
        for name in ("start_direction", "end_direction"):
            value = getattr(self, name)
            size = float(np.linalg.norm(value))
            if abs(size - 1.0) > UNIT_TOLERANCE:
                raise InputError(name, f"a vector of length {size:.6g}", "a unit vector")
            object.__setattr__(self, name, value / size)
        if self.distance <= 1e-9 * (1.0 + float(np.abs(self.start).max())):
            raise InputError("end", "the place of the start", "two ends apart from each other")

    @property
    def chord(self) -> Array:
        """Vector from start to end, (3,) [mm]."""
        return self.end - self.start

    @property
    def distance(self) -> float:
        """Straight distance between the ends [mm]."""
        return float(np.linalg.norm(self.end - self.start))

    @property
    def straight(self) -> bool:
        """Whether both directions lie along the chord to 1e-6 rad."""
        along = self.chord / self.distance
        return all(
            float(np.linalg.norm(direction - along)) <= 1e-6
            for direction in (self.start_direction, self.end_direction)
        )

    def moved(self, shift: Array) -> Pose:
        """The route after the end has moved.

        Parameters
        ----------
        shift : (3,) movement of nipple B relative to nipple A [mm]
        """
        return Pose(
            self.start, self.start_direction, self.end + np.asarray(shift, float),
            self.end_direction,
        )  # fmt: skip


def unit(vector: Array) -> Array:
    """A vector, or a stack of them along the last axis, over its length.

    Parameters
    ----------
    vector : (..., 3) not zero [any]
    """
    return vector / np.sqrt(np.einsum("...i,...i->...", vector, vector))[..., None]


def across(vector: Array) -> Array:
    """Unit vectors square to the given ones.

    Parameters
    ----------
    vector : (..., 3) unit vectors [-]
    """
    axis = np.zeros_like(vector)
    np.put_along_axis(axis, np.abs(vector).argmin(axis=-1)[..., None], 1.0, axis=-1)
    return unit(np.cross(vector, axis))
