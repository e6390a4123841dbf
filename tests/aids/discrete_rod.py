"""An independent rod: stiff segments with material frames, pair by pair, and Newton's method.

Nothing of the product is used. Segments s_i = i L / n carry frames; neighbours turn against each
other by the discrete bending and twist of Bergou et al., Discrete Elastic Rods, ACM Trans. Graph.
27 (2008) (from memory): strain 2 tan(angle / 2) / h about each axis of the frame. Both end
segments stand on the nipple tips and count half in the closure, so all is of second order in h.
Slopes come from complex steps, so no derivative is written down.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
STEP = 1e-30
DIFFERENCE = 1e-5
CAP = 0.3  # largest turn of a segment in one step [rad]


@dataclass(frozen=True)
class Rod:
    """What a rod of length 1 and bending stiffness 1 is made of.

    Parameters
    ----------
    twist : stiffness of twist over that of bending [-]
    set_curvature : that it has at rest, towards the first side of its frames [-]
    critical : curvature at which its section gives way (Brazier), infinite for a solid rod [-]
    """

    twist: float = 1.0
    set_curvature: float = 0.0
    critical: float = np.inf

    def energy(self, strain: Array) -> Array:
        """Energy per length of strains (..., 3)."""
        about_two = strain[..., 1] - self.set_curvature  # turning about side 2 bends towards side 1
        square = strain[..., 0] ** 2 + about_two**2
        bending = square / 2
        if np.isfinite(self.critical):
            bending = bending - square**2 / (12 * self.critical**2)
        return bending + self.twist / 2 * strain[..., 2] ** 2


def turned(frames: Array, turn: Array) -> Array:
    """Frames (..., 3, 3), columns side 1, side 2, tangent, turned in themselves by (..., 3).

    Cayley's map: rational, so complex steps go through it; it differs from the exponential in
    third order only, which the way to the minimum does not mind.
    """
    cross = np.zeros((*turn.shape, 3), dtype=turn.dtype)
    cross[..., 0, 1], cross[..., 0, 2], cross[..., 1, 2] = (
        -turn[..., 2],
        turn[..., 1],
        -turn[..., 0],
    )
    cross = cross - np.swapaxes(cross, -1, -2)
    half = np.einsum("...i,...i->...", turn, turn)[..., None, None] / 4
    return frames @ (np.eye(3) + (cross + cross @ cross / 2) / (1 + half))


def strains(one: Array, two: Array, step: float) -> Array:
    """Bending about sides 1 and 2 and twist between neighbours, (..., 3)."""
    between = np.swapaxes(one, -1, -2) @ two
    skew = between - np.swapaxes(between, -1, -2)
    axis = np.stack([skew[..., 2, 1], skew[..., 0, 2], skew[..., 1, 0]], axis=-1)
    trace = np.einsum("...ii->...", between)
    return 2 * axis / (1 + trace)[..., None] / step


def carried_frames(tangents: Array, side: Array) -> Array:
    """Twist-free frames along unit tangents (n + 1, 3), the first side as near as can be."""
    frames = np.zeros((len(tangents), 3, 3))
    side = side - (side @ tangents[0]) * tangents[0]
    for k, tangent in enumerate(tangents):
        if k:
            before = tangents[k - 1]
            mirror = before + tangent  # turned by two mirrors: the least rotation
            side = side - 2 * (side @ mirror) / (mirror @ mirror) * mirror
            side = side - 2 * (side @ tangent) * tangent
            side = side - (side @ tangent) * tangent
        side = side / np.linalg.norm(side)
        frames[k] = np.stack([side, np.cross(tangent, side), tangent], axis=1)
    return frames


@dataclass(frozen=True)
class Relaxed:
    """A rod at rest, lengths scaled to 1.

    Parameters
    ----------
    frames : (n + 1, 3, 3)
    energy : of it
    curvature : largest curvature
    rest : what is left of the gradient, over the energy
    stable : whether every closed change raises the energy
    """

    frames: Array
    energy: float
    curvature: float
    rest: float
    stable: bool

    @property
    def tangents(self) -> Array:
        return self.frames[:, :, 2]


def relaxed(rod: Rod, frames: Array, chord: Array, *, roll_free: bool) -> Relaxed:
    """Return the rod at rest between clamped ends, from a first guess.

    Parameters
    ----------
    rod : its stiffness and set
    frames : (n + 1, 3, 3) first guess, both ends as clamped
    chord : (3,) end minus start over length
    roll_free : whether the far end may turn about itself
    """
    count = len(frames) - 1
    step, share = 1.0 / count, np.full(count + 1, 1.0 / count)
    share[[0, -1]] /= 2
    free = np.zeros((count + 1, 3), dtype=bool)
    free[1:-1] = True
    free[-1, 2] = roll_free
    mask = np.flatnonzero(free)
    unit_steps = np.eye(6)
    force = np.zeros(3)
    scale = 1.0

    def slopes(frames: Array, at: Array) -> Array:
        """Slope of the energy of every pair with the turns of both, taken after turns `at`."""
        turn = at[:, None, :] + 1j * STEP * unit_steps  # (n, 6, 6)
        one = turned(frames[:-1, None].astype(complex), turn[..., :3])
        two = turned(frames[1:, None].astype(complex), turn[..., 3:])
        return np.asarray(rod.energy(strains(one, two, step)).imag / STEP * step)

    def assembled(frames: Array) -> tuple[Array, Array]:
        gradient, hessian = np.zeros((count + 1, 3)), np.zeros((count + 1, 3, count + 1, 3))
        plain = slopes(frames, np.zeros((count, 6)))
        gradient[:-1] += plain[:, :3]
        gradient[1:] += plain[:, 3:]
        second = np.stack([
            (slopes(frames, np.tile(DIFFERENCE * way, (count, 1)))
             - slopes(frames, np.tile(-DIFFERENCE * way, (count, 1)))) / (2 * DIFFERENCE)
            for way in unit_steps
        ], axis=2)  # fmt: skip
        second = (second + np.swapaxes(second, 1, 2)) / 2
        low = np.arange(count)
        for a in (0, 1):
            for b in (0, 1):
                block = second[:, 3 * a : 3 * a + 3, 3 * b : 3 * b + 3]
                np.add.at(hessian, (low + a, slice(None), low + b), block)
        return gradient, hessian.reshape(3 * count + 3, 3 * count + 3)

    for _ in range(200):
        gradient, hessian = assembled(frames)
        # a turn (a, b, c) in the frame moves the tangent by b side 1 - a side 2
        moves = (
            np.stack([-frames[:, :, 1], frames[:, :, 0], np.zeros((count + 1, 3))], axis=1)
            * share[:, None, None]
        )
        jacobian = moves.reshape(-1, 3)[mask]
        # second order of the tangent under a turn: c (a side 1 + b side 2) / 2 - (a^2 + b^2) / 2
        # of the tangent
        side_one, side_two, along = np.einsum("nik,i->kn", frames, force) * share
        bent = hessian.reshape(count + 1, 3, count + 1, 3)
        every = np.arange(count + 1)
        bent[every, 0, every, 0] += along
        bent[every, 1, every, 1] += along
        for side, row in ((side_one, 0), (side_two, 1)):
            bent[every, row, every, 2] -= side / 2
            bent[every, 2, every, row] -= side / 2
        matrix = hessian[np.ix_(mask, mask)]
        left = gradient.ravel()[mask] - jacobian @ force
        lacks = chord - share @ frames[:, :, 2]
        basis, _ = np.linalg.qr(jacobian, mode="complete")
        inner = basis[:, 3:]
        values, vectors = np.linalg.eigh(inner.T @ matrix @ inner)
        rest = float(np.linalg.norm(inner.T @ left))
        scale = max(1.0, abs(force).sum())
        if rest < 1e-9 * scale and np.abs(lacks).max() < 1e-11:
            break
        close = jacobian @ np.linalg.solve(jacobian.T @ jacobian, lacks)
        right = -(inner.T @ (left + matrix @ close))
        usable = np.maximum(np.abs(values), 1e-9 * np.abs(values).max())
        turn = np.zeros(3 * count + 3)
        turn[mask] = close + inner @ (vectors @ ((vectors.T @ right) / usable))
        most = np.abs(turn).max()
        turn *= min(1.0, CAP / most) if most > 0 else 1.0
        after = turn[mask]
        force = np.linalg.lstsq(jacobian, gradient.ravel()[mask] + matrix @ after, rcond=None)[0]
        if most > 0.05:  # far off: the multiplier of where it is, not of where it goes
            force = np.linalg.lstsq(jacobian, gradient.ravel()[mask], rcond=None)[0]
        frames = turned(frames, turn.reshape(-1, 3))
        left_over, _ = np.linalg.qr(frames)
        frames = left_over * np.sign(np.einsum("nij,nij->nj", left_over, frames))[:, None]
    strain = strains(frames[:-1], frames[1:], step)
    bends = np.linalg.norm(strain[:, :2], axis=1)
    tip = np.array([15, -10, 3]) / 8  # curvature stands between segments; a parabola to the tips
    most = max(bends.max(), tip @ bends[:3], tip @ bends[:-4:-1])
    middle = int(bends.argmax())
    if 0 < middle < count - 1:
        a, b, c = bends[middle - 1 : middle + 2]
        most = max(most, b - (a - c) ** 2 / (8 * (a - 2 * b + c)))
    energy = float(rod.energy(strain).sum() * step)
    return Relaxed(frames, energy, float(most), rest, bool(values[0] > -1e-6))


def even_tangents(tangent_at: Callable[[int], Array], count: int) -> Array:
    """Unit tangents at count + 1 even places."""
    found = tangent_at(count + 1)
    return found / np.linalg.norm(found, axis=1)[:, None]
