"""Rings that hold a hose by position only: the hose slides and tilts in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.errors import InputError, SolveError
from hoseselect.mechanics.rod.newton import Equilibria
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose, across, unit
from hoseselect.mechanics.rod.shape import Shape
from hoseselect.mechanics.rod.solve import solve
from hoseselect.mechanics.rod.sweep import first_guess

INTERVALS = 24
SETTLED = 1e-5


@dataclass(frozen=True)
class RingShape:
    """A hose through rings.

    Attributes
    ----------
    shapes : of the spans in order; neighbours share direction and curvature at a ring
    tightest_radius : least over all spans [mm]
    energy : bending energy per EI of all spans [1/mm]
    """

    shapes: list[Shape]
    tightest_radius: float
    energy: float


def through_rings(pose: Pose, rings: Sequence[Array], length: float) -> RingShape:
    """Shape of least energy of a hose that passes through rings.

    An outer quasi-Newton search over the direction in each ring and the share of length
    between rings; its gradient is exact and comes from the spans.

    Parameters
    ----------
    pose : the whole route
    rings : (3,) places in order from start to end [mm]
    length : of the whole hose between the nipple tips [mm]

    Raises
    ------
    InputError : no ring, or places that coincide
    SolveError : the hose is taut, or the search did not settle
    """
    if not rings:
        raise InputError("rings", "none", "one place or more")
    search = _Search(pose, np.asarray(rings, dtype=float), length)
    shapes = [solve(one, part) for one, part in search.spans(_at_rest(search))]
    return RingShape(
        shapes, min(one.tightest_radius for one in shapes), sum(one.energy for one in shapes)
    )


def ring_unknowns(pose: Pose, rings: Sequence[Array], length: float) -> Array:
    """Turns of the directions in the rings and shares of the spare length, at rest, (3 R,) [-].

    Raises
    ------
    SolveError : the hose is taut, or the search did not settle
    """
    return _at_rest(_Search(pose, np.asarray(rings, dtype=float), length))


def _at_rest(search: _Search) -> Array:
    """Return the unknowns of least energy.

    Raises
    ------
    SolveError : the search did not settle
    """
    from scipy.optimize import minimize

    start = np.zeros(search.size)
    found = minimize(search, start, jac=True, method="BFGS", options={"gtol": 1e-7, "maxiter": 300})
    _, slope = search(found.x)
    if not np.isfinite(found.fun) or float(np.abs(slope).max()) > SETTLED * max(1.0, found.fun):
        raise SolveError("rings", "no shape at rest", "rings nearer to the free shape")
    return np.asarray(found.x)


class _Search:
    """Energy times length of all spans, and its gradient, against directions and shares."""

    def __init__(self, pose: Pose, rings: Array, length: float) -> None:
        self.pose, self.length = pose, length
        self.places = np.vstack([pose.start, rings, pose.end])
        self.chords = np.diff(self.places, axis=0)
        self.distances = np.sqrt(np.einsum("bi,bi->b", self.chords, self.chords))
        if self.distances.min() <= 0:
            raise InputError("rings", "two places that coincide", "places apart from each other")
        self.spare = length - float(self.distances.sum())
        if self.spare <= 0:
            raise SolveError(
                "length", f"a taut hose: {length:.1f} mm for {self.distances.sum():.1f} mm",
                "a longer hose",
            )  # fmt: skip
        self.count = len(rings)
        self.size = 3 * self.count
        self.base = unit(self.places[2:] - self.places[:-2])
        self.first = across(self.base)
        self.second = np.cross(self.base, self.first)

    def unpack(self, x: Array) -> tuple[Array, Array, Array]:
        """Raw directions (R, 3), shares of spare length (R + 1,) and lengths (R + 1,)."""
        turn = x[: 2 * self.count].reshape(self.count, 2)
        raw = self.base + turn[:, :1] * self.first + turn[:, 1:] * self.second
        share = np.exp(np.append(x[2 * self.count :], 0.0)) * self.distances
        share = share / share.sum()
        return raw, share, self.distances + self.spare * share

    def spans(self, x: Array) -> list[tuple[Pose, float]]:
        """Poses and lengths of the spans."""
        raw, _, lengths = self.unpack(x)
        ways = np.vstack([self.pose.start_direction, unit(raw), self.pose.end_direction])
        return [
            (Pose(self.places[i], ways[i], self.places[i + 1], ways[i + 1]), float(lengths[i]))
            for i in range(self.count + 1)
        ]

    def __call__(self, x: Array) -> tuple[float, Array]:
        """Energy and gradient; infinite where a span has no shape."""
        raw, share, lengths = self.unpack(x)
        ways = np.vstack([self.pose.start_direction, unit(raw), self.pose.end_direction])
        chord = self.chords / lengths[:, None]
        shapes = first_guess(INTERVALS, ways[:-1], ways[1:], chord, np.zeros_like(chord))
        if not shapes.settled.all():
            return float("inf"), np.zeros_like(x)
        total = float((shapes.energy / lengths).sum()) * self.length
        return total, self.length * self._gradient(shapes, raw, share, lengths)

    def _gradient(self, shapes: Equilibria, raw: Array, share: Array, lengths: Array) -> Array:
        at = shapes.at
        pull = at.stiffness @ shapes.tangent - at.weight[:, None] * shapes.force[:, None, :]
        pull = pull / lengths[:, None, None]
        direction = pull[:-1, -1] + pull[1:, 0]
        size = np.sqrt(np.einsum("bi,bi->b", raw, raw))[:, None]
        way = raw / size
        direction = (direction - np.einsum("bi,bi->b", direction, way)[:, None] * way) / size
        turn = np.stack(
            [np.einsum("bi,bi->b", direction, side) for side in (self.first, self.second)], axis=1
        )
        along = -(shapes.energy + np.einsum("bi,bi->b", shapes.force, shapes.chord)) / lengths**2
        mean = float(along @ share)
        return np.concatenate([turn.ravel(), (self.spare * share * (along - mean))[:-1]])
