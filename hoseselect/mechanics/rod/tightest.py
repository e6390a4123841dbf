"""Tightest curvature of relaxed shapes from the first integral, and how it changes with length.

Along any shape without weight k^2 / 2 + n.t stays the same (Kirchhoff; Love, Mathematical
Theory of Elasticity, from memory). Averaged over the hose this gives
k_max^2 = 2 (E + n.c - min n.t), which is far more exact than differentiating tangents.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.mechanics.rod.newton import SHIFT, Equilibria, system
from hoseselect.mechanics.rod.nodes import Array


@dataclass(frozen=True)
class Tightest:
    """Tightest spot of each of B shapes, lengths scaled to 1.

    Attributes
    ----------
    curvature : (B,) largest curvature times length [-]
    place : (B,) where it is, 0 at the start and 1 at the end [-]
    spread : (B,) spread of the first integral over curvature^2 / 2 [-]
    """

    curvature: Array
    place: Array
    spread: Array


def curvature_vectors(shapes: Equilibria) -> Array:
    """Derivative of the tangent at the nodes, (B, N + 1, 3) [1 / length]."""
    return shapes.at.slope @ shapes.tangent


def parabola(values: Array, best: Array) -> tuple[Array, Array]:
    """Vertex of the parabola through a least even-spaced value and its two neighbours.

    Parameters
    ----------
    values : (B, P) samples on [0, 1] [any]
    best : (B,) index of the least sample [-]

    Returns
    -------
    (B,) place on [0, 1] and (B,) value
    """
    last = values.shape[1] - 1
    rows = np.arange(len(values))
    inner = (best > 0) & (best < last)
    middle = np.clip(best, 1, last - 1)
    a, b, c = values[rows, middle - 1], values[rows, middle], values[rows, middle + 1]
    bend = a - 2 * b + c
    usable = inner & (bend > 0)
    shift = np.where(usable, 0.5 * (a - c) / np.where(usable, bend, 1.0), 0.0)
    low = np.where(usable, b - 0.25 * (a - c) * shift, values[rows, best])
    return (best + shift) / last, low


def tightest(shapes: Equilibria) -> Tightest:
    """Tightest spot of a stack of shapes.

    With self-weight the first integral holds no longer and the tangent is differentiated.

    Parameters
    ----------
    shapes : relaxed shapes, scaled to length 1
    """
    at = shapes.at
    bend = curvature_vectors(shapes)
    square = np.einsum("bni,bni->bn", bend, bend)
    pull = (shapes.tangent @ shapes.force[..., None])[..., 0]
    if shapes.load.any():
        dense = at.dense @ bend
        values = -np.einsum("bni,bni->bn", dense, dense)
        place, low = parabola(values, values.argmin(axis=1))
        return Tightest(np.sqrt(-low), place, np.zeros(len(low)))
    values = pull @ at.dense.T
    place, low = parabola(values, values.argmin(axis=1))
    total = shapes.energy + np.einsum("bi,bi->b", shapes.force, shapes.chord)
    largest = np.maximum(2.0 * (total - low), 0.0)
    integral = 0.5 * square + pull
    spread = integral.max(axis=1) - integral.min(axis=1)
    half = np.maximum(0.5 * largest, 1e-12)
    return Tightest(np.sqrt(largest), place, spread / half)


def radius_slope(shapes: Equilibria, spot: Tightest) -> Array:
    """Derivative of tightest radius with respect to length at fixed ends, (B,) [-].

    The equations of equilibrium are differentiated; the place of the tightest spot may move
    freely, since n.t is least there.

    Parameters
    ----------
    shapes : relaxed shapes without load, scaled to length 1
    spot : their tightest spots
    """
    at = shapes.at
    sys = system(at, shapes.tangent, shapes.load)
    change = -shapes.chord
    transposed = np.swapaxes(sys.jacobian, 1, 2)
    fixed = sys.jacobian @ np.linalg.solve(sys.metric, change[..., None])
    right = sys.hessian @ fixed
    right -= sys.basis @ (np.swapaxes(sys.basis, 1, 2) @ right)
    matrix = sys.projected() + SHIFT * np.eye(right.shape[1])
    move = fixed - np.linalg.solve(matrix, right)
    force = np.linalg.solve(sys.metric, transposed @ (sys.hessian @ move))[..., 0]
    many = len(change)
    turn = (move[..., 0].reshape(many, -1, 2) / at.root_weight[:, None])[:, :, None, :] @ sys.frame
    last = at.dense.shape[0] - 1
    index = np.clip(np.floor(spot.place * last).astype(int), 0, last - 1)
    part = (spot.place * last - index)[:, None]
    row = (1.0 - part) * at.dense[index] + part * at.dense[index + 1]
    there = np.einsum("bn,bni->bi", row, shapes.tangent)
    moved = np.einsum("bn,bni->bi", row[:, 1:-1], turn[:, :, 0, :])
    dot = "bi,bi->b"
    half = 2.0 * np.einsum(dot, shapes.force, change) + np.einsum(dot, force, shapes.chord)
    half -= np.einsum(dot, force, there) + np.einsum(dot, shapes.force, moved)
    k = np.maximum(spot.curvature, 1e-9)
    return (k - half / k) / (k * k)
