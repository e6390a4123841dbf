"""First guesses for the bent shape."""

from __future__ import annotations

import numpy as np

from hoseselect.mechanics.rod.nodes import Array, Nodes
from hoseselect.mechanics.rod.pose import across, unit


def hermite(
    at: Nodes,
    start: Array,
    end: Array,
    chord: Array,
    speed: float = 1.0,
    bulge: Array | None = None,
) -> Array:
    """Tangents of the cubic Hermite curve, with a sideways bulge if asked.

    Parameters
    ----------
    at : nodes [-]
    start, end : (B, 3) unit directions at the ends [-]
    chord : (B, 3) end minus start over length [-]
    speed : speed of the curve at its ends [-]
    bulge : (B, 3) added as pi (1 - 2 s) times this vector [-]

    Returns
    -------
    (B, N + 1, 3) unit tangents
    """
    s = at.position[None, :, None]
    curve = speed * ((1 - 4 * s + 3 * s**2) * start[:, None] + (3 * s**2 - 2 * s) * end[:, None])
    curve = curve + 6 * s * (1 - s) * chord[:, None]
    if bulge is not None:
        curve = curve + np.pi * (1 - 2 * s) * bulge[:, None]
    curve = curve + np.where(folded(curve), np.pi * (1 - 2 * s), 0.0) * across(start)[:, None]
    curve[:, 0], curve[:, -1] = start, end
    size = np.sqrt(np.einsum("bni,bni->bn", curve, curve))
    curve = curve + np.where(size < 1e-3, 1.0, 0.0)[..., None] * across(start)[:, None]
    return loosen(at, unit(curve), chord)


def folded(curve: Array) -> Array:
    """Which curves run forth and back on one line, (B, 1, 1) true or false.

    Parameters
    ----------
    curve : (B, N + 1, 3) tangents of any length [-]
    """
    along = (curve @ unit(curve[:, 0])[..., None])[..., 0]
    side = np.einsum("bni,bni->bn", curve, curve) - along * along
    flat: Array = (side.max(axis=1) < 1e-4) & (along.min(axis=1) < 0)
    return flat[:, None, None]


def loosen(at: Nodes, tangent: Array, chord: Array) -> Array:
    """Give a nearly straight guess the slack it lacks, as one sideways arch.

    A straight guess cannot be closed: no small turn of its tangents shortens it.

    Parameters
    ----------
    at : nodes [-]
    tangent : (B, N + 1, 3) unit tangents [-]
    chord : (B, 3) end minus start over length [-]
    """
    mean = np.einsum("n,bni->bi", at.weight, tangent)
    slack = 1.0 - np.sqrt(np.einsum("bi,bi->b", chord, chord))
    lack = slack - (1.0 - np.sqrt(np.einsum("bi,bi->b", mean, mean)))
    poor = lack > 0.5 * slack
    if not poor.any():
        return tangent
    axis = unit(mean[poor])
    turn = tangent[poor, -1] - tangent[poor, 0]
    turn = turn - np.einsum("bi,bi->b", turn, axis)[:, None] * axis
    size = np.sqrt(np.einsum("bi,bi->b", turn, turn))
    side = np.where(size[:, None] > 1e-9, turn / np.maximum(size, 1e-9)[:, None], across(axis))
    wave = np.sin(2.0 * np.pi * at.position)
    height = np.minimum(2.0 * np.sqrt(np.maximum(lack[poor], 0.0)), 1.5)
    out = tangent.copy()
    out[poor] = unit(out[poor] - (height[:, None] * wave)[..., None] * side[:, None])
    return out


def six_seeds(at: Nodes, start: Array, end: Array, chord: Array) -> Array:
    """The first guess and six others that lead to other stable shapes where there are any.

    Parameters
    ----------
    at : nodes [-]
    start, end : (3,) unit directions [-]
    chord : (3,) end minus start over length [-]

    Returns
    -------
    (7, N + 1, 3) unit tangents, the plain guess first
    """
    along = unit(chord)
    first = np.cross(along, start + end)
    size = float(np.linalg.norm(first))
    first = first / size if size > 1e-9 else across(along)
    second = np.cross(along, first)
    sides = np.stack([0 * first, first, -first, second, -second])
    many = len(sides)
    many_start, many_end = np.tile(start, (many, 1)), np.tile(end, (many, 1))
    slow = hermite(at, many_start, many_end, np.tile(chord, (many, 1)), 1.0, sides)
    fast = hermite(at, many_start[:2], many_end[:2], np.tile(chord, (2, 1)), 4.0, sides[1:3])
    return np.concatenate([slow, fast])
