"""A line of straights and arcs in space, as points on it.

A path is one row of figures: its start (3) [mm], the rotation vector of its frame there (3)
[rad], the length of the first straight [mm], then for each bend its angle [rad], logarithm of its
radius, turn of its plane from that of the bend before [rad], and length of the straight behind it
[mm]; the first bend's turn is in the frame, and its figure counts for nothing.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.camera import rotation_of

HEAD, EACH = 7, 4
ON_STRAIGHT, ON_BEND = 5, 16
"""Points on each straight and on each bend; with so many an arc is nowhere 0.2 % of R off."""


def space_bends(path: Floats) -> int:
    """Return how many bends a path has."""
    return (path.shape[-1] - HEAD) // EACH


def space_length(path: Floats) -> Floats:
    """Return the length of paths [mm]."""
    bends = (path[..., HEAD::EACH] * np.exp(path[..., HEAD + 1 :: EACH])).sum(axis=-1)
    length: Floats = path[..., HEAD - 1 :: EACH].sum(axis=-1) + bends
    return length


def space_points(path: Floats) -> Floats:
    """Return points along paths, in their order, shape (..., points, 3) [mm].

    Parameters
    ----------
    path : figures of a path, or of several of the same number of bends, shape (..., figures)
    """
    frame = np.swapaxes(rotation_of(path[..., 3:6]), -1, -2)
    place = path[..., None, :3]
    found = [place]
    for bend in range(space_bends(path) + 1):
        straight = path[..., HEAD - 1 + EACH * bend, None, None]
        steps = np.linspace(0, 1, ON_STRAIGHT)[1:, None]
        found.append(place + straight * steps * frame[..., :1, :])
        place = found[-1][..., -1:, :]
        if bend == space_bends(path):
            break
        angle, radius_log, turn, _ = np.moveaxis(
            path[..., HEAD + EACH * bend : HEAD + EACH * (bend + 1)], -1, 0
        )
        turn = turn * (bend > 0)
        cosine, sine = np.cos(turn)[..., None], np.sin(turn)[..., None]
        ahead, side, across = np.moveaxis(frame, -2, 0)
        side, across = cosine * side + sine * across, cosine * across - sine * side
        angles = angle[..., None] * np.linspace(0, 1, ON_BEND)[1:]
        along, aside = np.sin(angles)[..., None], (1 - np.cos(angles))[..., None]
        arc = along * ahead[..., None, :] + aside * side[..., None, :]
        found.append(place + np.exp(radius_log)[..., None, None] * arc)
        place = found[-1][..., -1:, :]
        end = np.stack([np.cos(angle), np.sin(angle)], axis=-1)[..., None]
        frame = np.stack(
            [
                end[..., 0, :] * ahead + end[..., 1, :] * side,
                end[..., 0, :] * side - end[..., 1, :] * ahead,
                across,
            ],
            axis=-2,
        )
    return np.concatenate(found, axis=-2)


def path_through(corners: Floats, radius: float) -> Floats:
    """Return a path that runs from corner to corner, its bends as wide as they allow.

    Parameters
    ----------
    corners : ends of the straights if they met, shape (bends + 2, 3) [mm]
    radius : greatest radius of the bends [mm]
    """
    steps = np.diff(corners, axis=0)
    lengths = np.linalg.norm(steps, axis=1)
    ways = steps / lengths[:, None]
    angles = np.arccos(np.clip((ways[:-1] * ways[1:]).sum(axis=1), -1, 1))
    shares = np.tan(np.minimum(angles, MOST_AT_CORNER) / 2)
    room = HALF_OF_ROOM * np.minimum(lengths[:-1], lengths[1:])
    radii = np.minimum(radius, room / np.maximum(shares, LEAST_SHARE))
    cut = np.concatenate([[0.0], radii * shares, [0.0]])
    straights = np.maximum(lengths - cut[:-1] - cut[1:], 1.0)
    sides = [_side(one, other) for one, other in pairwise(ways)]
    first = sides[0] if sides else _side(ways[0], np.array([0.0, 0.0, 1.0]))
    path = [*corners[0], *_turn_to(ways[0], first), straights[0]]
    before = first
    for number, side in enumerate(sides):
        across = np.cross(ways[number], before)
        turn = float(np.arctan2(side @ across, side @ before)) if number else 0.0
        path += [angles[number], np.log(radii[number]), turn, straights[number + 1]]
        before = np.cross(np.cross(ways[number], side), ways[number + 1])
    return np.array(path)


MOST_AT_CORNER, HALF_OF_ROOM, LEAST_SHARE = 2.4, 0.45, 0.05
"""Of a first guess: angle of a corner in rad; share of the shorter side that a bend may take; and
tangent of half an angle, below which a corner is nearly none."""


def _side(way: Floats, other: Floats) -> Floats:
    """Return the direction square to a way on the side of another."""
    side = other - (other @ way) * way
    if np.linalg.norm(side) < 1e-6:
        side = np.cross(way, np.eye(3)[np.abs(way).argmin()])
    unit: Floats = side / np.linalg.norm(side)
    return unit


def _turn_to(ahead: Floats, side: Floats) -> Floats:
    """Return the rotation vector of the frame that looks ahead, with one side."""
    from scipy.spatial.transform import Rotation

    rows = np.array([ahead, side, np.cross(ahead, side)])
    turn: Floats = Rotation.from_matrix(rows.T).as_rotvec()
    return turn
