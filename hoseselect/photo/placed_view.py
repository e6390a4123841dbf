"""The two photos of a pair: one sheet, first flat before a base line, then stood up on it.

The frame of the pair: x along the base line to the right as seen from the side, y away from whoever
looks from there, z up; its origin is the left end of the base line.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.camera import rotation_of
from hoseselect.photo.view import View

PLACEMENT = 6
"""Figures by which a sheet that was stood up may be off: place (3) [mm] and turn (3) [rad]."""


def placement_spreads() -> Floats:
    """Return the standard deviations of the figures by which a sheet is off its place."""
    turn = np.radians(limit("photo-stood-turn"))
    return np.array([limit("photo-stood-place")] * 3 + [turn] * 3)


@dataclass(frozen=True)
class PlacedView:
    """A view in the frame of the pair.

    Parameters
    ----------
    view : of the sheet
    turn, shift : from the frame of the pair to that of the sheet
    stood : whether the sheet was stood up, and may be off its place
    """

    view: View
    turn: Floats
    shift: Floats
    stood: bool

    def seen(self, points: Floats, state: Floats, off: Floats) -> Floats:
        """Return where points of the pair are seen, shape (..., points, 2) [px].

        Parameters
        ----------
        points : shape (..., points, 3) [mm]
        state : figures of the view, shape (..., 12)
        off : figures by which a sheet that was stood up is off its place, shape (..., 6)
        """
        if self.stood:
            points = points @ np.swapaxes(rotation_of(off[..., 3:]), -1, -2) + off[..., None, :3]
        return self.view.taps.camera(state).seen(points @ self.turn.T + self.shift)

    def rays(self, picture: Floats) -> tuple[Floats, Floats]:
        """Return where the camera stands and in which directions points of the picture lie."""
        camera = self.view.camera
        ahead = camera.rays(picture) @ self.turn
        return (camera.seat - self.shift) @ self.turn, ahead / np.linalg.norm(
            ahead, axis=1, keepdims=True
        )


def placed(view: View, left: Floats, right: Floats, *, stood: bool) -> PlacedView:
    """Return a view in the frame of the pair.

    Parameters
    ----------
    view : of the sheet
    left, right : its corners on the base line, as seen from the side [px]
    stood : whether the sheet stands, else it lies before the base line

    Raises
    ------
    InputError
        when these corners are not neighbours, or the other way round.
    """
    corners = view.taps.corners
    at_left, at_right = (int(np.abs(corners - one).sum(axis=1).argmin()) for one in (left, right))
    step = 3 if stood else 1  # clockwise as seen: from the left to the right where it lies
    if (at_left + step) % 4 != at_right:
        raise InputError(
            "corners of the sheet",
            "a base line that cannot be: its corners are the other way round, or not neighbours",
            "first the left, then the right end of the base line as seen from the side, in both",
        )
    own = np.column_stack([view.taps.sheet.corners(), np.zeros(4)])
    x = own[at_right] - own[at_left]
    x /= np.linalg.norm(x)
    out = np.array([0.0, 0.0, 1.0])  # of the sheet, towards the camera
    y = -out if stood else np.cross(out, x)
    turn = np.column_stack([x, y, np.cross(x, y)])
    return PlacedView(view, turn, own[at_left], stood)
