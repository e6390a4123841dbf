"""The path of straights and arcs that lies nearest to taps along a hose."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.first_guess import first_guesses
from hoseselect.photo.path import (
    EACH,
    HEAD,
    Feet,
    Pieces,
    bends_of,
    feet_on,
    pieces_of,
    slopes_of,
)

ENOUGH = 1e-4
MOST_STEPS = 30
MOST_BENDS = 8


@dataclass(frozen=True)
class HoseTaps:
    """Taps along a hose, brought into the plane of its centreline.

    Parameters
    ----------
    places : shape (taps, 2) [mm]
    moves : how each moves with a pixel to the right and one down, shape (taps, 2, 2) [mm/px]
    radius : of the hose itself, half its outside diameter [mm]
    noise : usual standard deviation of a tap [px]
    """

    places: Floats
    moves: Floats
    radius: float
    noise: float

    def scale(self, headings: Floats) -> Floats:
        """Return how far each tap moves aside of a heading with a pixel any way [mm/px]."""
        across = np.column_stack([-np.sin(headings), np.cos(headings)])
        moved = np.einsum("ijk,ik->ij", self.moves, across)
        scale: Floats = np.hypot(moved[:, 0], moved[:, 1])
        return scale

    def end_scale(self, headings: Floats) -> Floats:
        """Return how far the first and the last tap move along a heading with a pixel [mm/px]."""
        along = np.column_stack([np.cos(headings), np.sin(headings)])
        moved = np.einsum("ijk,ik->ij", self.moves[[0, -1]], along)
        scale: Floats = np.hypot(moved[:, 0], moved[:, 1])
        return scale


@dataclass(frozen=True)
class PathFit:
    """A path fitted to taps.

    Parameters
    ----------
    path : its figures
    off : what differs: aside of each tap, then along the hose at both ends [px]
    slopes : how that changes with the figures, shape (taps + 2, figures)
    """

    path: Floats
    off: Floats
    slopes: Floats

    @property
    def squares(self) -> float:
        """Sum of the squares of what differs [px2]."""
        return float(self.off @ self.off)

    @property
    def bends(self) -> int:
        """How many bends it has."""
        return bends_of(self.path)


def off_path(path: Floats, taps: HoseTaps) -> Floats:
    """Return what differs: aside of each tap, then along the hose at both ends [px]."""
    pieces = pieces_of(path)
    return _off(pieces, feet_on(pieces, taps.places), taps)


def _off(pieces: Pieces, feet: Feet, taps: HoseTaps) -> Floats:
    ends = pieces.headings[[0, -1]]
    gaps = taps.places[[0, -1]] - pieces.starts[[0, -1]]
    along = gaps[:, 0] * np.cos(ends) + gaps[:, 1] * np.sin(ends)
    return np.concatenate([feet.aside / taps.scale(feet.headings), along / taps.end_scale(ends)])


def fit_path(start: Floats, taps: HoseTaps) -> PathFit:
    """Return the path with the number of bends of a first guess that is nearest to the taps.

    A straight is sought as the square of a figure, so that none is negative; a radius is held
    weakly near what is usual, so that one that the taps do not tell stays a radius of a hose.
    """
    from scipy.optimize import least_squares

    roots = slice(3, None, EACH)
    usual = np.log(limit("photo-bend-usual") * 2 * taps.radius)
    spread = limit("photo-bend-usual-spread")

    def path_of(sought: Floats) -> Floats:
        path = sought.copy()
        path[roots] **= 2
        return path

    def departs(sought: Floats) -> Floats:
        held = (sought[HEAD + 1 :: EACH] - usual) / spread
        return np.concatenate([off_path(path_of(sought), taps) / taps.noise, held])

    def slopes(sought: Floats) -> Floats:
        found = slopes_off(path_of(sought), taps) / taps.noise
        found[:, roots] *= 2 * sought[roots]
        held = np.eye(len(sought))[HEAD + 1 :: EACH] / spread
        return np.concatenate([found, held])

    begin = start.copy()
    begin[roots] = np.sqrt(np.maximum(start[roots], 1.0))
    begin[HEAD + 1 :: EACH] = np.clip(start[HEAD + 1 :: EACH], usual - 2, usual + 2)
    done = least_squares(
        departs, begin, jac=slopes, method="lm", x_scale="jac", ftol=ENOUGH, xtol=ENOUGH,
        max_nfev=MOST_STEPS,
    )  # fmt: skip
    path = path_of(done.x)
    return PathFit(path, off_path(path, taps), slopes_off(path, taps))


def slopes_off(path: Floats, taps: HoseTaps) -> Floats:
    """Return how what differs changes with the figures of a path."""
    pieces = pieces_of(path)
    feet = feet_on(pieces, taps.places)
    moves = slopes_of(path, pieces, feet)
    across = np.column_stack([-np.sin(feet.headings), np.cos(feet.headings)])
    aside = -np.einsum("ijk,ik->ij", moves, across) / taps.scale(feet.headings)[:, None]
    ends = pieces.headings[[0, -1]]
    end_moves = np.stack([_moved_start(path), _moved_end(path, pieces)])
    along = np.column_stack([np.cos(ends), np.sin(ends)])
    turned = np.zeros((2, len(path)))
    turned[:, 2] = 1.0
    turned[1, HEAD::EACH] = 1.0
    gaps = taps.places[[0, -1]] - pieces.starts[[0, -1]]
    beside = gaps[:, 1] * along[:, 0] - gaps[:, 0] * along[:, 1]
    moved = np.einsum("ijk,ik->ij", end_moves, along) - beside[:, None] * turned
    at_ends = -moved / taps.end_scale(ends)[:, None]
    return np.concatenate([aside, at_ends])


def _moved_start(path: Floats) -> Floats:
    moves = np.zeros((len(path), 2))
    moves[0, 0] = moves[1, 1] = 1.0
    return moves


def _moved_end(path: Floats, pieces: Pieces) -> Floats:
    last = float(len(pieces.lengths))
    end, heading = pieces.starts[-1:], pieces.headings[-1:]
    behind = Feet(np.array([last]), np.zeros(1), end, heading, np.zeros(1))
    moves: Floats = slopes_of(path, pieces, behind)[0]
    return moves


def likeliest_path(taps: HoseTaps, trust: float) -> PathFit:
    """Return the path whose number of bends the taps ask for.

    Judged by the information criterion of Schwarz, Estimating the dimension of a model, Annals of
    Statistics 6(2), 1978, with the scatter of taps known in part beforehand.

    Parameters
    ----------
    taps : along the hose
    trust : how many taps the knowledge of their usual scatter is worth
    """
    count = len(taps.places)
    usual = float(np.sqrt(np.median(np.abs(np.linalg.det(taps.moves)))))
    clear = usual * limit("photo-step-clear")
    guesses = first_guesses(taps.places, min(MOST_BENDS, (count - HEAD) // EACH), clear)

    weight = limit("photo-figure-weight")

    def score(squares: float, figures: int) -> float:
        told = trust * taps.noise**2 + squares
        return (count + trust) * float(np.log(told)) + weight * figures * float(np.log(count))

    def rough(bends: int, more: int = 0) -> float:
        guess = guesses[bends]
        return score(guess.squares / usual**2, len(guess.path) + more * bends)

    fits: dict[int, PathFit] = {}
    scores: dict[int, float] = {}

    def tried(bends: int) -> float:
        if bends not in fits:
            fits[bends] = fit_path(guesses[bends].path, taps)
            scores[bends] = score(fits[bends].squares, len(fits[bends].path))
        return scores[bends]

    best = min(range(len(guesses)), key=lambda bends: rough(bends, more=2))
    tried(best)
    for bends in reversed(range(best)):
        if rough(bends) < scores[best] and tried(bends) < scores[best]:
            best = bends
    enough = limit("photo-scatter-enough") * count * taps.noise**2
    while fits[best].squares > enough and best + 1 < len(guesses):
        if tried(best + 1) >= scores[best]:
            break
        best += 1
    return fits[best]
