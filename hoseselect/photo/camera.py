"""A camera: where a point in space is seen, and what lies behind a point of the picture.

A pinhole with one figure of radial distortion. The picture has its origin in the upper left
corner, x to the right and y down; the camera looks along its own z. A camera is one row of
figures, so that errors can be carried through it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoseselect.mechanics.arrays import Floats

STEPS = 6
"""Newton steps that take the distortion off; five are enough wherever a photo is not refused."""


@dataclass(frozen=True, eq=False)
class Camera:
    """A camera, or several at once: every figure may have further axes before its own.

    Parameters
    ----------
    turn : rotation vector from the plane of the sheet to the camera, shape (..., 3) [rad]
    place : of the middle of the sheet before the camera, shape (..., 3) [mm]
    focal : focal length, shape (...) [px]
    middle : where the axis of the lens meets the picture, shape (..., 2) [px]
    radial : share by which the lens shifts a point outwards at a distance of one focal length,
        shape (...) [-]
    """

    turn: Floats
    place: Floats
    focal: Floats
    middle: Floats
    radial: Floats

    @cached_property
    def rotation(self) -> Floats:
        """Matrix from the plane of the sheet to the camera, shape (..., 3, 3)."""
        return rotation_of(self.turn)

    @cached_property
    def seat(self) -> Floats:
        """Where the camera stands, in the frame of the sheet, shape (..., 3) [mm]."""
        seat: Floats = -(self.place[..., None, :] @ self.rotation)[..., 0, :]
        return seat

    def seen(self, points: Floats) -> Floats:
        """Return where points in space are seen, shape (..., points, 2) [px].

        Parameters
        ----------
        points : in the frame of the sheet, shape (..., points, 3) [mm]
        """
        before = points @ np.swapaxes(self.rotation, -1, -2) + self.place[..., None, :]
        flat = before[..., :2] / before[..., 2:]
        square = (flat**2).sum(axis=-1, keepdims=True)
        shift = self.focal[..., None, None] * flat * (1 + self.radial[..., None, None] * square)
        places: Floats = self.middle[..., None, :] + shift
        return places

    def depth(self, points: Floats) -> Floats:
        """Return how far before the camera points in space lie, along its axis [mm]."""
        depth: Floats = (points @ np.swapaxes(self.rotation, -1, -2))[..., 2] + self.place[..., 2:]
        return depth

    def rays(self, picture: Floats) -> Floats:
        """Return the directions in which points of the picture lie, in the frame of the sheet.

        Parameters
        ----------
        picture : points, shape (points, 2) [px]

        Returns
        -------
        directions, shape (..., points, 3), along which one is one unit before the camera
        """
        radial = self.radial[..., None, None]
        shifted = (picture - self.middle[..., None, :]) / self.focal[..., None, None]
        far = np.sqrt((shifted**2).sum(axis=-1, keepdims=True))
        true = far.copy()
        for _ in range(STEPS):
            square = true**2
            true -= (true * (1 + radial * square) - far) / (1 + 3 * radial * square)
        flat = shifted * np.where(far > 0, true / np.where(far > 0, far, 1.0), 1.0)
        ahead = np.concatenate([flat, np.ones((*flat.shape[:-1], 1))], axis=-1)
        directions: Floats = ahead @ self.rotation
        return directions

    def on_plane(self, picture: Floats, height: Floats | float = 0.0) -> Floats:
        """Return what lies behind points of the picture at a height over the sheet.

        Parameters
        ----------
        picture : points, shape (points, 2) [px]
        height : over the plane of the sheet, towards the camera, shape (...) [mm]

        Returns
        -------
        places in the plane of the sheet, shape (..., points, 2) [mm]; NaN above the horizon
        """
        rays, seat = self.rays(picture), self.seat
        with np.errstate(divide="ignore", invalid="ignore"):
            far = (height - seat[..., 2])[..., None] / rays[..., 2]
        far = np.where(far > 0, far, np.nan)
        places: Floats = seat[..., None, :2] + far[..., None] * rays[..., :2]
        return places


def rotation_of(turn: Floats) -> Floats:
    """Return the matrices of rotation vectors, by the formula of Rodrigues."""
    angle = np.sqrt((turn**2).sum(axis=-1))
    safe = np.where(angle > 0, angle, 1.0)
    axis = turn / safe[..., None]
    cross = np.zeros((*turn.shape, 3))
    for row, column, place in ((2, 1, 0), (0, 2, 1), (1, 0, 2)):
        cross[..., row, column] = axis[..., place]
        cross[..., column, row] = -axis[..., place]
    sine, rest = np.sin(angle)[..., None, None], (1 - np.cos(angle))[..., None, None]
    matrix: Floats = np.eye(3) + sine * cross + rest * (cross @ cross)
    return matrix
