"""Rings that hold a hose by position only: the hose slides and tilts in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.errors import InputError, SolveError
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose
from hoseselect.mechanics.rod.ring_descent import descend
from hoseselect.mechanics.rod.ring_search import RingSearch
from hoseselect.mechanics.rod.shape import Shape
from hoseselect.mechanics.rod.solve import solve

INTERVALS = 24


@dataclass(frozen=True)
class RingShape:
    """A hose through rings.

    Attributes
    ----------
    shapes : of the spans in order; neighbours share direction and curvature at a ring
    """

    shapes: list[Shape]

    @property
    def tightest_radius(self) -> float:
        """Tightest radius, least over all spans [mm]."""
        return min(shape.tightest_radius for shape in self.shapes)

    @property
    def energy(self) -> float:
        """Bending energy per EI of all spans [1/mm]."""
        return sum(shape.energy for shape in self.shapes)


def through_rings(pose: Pose, rings: Sequence[Array], length: float) -> RingShape:
    """Stable shape of a hose that passes through rings, which the plain guess leads to.

    An outer Newton search over the direction in each ring and the share of length between rings;
    the first and second derivatives of its energy are exact and come from the spans.

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
    search, found = at_rest(pose, rings, length)
    (spans,) = search.spans(found)
    return RingShape([solve(one, part) for one, part in spans])


def at_rest(pose: Pose, rings: Sequence[Array], length: float) -> tuple[RingSearch, Array]:
    """Return a search of one case, and its unknowns (1, 3 R) where the hose is at rest.

    Raises
    ------
    InputError : places that coincide
    SolveError : the hose is taut, or the search did not settle
    """
    places = np.vstack([pose.start, *rings, pose.end])
    distances = np.linalg.norm(np.diff(places, axis=0), axis=1)
    if distances.min() <= 0:
        raise InputError("rings", "two places that coincide", "places apart from each other")
    if length <= distances.sum():
        raise SolveError(
            "length", f"a taut hose: {length:.1f} mm for {distances.sum():.1f} mm",
            "a longer hose",
        )  # fmt: skip
    case = (pose, rings, length)
    plain = RingSearch([case], INTERVALS)
    other = RingSearch([case], INTERVALS, plain.straight_on())
    for search, start in (
        (plain, plain.guess()),
        (other, other.guess()),
        (other, np.zeros((1, other.size))),
    ):
        found, good = descend(search, start)
        if good[0]:
            return search, found
    raise SolveError("rings", "no shape at rest", "rings nearer to the free shape")
