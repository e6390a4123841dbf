"""One span of a free route over its lengths, as measured and with errors."""

from __future__ import annotations

import numpy as np

from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.free_spans import Span
from hoseselect.cutplan.near import Near
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import Errors, Stack, place_draws

LENGTHS = 16
WORST = 6  # positions with the tightest bend that are looked at with errors
NEAREST = 2  # positions with the least room, likewise
Rows = np.ndarray[tuple[int], np.dtype[np.int64]]


class SpanScan:
    """One span at n lengths, worst of all positions of movement, with D draws of errors.

    Draws are made where a length is asked for, and kept.

    Parameters
    ----------
    plain : the span as measured
    errors : that are drawn
    start_is_measured : whether it begins at a measured place: a clip, and not nipple A

    Attributes
    ----------
    length : rising, what nipples hold straight included, shape (n,) [mm]
    radius : tightest radius, shape (n,) [mm]; 0 where it does not reach
    room : least distance of the centreline from a keep-out beyond the clearance that it wants,
        shape (n,) [mm]; infinite without keep-outs
    """

    def __init__(self, plain: PlainScan, errors: Errors, *, start_is_measured: bool) -> None:
        self.plain, self.errors, self.start_is_measured = plain, errors, start_is_measured
        self.length = plain.inner + plain.span.leads
        self.radius, self.room = plain.radius.min(axis=1), plain.room.min(axis=1)
        self._drawn: dict[int, tuple[Array, Array]] = {}

    def at(self, lengths: Array) -> tuple[Array, Array]:
        """Return radius and room at other lengths as measured, each of their shape [mm]."""
        return (
            np.interp(lengths, self.length, self.radius),
            np.interp(lengths, self.length, self.room),
        )

    def with_errors(self, lengths: Array) -> tuple[Array, Array, Array]:
        """Return the own lengths next to others (r,), and radii and rooms there (r, D) [mm]."""
        last = len(self.length) - 1
        after = np.clip(np.searchsorted(self.length, lengths), min(1, last), last)
        rows = np.unique(np.concatenate([np.maximum(after - 1, 0), after]).astype(int))
        new = np.array([row for row in rows.tolist() if row not in self._drawn], dtype=int)
        if len(new):
            both = _draws(self.plain, new, self.errors, self.start_is_measured)
            self._drawn |= zip(new.tolist(), zip(*both, strict=True), strict=True)
        radii, rooms = zip(*(self._drawn[row] for row in rows.tolist()), strict=True)
        return self.length[rows], np.array(radii), np.array(rooms)

    def margins(
        self, lengths: Array, radius: float, half: float, chance: float
    ) -> tuple[Array, Array, Array]:
        """Return what all but some of the draws keep: both, of the bend, of the room, (m,) [-].

        Parameters
        ----------
        lengths : between the own ones it is interpolated (m,) [mm]
        radius : least bend radius [mm]
        half : half the outside diameter of the hose [mm]
        chance : share of the draws that may be worse
        """
        own, radii, rooms = self.with_errors(lengths)
        both, bend, room = (
            np.interp(lengths, own, margin) for margin in kept(radii, rooms, radius, half, chance)
        )
        return both, bend, room


def kept(
    radii: Array, rooms: Array, radius: float, half: float, chance: float
) -> tuple[Array, Array, Array]:
    """Return what all but some of D draws keep: both, of the bend and of the room, (n,) [-].

    Parameters
    ----------
    radii, rooms : of every draw, (n, D) [mm]
    radius : least bend radius [mm]
    half : half the outside diameter of the hose [mm]
    chance : share of the draws that may be worse
    """
    bend, room = radii / radius - 1.0, (rooms - half) / limit("room-per-margin")
    both, alone, apart = (
        all_but(margin, chance) for margin in (np.minimum(bend, room), bend, room)
    )
    return both, alone, apart


def all_but(values: Array, chance: float) -> Array:
    """Return the least of the draws but for the share that may be worse, (n, D) to (n,)."""
    drop = int(chance * values.shape[1])
    return np.asarray(np.partition(values, drop, axis=1)[:, drop])


class PlainScan:
    """One span at its lengths and positions as measured."""

    def __init__(
        self, span: Span, low: float, high: float, close: Array, solution: FreeSolution
    ) -> None:
        self.span = span
        distance = max(pose.distance for pose in span.poses)
        shortest = max(low - span.leads, distance * (1 + 1e-6))
        slack = np.geomspace(
            shortest - LEAST * distance,
            max(high - span.leads, shortest * 1.001) - LEAST * distance,
            LENGTHS,
        )
        inner = np.sort(np.concatenate([LEAST * distance + slack, close - span.leads]))
        self.inner = inner[np.append(True, np.diff(inner) > APART * distance)]
        poses = len(span.poses)
        cases = [(pose, float(length)) for length in self.inner for pose in span.poses]
        self.stack = Stack(cases)
        self.radius = np.nan_to_num(self.stack.radius.reshape(-1, poses), nan=0.0, posinf=STRAIGHT)
        self.near = [Near(part, solution) for part in solution.route.keep_outs]
        self.room = self._rooms(self.stack.line.reshape(len(self.inner), poses, -1, 3))

    def _rooms(self, lines: Array) -> Array:
        """Return the room of every length and position, (n, positions) [mm]."""
        positions = self.span.positions
        room = np.full((len(self.inner), len(positions)), np.inf)
        for near in self.near:
            for number, (which, moved) in enumerate(positions):
                points = lines[:, which] if moved is None else moved.point(lines[:, which])
                room[:, number] = np.minimum(room[:, number], near.room(points, number))
        return room


LEAST = 0.98  # of the distance, from which lengths are spread in geometric steps
APART = 2e-3  # of the distance: lengths nearer than that are one
STRAIGHT = 1e6  # radius that stands for a straight hose [mm]


def _draws(
    plain: PlainScan, lengths: Rows, errors: Errors, start_is_measured: bool
) -> tuple[Array, Array]:
    """Return radii and rooms of some lengths with errors, at the positions that decide as measured.

    The place of each keep-out is measured with the same tape, and is drawn as well.

    Parameters
    ----------
    plain : the span as measured
    lengths : numbers of its lengths, (n,)
    errors : that are drawn
    start_is_measured : whether it begins at a measured place

    Returns
    -------
    (n, D) each [mm]
    """
    which = np.array([pose for pose, _ in plain.span.positions])
    worst = np.argsort(plain.radius[lengths], axis=1, kind="stable")[:, :WORST]
    closest = np.argsort(plain.room[lengths], axis=1, kind="stable")
    closest = closest[:, : NEAREST if plain.near else 0]
    first = lengths[:, None] * len(plain.span.poses)
    bent, near = first + worst, first + which[closest]
    rows = np.unique(np.concatenate([bent.ravel(), near.ravel()]))
    radii, lines = plain.stack.drawn(rows, errors, start_is_measured, lines=bool(plain.near))
    radii = np.nan_to_num(radii, nan=0.0, posinf=STRAIGHT)[np.searchsorted(rows, bent)].min(axis=1)
    return radii, _drawn_rooms(plain, closest, np.searchsorted(rows, near), rows, lines, errors)


def _drawn_rooms(
    plain: PlainScan, closest: Array, at: Array, rows: Array, lines: Array, errors: Errors
) -> Array:
    """Return the room with errors at every length, (n, D) [mm].

    Parameters
    ----------
    closest : positions that come nearest at every length, (n, c)
    at : which of the drawn lines is theirs, (n, c)
    rows, lines : rows of the stack that were drawn, and their lines (b, 33, 3, D) [mm]
    """
    slips = place_draws(len(plain.near))
    rooms = np.full((len(closest), slips.shape[1]), np.inf)
    for position, (_, moved) in enumerate(plain.span.positions):
        here, place = np.nonzero(closest == position)
        if not len(here):
            continue
        own = at[here, place]
        drawn, fine = np.moveaxis(lines[own], -1, 1), plain.stack.line[rows[own]]
        if moved is not None:
            drawn, fine = moved.point(drawn), moved.point(fine)
        for near, slip in zip(plain.near, errors.tape * slips, strict=True):
            finer = near.room(fine, position) - near.room(fine[:, ::STRIDE], position)
            room = near.room(drawn, position) + finer[:, None] + slip
            np.minimum.at(rooms, here, room)
    return rooms


STRIDE = 3  # from the points of a line as measured to those with errors
