"""One span of a free route over its lengths, as measured and with errors."""

from __future__ import annotations

from dataclasses import dataclass

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


@dataclass(frozen=True, eq=False)
class SpanScan:
    """One span at n lengths, worst of all positions of movement, with D draws of errors.

    Parameters
    ----------
    length : rising, what nipples hold straight included, shape (n,) [mm]
    radius : tightest radius, shape (n,) [mm]; 0 where it does not reach
    radii : the same with errors, shape (n, D) [mm]
    room : least distance of the centreline from a keep-out beyond the clearance that it wants,
        shape (n,) [mm]; infinite without keep-outs
    rooms : the same with errors, shape (n, D) [mm]
    """

    length: Array
    radius: Array
    radii: Array
    room: Array
    rooms: Array

    def at(self, lengths: Array) -> tuple[Array, Array]:
        """Return radius and room at other lengths as measured, each of their shape [mm]."""
        return (
            np.interp(lengths, self.length, self.radius),
            np.interp(lengths, self.length, self.room),
        )

    def margins(self, radius: float, half: float, chance: float) -> tuple[Array, Array, Array]:
        """Return what all but some of the draws keep: both, of the bend and of the room, (n,) [-].

        Parameters
        ----------
        radius : least bend radius [mm]
        half : half the outside diameter of the hose [mm]
        chance : share of the draws that may be worse
        """
        bend, room = self.radii / radius - 1.0, (self.rooms - half) / limit("room-per-margin")
        drop = int(chance * bend.shape[1])
        both, alone, apart = (
            np.partition(margin, drop, axis=1)[:, drop]
            for margin in (np.minimum(bend, room), bend, room)
        )
        return both, alone, apart


class PlainScan:
    """One span at its lengths and positions as measured."""

    def __init__(
        self, span: Span, low: float, high: float, close: Array, solution: FreeSolution
    ) -> None:
        self.span = span
        distance = max(pose.distance for pose in span.poses)
        shortest = max(low - span.leads, distance * (1 + 1e-6))
        slack = np.geomspace(
            max(shortest - LEAST * distance, TIGHT * distance),
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
TIGHT = 0.02
APART = 2e-3  # of the distance: lengths nearer than that are one
STRAIGHT = 1e6  # radius that stands for a straight hose [mm]


def with_errors(plain: PlainScan, errors: Errors, number: int) -> SpanScan:
    """Return the scan of a span with errors, at the positions that decide as measured.

    The place of each keep-out is measured with the same tape, and is drawn as well.
    """
    many, poses = len(plain.inner), len(plain.span.poses)
    which = np.array([pose for pose, _ in plain.span.positions])
    worst = np.argsort(plain.radius, axis=1, kind="stable")[:, :WORST]
    closest = np.argsort(plain.room, axis=1, kind="stable")[:, : NEAREST if plain.near else 0]
    first = np.arange(many)[:, None] * poses
    bent, near = first + worst, first + which[closest]
    rows = np.unique(np.concatenate([bent.ravel(), near.ravel()]))
    radii, lines = plain.stack.drawn(rows, errors, number > 0, lines=bool(plain.near))
    return SpanScan(
        length=plain.inner + plain.span.leads,
        radius=plain.radius.min(axis=1),
        radii=np.nan_to_num(radii, nan=0.0, posinf=STRAIGHT)[np.searchsorted(rows, bent)].min(1),
        room=plain.room.min(axis=1),
        rooms=_drawn_rooms(plain, closest, np.searchsorted(rows, near), rows, lines, errors),
    )


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
