"""Newton steps of a hose through rings, downhill in energy until it is at rest and stable."""

from __future__ import annotations

import numpy as np

from hoseselect.mechanics.rod.newton import Equilibria, of, put
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.ring_search import Index, Mask, RingSearch

SETTLED = 1e-6  # slope that counts as none, over energy
ROUNDS = 40
HALVINGS = 12
LARGEST = 0.5  # of an unknown in one step
SOFTEST = 1e-6  # least stiffness against the largest that a step is worked out with
NOISE = 1e-10  # of the energy, by which it may seem to rise
RIDGE = 1e-3  # of an unknown: a step down a ridge that is smaller is none
KICK = 0.1  # of an unknown, by which a shape on a ridge is pushed off


def descend(search: RingSearch, x: Array, rounds: int = ROUNDS) -> tuple[Array, Mask]:
    """Go down in energy from x (C, n) by Newton steps; where the hose is at rest, and stable.

    The search counts the turns of what is returned from the directions that were reached.
    """
    x = x.copy()
    energy, shapes = search.relaxed(x, np.arange(len(x)))
    good = np.zeros(len(x), dtype=bool)
    active = np.flatnonzero(np.isfinite(energy))
    for _ in range(rounds):
        slope, curved = search.derivatives(x[active], active, of(shapes, search.within(active)))
        rest = np.abs(slope).max(axis=1, initial=0) < SETTLED * np.maximum(1.0, energy[active])
        step, stable = _steps(slope, curved)
        good[active[rest & stable]] = True
        go = ~(rest & stable)
        active, step = active[go], step[go]
        if not len(active):
            break
        fall = np.minimum(0.0, np.einsum("ci,ci->c", step, slope[go]))
        active = active[_along(search, x, energy, shapes, active, step, fall)]
    return x, good


def _steps(slope: Array, curved: Array) -> tuple[Array, Mask]:
    """Newton steps (C, n), downhill where the energy is curved down, and which cases are stable.

    A case on a ridge, with next to no slope the way in which its energy falls most, is pushed off.
    """
    value, vector = np.linalg.eigh(curved)
    least = SOFTEST * np.abs(value).max(axis=1, keepdims=True)
    part = -np.einsum("cij,ci->cj", vector, slope) / np.maximum(np.abs(value), least)
    stable = value[:, 0] > -least[:, 0]
    ridge = ~stable & (np.abs(part[:, 0]) < RIDGE)
    part[ridge, 0] = KICK
    step = np.einsum("cij,cj->ci", vector, part)
    most = np.abs(step).max(axis=1, keepdims=True)
    return step * np.minimum(1.0, LARGEST / np.maximum(most, 1e-300)), stable


def _along(
    search: RingSearch, x: Array, energy: Array, shapes: Equilibria, active: Index, step: Array,
    fall: Array,
) -> Mask:  # fmt: skip
    """Go along the steps of some cases as far as the energy falls; where it did.

    What is reached is written into x (C, n), energy (C,) and shapes of all.
    """
    todo, done = np.arange(len(active)), np.zeros(len(active), dtype=bool)
    share = 1.0
    for _ in range(HALVINGS):
        own = active[todo]
        trial = x[own] + share * step[todo]
        after, bent = search.relaxed(trial, own)
        fine = after <= energy[own] + 1e-4 * share * fall[todo] + NOISE * energy[own]
        taken = own[fine]
        x[taken], energy[taken] = trial[fine], after[fine]
        search.counted_anew(x, taken)
        put(shapes, search.within(taken), of(bent, search.within(np.flatnonzero(fine))))
        done[todo[fine]] = True
        todo = todo[~fine]
        if not len(todo):
            break
        share *= 0.4
    return done
