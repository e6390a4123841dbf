"""Turn tangents a little until the hose ends where it must."""

from __future__ import annotations

import numpy as np

from hoseselect.mechanics.rod.nodes import Array, Nodes

CLOSURE = 1e-12
STEP_CAP = 0.35
ROUNDS = 40


def close(at: Nodes, tangent: Array, chord: Array) -> tuple[Array, Array]:
    """Gauss-Newton corrections of the inner tangents to sum(weight tangent) = chord.

    The correction is the least one in the measure weight / bump, so it is smooth and fades at
    the clamped ends.

    Parameters
    ----------
    at : nodes [-]
    tangent : (B, N + 1, 3) unit tangents [-]
    chord : (B, 3) end minus start over length [-]

    Returns
    -------
    (B, N + 1, 3) unit tangents, and (B,) what is left of the gap [-]
    """
    out = tangent.copy()
    bump = at.bump
    heavy = at.weight * bump
    whole = (heavy.sum() + 1e-15) * np.eye(3)
    gap = at.weight @ out - chord
    left = np.abs(gap).max(axis=1)
    todo = np.flatnonzero(left > CLOSURE)
    for _ in range(ROUNDS):
        if len(todo) == 0:
            break
        t, wanted = out[todo], gap[todo]
        matrix = whole - np.swapaxes(t, 1, 2) @ (heavy[:, None] * t)
        push = -np.linalg.solve(matrix, wanted[:, :, None])
        turn = bump[:, None] * (np.swapaxes(push, 1, 2) - (t @ push) * t)
        most = np.sqrt(np.einsum("bni,bni->bn", turn, turn).max(axis=1))
        turn *= np.minimum(1.0, STEP_CAP / np.maximum(most, 1e-300))[:, None, None]
        t = t + turn
        t /= np.sqrt(np.einsum("bni,bni->bn", t, t))[..., None]
        out[todo] = t
        new = at.weight @ t - chord[todo]
        gap[todo] = new
        left[todo] = np.abs(new).max(axis=1)
        todo = todo[left[todo] > CLOSURE]
    return out, left
