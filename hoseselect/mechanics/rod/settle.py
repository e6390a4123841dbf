"""Many bent shapes after changes of their ends, each settled from the one shape as it was."""

from __future__ import annotations

import numpy as np

from hoseselect.mechanics.rod.newton import Equilibria
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.response import compliance
from hoseselect.mechanics.rod.sweep import first_guess

ROUNDS = 3
LARGEST_TURN = 0.4  # of a tangent in one step [rad]
CLOSED = 5e-3  # of the length: a draw that lacks more of its chord does not reach
Mask = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]


def solved_anew(
    shapes: Equilibria, moved: Array, sure: Mask, chord: Array, start: Array, end: Array,
    most: int,
) -> Mask:  # fmt: skip
    """Solve draws that reach but have not settled, and return which are sure then, (B, D).

    Some of each shape are solved from a guess of their own, without the set, and stand for the
    others; their tangents are written into those of all draws.

    Parameters
    ----------
    shapes : B relaxed shapes, scaled to length 1
    moved : (B, N + 1, 3, D) tangents, changed in place [-]
    sure : (B, D) which have settled
    chord, start, end : (B, 3, D) of the draws [-]
    most : of each shape that are solved
    """
    reaches = np.einsum("bid,bid->bd", chord, chord) < 1.0
    open_ = reaches & ~sure
    found = np.zeros_like(sure)
    if not open_.any():
        return found
    rank = np.cumsum(open_, axis=1) - 1
    row, draw = np.nonzero(open_ & (rank < most))
    chords = chord[row, :, draw]
    anew = first_guess(
        shapes.at.intervals, start[row, :, draw], end[row, :, draw], chords, np.zeros_like(chords)
    )
    for one in np.unique(row):
        own = np.flatnonzero(row == one)
        places = np.flatnonzero(open_[one])
        which = own[np.arange(len(places)) % len(own)]
        moved[one][:, :, places] = np.moveaxis(anew.tangent[which], 0, -1)
        found[one, places] = anew.settled[which]
    return found


SOLVED = 4  # draws of a shape that are solved anew where they have not settled


def settled(
    shapes: Equilibria, chord: Array, start: Array, end: Array, push: Array, rounds: int = ROUNDS
) -> tuple[Array, Mask, Array]:
    """Return the tangents of shapes after changes, each found from the one shape as it was.

    Newton steps with the stiffness of the shape as it was: a product each, for every draw.

    Parameters
    ----------
    shapes : B relaxed shapes, scaled to length 1
    chord : (B, 3, D) end minus start over length [-]
    start, end : (B, 3, D) unit directions at the ends [-]
    push : (B, N + 1, 3, D) work done on a turn of each tangent [EI / length]
    rounds : of Newton steps

    Returns
    -------
    (B, N + 1, 3, D) unit tangents, (B, D) whether they close, and (B, D) the last step [rad]
    """
    at, gives = shapes.at, compliance(shapes)
    many, count, draws_ = len(chord), len(at.position), chord.shape[-1]
    inner_count = 3 * (count - 2)
    now = np.repeat(shapes.tangent[..., None], draws_, axis=-1)
    now[:, 0], now[:, -1] = start, end
    flat, inner = now.reshape(many, count, 3 * draws_), now[:, 1:-1]
    force = np.repeat(shapes.force[..., None], draws_, axis=-1)
    weight, stiffness = at.weight[1:-1, None, None], at.stiffness[1:-1]
    left = np.empty((many, inner_count + 3, draws_))
    balance = left[:, :inner_count].reshape(many, count - 2, 3, draws_)
    size = np.zeros((many, draws_))
    for _ in range(rounds):
        np.subtract((stiffness @ flat).reshape(balance.shape), weight * force[:, None], out=balance)
        balance -= push[:, 1:-1]
        balance -= np.einsum("bnid,bnid->bnd", balance, inner)[:, :, None] * inner
        left[:, inner_count:] = chord - (at.weight @ flat).reshape(chord.shape)
        both = gives @ left
        turn = both[:, :inner_count].reshape(balance.shape)
        size = np.sqrt(np.einsum("bnid,bnid->bnd", turn, turn).max(axis=1))
        if size.max() > LARGEST_TURN:
            turn *= np.minimum(1.0, LARGEST_TURN / np.maximum(size, 1e-300))[:, None, None]
        inner += turn
        inner /= np.sqrt(np.einsum("bnid,bnid->bnd", inner, inner))[:, :, None]
        force += both[:, inner_count:]
    lacks = chord - (at.weight @ flat).reshape(chord.shape)
    reaches = np.einsum("bid,bid->bd", chord, chord) < 1.0
    return now, reaches & (np.abs(lacks).max(axis=1) < CLOSED), size
