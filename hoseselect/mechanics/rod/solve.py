"""The bent shape of a hose of given length between two clamped ends."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hoseselect.knowledge.errors import InputError, SolveError
from hoseselect.mechanics.rod.newton import Equilibria, relax, system
from hoseselect.mechanics.rod.nodes import Array, nodes
from hoseselect.mechanics.rod.pose import Pose, unit
from hoseselect.mechanics.rod.seed import hermite
from hoseselect.mechanics.rod.shape import Diagnostics, Shape
from hoseselect.mechanics.rod.sweep import GOOD_SPREAD, LADDER, LARGEST_SPREAD, TAUT, onto
from hoseselect.mechanics.rod.tightest import Tightest, curvature_vectors, tightest

FIRST = 24  # intervals to begin with
WITH_WEIGHT = 36  # the same with self-weight, whose tightest radius converges more slowly
SETTLED = 1e-3  # largest change of the radius between the last two numbers of intervals
UNSTABLE = -1e-7  # an eigenvalue below this means an unstable shape


def solve(
    pose: Pose, length: float, weight_number: float = 0.0, down: Array | None = None
) -> Shape:
    """Shape of least bending energy that the plain guess leads to.

    Source: twist-free elastica (Kirchhoff rod whose ends may turn about themselves before
    they are clamped); see Love, Mathematical Theory of Elasticity (from memory).

    Parameters
    ----------
    pose : the route
    length : between the nipple tips [mm]
    weight_number : weight per length times length^3 / EI, 0 leaves weight out [-]
    down : (3,) direction of gravity, needed with a weight number [-]

    Raises
    ------
    InputError : the length is no positive number, or a weight number comes without `down`
    SolveError : the hose is taut, or no shape could be found with certainty
    """
    load = weight_load(weight_number, down)
    check_length(pose, length)
    if pose.straight and length <= pose.distance * (1.0 + 1e-9) and not weight_number:
        return straight(pose, length)
    chord = pose.chord[None] / length
    start, end = pose.start_direction[None], pose.end_direction[None]
    at = nodes(WITH_WEIGHT if weight_number else FIRST)
    shapes = relax(at, hermite(at, start, end, chord), chord, load[None])
    return finish(pose, length, shapes, weight_number)


def weight_load(weight_number: float, down: Array | None) -> Array:
    """Weight number times the unit vector down, (3,) [-].

    Raises
    ------
    InputError : the number is negative or not finite, or the direction is missing or zero
    """
    if not np.isfinite(weight_number) or weight_number < 0:
        raise InputError("weight_number", str(weight_number), "zero or a positive number")
    if weight_number == 0:
        return np.zeros(3)
    if down is None or not float(np.linalg.norm(down)) > 0:
        raise InputError("down", "no direction", "the direction of gravity")
    return weight_number * unit(np.asarray(down, dtype=float))


def check_length(pose: Pose, length: float) -> None:
    """Refuse a length that cannot be.

    Raises
    ------
    InputError : the length is no positive number
    SolveError : the hose is taut
    """
    if not np.isfinite(length) or length <= 0:
        raise InputError("length", f"{length}", "a positive number")
    taut = length < pose.distance * (1.0 - TAUT) or (
        length <= pose.distance * (1.0 + TAUT) and not pose.straight
    )
    if taut:
        raise SolveError(
            "length",
            f"a taut hose: {length:.1f} mm for ends {pose.distance:.1f} mm apart",
            "a longer hose",
        )


def straight(pose: Pose, length: float) -> Shape:
    """The straight hose between two ends that point along the chord."""
    at = nodes(FIRST)
    along = np.tile(pose.chord / pose.distance, (len(at.position), 1))
    zero = np.zeros(3)
    fine = Diagnostics(True, 0.0, float(np.pi**2), 0.0, 0.0, at.intervals, 0)
    return Shape(
        pose, length, along, at.position * length, float("inf"), 0.5 * length, 0.0,
        zero, zero, zero, 0.0, fine,
    )  # fmt: skip


def finish(pose: Pose, length: float, found: Equilibria, weight_number: float) -> Shape:
    """Add nodes until the answer no longer changes, and refuse what is not certain.

    Raises
    ------
    SolveError : not converged, not stable, or the first integral or radius not settled
    """
    larger = [count for count in LADDER if count > found.at.intervals]
    before = np.nan
    while True:
        spot = tightest(found)
        now = float(spot.curvature[0])
        settled = bool(found.settled[0])
        good = settled and (
            abs(now - before) < 2e-4 * now if weight_number else float(spot.spread[0]) < GOOD_SPREAD
        )
        if good or not larger:
            break
        before = now
        found = relax(nodes(larger[0]), onto(found, larger[0]), found.chord, found.load)
        larger.pop(0)
    shape = build(pose, length, found, spot, weight_number)
    refuse_uncertain(shape, now, before)
    return shape


def refuse_uncertain(shape: Shape, now: float, before: float) -> None:
    """Refuse a shape that is not certain.

    Raises
    ------
    SolveError : with the reason
    """
    state = shape.diagnostics
    spread = state.invariant_spread
    if not state.converged:
        if state.smallest_eigenvalue < UNSTABLE:
            found = f"an unstable shape (smallest eigenvalue {state.smallest_eigenvalue:.2g})"
        else:
            found = f"no shape at rest after {state.steps} steps (gap {state.closure:.1g})"
    elif np.isfinite(spread) and spread > LARGEST_SPREAD:
        found = f"a shape that is not exact enough (first integral spreads by {spread:.1%})"
    elif state.intervals == LADDER[-1] and abs(now - before) > SETTLED * now:
        found = f"a tightest radius that has not settled ({abs(now / before - 1):.2%} change)"
    else:
        return
    raise SolveError("route", found, "a shape that can be relied on: change the length a little")


def build(
    pose: Pose, length: float, found: Equilibria, spot: Tightest, weight_number: float
) -> Shape:
    """Scale the first shape of a stack back to millimetres."""
    return scaled([(pose, length)], found, spot, weight_number)[0]


def scaled(
    cases: Sequence[tuple[Pose, float]], found: Equilibria, spot: Tightest, weight_number: float
) -> list[Shape]:
    """Scale the shapes of a stack back to millimetres.

    Parameters
    ----------
    cases : pose and length of each shape [mm]
    found, spot : the stack, and its tightest spots
    weight_number : with which it was solved [-]
    """
    bend, exact = curvature_vectors(found), weight_number == 0
    lever = np.cross(found.tangent, bend)
    twist = np.ptp((lever @ found.force[..., None])[..., 0], axis=1)
    least = smallest_eigenvalues(found)
    shapes = []
    for row, (pose, length) in enumerate(cases):
        k = float(spot.curvature[row])
        state = Diagnostics(
            bool(found.settled[row]), float(found.gap[row]), float(least[row]),
            float(spot.spread[row]) if exact else float("nan"),
            float(twist[row]) / max(k, 1e-6) ** 3 if exact else float("nan"),
            found.at.intervals, int(found.rounds[row]),
        )  # fmt: skip
        shapes.append(Shape(
            pose, length, found.tangent[row], found.at.position * length, length / max(k, 1e-12),
            float(spot.place[row]) * length, float(found.energy[row]) / length,
            found.force[row] / length**2, -lever[row, 0] / length, lever[row, -1] / length,
            weight_number, state,
        ))  # fmt: skip
    return shapes


def smallest_eigenvalues(found: Equilibria) -> Array:
    """Smallest eigenvalue of the second variation of each shape of a stack, (B,) [-]."""
    matrix = system(found.at, found.tangent, found.load).projected()
    return np.asarray(np.linalg.eigvalsh(matrix)[:, 0])
