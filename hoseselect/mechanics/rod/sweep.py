"""Tightest radius for many lengths and poses at once, each started cold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoseselect.mechanics.rod.newton import Equilibria, of, relax
from hoseselect.mechanics.rod.nodes import Array, interpolation, nodes
from hoseselect.mechanics.rod.pose import Pose, unit
from hoseselect.mechanics.rod.seed import hermite
from hoseselect.mechanics.rod.tightest import radius_slope, tightest

LADDER = (16, 24, 36, 54, 80, 120, 160)
SCAN_LADDER = (16, 24, 36)
FINE_LADDER = (24, 36, 54, 80)
SCAN_SPREAD = 1e-3
FINE_SPREAD = 3e-4
GOOD_SPREAD = 1e-3
LARGEST_SPREAD = 1e-2
TAUT = 1e-12


@dataclass(frozen=True)
class Sweep:
    """Results for B pairs of pose and length.

    Attributes
    ----------
    radius : (B,) tightest centreline radius; 0 = taut, infinite = straight, NaN = unsolved [mm]
    slope : (B,) its derivative with respect to length; 0 where taut or straight [-]
    place : (B,) where it is, 0 at the start and 1 at the end [-]
    """

    radius: Array
    slope: Array
    place: Array


def ends(poses: Sequence[Pose]) -> tuple[Array, Array, Array]:
    """Start directions, end directions and chords of P poses, (P, 3) each [-], [-], [mm]."""
    return (
        np.array([pose.start_direction for pose in poses]),
        np.array([pose.end_direction for pose in poses]),
        np.array([pose.chord for pose in poses]),
    )


def first_guess(intervals: int, start: Array, end: Array, chord: Array, load: Array) -> Equilibria:
    """Relax the plain guess of each of B scaled poses."""
    at = nodes(intervals)
    return relax(at, hermite(at, start, end, chord), chord, load)


def onto(shapes: Equilibria, intervals: int) -> Array:
    """Tangents of a stack of shapes on other nodes, as a guess there, (B, N + 1, 3)."""
    at = nodes(intervals)
    guess = unit(interpolation(shapes.at.position, at.position) @ shapes.tangent)
    guess[:, 0], guess[:, -1] = shapes.tangent[:, 0], shapes.tangent[:, -1]
    return guess


def further(
    before: Equilibria | None, intervals: int, start: Array, end: Array, chord: Array
) -> Equilibria:
    """Relax B scaled poses with some nodes, from shapes with fewer where those have settled.

    Parameters
    ----------
    before : the same poses with fewer nodes; None = from the plain guess
    intervals : of the shapes
    start, end : (B, 3) unit directions at the ends [-]
    chord : (B, 3) end minus start over length [-]
    """
    at = nodes(intervals)
    guess = hermite(at, start, end, chord)
    if before is not None:
        guess[before.settled] = onto(of(before, before.settled), intervals)
    return relax(at, guess, chord, np.zeros_like(chord))


def sweep(
    start: Array, end: Array, chord: Array, length: Array, ladder: Sequence[int] = LADDER,
    limit: float = SCAN_SPREAD,
) -> Sweep:  # fmt: skip
    """Solve B pairs of pose and length in stacks.

    Begins with few nodes, and goes on with more from there only where the first integral spreads.

    Parameters
    ----------
    start, end : (B, 3) unit directions at the ends [-]
    chord : (B, 3) end minus start [mm]
    length : (B,) between the nipple tips [mm]
    ladder : numbers of intervals to try in turn [-]
    limit : largest spread of the first integral before more nodes are used [-]
    """
    distance = np.sqrt(np.einsum("bi,bi->b", chord, chord))
    radius, slope = np.zeros(len(length)), np.zeros(len(length))
    place = np.zeros(len(length))
    slack = length > distance * (1.0 + TAUT)
    along = chord / distance[:, None]
    off = np.maximum(np.abs(start - along).max(axis=1), np.abs(end - along).max(axis=1))
    equal = np.abs(length - distance) <= TAUT * distance
    radius[equal & (off <= 1e-6)] = np.inf
    todo = np.flatnonzero(slack)
    radius[todo] = np.nan
    before: Equilibria | None = None
    for intervals in ladder:
        if len(todo) == 0:
            break
        scaled = chord[todo] / length[todo, None]
        shapes = further(before, intervals, start[todo], end[todo], scaled)
        spot = tightest(shapes)
        allowed = LARGEST_SPREAD if intervals == ladder[-1] else limit
        good = shapes.settled & (spot.spread <= allowed)
        keep = todo[good]
        radius[keep] = length[keep] / np.maximum(spot.curvature[good], 1e-12)
        slope[keep] = radius_slope(shapes, spot)[good]
        place[keep] = spot.place[good]
        todo, before = todo[~good], of(shapes, ~good)
    return Sweep(radius, slope, place)
