"""Least bending energy along closed shapes: a saddle-free Newton method on stacks of shapes.

The energy alone decides whether a step is good, because every trial shape is closed first.
Directions of negative curvature are followed downhill, so the end is a stable shape.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from hoseselect.mechanics.rod.close import CLOSURE, close
from hoseselect.mechanics.rod.nodes import Array, Nodes
from hoseselect.mechanics.rod.pose import unit

GRADIENT = 1e-9  # gradient that counts as none, over energy
FORCE_PART = 1e-2  # the same over this part of the end force, which rounds more
STALLED = 1e-7  # gradient that still counts as none where the energy falls no further
ROUNDED = 0.5  # a gradient that stalls and falls by less than that in a step is only rounding
ROTATION_CAP = 0.7  # largest turn of a tangent in one step [rad]
KICK = 0.3  # turn by which an unstable shape is pushed off [rad]
ROUNDS = 150
HALVINGS = 14
SHIFT = 1e-8  # added to the Hessian, so that free turns about the chord do no harm
NEARLY_CLOSED = 1e-10


@dataclass
class Equilibria:
    """A stack of B relaxed shapes, lengths scaled to 1.

    Attributes
    ----------
    at : nodes [-]
    tangent : (B, N + 1, 3) unit tangents [-]
    chord : (B, 3) end minus start over length [-]
    load : (B, 3) weight number times down, or zeros [-]
    force : (B, 3) force on the end, tension positive, length^2 / EI [-]
    energy : (B,) bending energy (and height of weight), length / EI [-]
    gradient : (B,) norm of what is left of the gradient [-]
    gap : (B,) what is left of the closure [-]
    stable : (B,) whether no direction lowers the energy
    settled : (B,) whether gradient and gap are small enough and the shape is stable
    rounds : (B,) Newton steps taken [-]
    """

    at: Nodes
    tangent: Array
    chord: Array
    load: Array
    force: Array
    energy: Array
    gradient: Array
    gap: Array
    stable: np.ndarray[tuple[int], np.dtype[np.bool_]]
    settled: np.ndarray[tuple[int], np.dtype[np.bool_]]
    rounds: np.ndarray[tuple[int], np.dtype[np.int64]]


def of(stack: Equilibria, rows: Any) -> Equilibria:
    """Return some shapes of a stack, by their numbers, a slice or a mask."""
    return replace(
        stack, tangent=stack.tangent[rows], chord=stack.chord[rows], load=stack.load[rows],
        force=stack.force[rows], energy=stack.energy[rows], gradient=stack.gradient[rows],
        gap=stack.gap[rows], stable=stack.stable[rows], settled=stack.settled[rows],
        rounds=stack.rounds[rows],
    )  # fmt: skip


def put(stack: Equilibria, rows: Any, found: Equilibria) -> None:
    """Write other shapes with as many nodes into some rows of a stack."""
    for name, values in vars(found).items():
        if name != "at":
            getattr(stack, name)[rows] = values


@dataclass
class System:
    """Energy, gradient and projected Hessian of a stack of closed shapes.

    Attributes
    ----------
    energy : (B,) [-]
    force : (B, 3) multiplier of the closure [-]
    frame : (B, M, 2, 3) tangent plane at each inner node [-]
    gradient : (B, 2 M) projected gradient [-]
    jacobian : (B, 2 M, 3) of the closure [-]
    metric : (B, 3, 3) jacobian^T jacobian [-]
    hessian : (B, 2 M, 2 M) Riemannian Hessian of the Lagrangian [-]
    basis : (B, 2 M, 3) orthonormal columns that span the jacobian [-]
    """

    energy: Array
    force: Array
    frame: Array
    gradient: Array
    jacobian: Array
    metric: Array
    hessian: Array
    basis: Array

    def projected(self) -> Array:
        """Hessian on closed movements, and a positive number on the three others."""
        hq = self.hessian @ self.basis
        size = np.abs(np.einsum("bii->bi", self.hessian)).mean(axis=1)
        half = hq - 0.5 * self.basis @ (np.swapaxes(self.basis, 1, 2) @ hq)
        half -= 0.5 * size[:, None, None] * self.basis
        outer = half @ np.swapaxes(self.basis, 1, 2)
        return self.hessian - outer - np.swapaxes(outer, 1, 2)


def height(at: Nodes, load: Array) -> Array:
    """Weight of each tangent in the potential of self-weight, (B, N + 1, 3)."""
    return (at.weight * (1.0 - at.position))[:, None] * load[:, None, :]


def energy_of(at: Nodes, tangent: Array, load: Array) -> Array:
    """Bending energy less the work of the load, (B,) [EI / length]."""
    bent = 0.5 * np.einsum("bni,bni->b", at.stiffness @ tangent, tangent)
    if load.any():
        bent = bent - np.einsum("bni,bni->b", height(at, load), tangent)
    return bent


def planes(tangent: Array) -> Array:
    """Two unit vectors square to each tangent, smooth in the tangent.

    Source: Duff et al., J. Computer Graphics Techniques 6 (2017) 1 (the idea).

    Parameters
    ----------
    tangent : (..., 3) unit tangents [-]

    Returns
    -------
    (..., 2, 3)
    """
    x, y, z = tangent[..., 0], tangent[..., 1], tangent[..., 2]
    sign = np.copysign(1.0, z)
    a = -1.0 / (sign + z)
    b = x * y * a
    out = np.empty((*tangent.shape[:-1], 2, 3))
    out[..., 0, 0], out[..., 0, 1], out[..., 0, 2] = 1.0 + sign * x * x * a, sign * b, -sign * x
    out[..., 1, 0], out[..., 1, 1], out[..., 1, 2] = b, sign + y * y * a, -y
    return out


def system(at: Nodes, tangent: Array, load: Array) -> System:
    """Set up the equations of a stack of closed shapes.

    The local unknown at an inner node is its turn in the tangent plane times the root of its
    weight, so eigenvalues hardly depend on the number of nodes.

    Parameters
    ----------
    at : nodes [-]
    tangent : (B, N + 1, 3) unit tangents [-]
    load : (B, 3) weight number times down [-]
    """
    many, m = len(tangent), len(at.root_weight)
    pull = at.stiffness @ tangent
    energy = 0.5 * np.einsum("bni,bni->b", pull, tangent)
    if load.any():
        lift = height(at, load)
        energy = energy - np.einsum("bni,bni->b", lift, tangent)
        pull = pull - lift
    inner = tangent[:, 1:-1]
    frame = planes(inner)
    root = at.root_weight
    raw = (frame @ pull[:, 1:-1, :, None])[..., 0] / root[:, None]
    raw = raw.reshape(many, 2 * m)
    jacobian = (root[:, None, None] * frame).reshape(many, 2 * m, 3)
    transposed = np.swapaxes(jacobian, 1, 2)
    metric = transposed @ jacobian + 1e-14 * np.eye(3)
    triangle = np.linalg.inv(np.linalg.cholesky(metric))
    basis: Array = jacobian @ np.swapaxes(triangle, 1, 2)
    force = np.swapaxes(triangle, 1, 2) @ (triangle @ (transposed @ raw[..., None]))
    gradient = raw - (jacobian @ force)[..., 0]
    rows = frame.reshape(many, 2 * m, 3)
    hessian = (rows @ np.swapaxes(rows, 1, 2)) * at.inner_stiffness
    extra = (inner @ force)[..., 0]
    extra -= np.einsum("bni,bni->bn", inner, pull[:, 1:-1]) / (root * root)
    diagonal = np.arange(2 * m)
    hessian[:, diagonal, diagonal] += np.repeat(extra, 2, axis=1)
    return System(energy, force[..., 0], frame, gradient, jacobian, metric, hessian, basis)


def definite(matrix: Array) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Which matrices of a stack are positive definite.

    Parameters
    ----------
    matrix : (B, n, n) symmetric [-]
    """
    try:
        np.linalg.cholesky(matrix)
    except np.linalg.LinAlgError:
        if len(matrix) == 1:
            return np.zeros(1, dtype=bool)
        half = len(matrix) // 2  # a stack is refused as a whole: the few that are not lie in a part
        return np.concatenate([definite(matrix[:half]), definite(matrix[half:])])
    return np.ones(len(matrix), dtype=bool)


def directions(
    sys: System, done: np.ndarray[tuple[int], np.dtype[np.bool_]]
) -> tuple[Array, np.ndarray[tuple[int], np.dtype[np.bool_]]]:
    """Newton steps where the Hessian is definite, saddle-free steps elsewhere.

    A shape that is `done` (no gradient left) but not stable is kicked along the direction in
    which its energy falls.

    Returns
    -------
    (B, 2 M) steps, and (B,) whether the shape is stable
    """
    matrix = sys.projected()
    size = matrix.shape[1]
    shifted = matrix + SHIFT * np.eye(size)
    good = definite(shifted)
    step = np.empty_like(sys.gradient)
    moving = good & ~done
    step[~moving] = 0.0
    if moving.any():
        step[moving] = -np.linalg.solve(shifted[moving], sys.gradient[moving][..., None])[..., 0]
    stable = good.copy()
    bad = np.flatnonzero(~good)
    if len(bad):
        value, vector = np.linalg.eigh(matrix[bad])
        part = np.einsum("bij,bi->bj", vector, sys.gradient[bad])
        large = np.abs(value).max(axis=1)
        usable = np.abs(value) > 1e-10 * large[:, None]
        scale = np.where(usable, 1.0 / np.where(usable, np.abs(value), 1.0), 0.0)
        step[bad] = -np.einsum("bij,bj->bi", vector, part * scale)
        stable[bad] = value[:, 0] > -1e-7 * np.maximum(1.0, 1e-3 * large)
        saddle = np.flatnonzero(~stable[bad] & done[bad])
        for one in saddle:
            step[bad[one]] = KICK * vector[one, :, 0] * np.sqrt(size / 2)
    return step, stable


def relax(at: Nodes, tangent: Array, chord: Array, load: Array) -> Equilibria:
    """Relax a stack of first guesses to stable shapes.

    Parameters
    ----------
    at : nodes [-]
    tangent : (B, N + 1, 3) first guesses, ends as clamped [-]
    chord : (B, 3) end minus start over length [-]
    load : (B, 3) weight number times down, or zeros [-]
    """
    many = len(tangent)
    tangent, gap = close(at, tangent, chord)
    force, energy = np.zeros((many, 3)), np.full(many, np.nan)
    residual, rounds = np.full(many, np.inf), np.zeros(many, dtype=np.int64)
    stable, settled = np.zeros(many, dtype=bool), np.zeros(many, dtype=bool)
    active = np.flatnonzero(gap < NEARLY_CLOSED)
    for _ in range(ROUNDS):
        if len(active) == 0:
            break
        sys = system(at, tangent[active], load[active])
        left = np.sqrt(np.einsum("bi,bi->b", sys.gradient, sys.gradient))
        pull = np.sqrt(np.einsum("bi,bi->b", sys.force, sys.force))
        scale = np.maximum(1.0, np.maximum(np.abs(sys.energy), FORCE_PART * pull))
        done = left < GRADIENT * scale
        done |= (left < STALLED * scale) & (left > ROUNDED * residual[active])
        step, steady = directions(sys, done)
        force[active], energy[active], residual[active] = sys.force, sys.energy, left
        stable[active] = steady
        settled[active] = done & steady
        go = np.flatnonzero(~(done & steady))
        if len(go) == 0:
            break
        kicked = done[go]
        index = active[go]
        rounds[index] += 1
        slope = np.einsum("bi,bi->b", sys.gradient[go], step[go])
        moved = descend(
            at, tangent[index], chord[index], load[index], sys, go,
            step[go], np.where(kicked, 0.0, slope),
        )  # fmt: skip
        tangent[index], gap[index], ok = moved
        small = left[go] < STALLED * scale[go]
        settled[index] = ~ok & small & stable[index]
        active = index[ok]
    return Equilibria(
        at, tangent, chord, load, force, energy, residual, gap, stable, settled, rounds
    )


def descend(
    at: Nodes, tangent: Array, chord: Array, load: Array, sys: System,
    go: np.ndarray[tuple[int], np.dtype[np.int64]], step: Array, slope: Array,
) -> tuple[Array, Array, np.ndarray[tuple[int], np.dtype[np.bool_]]]:  # fmt: skip
    """Go along the steps as far as the energy falls.

    Returns
    -------
    (B, N + 1, 3) new tangents, (B,) their gap, (B,) whether the step succeeded
    """
    many, m = len(tangent), len(at.root_weight)
    turn = step.reshape(many, m, 2) / at.root_weight[:, None]
    turn = (turn[:, :, None, :] @ sys.frame[go])[:, :, 0, :]
    most = np.sqrt(np.einsum("bni,bni->bn", turn, turn).max(axis=1))
    length = np.minimum(1.0, ROTATION_CAP / np.maximum(most, 1e-300))
    before = sys.energy[go]
    pull = np.abs(sys.force[go]).sum(axis=1)
    noise = 1e-13 * np.maximum(1.0, np.abs(before)) + CLOSURE * pull
    out, gap = tangent.copy(), np.zeros(many)
    todo = np.arange(many)
    for _ in range(HALVINGS):
        trial = out[todo]
        trial[:, 1:-1] = unit(tangent[todo, 1:-1] + length[todo, None, None] * turn[todo])
        trial, left = close(at, trial, chord[todo])
        after = energy_of(at, trial, load[todo])
        fine = after <= before[todo] + 1e-4 * length[todo] * slope[todo] + noise[todo]
        fine &= left <= max(CLOSURE, 1e-13)
        out[todo[fine]], gap[todo[fine]] = trial[fine], left[fine]
        todo = todo[~fine]
        if len(todo) == 0:
            break
        length[todo] *= 0.4
    ok = np.ones(many, dtype=bool)
    ok[todo] = False
    out[todo] = tangent[todo]
    return out, gap, ok
