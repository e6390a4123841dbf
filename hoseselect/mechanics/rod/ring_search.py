"""Least energy of a hose through rings: directions in the rings, shares of length between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.errors import SolveError
from hoseselect.mechanics.rod.newton import relax
from hoseselect.mechanics.rod.nodes import Array, nodes
from hoseselect.mechanics.rod.pose import Pose, across, unit
from hoseselect.mechanics.rod.seed import hermite

INTERVALS = 16
SETTLED = 1e-5
ROUNDS = 40
HALVINGS = 6
STEP = 1e-4  # by which the first stiffness is worked out
LARGEST = 0.5  # of an unknown in one step
Index = np.ndarray[tuple[int], np.dtype[np.int64]]
RingCase = tuple[Pose, Sequence[Array], float]


@dataclass(eq=False)
class RingSearch:
    """Energy times length of all spans of C cases, and its slope, against their unknowns.

    Unknowns of a case are two turns of the direction in each ring, and the share of the spare
    length in each span but the last.

    Parameters
    ----------
    cases : pose, places of the rings and length of each; as many rings in all [mm]
    intervals : of a span
    """

    cases: Sequence[RingCase]
    intervals: int = INTERVALS

    def __post_init__(self) -> None:
        self.places = np.array([[pose.start, *rings, pose.end] for pose, rings, _ in self.cases])
        self.length = np.array([length for *_, length in self.cases])
        self.start = np.array([pose.start_direction for pose, *_ in self.cases])
        self.end = np.array([pose.end_direction for pose, *_ in self.cases])
        self.chords = np.diff(self.places, axis=1)
        self.distances = np.sqrt(np.einsum("csi,csi->cs", self.chords, self.chords))
        self.spare = self.length - self.distances.sum(axis=1)
        self.count = self.places.shape[1] - 2
        self.size = 3 * self.count
        self.base = unit(self.places[:, 2:] - self.places[:, :-2])
        self.first = across(self.base)
        self.second = np.cross(self.base, self.first)

    def unpack(self, x: Array, rows: Index) -> tuple[Array, Array, Array, Array]:
        """Raw directions (c, R, 3), all directions (c, R + 2, 3), shares and lengths (c, R + 1)."""
        turn = x[:, : 2 * self.count].reshape(len(x), self.count, 2)
        raw = self.base[rows] + turn[..., :1] * self.first[rows] + turn[..., 1:] * self.second[rows]
        share = np.exp(np.concatenate([x[:, 2 * self.count :], np.zeros((len(x), 1))], axis=1))
        share = share * self.distances[rows]
        share = share / share.sum(axis=1, keepdims=True)
        ways = np.concatenate([self.start[rows, None], unit(raw), self.end[rows, None]], axis=1)
        return raw, ways, share, self.distances[rows] + self.spare[rows, None] * share

    def spans(self, x: Array) -> list[list[tuple[Pose, float]]]:
        """Return poses and lengths of the spans of every case."""
        _, ways, _, lengths = self.unpack(x, np.arange(len(x)))
        return [
            [(Pose(p[i], w[i], p[i + 1], w[i + 1]), float(own[i])) for i in range(self.count + 1)]
            for p, w, own in zip(self.places, ways, lengths, strict=True)
        ]

    def __call__(self, x: Array, rows: Index) -> tuple[Array, Array]:
        """Energy (c,) and slope (c, n) of some cases; infinite where a span has no shape."""
        raw, ways, share, lengths = self.unpack(x, rows)
        many, spans = lengths.shape
        chord = (self.chords[rows] / lengths[..., None]).reshape(-1, 3)
        at = nodes(self.intervals)
        start, end = ways[:, :-1].reshape(-1, 3), ways[:, 1:].reshape(-1, 3)
        shapes = relax(at, hermite(at, start, end, chord), chord, np.zeros_like(chord))
        pull = at.stiffness @ shapes.tangent - at.weight[:, None] * shapes.force[:, None, :]
        pull = pull.reshape(many, spans, -1, 3) / lengths[..., None, None]
        direction = pull[:, :-1, -1] + pull[:, 1:, 0]
        size = np.sqrt(np.einsum("cri,cri->cr", raw, raw))[..., None]
        way = raw / size
        direction = (direction - np.einsum("cri,cri->cr", direction, way)[..., None] * way) / size
        turn = np.stack(
            [np.einsum("cri,cri->cr", direction, side[rows]) for side in (self.first, self.second)],
            axis=-1,
        )
        work = shapes.energy + np.einsum("bi,bi->b", shapes.force, shapes.chord)
        along = -work.reshape(many, spans) / lengths**2
        mean = np.einsum("cs,cs->c", along, share)
        spare = self.spare[rows, None] * share * (along - mean[:, None])
        slope = np.concatenate([turn.reshape(many, -1), spare[:, :-1]], axis=1)
        whole = self.length[rows]
        energy = whole * (shapes.energy.reshape(many, spans) / lengths).sum(axis=1)
        settled = shapes.settled.reshape(many, spans).all(axis=1)
        return np.where(settled, energy, np.inf), whole[:, None] * slope


def at_rest(case: RingCase, intervals: int) -> Array:
    """Return the unknowns of least energy of one case, (3 R,) [-].

    Raises
    ------
    SolveError : the search did not settle
    """
    search = RingSearch([case], intervals)
    start = np.zeros((1, search.size))
    inverse = np.asarray(np.linalg.inv(stiffness(search, start)))
    found, good = descend(search, start, inverse[None])
    return found[0] if good[0] else _more_slowly(search)


def _more_slowly(search: RingSearch) -> Array:
    """Return the unknowns of least energy of one case, by a search along each line.

    Raises
    ------
    SolveError : the search did not settle
    """
    from scipy.optimize import minimize

    def energy_and_slope(x: Array) -> tuple[float, Array]:
        energy, slope = search(x[None], np.zeros(1, dtype=np.int64))
        return float(energy[0]), slope[0] if np.isfinite(energy[0]) else np.zeros_like(x)

    found = minimize(
        energy_and_slope, np.zeros(search.size), jac=True, method="BFGS",
        options={"gtol": 1e-7, "maxiter": 300},
    )  # fmt: skip
    _, slope = energy_and_slope(found.x)
    if not np.isfinite(found.fun) or float(np.abs(slope).max()) > SETTLED * max(1.0, found.fun):
        raise SolveError("rings", "no shape at rest", "rings nearer to the free shape")
    return np.asarray(found.x)


def stiffness(search: RingSearch, x: Array) -> Array:
    """Return the second derivatives of the energy of one case, made positive, (n, n)."""
    size = x.shape[1]
    tries = x + STEP * np.concatenate([np.eye(size), -np.eye(size)])
    _, slope = search(tries, np.zeros(2 * size, dtype=np.int64))
    matrix = (slope[:size] - slope[size:]) / (2 * STEP)
    value, vector = np.linalg.eigh((matrix + matrix.T) / 2)
    value = np.maximum(np.abs(value), 1e-3 * max(float(np.abs(value).max()), 1e-9))
    return np.asarray(vector * value @ vector.T)


def descend(search: RingSearch, x: Array, inverse: Array) -> tuple[Array, Array]:
    """Go down in energy from x (C, n) with inverse stiffness (C, n, n); where it is at rest."""
    rows = np.arange(len(x))
    energy, slope = search(x, rows)
    good = np.zeros(len(x), dtype=bool)
    active = np.flatnonzero(np.isfinite(energy))
    for _ in range(ROUNDS):
        rest = np.abs(slope[active]).max(axis=1) < 0.1 * SETTLED * np.maximum(1.0, energy[active])
        good[active[rest]] = True
        active = active[~rest]
        if not len(active):
            break
        step = -np.einsum("cij,cj->ci", inverse[active], slope[active])
        uphill = np.einsum("ci,ci->c", step, slope[active]) >= 0
        step[uphill] = -slope[active[uphill]] / energy[active[uphill], None]
        size = np.abs(step).max(axis=1)
        step *= np.minimum(1.0, LARGEST / np.maximum(size, 1e-300))[:, None]
        fall = np.einsum("ci,ci->c", step, slope[active])
        share = np.ones(len(active))
        todo, done = np.arange(len(active)), np.zeros(len(active), dtype=bool)
        for _ in range(HALVINGS):
            own = active[todo]
            trial = x[own] + share[todo, None] * step[todo]
            after, there = search(trial, own)
            fine = after <= energy[own] + 1e-4 * share[todo] * fall[todo] + 1e-10 * energy[own]
            taken = own[fine]
            moved, turned = trial[fine] - x[taken], there[fine] - slope[taken]
            inverse[taken] = _updated(inverse[taken], moved, turned)
            x[taken], energy[taken], slope[taken] = trial[fine], after[fine], there[fine]
            done[todo[fine]] = True
            todo = todo[~fine]
            if not len(todo):
                break
            share[todo] *= 0.3
        active = active[done]
    return x, good


def _updated(inverse: Array, moved: Array, turned: Array) -> Array:
    """Return the inverse stiffness after a step (Broyden, Fletcher, Goldfarb, Shanno).

    Source: Nocedal & Wright, Numerical Optimization, eq. 6.17, from memory.
    """
    work = np.einsum("ci,ci->c", moved, turned)
    usable = work > 1e-14
    rho = np.where(usable, 1.0 / np.where(usable, work, 1.0), 0.0)[:, None, None]
    left = np.eye(moved.shape[1]) - rho * moved[:, :, None] * turned[:, None, :]
    new = left @ inverse @ np.swapaxes(left, 1, 2) + rho * moved[:, :, None] * moved[:, None, :]
    return np.asarray(np.where(usable[:, None, None], new, inverse))
