"""The projective map of a plane onto a picture, from points of which both places are known."""

from __future__ import annotations

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.arrays import Floats

LEAST_POINTS = 4
FLAT = 1e-9
"""Second smallest singular value over the largest, below which points do not fix a map."""


def homography(plane: Floats, picture: Floats) -> Floats:
    """Return the map that takes points of a plane to points of a picture.

    The direct linear transformation on normalised points: Hartley, In defense of the eight-point
    algorithm, IEEE Transactions on Pattern Analysis and Machine Intelligence 19(6), 1997, for the
    normalisation; four points give it exactly, more in the sense of least squares.

    Parameters
    ----------
    plane, picture : the same points in both, shape (points, 2)

    Returns
    -------
    matrix (3, 3) whose last entry is 1 unless it vanishes

    Raises
    ------
    InputError : there are fewer than four points, or they do not fix a map, as those on one line
    """
    if len(plane) < LEAST_POINTS:
        raise InputError("points of the sheet", f"{len(plane)}", "at least four")
    own, there = _normalising(plane), _normalising(picture)
    source, target = mapped(own, plane), mapped(there, picture)
    x, y = source.T
    u, v = target.T
    zero, one = np.zeros_like(x), np.ones_like(x)
    rows = np.concatenate(
        [
            np.column_stack([x, y, one, zero, zero, zero, -u * x, -u * y, -u]),
            np.column_stack([zero, zero, zero, x, y, one, -v * x, -v * y, -v]),
        ]
    )
    _, sizes, vectors = np.linalg.svd(rows)
    if sizes[7] < FLAT * sizes[0]:
        raise InputError("points of the sheet", "points on one line", "four corners")
    found: Floats = np.linalg.inv(there) @ vectors[-1].reshape(3, 3) @ own
    return found / found[2, 2] if found[2, 2] else found


def mapped(matrix: Floats, points: Floats) -> Floats:
    """Return points after a projective map, shape (points, 2)."""
    sent = points @ matrix[:, :2].T + matrix[:, 2]
    moved: Floats = sent[:, :2] / sent[:, 2:]
    return moved


def _normalising(points: Floats) -> Floats:
    """Return the map to points about the origin, at the distance of the root of two."""
    middle = points.mean(axis=0)
    spread = np.sqrt(((points - middle) ** 2).sum(axis=1)).mean()
    if not spread > 0:
        raise InputError("points of the sheet", "one point", "four corners")
    scale = np.sqrt(2) / spread
    return np.array([[scale, 0, -scale * middle[0]], [0, scale, -scale * middle[1]], [0, 0, 1.0]])
