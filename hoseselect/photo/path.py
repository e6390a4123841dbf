"""A flat line of straights and arcs without corners, and how far points lie beside it.

A path is one row of figures: x and y of its start [mm], its heading there [rad], the length of
the first straight [mm], then for each bend angle (left positive) [rad], logarithm of its radius,
and length of the straight behind it [mm].
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.mechanics.arrays import Floats

HEAD, EACH = 4, 3
"""Figures before the first bend, and for each bend."""


def bends_of(path: Floats) -> int:
    """Return how many bends a path has."""
    return (len(path) - HEAD) // EACH


def straights_of(path: Floats) -> Floats:
    """Return the lengths of the straights [mm]."""
    return path[3::3]


def angles_of(path: Floats) -> Floats:
    """Return the angles of the bends, left positive [rad]."""
    return path[4::3]


def radii_of(path: Floats) -> Floats:
    """Return the radii of the bends [mm]."""
    radii: Floats = np.exp(path[5::3])
    return radii


def length_of(path: Floats) -> float:
    """Return the length of a path [mm]."""
    return float(straights_of(path).sum() + (np.abs(angles_of(path)) * radii_of(path)).sum())


@dataclass(frozen=True)
class Pieces:
    """The pieces of a path, straights and arcs by turns, beginning and ending with a straight.

    Parameters
    ----------
    starts : where each begins, and last of all the end, shape (pieces + 1, 2) [mm]
    headings : there, shape (pieces + 1) [rad]
    lengths : of each [mm]
    curvatures : of each, left positive [1/mm]
    """

    starts: Floats
    headings: Floats
    lengths: Floats
    curvatures: Floats


def pieces_of(path: Floats) -> Pieces:
    """Return the pieces of a path."""
    count = bends_of(path)
    radii, angles = radii_of(path), angles_of(path)
    lengths = np.empty(2 * count + 1)
    lengths[0::2], lengths[1::2] = straights_of(path), np.abs(angles) * radii
    curvatures = np.zeros(2 * count + 1)
    curvatures[1::2] = np.where(angles < 0, -1.0, 1.0) / radii
    headings = path[2] + np.concatenate([[0.0], np.cumsum(lengths * curvatures)])
    # the chord of a piece: its length, shortened by the bend, at half its turn
    half = lengths * curvatures / 2
    chords = lengths * np.sinc(half / np.pi)
    middle = headings[:-1] + half
    steps = chords[:, None] * np.column_stack([np.cos(middle), np.sin(middle)])
    starts = path[:2] + np.concatenate([np.zeros((1, 2)), np.cumsum(steps, axis=0)])
    return Pieces(starts, headings, lengths, curvatures)


@dataclass(frozen=True)
class Feet:
    """Where points come down on a path.

    Parameters
    ----------
    piece : number of the piece
    along : distance from the start of that piece [mm]
    places : of the feet, shape (points, 2) [mm]
    headings : of the path there [rad]
    aside : distance of the points from the path, left positive [mm]
    """

    piece: Floats
    along: Floats
    places: Floats
    headings: Floats
    aside: Floats


def points_on(pieces: Pieces, piece: Floats, along: Floats) -> tuple[Floats, Floats]:
    """Return places and headings of points on pieces."""
    number = piece.astype(np.intp)
    half = along * pieces.curvatures[number] / 2
    chord = along * np.sinc(half / np.pi)
    middle = pieces.headings[number] + half
    steps = chord[..., None] * np.stack([np.cos(middle), np.sin(middle)], axis=-1)
    return pieces.starts[number] + steps, middle + half


def feet_on(pieces: Pieces, points: Floats) -> Feet:
    """Return where points come down on a path: the nearest place.

    The first and the last straight go on beyond their ends.
    """
    across = points[:, None, :] - pieces.starts[None, :-1]
    cosines, sines = np.cos(pieces.headings[:-1]), np.sin(pieces.headings[:-1])
    ahead = across[..., 0] * cosines + across[..., 1] * sines
    left = across[..., 1] * cosines - across[..., 0] * sines
    bent = pieces.curvatures
    # on an arc: the angle at its centre, which lies to the left at 1 / curvature
    turned = np.arctan2(ahead * np.abs(bent), 1.0 - left * bent)
    far_side = turned < np.abs(bent) * pieces.lengths / 2 - np.pi
    turned = np.where(far_side, turned + 2 * np.pi, turned)
    round_arc = np.divide(turned, np.abs(bent), out=np.zeros_like(turned), where=bent != 0)
    along = np.where(bent == 0, ahead, round_arc)
    least, most = np.zeros(len(bent)), pieces.lengths.copy()
    least[0], most[-1] = -np.inf, np.inf
    along = np.clip(along, least, most)
    numbers = np.broadcast_to(np.arange(len(bent)), along.shape).astype(np.float64)
    places, headings = points_on(pieces, numbers, along)
    apart = points[:, None, :] - places
    nearest = (apart**2).sum(axis=-1).argmin(axis=1)
    rows = np.arange(len(points))
    heading, gap = headings[rows, nearest], apart[rows, nearest]
    aside = gap[:, 1] * np.cos(heading) - gap[:, 0] * np.sin(heading)
    return Feet(
        nearest.astype(np.float64), along[rows, nearest], places[rows, nearest], heading, aside
    )


def slopes_of(path: Floats, pieces: Pieces, feet: Feet) -> Floats:
    """Return how the feet move with each figure of a path, shape (points, figures, 2).

    A figure of an earlier piece moves all that comes behind it; one of the piece itself moves the
    foot on it; one of a later piece moves nothing.
    """
    count = bends_of(path)
    moves = np.zeros((len(feet.piece), len(path), 2))
    moves[:, 0, 0] = moves[:, 1, 1] = 1.0
    moves[:, 2] = _square_to(feet.places - path[:2])
    towards = np.column_stack([np.cos(pieces.headings), np.sin(pieces.headings)])
    for bend in range(count + 1):
        piece = 2 * bend
        behind = (feet.piece > piece)[:, None]
        moves[:, 3 + EACH * bend] = np.where(behind, towards[piece], 0.0)
        if bend == count:
            break
        piece += 1
        radius = 1.0 / pieces.curvatures[piece]
        centre = pieces.starts[piece] + radius * _square_to(towards[piece][None])[0]
        behind = (feet.piece > piece)[:, None]
        on_it = (feet.piece == piece)[:, None]
        moves[:, HEAD + EACH * bend] = np.where(behind, _square_to(feet.places - centre), 0.0)
        chord = pieces.starts[piece + 1] - pieces.starts[piece]
        moved = np.where(behind, chord, np.where(on_it, feet.places - pieces.starts[piece], 0.0))
        moves[:, HEAD + 1 + EACH * bend] = moved
    return moves


def _square_to(vectors: Floats) -> Floats:
    """Return vectors turned by a right angle to the left."""
    return np.column_stack([-vectors[:, 1], vectors[:, 0]])
