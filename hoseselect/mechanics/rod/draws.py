"""What errors of measuring and cutting, and the set of the roll, do to many bent shapes at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from hoseselect.mechanics.rod.newton import Equilibria, of
from hoseselect.mechanics.rod.nodes import Array, interpolation, nodes, running
from hoseselect.mechanics.rod.pose import Pose, across
from hoseselect.mechanics.rod.response import set_push, weight_push
from hoseselect.mechanics.rod.settle import SOLVED, settled, solved_anew
from hoseselect.mechanics.rod.sweep import TAUT, ends, further
from hoseselect.mechanics.rod.tightest import tightest

INTERVALS = (16, 24)
SPREAD = {16: 3e-3, 24: 1e-2}  # of the first integral, above which more nodes are used
FINE = 97  # points of a centreline
PLACES = 33  # the same with errors
DRAWS = 128
AT_ONCE = 16  # shapes whose draws stay near the processor
COLUMNS = 12  # place of start and end, two angles at each end, length, side of the set
Rows = np.ndarray[tuple[int], np.dtype[np.int64]]


@dataclass(frozen=True)
class Errors:
    """Largest errors of what a shape rests on; each is as likely anywhere in its range.

    Parameters
    ----------
    tape : of each offset of a place [mm]
    angle : of each of the two angles of a direction [deg]
    cut : of the length [mm]
    set_curvature : that a hose keeps from its roll, towards a side left to chance [1/mm]
    """

    tape: float
    angle: float
    cut: float
    set_curvature: float


@lru_cache(maxsize=8)
def draws(count: int, columns: int) -> Array:
    """Return draws between -1 and 1, the same every time, (count, columns).

    A Kronecker sequence on powers of the root of x^(d + 1) = x + 1: no random numbers that would
    make two answers differ. In so many columns it spreads no better than they do.
    """
    root = 2.0
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (columns + 1))
    step = root ** -np.arange(1.0, columns + 1)
    found = 2.0 * ((0.5 + np.outer(np.arange(1, count + 1), step)) % 1.0) - 1.0
    found.flags.writeable = False
    return found


def place_draws(count: int) -> Array:
    """Return draws of one error for each of some further places, between -1 and 1, (count, 128)."""
    return draws(DRAWS, COLUMNS + count)[:, COLUMNS:].T


class Stack:
    """Shapes of B pairs of pose and length, solved in one stack.

    Parameters
    ----------
    cases : pose and length between its ends [mm]

    Attributes
    ----------
    radius : (B,) tightest radius [mm]; 0 taut, NaN not solved, infinite straight
    line : (B, 97, 3) centreline [mm]
    groups : rows, their shapes and curvatures, for each number of nodes
    """

    def __init__(self, cases: Sequence[tuple[Pose, float]]) -> None:
        self.poses = [pose for pose, _ in cases]
        self.length = np.array([length for _, length in cases])
        self.start = np.array([pose.start for pose in self.poses])
        start, end, chord = ends(self.poses)
        distance = np.sqrt(np.einsum("bi,bi->b", chord, chord))
        self.radius = np.where(self.length <= distance * (1.0 + TAUT), 0.0, np.nan)
        even = np.linspace(0.0, 1.0, FINE)
        self.line = self.start[:, None] + even[:, None] * chord[:, None]
        self.groups: list[tuple[Rows, Equilibria, Array]] = []
        todo = np.flatnonzero(np.isnan(self.radius))
        before: Equilibria | None = None
        for intervals in INTERVALS:
            if not len(todo):
                break
            scaled = chord[todo] / self.length[todo, None]
            shapes = further(before, intervals, start[todo], end[todo], scaled)
            spot = tightest(shapes)
            good = shapes.settled & (spot.spread <= SPREAD[intervals])
            rows, curvature = todo[good], np.maximum(spot.curvature[good], 1e-12)
            todo, before = todo[~good], of(shapes, ~good)
            if not len(rows):
                continue
            self.groups.append((rows, of(shapes, good), curvature))
            length = self.length[rows]
            self.radius[rows] = length / curvature
            runs = _running(intervals, FINE)
            along = length[:, None, None] * (runs @ shapes.tangent[good])
            self.line[rows] = self.start[rows, None] + along

    def drawn(
        self, wanted: Rows, errors: Errors, start_is_measured: bool, *, lines: bool = True,
        anew: bool = False,
    ) -> tuple[Array, Array]:  # fmt: skip
        """Return some of the shapes with draws of errors.

        Parameters
        ----------
        wanted : (b,) rows of the stack
        errors : of measuring and cutting
        start_is_measured : whether the start is a measured place too: a clip, and not nipple A
        lines : whether the centrelines are wanted too
        anew : whether each draw is solved from a guess of its own, without the set: it may lie
            another way than the shape as measured

        Returns
        -------
        (b, 128) tightest radius, 0 where it does not reach or was not solved [mm], and
        (b, 33, 3, 128) centreline [mm], empty where they are not wanted
        """
        radii = np.zeros((len(wanted), DRAWS))
        stride = (FINE - 1) // (PLACES - 1)
        found = np.repeat(self.line[wanted][:, ::stride, :, None], DRAWS if lines else 0, 3)
        for rows, shapes, curvature in self.groups:
            here = np.flatnonzero(np.isin(wanted, rows))
            for first in range(0, len(here), AT_ONCE):
                some = here[first : first + AT_ONCE]
                which = wanted[some]
                own = np.searchsorted(rows, which)
                radii[some], found[some] = _drawn(
                    of(shapes, own), curvature[own], self.length[which], self.start[which],
                    errors, start_is_measured, lines, anew,
                )  # fmt: skip
        return radii, found


def _drawn(
    shapes: Equilibria, curvature: Array, length: Array, place: Array, errors: Errors,
    start_is_measured: bool, lines: bool, anew: bool,
) -> tuple[Array, Array]:  # fmt: skip
    """Return the tightest radii and centrelines of shapes with draws of errors."""
    step, many = draws(DRAWS, COLUMNS), len(length)
    shift = errors.tape * step[:, :3].T * start_is_measured
    longer = length[:, None] + errors.cut * step[:, 10]
    reach = shapes.chord[:, :, None] * length[:, None, None] + errors.tape * step[:, 3:6].T - shift
    start = _tilted(shapes.tangent[:, 0], errors.angle, step[:, 6:8])
    end = _tilted(shapes.tangent[:, -1], errors.angle, step[:, 8:10])
    roll = np.pi * step[:, 11]
    push = (set_push(shapes) * (errors.set_curvature * length)[:, None, None, None]) @ np.stack(
        [np.cos(roll), np.sin(roll)]
    )
    chord = reach / longer[:, None]
    moved, sure, _ = settled(shapes, chord, start, end, push)
    if anew:
        sure[:] = False
    sure |= solved_anew(shapes, moved, sure, chord, start, end, DRAWS if anew else SOLVED)
    most, base, flat = _bent(shapes, moved)
    radii = np.where(sure, longer / np.maximum(most * (curvature / base)[:, None], 1e-12), 0.0)
    if not lines:
        return radii, np.empty((many, PLACES, 3, 0))
    along = (_running(shapes.at.intervals, PLACES) @ flat).reshape(many, PLACES, 3, DRAWS)
    return radii, (place[:, :, None] + shift)[:, None] + longer[:, None, None] * along


def sagged(cases: Sequence[tuple[Pose, float]], numbers: Array, down: Array) -> tuple[Array, Array]:
    """Return shapes with their own weight, each found from the shape without.

    Parameters
    ----------
    cases : B pairs of pose and length [mm]
    numbers : M weight numbers w L^3 / EI [-]
    down : (3,) direction of gravity [-]

    Returns
    -------
    (B, M) tightest radius, NaN where it sags too far for that [mm], and (B, M, 33, 3) centreline
    """
    stack, many = Stack(cases), len(numbers)
    radii = np.full((len(cases), many), np.nan)
    lines = np.repeat(stack.line[:, None, :: (FINE - 1) // (PLACES - 1)], many, axis=1)
    straight = ~np.isfinite(stack.radius)
    for rows, shapes, curvature in stack.groups:
        chord, start, end = (
            np.repeat(held[..., None], many, -1)
            for held in (shapes.chord, shapes.tangent[:, 0], shapes.tangent[:, -1])
        )
        push = weight_push(shapes, down) * numbers
        moved, sure, last = settled(shapes, chord, start, end, push, MORE_ROUNDS)
        most, base, flat = _bent(shapes, moved)
        length = stack.length[rows]
        bent = length[:, None] / np.maximum(most * (curvature / base)[:, None], 1e-12)
        radii[rows] = np.where(sure & (last < AT_REST), bent, np.nan)
        along = _running(shapes.at.intervals, PLACES) @ flat
        along = np.moveaxis(along.reshape(len(rows), PLACES, 3, many), 3, 1)
        lines[rows] = stack.start[rows, None, None] + length[:, None, None, None] * along
    radii[straight] = np.nan
    return radii, lines


MORE_ROUNDS = 16
AT_REST = 1e-2  # last step of a shape that has settled [rad]


def _bent(shapes: Equilibria, moved: Array) -> tuple[Array, Array, Array]:
    """Return largest curvatures with and without changes, and tangents as a table.

    Returns
    -------
    (B, D) and (B,) [1 / length], and (B, N + 1, 3 D) [-]
    """
    many, count = moved.shape[0], moved.shape[-1]
    bends, flat = _bending(shapes.at.intervals), moved.reshape(many, -1, 3 * count)
    plain = bends @ shapes.tangent
    base = np.sqrt(np.einsum("bpi,bpi->bp", plain, plain).max(axis=1))
    bent = (bends @ flat).reshape(many, PLACES, 3, count)
    return np.sqrt(np.einsum("bpid,bpid->bpd", bent, bent).max(axis=1)), base, flat


def _tilted(direction: Array, angle: float, step: Array) -> Array:
    """Return directions (B, 3) turned to two sides by D draws of an angle [deg], (B, 3, D)."""
    side = across(direction)
    other = np.cross(direction, side)
    slope = np.tan(np.radians(angle) * step)
    tilted = direction[..., None] + side[..., None] * slope[:, 0] + other[..., None] * slope[:, 1]
    size = np.sqrt(np.einsum("bid,bid->bd", tilted, tilted))
    return np.asarray(tilted / size[:, None])


@lru_cache(maxsize=4)
def _bending(intervals: int) -> Array:
    at = nodes(intervals)
    return interpolation(at.position, np.linspace(0.0, 1.0, PLACES)) @ at.slope


@lru_cache(maxsize=8)
def _running(intervals: int, points: int) -> Array:
    return running(nodes(intervals).position, np.linspace(0.0, 1.0, points))
