"""A table of tightest radius against length for one or more poses of a route."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hoseselect.mechanics.rod.bounds import length_bound
from hoseselect.mechanics.rod.cubic import Pieces
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose
from hoseselect.mechanics.rod.sweep import (
    FINE_LADDER,
    FINE_SPREAD,
    SCAN_LADDER,
    SCAN_SPREAD,
    ends,
    sweep,
)

RADIUS_RATIO = 1.15  # steps of radius whose bounds are the first lengths
EXCESS_RATIO = 1.45  # largest step of length less distance
LENGTH_RATIO = 1.15  # largest step of length
LEAST_EXCESS = 2e-6  # over the distance: nearer to taut nothing is solved
NEAR_LEAST = 1.25  # poses with a radius beyond this times the least are interpolated
MOVED_PLACE = 0.1  # over the length: a tightest spot that moves further has jumped
MANY_SPREAD = 3e-3  # spread of the first integral allowed where many poses are scanned


class RadiusTable:
    """Radius and slope at lengths worked out so far; more are added when asked.

    Parameters
    ----------
    poses : the poses a hose must suit, all at once
    smallest : least radius that will be asked for [mm]
    limit : longest length of the first lengths [mm]

    Attributes
    ----------
    length : (n,) rising [mm]
    every : (P, n) tightest radius of every pose [mm]
    radius : (n,) least of the poses [mm]
    slope : (n,) its derivative [-]
    binding : (n,) which pose gives it [-]
    place : (n,) tightest spot of that pose, 0 to 1 [-]
    fine : (n,) whether solved with more nodes
    """

    def __init__(self, poses: Sequence[Pose], smallest: float, limit: float) -> None:
        self.poses = list(poses)
        self.start, self.end, self.chord = ends(self.poses)
        self.distance = max(pose.distance for pose in self.poses)
        self.length = np.zeros(0)
        self.every = self.slopes = self.places = np.zeros((len(self.poses), 0))
        self.radius = self.slope = self.place = np.zeros(0)
        self.binding = np.zeros(0, dtype=np.int64)
        self.fine = np.zeros(0, dtype=bool)
        lengths = self.first_lengths(smallest, limit)
        if len(self.poses) > 1:
            self.add(np.append(lengths[:-1:2], lengths[-1]), fine=False, guess=False)
        self.add(lengths, fine=False)

    def bound(self, radius: Array | float) -> Array:
        """Closed-form least length for all poses, same shape as the radius [mm]."""
        lengths = np.stack([length_bound(pose, radius) for pose in self.poses])
        return lengths.max(axis=0)

    def first_lengths(self, smallest: float, limit: float) -> Array:
        """Lengths at which the bound meets evenly spread radii, gaps filled up."""
        many = int(np.ceil(np.log(10.0 * limit / smallest) / np.log(RADIUS_RATIO))) + 1
        lengths = self.bound(smallest * RADIUS_RATIO ** np.arange(many, dtype=np.float64))
        floor = self.distance * (1.0 + LEAST_EXCESS)
        lengths = np.unique(np.maximum(lengths[lengths < limit], floor))
        straight = [self.distance] if all(pose.straight for pose in self.poses) else []
        return np.concatenate([straight, fill(lengths, limit, self.distance)])

    def add(self, lengths: Array, fine: bool = True, guess: bool = True) -> None:
        """Solve at more lengths and put them in order.

        Parameters
        ----------
        lengths : (m,) new lengths [mm]
        fine : solve with more nodes
        guess : interpolate poses that are far from being the tightest
        """
        lengths = np.unique(lengths)
        if len(self.length):
            near = np.abs(lengths[:, None] - self.length[None, :]).min(axis=1)
            lengths = lengths[near > 1e-9 * self.distance]
        if len(lengths) == 0:
            return
        many = len(self.poses)
        shape = (many, len(lengths))
        radius, slope, place = np.zeros(shape), np.zeros(shape), np.zeros(shape)
        needed = np.ones(shape, dtype=bool)
        if guess and many > 1 and len(self.length) > 1:
            radius, slope, place = self.between(lengths)
            needed = ~(radius > NEAR_LEAST * np.fmin.reduce(radius, axis=0))
        pose, column = np.nonzero(needed)
        coarse = SCAN_SPREAD if many == 1 else MANY_SPREAD
        ladder, spread = (FINE_LADDER, FINE_SPREAD) if fine else (SCAN_LADDER, coarse)
        solved = sweep(
            self.start[pose], self.end[pose], self.chord[pose], lengths[column], ladder, spread
        )
        radius[pose, column] = np.nan_to_num(solved.radius, nan=0.0, posinf=np.inf)
        slope[pose, column] = solved.slope
        place[pose, column] = solved.place
        self._merge(lengths, radius, slope, place, fine)

    def _merge(self, lengths: Array, radius: Array, slope: Array, place: Array, fine: bool) -> None:
        order = np.argsort(np.concatenate([self.length, lengths]), kind="stable")
        self.length = np.concatenate([self.length, lengths])[order]
        self.every = np.concatenate([self.every, radius], axis=1)[:, order]
        self.slopes = np.concatenate([self.slopes, slope], axis=1)[:, order]
        self.places = np.concatenate([self.places, place], axis=1)[:, order]
        self.fine = np.append(self.fine, np.full(len(lengths), fine))[order]
        self.binding = self.every.argmin(axis=0)
        column = np.arange(len(self.length))
        self.radius = self.every[self.binding, column]
        self.slope = self.slopes[self.binding, column]
        self.place = self.places[self.binding, column]

    def between(self, lengths: Array) -> tuple[Array, Array, Array]:
        """Interpolated radius, slope and place of every pose, (P, m) each [mm], [-], [-]."""
        index = np.clip(np.searchsorted(self.length, lengths) - 1, 0, len(self.length) - 2)
        step = 1e-6
        shape = (len(self.poses), len(lengths))
        radius, slope = np.zeros(shape), np.zeros(shape)
        for row in range(len(self.poses)):
            pieces = self.pieces(index, row)
            part = (lengths - pieces.left) / pieces.width
            unknown = ~(np.minimum(pieces.low, pieces.high) > 0)
            radius[row] = np.where(unknown, np.nan, pieces.value(part))
            slope[row] = (pieces.value(part + step) - pieces.value(part - step)) / (2 * step)
            slope[row] /= pieces.width
        return radius, slope, self.places[:, index]

    def pieces(self, index: Array | np.ndarray[tuple[int], np.dtype[np.int64]],
               row: int | None = None) -> Pieces:  # fmt: skip
        """Intervals that begin at an index, of one pose or of the least."""
        at = np.asarray(index, dtype=np.int64)
        radius = self.radius if row is None else self.every[row]
        slope = self.slope if row is None else self.slopes[row]
        return Pieces(
            self.length[at], self.length[at + 1], radius[at], radius[at + 1],
            slope[at], slope[at + 1],
        )  # fmt: skip

    def smooth(
        self, index: np.ndarray[tuple[int], np.dtype[np.int64]]
    ) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Whether the same pose and spot is tightest at both ends of intervals, (K,)."""
        same = self.binding[index] == self.binding[index + 1]
        moved = np.abs(self.place[index] - self.place[index + 1]) < MOVED_PLACE
        return np.asarray(same & moved)


def fill(lengths: Array, limit: float, distance: float) -> Array:
    """Fill gaps so that neither the excess over the distance nor the length jumps.

    Parameters
    ----------
    lengths : (n,) rising, above the distance [mm]
    limit : last length wanted [mm]
    distance : straight distance [mm]
    """
    points = np.append(lengths, limit) if len(lengths) else np.array([limit])
    out = [points[0]]
    for point in points[1:]:
        while True:
            last = out[-1]
            step = min(last * LENGTH_RATIO, distance + (last - distance) * EXCESS_RATIO)
            if step >= point:
                break
            out.append(step)
        out.append(point)
    return np.array(out)
