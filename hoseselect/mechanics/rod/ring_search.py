"""Least energy of a hose through rings: directions in the rings, shares of length between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoseselect.mechanics.rod.newton import Equilibria
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose, across, unit
from hoseselect.mechanics.rod.response import end_stiffness
from hoseselect.mechanics.rod.sweep import first_guess

INTERVALS = 16
SHORT = 1e-2  # of the usual length of a tangent: one so short says no direction
FLATTEST = 1e-3  # least share of its distance that a span is longer by, to begin with
Index = np.ndarray[tuple[int], np.dtype[np.int64]]
Mask = np.ndarray[tuple[int], np.dtype[np.bool_]]
RingCase = tuple[Pose, Sequence[Array], float]


@dataclass(eq=False)
class RingSearch:
    """Energy times length of all spans of C cases against their unknowns.

    Unknowns of a case are two turns of the direction in each of its R rings, and the share of the
    spare length in each of its R + 1 spans but the last: n = 3 R.

    Parameters
    ----------
    cases : pose, places of the rings and length of each; as many rings in all [mm]
    intervals : of a span
    ways : directions in the rings from which turns are counted, (C, R, 3); None = of the spline
    """

    cases: Sequence[RingCase]
    intervals: int = INTERVALS
    ways: Array | None = None

    def __post_init__(self) -> None:
        self.places = np.array([[pose.start, *rings, pose.end] for pose, rings, _ in self.cases])
        self.length = np.array([length for *_, length in self.cases])
        self.start = np.array([pose.start_direction for pose, *_ in self.cases])
        self.end = np.array([pose.end_direction for pose, *_ in self.cases])
        self.chords = np.diff(self.places, axis=1)
        self.distances = np.sqrt(np.einsum("csi,csi->cs", self.chords, self.chords))
        self.spare = self.length - self.distances.sum(axis=1)
        self.count = self.places.shape[1] - 2
        self.size = 3 * self.count
        self.base = self._ways() if self.ways is None else self.ways.copy()
        self.sides = _sides(self.base)

    def straight_on(self) -> Array:
        """Directions in the rings from neighbour to neighbour, (C, R, 3) [-]."""
        across_them = self.places[:, 2:] - self.places[:, :-2]
        length = np.sqrt(np.einsum("cri,cri->cr", across_them, across_them))[..., None]
        back_again = length < SHORT * self.distances[:, :-1, None]
        return unit(np.where(back_again, self.chords[:, :-1], across_them))

    def _ways(self) -> Array:
        """Directions in the rings of the spline, or from neighbour to neighbour where it stops."""
        found = _spline(self.chords, self.distances, self.start, self.end)
        stops = np.sqrt(np.einsum("cri,cri->cr", found, found))[..., None] < SHORT
        return unit(np.where(stops, self.straight_on(), found))

    def guess(self) -> Array:
        """Unknowns to begin with, (C, n): what each span bends as a flat cubic takes its share."""
        _, ways, _, _ = self.unpack(
            np.zeros((len(self.length), self.size)), np.arange(len(self.length))
        )
        along = self.chords / self.distances[..., None]
        ahead, behind = (_slopes(way, along) for way in (ways[:, :-1], ways[:, 1:]))
        first, last, both = (
            np.einsum("csi,csi->cs", one, other)
            for one, other in ((ahead, ahead), (behind, behind), (ahead, behind))
        )
        bends = np.log((2.0 * first + 2.0 * last - both) / 30.0 + FLATTEST)
        turns = np.zeros((len(bends), 2 * self.count))
        return np.concatenate([turns, bends[:, :-1] - bends[:, -1:]], axis=1)

    def unpack(self, x: Array, rows: Index) -> tuple[Array, Array, Array, Array]:
        """Raw directions (c, R, 3), all directions (c, R + 2, 3), shares and lengths (c, R + 1)."""
        turn = x[:, : 2 * self.count].reshape(len(x), self.count, 2)
        raw = self.base[rows] + np.einsum("crk,crki->cri", turn, self.sides[rows])
        share = np.exp(np.concatenate([x[:, 2 * self.count :], np.zeros((len(x), 1))], axis=1))
        share = share * self.distances[rows]
        share = share / share.sum(axis=1, keepdims=True)
        ways = np.concatenate([self.start[rows, None], unit(raw), self.end[rows, None]], axis=1)
        return raw, ways, share, self.distances[rows] + self.spare[rows, None] * share

    def counted_anew(self, x: Array, rows: Index) -> None:
        """Count the turns of some cases from where the hose runs in their rings now.

        So no turn comes near to a right angle, beyond which it would name no direction.
        """
        _, ways, _, _ = self.unpack(x[rows], rows)
        self.base[rows], self.sides[rows] = ways[:, 1:-1], _sides(ways[:, 1:-1])
        x[rows, : 2 * self.count] = 0.0

    def spans(self, x: Array) -> list[list[tuple[Pose, float]]]:
        """Return poses and lengths of the spans of every case."""
        _, ways, _, lengths = self.unpack(x, np.arange(len(x)))
        return [
            [(Pose(p[i], w[i], p[i + 1], w[i + 1]), float(own[i])) for i in range(self.count + 1)]
            for p, w, own in zip(self.places, ways, lengths, strict=True)
        ]

    def within(self, rows: Index) -> Index:
        """Which spans of a stack belong to some cases, (c (R + 1),)."""
        return np.asarray((rows[:, None] * (self.count + 1) + np.arange(self.count + 1)).ravel())

    def relaxed(self, x: Array, rows: Index) -> tuple[Array, Equilibria]:
        """Energy (c,) of some cases, infinite where a span has no shape, and their spans."""
        _, ways, _, lengths = self.unpack(x, rows)
        chord = (self.chords[rows] / lengths[..., None]).reshape(-1, 3)
        start, end = ways[:, :-1].reshape(-1, 3), ways[:, 1:].reshape(-1, 3)
        shapes = first_guess(self.intervals, start, end, chord, np.zeros_like(chord))
        energy = self.length[rows] * (shapes.energy.reshape(lengths.shape) / lengths).sum(axis=1)
        settled = shapes.settled.reshape(lengths.shape).all(axis=1)
        return np.where(settled, energy, np.inf), shapes

    def derivatives(self, x: Array, rows: Index, shapes: Equilibria) -> tuple[Array, Array]:
        """Slope (c, n) of the energy of some cases, and its second derivatives (c, n, n).

        Parameters
        ----------
        x : unknowns of the cases (c, n) [-]
        rows : which cases they are (c,)
        shapes : their relaxed spans, c (R + 1) in all
        """
        raw, ways, share, lengths = self.unpack(x, rows)
        many, spans = lengths.shape
        slope, curved = _of_spans(shapes, lengths.ravel())
        slope, curved = slope.reshape(many, spans, 7), curved.reshape(many, spans, 7, 7)
        size = np.sqrt(np.einsum("cri,cri->cr", raw, raw))[..., None]
        way, sides = ways[:, 1:-1], self.sides[rows] / size[..., None]
        inward = np.einsum("crki,cri->crk", sides, way)
        turns = sides - inward[..., None] * way[:, :, None]
        rings, turning = np.arange(self.count), 2 * np.arange(self.count)
        by = np.zeros((many, spans, 7, self.size))
        for side in range(2):
            by[:, rings, 3:6, turning + side] = np.moveaxis(turns[:, :, side], 1, 0)
            by[:, rings + 1, :3, turning + side] = np.moveaxis(turns[:, :, side], 1, 0)
        spare = self.spare[rows, None, None]
        sharing = share[:, :, None] * (np.eye(spans) - share[:, None])
        by[:, :, 6, 2 * self.count :] = spare * sharing[..., :-1]
        first = np.einsum("csp,cspn->cn", slope, by)
        second = np.einsum("cspn,cspq,csqm->cnm", by, curved, by, optimize=True)
        turned_twice = _turned_twice(slope[:, :-1, 3:6] + slope[:, 1:, :3], way, sides)
        for one in range(2):
            for other in range(2):
                second[:, turning + one, turning + other] += turned_twice[:, :, one, other]
        shared_twice = _shared_twice(slope[:, :, 6], share)
        second[:, 2 * self.count :, 2 * self.count :] += (spare * shared_twice)[:, :-1, :-1]
        whole = self.length[rows]
        return whole[:, None] * first, whole[:, None, None] * second


def _turned_twice(pull: Array, way: Array, sides: Array) -> Array:
    """Second derivatives of a unit vector by two turns, along the pull on it, (c, R, 2, 2).

    Parameters
    ----------
    pull : on the directions in the rings (c, R, 3)
    way : those directions (c, R, 3) [-]
    sides : what a turn adds to them before they are made unit vectors, (c, R, 2, 3) [-]
    """
    sideways, inward = (np.einsum("cri,crki->crk", one, sides) for one in (pull, way))
    mixed = sideways[..., None] * inward[:, :, None]
    along = np.einsum("cri,cri->cr", pull, way)[..., None, None]
    square = np.einsum("crki,crli->crkl", sides, sides)
    found: Array = along * (3.0 * inward[..., None] * inward[:, :, None] - square)
    return found - mixed - np.swapaxes(mixed, 2, 3)


def _shared_twice(slope: Array, share: Array) -> Array:
    """Second derivatives of shares by their unknowns, times the slopes by length, (c, S, S).

    Parameters
    ----------
    slope : of the energy by the length of each span (c, S)
    share : of each span (c, S) [-]
    """
    part = share * (slope - np.einsum("cs,cs->c", slope, share)[:, None])
    found: Array = np.einsum("cs,st->cst", part, np.eye(share.shape[1]))
    return found - part[:, :, None] * share[:, None] - share[:, :, None] * part[:, None]


def _sides(ways: Array) -> Array:
    """Two unit vectors square to each direction, (..., 3) to (..., 2, 3)."""
    first = across(ways)
    return np.stack([first, np.cross(ways, first)], axis=-2)


def _spline(chords: Array, distances: Array, start: Array, end: Array) -> Array:
    """Tangents in the rings of the cubic spline with given ends, (C, R, 3) [-].

    Source: de Boor, A Practical Guide to Splines, ch. IV (from memory).

    Parameters
    ----------
    chords : between neighbours (C, R + 1, 3) [mm]
    distances : their lengths (C, R + 1) [mm]
    start, end : directions at the ends (C, 3) [-]
    """
    near = 1.0 / distances
    slope = 3.0 * chords * near[..., None] ** 2
    wanted = slope[:, :-1] + slope[:, 1:]
    wanted[:, 0] -= near[:, :1] * start
    wanted[:, -1] -= near[:, -1:] * end
    count = wanted.shape[1]
    matrix = np.zeros((len(near), count, count))
    here = np.arange(count)
    matrix[:, here, here] = 2.0 * (near[:, :-1] + near[:, 1:])
    matrix[:, here[1:], here[:-1]] = matrix[:, here[:-1], here[1:]] = near[:, 1:-1]
    return np.asarray(np.linalg.solve(matrix, wanted))


def _slopes(ways: Array, along: Array) -> Array:
    """Twice the tangent of half the angle between directions and chords, sideways, (..., 3)."""
    inside = np.einsum("csi,csi->cs", ways, along)[..., None]
    return np.asarray(2.0 * (ways - inside * along) / np.maximum(1.0 + inside, 0.3))


def _of_spans(shapes: Equilibria, length: Array) -> tuple[Array, Array]:
    """First and second derivatives of the energies of B spans by both directions and length.

    Parameters
    ----------
    shapes : scaled to length 1
    length : of each (B,) [mm]

    Returns
    -------
    (B, 7) and (B, 7, 7), per EI
    """
    at = shapes.at
    pull = at.stiffness[[0, -1]] @ shapes.tangent
    pull = pull - at.weight[[0, -1], None] * shapes.force[:, None, :]
    pull = pull.reshape(-1, 6)
    work = np.einsum("bi,bi->b", shapes.force, shapes.chord)
    slope = np.concatenate([pull, -((shapes.energy + work) / length)[:, None]], axis=1)
    ends = end_stiffness(shapes)
    by_chord = (ends @ np.pad(shapes.chord, ((0, 0), (6, 0)))[..., None])[..., 0]
    curved = np.empty((len(length), 7, 7))
    curved[:, :6, :6] = ends[:, :6, :6]
    curved[:, :6, 6] = curved[:, 6, :6] = -(pull + by_chord[:, :6]) / length[:, None]
    stretch = np.einsum("bi,bi->b", shapes.chord, by_chord[:, 6:])
    curved[:, 6, 6] = (2.0 * shapes.energy + 4.0 * work + stretch) / length**2
    return slope / length[:, None], curved / length[:, None, None]
