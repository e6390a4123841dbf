"""How a bent hose gives way to small changes: of its ends, its length, its own set and its weight.

The equations of equilibrium are differentiated once; every change then costs a few products.
"""

from __future__ import annotations

import itertools

import numpy as np

from hoseselect.mechanics.rod.newton import SHIFT, Equilibria, definite, system
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import across, unit
from hoseselect.mechanics.rod.tightest import curvature_vectors

FREE = 1.5  # stiffness below which a shape that turns almost freely is not followed all the way
SOFT = 2.0  # stiffness above which every turn of a shape is followed


def compliance(shapes: Equilibria) -> Array:
    """Return how relaxed shapes give way, worked out once for any number of small changes.

    Parameters
    ----------
    shapes : B relaxed shapes with M inner nodes, scaled to length 1

    Returns
    -------
    (B, 3 M + 3, 3 M + 3) from what does not balance at each inner node, and what the tangents lack
    of the chord, to turns of the inner tangents and changes of force
    """
    sys = system(shapes.at, shapes.tangent, shapes.load)
    many, size = sys.gradient.shape
    eye = np.eye(size)
    matrix = sys.projected()
    stiff = np.linalg.inv(matrix + SHIFT * eye)
    soft_ones = ~definite(matrix - SOFT * eye)
    if soft_ones.any():
        own = matrix[soft_ones]
        stiff[soft_ones] = np.linalg.solve(own @ own + FREE**2 * eye, own)
    across_closed = eye - sys.basis @ np.swapaxes(sys.basis, 1, 2)
    soft = stiff @ across_closed
    fixed = sys.jacobian @ np.linalg.inv(sys.metric)
    gives = np.empty((many, size + 3, size + 3))
    gives[:, :size, :size] = -soft
    gives[:, :size, size:] = fixed - soft @ (sys.hessian @ fixed)
    back = np.swapaxes(fixed, 1, 2)
    gives[:, size:] = back @ sys.hessian @ gives[:, :size]
    gives[:, size:, :size] += back
    return _in_space(gives, sys.frame, shapes.at.root_weight)


def _in_space(gives: Array, frame: Array, root: Array) -> Array:
    """Return a compliance in tangent planes (B, 2 M + 3, 2 M + 3) as one in space.

    Parameters
    ----------
    gives : in tangent planes
    frame : (B, M, 2, 3) tangent plane at each inner node [-]
    root : (M,) root of the weight of each inner node [-]
    """
    many, inner = frame.shape[:2]
    scaled = frame / root[:, None, None]
    half = np.empty((many, 2 * inner + 3, 3 * inner + 3))
    columns = gives[:, :, : 2 * inner].reshape(many, 2 * inner + 3, inner, 2)
    half[:, :, : 3 * inner] = np.einsum("brmp,bmpi->brmi", columns, scaled).reshape(
        many, 2 * inner + 3, 3 * inner
    )
    half[:, :, 3 * inner :] = gives[:, :, 2 * inner :]
    whole = np.empty((many, 3 * inner + 3, 3 * inner + 3))
    rows = half[:, : 2 * inner].reshape(many, inner, 2, 3 * inner + 3)
    whole[:, : 3 * inner] = (np.swapaxes(scaled, 2, 3) @ rows).reshape(
        many, 3 * inner, 3 * inner + 3
    )
    whole[:, 3 * inner :] = half[:, 2 * inner :]
    return whole


def end_stiffness(shapes: Equilibria) -> Array:
    """Return the second derivatives of the bending energy by directions of both ends and chord.

    The equations of equilibrium are solved for a change of each, with the closure as it is then.

    Parameters
    ----------
    shapes : B relaxed shapes with M inner nodes, scaled to length 1, without weight

    Returns
    -------
    (B, 9, 9) by start direction, end direction and chord, three of each; the directions as if
    they were free in space [EI / length]
    """
    at = shapes.at
    sys = system(at, shapes.tangent, shapes.load)
    many, size = sys.gradient.shape
    matrix = np.zeros((many, size + 3, size + 3))
    matrix[:, :size, :size] = sys.hessian + SHIFT * np.eye(size)
    matrix[:, :size, size:] = sys.jacobian
    matrix[:, size:, :size] = np.swapaxes(sys.jacobian, 1, 2)
    by_ends = np.zeros((many, size + 3, 9))
    space = np.eye(3)
    for first, end in ((0, 0), (3, -1)):
        coupled = at.stiffness[1:-1, end] / at.root_weight
        by_ends[:, :size, first : first + 3] = (coupled[:, None, None] * sys.frame).reshape(
            many, size, 3
        )
        by_ends[:, size:, first : first + 3] = at.weight[end] * space
    by_ends[:, size:, 6:] = -space
    found: Array = -np.swapaxes(by_ends, 1, 2) @ np.linalg.solve(matrix, by_ends)
    held = at.stiffness[np.ix_((0, -1), (0, -1))]
    found[:, :6, :6] += np.kron(held, space)
    return found


def set_push(shapes: Equilibria) -> Array:
    """Return what the set of a hose does, bent by one over its length towards two sides.

    A hose that keeps a curvature from its roll, and whose ends may turn before they are clamped,
    has the energy less the set times the bend towards that side; sides are carried along without
    twist. In a plane that sum is fixed by the directions of the ends, and the set does nothing.
    Source: variation of the twist-free frame (Bishop, Am. Math. Monthly 82 (1975) 246, from
    memory); checked against a rod code and the plane.

    Parameters
    ----------
    shapes : B relaxed shapes, scaled to length 1

    Returns
    -------
    (B, N + 1, 3, 2) work on a turn of each tangent, for two sides square to each other [-]
    """
    at, tangent = shapes.at, shapes.tangent
    bend = curvature_vectors(shapes)
    first = carried(tangent)
    second = np.cross(tangent, first)
    towards = np.stack([np.einsum("bni,bni->bn", bend, side) for side in (first, second)], axis=-1)
    whole = np.einsum("n,bnk->bk", at.weight, towards)
    rest = whole[:, None] - at.running @ towards
    lever = np.cross(bend, tangent)
    one, two = rest[..., 1], -rest[..., 0]
    factor = at.weight[:, None] * np.stack([one, two], axis=-1)
    out: Array = lever[..., None] * factor[:, :, None, :]
    return out


def carried(tangent: Array) -> Array:
    """Return a side of the hose, square to its tangents and carried along without twist.

    Parameters
    ----------
    tangent : (B, N + 1, 3) unit tangents [-]

    Returns
    -------
    (B, N + 1, 3) unit vectors
    """
    side = across(tangent[:, 0])
    found = [side]
    for one, two in itertools.pairwise(np.moveaxis(tangent, 1, 0)):
        both = one + two
        share = np.einsum("bi,bi->b", two, side) / np.maximum(
            1.0 + np.einsum("bi,bi->b", one, two), 1e-9
        )
        side = side - share[:, None] * both
        side = unit(side - np.einsum("bi,bi->b", side, two)[:, None] * two)
        found.append(side)
    return np.stack(found, axis=1)


def weight_push(shapes: Equilibria, down: Array) -> Array:
    """Return what a weight number of one does on a turn of each tangent, (B, N + 1, 3, 1) [-].

    Parameters
    ----------
    shapes : B relaxed shapes, scaled to length 1
    down : (3,) direction of gravity [-]
    """
    at = shapes.at
    lift = (at.weight * (1.0 - at.position))[:, None] * down
    return np.broadcast_to(lift[None, :, :, None], (*shapes.tangent.shape, 1)).copy()
