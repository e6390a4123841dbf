"""Profile of a route: worked out once, read by every hose."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.rod.bounds import length_bound
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose
from hoseselect.mechanics.rod.radius_table import RadiusTable
from hoseselect.mechanics.rod.window import Window

PRACTICAL = 3.0  # longest practical length over the distance, common practice, no source
LOOP_LENGTH = 1.6  # a shortest length beyond this times the distance ...
LOOP_BOUND = 1.5  # ... and this times the closed-form bound is a wide loop
LOOP_RATIO = 1.25  # steps between lengths beyond the practical one
SMALLEST = 0.05  # least radius over the distance if none is given
ROUGH = 1e-5
NEAR = 0.1
CLOSE = 3e-4
EXTREME_ROUNDS = 10
CROSSING_ROUNDS = 14
EXTREME_TOLERANCE = 1e-5
MANY_TOLERANCE = 2e-4

Index = np.ndarray[tuple[int], np.dtype[np.int64]]
Mask = np.ndarray[tuple[int], np.dtype[np.bool_]]


class Profile:
    """Tightest radius against length for poses that one hose must suit.

    Parameters
    ----------
    poses : one or more poses
    smallest : least radius that will be asked for; 0 = a twentieth of the distance [mm]
    practical : longest practical length; 0 = three times the distance [mm]

    Raises
    ------
    InputError : no pose, or a negative number
    """

    def __init__(
        self, poses: Sequence[Pose], smallest: float = 0.0, practical: float = 0.0
    ) -> None:
        if not poses or smallest < 0 or practical < 0:
            raise InputError("route", "no pose or a negative number", "poses and positive numbers")
        self.poses = list(poses)
        self.distance = max(pose.distance for pose in self.poses)
        self.practical = practical or PRACTICAL * self.distance
        self.smallest = 0.8 * smallest or SMALLEST * self.distance
        self._table: RadiusTable | None = None

    @property
    def table(self) -> RadiusTable:
        """Lengths, radii and slopes worked out so far, turning points included."""
        if self._table is None:
            self._table = RadiusTable(self.poses, self.smallest, self.practical)
            self._find_extremes()
        return self._table

    def bound(self, radius: Array | float) -> Array:
        """Closed-form length that no hose of a least radius can be shorter than.

        Parameters
        ----------
        radius : (...) centreline radius [mm]

        Returns
        -------
        (...) length [mm]
        """
        return np.stack([length_bound(pose, radius) for pose in self.poses]).max(axis=0)

    def best_radius(self) -> tuple[float, float]:
        """Largest tightest radius within the practical length, and its length [mm], [mm]."""
        table = self.table
        radius = np.where(table.length <= self.practical * (1 + 1e-12), table.radius, -1.0)
        best = int(radius.argmax())
        return float(table.radius[best]), float(table.length[best])

    def window(self, radius: float, tolerance: float = 0.0) -> Window:
        """Range of lengths that work for one radius.

        Parameters
        ----------
        radius : centreline radius [mm]
        tolerance : of the lengths; 0 = a millionth of the distance [mm]

        Raises
        ------
        InputError : the radius is no positive number
        """
        return self.windows([radius], tolerance or 1e-6 * self.distance)[0]

    def windows(self, radii: Sequence[float] | Array, tolerance: float = 0.0) -> list[Window]:
        """Ranges of lengths that work for many radii; every solve serves all of them.

        With several poses, lengths beyond the practical one and second ranges are only read
        off between solved lengths; `window` finds them exactly.

        Parameters
        ----------
        radii : (n,) centreline radii [mm]
        tolerance : of the lengths; 0 = 1e-4 of the distance [mm]

        Raises
        ------
        InputError : a radius is no positive number
        """
        wanted = np.asarray(radii, dtype=float)
        if wanted.ndim != 1 or not np.all(np.isfinite(wanted) & (wanted > 0)):
            raise InputError("radius", str(wanted.tolist()), "positive numbers")
        if len(wanted) == 0:
            return []
        if wanted.min() < self.smallest * 1.01:
            self.smallest = 0.8 * float(wanted.min())
            self._table = None
        bound = self.bound(wanted)
        self._extend(wanted, bound)
        step = tolerance or 1e-4 * self.distance
        shortest, longest, again = self._edges(wanted, bound, step)
        best_radius, best_length = self.best_radius()
        loops = self.wide_loops(shortest, bound)
        return [
            Window(
                float(wanted[i]), float(shortest[i]), float(longest[i]), float(bound[i]),
                float(again[i]), bool(loops[i]),
                best_radius, best_length,
            )
            for i in range(len(wanted))
        ]  # fmt: skip

    def wide_loops(self, length: Array | float, bound: Array | float) -> Mask:
        """Which lengths are wide loops: far beyond the distance and beyond the bound.

        Parameters
        ----------
        length : (n,) lengths [mm]
        bound : (n,) closed-form bound for the radius of each [mm]
        """
        far = np.greater(length, LOOP_LENGTH * self.distance)
        return far & np.greater(length, LOOP_BOUND * np.asarray(bound))

    def _extend(self, wanted: Array, bound: Array) -> None:
        """Go on to wide loops where no shorter length gives a wanted radius."""
        table = self.table
        while True:
            last, most = float(table.length[-1]), float(table.radius.max())
            missing = wanted > most
            far = np.maximum(self.practical, bound + 4.0 * np.pi * wanted)
            if not missing.any() or last >= far[missing].max():
                return
            further = last * LOOP_RATIO ** np.arange(1, 4, dtype=np.float64)
            table.add(further, fine=False, guess=False)
            self._find_extremes()

    def _find_extremes(self) -> None:
        """Find peaks and dips between the lengths so far, by slope at both ends."""
        table = self._table
        assert table is not None
        alone = len(self.poses) == 1
        for _ in range(EXTREME_ROUNDS):
            usable = (table.radius[:-1] > 0) & (table.radius[1:] > 0)
            usable &= np.isfinite(table.radius[:-1] + table.radius[1:])
            opposite = table.slope[:-1] * table.slope[1:] < 0
            index = np.flatnonzero(usable & opposite)
            index = index[np.diff(table.length)[index] > 1e-8 * self.distance]
            pieces = table.pieces(index)
            turn, meet = pieces.turning()
            value = pieces.value((turn - pieces.left) / pieces.width)
            tangent = pieces.low + pieces.left_slope * (meet - pieces.left)
            peak = pieces.left_slope > 0
            known = np.where(
                peak, np.maximum(pieces.low, pieces.high), np.minimum(pieces.low, pieces.high)
            )
            gain = np.maximum(np.abs(value - known), np.abs(tangent - known))
            rough = gain > (EXTREME_TOLERANCE if alone else MANY_TOLERANCE) * known
            if not rough.any():
                return
            table.add(np.concatenate([turn[rough], meet[rough]]), fine=alone)

    def _edges(self, wanted: Array, bound: Array, tolerance: float) -> tuple[Array, Array, Array]:
        """Shortest and longest length, and where a second range begins, (n,) each [mm]."""
        table = self.table
        for _ in range(CROSSING_ROUNDS):
            crossing, index, radius, low = self._crossings(wanted, bound)
            pieces = table.pieces(index)
            inside, gap = pieces.crossing(radius)
            inside = np.maximum(inside, np.minimum(low, 0.5 * (inside + pieces.right)))
            rough = ~self._known(index, inside, gap, tolerance)
            close = tolerance < ROUGH * self.distance
            if not close and len(self.poses) > 1:
                rough &= np.array([edge < 2 for _, edge in crossing], dtype=bool)
                rough &= inside < self.practical
            if not rough.any():
                break
            more = np.maximum(inside[rough], pieces.left[rough] + 1e-3 * pieces.width[rough])
            table.add(more, fine=close or len(self.poses) == 1)
        crossing, index, radius, low = self._crossings(wanted, bound)
        length, _ = table.pieces(index).crossing(radius)
        edges = [np.full(len(wanted), np.nan), np.full(len(wanted), np.inf),
                 np.full(len(wanted), np.nan)]  # fmt: skip
        for (hose, edge), value in zip(crossing, np.maximum(length, low), strict=True):
            edges[edge][hose] = value
        first = table.radius[0] >= wanted
        edges[0][first] = table.length[0]
        edges[1][~np.isfinite(edges[0])] = np.nan
        return edges[0], edges[1], edges[2]

    def _known(self, index: Index, inside: Array, gap: Array, tolerance: float) -> Mask:
        """Whether crossings of intervals are known well enough, (K,)."""
        table = self.table
        pieces = table.pieces(index)
        left, right = inside - pieces.left, pieces.right - inside
        fine_left, fine_right = table.fine[index], table.fine[index + 1]
        away = np.minimum(np.where(fine_left, left, np.inf), np.where(fine_right, right, np.inf))
        known = (gap <= tolerance) & table.smooth(index)
        if tolerance < ROUGH * self.distance:
            known &= away <= CLOSE * self.distance
        at_node = (away < NEAR * tolerance) & (gap < np.inf)
        return known | at_node | (pieces.width <= tolerance)

    def _crossings(
        self, wanted: Array, bound: Array
    ) -> tuple[list[tuple[int, int]], Index, Array, Array]:
        """First three changes of verdict for each radius: (hose, edge), interval, radius, low."""
        table = self.table
        which: list[tuple[int, int]] = []
        index: list[int] = []
        good = table.radius[None, :] >= wanted[:, None]
        for hose in range(len(wanted)):
            change = np.flatnonzero(good[hose, 1:] != good[hose, :-1])
            shift = 1 if good[hose, 0] else 0
            for edge, at in enumerate(change[: 3 - shift]):
                which.append((hose, edge + shift))
                index.append(int(at))
        rows = np.array([hose for hose, _ in which], dtype=np.int64)
        low = np.where([edge == 0 for _, edge in which], bound[rows], 0.0) if which else np.zeros(0)
        return which, np.array(index, dtype=np.int64), wanted[rows], low
