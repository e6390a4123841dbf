"""A free route over all its lengths: tightest bend and room, as measured and with errors.

Worked out once per route in stacks; every hose reads from it at which length the worst of bend and
room is best.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.free_spans import Span
from hoseselect.cutplan.near import Near
from hoseselect.cutplan.other_ways import OtherWays, other_ways
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit
from hoseselect.knowledge.tolerances import cut_length_tolerance
from hoseselect.mechanics.rod import Errors, Stack, Window, place_draws

LENGTHS = 20
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


def scan_of(
    solution: FreeSolution, windows: list[list[Window]], engagements: float
) -> LengthScan | None:
    """Return the scan of a route over all windows; None where there is none.

    Parameters
    ----------
    solution : of the route
    windows : of every least radius, those of its spans
    engagements : at both ends [mm]
    """
    usable = [
        spans for spans in windows if all(one.exists and not one.big_loop_only for one in spans)
    ]
    if not usable:
        return None
    ranges = []
    for k, (profile, span) in enumerate(zip(solution.profiles, solution.spans, strict=True)):
        practical = profile.practical + span.leads
        low = min(spans[k].shortest for spans in usable)
        high = max(min(spans[k].longest, practical) for spans in usable)
        ranges.append((low, max(high, low) * (1 + BEYOND)))
    cut = sum(low for low, _ in ranges) + engagements
    tolerance = float(cut_length_tolerance(cut, TOLERANCE_TABLE))
    share = 2 * tolerance / len(ranges)
    return LengthScan(solution, [(low - share, high) for low, high in ranges], tolerance)


TOLERANCE_TABLE = "iso-1307"
BEYOND = 0.06  # of the longest length, that is looked at beyond all windows


@dataclass(eq=False)
class LengthScan:
    """Spans of a free route over their lengths.

    Parameters
    ----------
    solution : of the route
    ranges : for every span, its shortest and longest length [mm]
    tolerance : of the cut, either way [mm]
    """

    solution: FreeSolution
    ranges: list[tuple[float, float]]
    tolerance: float

    def errors(self, tape: float, angle: float, cut: float, *, laid: bool) -> Errors:
        """Return the errors that are counted.

        Parameters
        ----------
        tape, angle, cut : of measuring and cutting [mm], [deg], [mm]
        laid : whether the hose is turned until its set lies in the bend, where it does no harm
        """
        share = cut / len(self.solution.spans)
        return Errors(tape, angle, share, 0.0 if laid else 1.0 / limit("roll-set-radius"))

    @cached_property
    def told(self) -> list[SpanScan]:
        """Every span with the errors of the route, the set to a side left to chance."""
        return self._as_told(laid=False)

    @cached_property
    def set_laid(self) -> list[SpanScan]:
        """Every span with the errors of the route, the set laid in the bend."""
        return self._as_told(laid=True)

    def _as_told(self, *, laid: bool) -> list[SpanScan]:
        tape, angle = self.solution.route.tape_error, self.solution.route.angle_error
        return self._scanned(self.errors(tape, angle, self.tolerance, laid=laid))

    @cached_property
    def measured_again(self) -> list[SpanScan]:
        """Every span with the errors of somebody who measures, cuts and lays it with care."""
        cut = min(limit("careful-tape-error"), self.tolerance)
        return self._scanned(self.errors(*self.careful, cut, laid=True))

    @property
    def careful(self) -> tuple[float, float]:
        """Errors of the tape and of angles when measured again with care [mm], [deg]."""
        route = self.solution.route
        return (
            min(limit("careful-tape-error"), route.tape_error),
            min(limit("careful-angle-error"), route.angle_error),
        )

    @cached_property
    def other_ways(self) -> list[OtherWays]:
        """Other ways to lie of every span; worked out only where they stand against a cut."""
        keep_outs = self.solution.route.keep_outs
        return [other_ways(plain.span, plain.inner, keep_outs) for plain in self._plain]

    def _scanned(self, errors: Errors) -> list[SpanScan]:
        return [_with_errors(plain, errors, k) for k, plain in enumerate(self._plain)]

    @cached_property
    def _plain(self) -> list[_Plain]:
        each = zip(self.solution.spans, self.ranges, strict=True)
        return [_Plain(span, *low_high, self.solution) for span, low_high in each]


class _Plain:
    """One span at its lengths and positions as measured."""

    def __init__(self, span: Span, low: float, high: float, solution: FreeSolution) -> None:
        self.span = span
        distance = max(pose.distance for pose in span.poses)
        shortest = max(low - span.leads, distance * (1 + 1e-6))
        slack = np.geomspace(
            max(shortest - LEAST * distance, TIGHT * distance),
            max(high - span.leads, shortest * 1.001) - LEAST * distance,
            LENGTHS,
        )
        self.inner = np.unique(LEAST * distance + slack)
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
STRAIGHT = 1e6  # radius that stands for a straight hose [mm]


def _with_errors(plain: _Plain, errors: Errors, number: int) -> SpanScan:
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
    radii, lines = plain.stack.drawn(rows, errors, number > 0)
    return SpanScan(
        length=plain.inner + plain.span.leads,
        radius=plain.radius.min(axis=1),
        radii=np.nan_to_num(radii, nan=0.0, posinf=STRAIGHT)[np.searchsorted(rows, bent)].min(1),
        room=plain.room.min(axis=1),
        rooms=_rooms_with_errors(plain, closest, np.searchsorted(rows, near), rows, lines, errors),
    )


def _rooms_with_errors(
    plain: _Plain, closest: Array, at: Array, rows: Array, lines: Array, errors: Errors
) -> Array:
    """Return the room with errors at every length, (n, D) [mm].

    Parameters
    ----------
    closest : positions that come nearest at every length, (n, c)
    at : which of the drawn lines is theirs, (n, c)
    rows, lines : rows of the stack that were drawn, and their lines (b, 33, 3, D) [mm]
    """
    rooms, slips = np.full((len(closest), lines.shape[-1]), np.inf), place_draws(len(plain.near))
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
