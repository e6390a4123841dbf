"""Legendre-Gauss-Lobatto nodes on [0, 1] and the matrices of the discrete rod.

The tangent of the hose is a polynomial through its values at these nodes, so bending energy,
closure and interpolation are plain matrix products.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

DENSE_POINTS = 401


@dataclass(frozen=True)
class Nodes:
    """Matrices for one number of intervals; N + 1 nodes, M = N - 1 of them inside.

    Attributes
    ----------
    position : (N + 1,) place along the hose, 0 at the start and 1 at the end [-]
    weight : (N + 1,) quadrature weights, sum 1 [-]
    slope : (N + 1, N + 1) differentiation matrix [-]
    stiffness : (N + 1, N + 1) slope^T diag(weight) slope, bending energy is half its form [-]
    root_weight : (M,) square roots of the inner weights [-]
    inner_stiffness : (2 M, 2 M) inner stiffness over root weights, each entry twice [-]
    bump : (N + 1,) s (1 - s), the form of a closing correction [-]
    dense : (401, N + 1) interpolation to even points [-]
    running : (N + 1, N + 1) integral from 0 to each node [-]
    """

    position: Array
    weight: Array
    slope: Array
    stiffness: Array
    root_weight: Array
    inner_stiffness: Array
    bump: Array
    dense: Array
    running: Array

    @property
    def intervals(self) -> int:
        """Number of intervals N."""
        return len(self.position) - 1


def legendre(degree: int, x: Array) -> Array:
    """Legendre polynomial of a degree by its three-term recurrence.

    Parameters
    ----------
    degree : 0 or more [-]
    x : places in [-1, 1], any shape [-]
    """
    before, value = np.ones_like(x), np.array(x)
    if degree == 0:
        return before
    for n in range(1, degree):
        before, value = value, ((2 * n + 1) * x * value - n * before) / (n + 1)
    return value


def lobatto(intervals: int) -> tuple[Array, Array]:
    """Nodes and weights of the Legendre-Gauss-Lobatto rule on [-1, 1].

    The inner nodes are eigenvalues of the Jacobi matrix of the weight 1 - x^2.
    Source: Golub, Math. Comp. 27 (1973) / common numerical practice.

    Parameters
    ----------
    intervals : N, 2 or more [-]
    """
    k = np.arange(1, intervals - 1, dtype=float)
    beside = np.sqrt(k * (k + 2) / ((2 * k + 1) * (2 * k + 3)))
    inner = np.linalg.eigvalsh(np.diag(beside, 1) + np.diag(beside, -1))
    x = np.concatenate(([-1.0], 0.5 * (inner - inner[::-1]), [1.0]))
    weight = 2.0 / (intervals * (intervals + 1) * legendre(intervals, x) ** 2)
    return x, weight


def interpolation(position: Array, points: Array) -> Array:
    """Matrix that takes values at nodes to values at points (barycentric form).

    Source: Berrut & Trefethen, SIAM Review 46 (2004) 501.

    Parameters
    ----------
    position : (N + 1,) nodes [-]
    points : (P,) places [-]
    """
    gap = position[:, None] - position[None, :]
    np.fill_diagonal(gap, 1.0)
    barycentric = 1.0 / np.prod(4.0 * gap, axis=1)
    away = points[:, None] - position[None, :]
    hit = np.abs(away) < 1e-14
    part = barycentric / np.where(hit, 1.0, away)
    matrix: Array = part / part.sum(axis=1, keepdims=True)
    rows = hit.any(axis=1)
    matrix[rows] = hit[rows]
    return matrix


@lru_cache(maxsize=16)
def nodes(intervals: int) -> Nodes:
    """Nodes and matrices for a number of intervals, made once and kept.

    Parameters
    ----------
    intervals : N, 4 or more [-]
    """
    x, weight = lobatto(intervals)
    value = legendre(intervals, x)
    gap = x[:, None] - x[None, :]
    np.fill_diagonal(gap, 1.0)
    slope = value[:, None] / (value[None, :] * gap)
    np.fill_diagonal(slope, 0.0)
    np.fill_diagonal(slope, -slope.sum(axis=1))
    slope = 2.0 * slope
    position, weight = 0.5 * (x + 1.0), 0.5 * weight
    stiffness = slope.T @ (weight[:, None] * slope)
    root = np.sqrt(weight[1:-1])
    inner = stiffness[1:-1, 1:-1] / (root[:, None] * root[None, :])
    even = np.linspace(0.0, 1.0, DENSE_POINTS)
    return Nodes(
        position, weight, slope, stiffness, root, np.repeat(np.repeat(inner, 2, 0), 2, 1),
        position * (1.0 - position), interpolation(position, even), running(position, position),
    )  # fmt: skip


def running(position: Array, points: Array) -> Array:
    """Matrix that takes values at nodes to the integral from 0 to each point.

    Parameters
    ----------
    position : (N + 1,) nodes on [0, 1] [-]
    points : (P,) places [-]
    """
    x, weight = lobatto(len(position))
    inside = points[:, None] * (0.5 * (x + 1.0))[None, :]
    at = interpolation(position, inside.ravel()).reshape(len(points), len(x), len(position))
    matrix: Array = points[:, None] * np.einsum("g,pgn->pn", 0.5 * weight, at)
    return matrix
