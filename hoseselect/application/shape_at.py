"""How an offered hose would lie on a free route if it were cut longer or shorter."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.cutplan.free_geometry import free_geometry_at
from hoseselect.domain.geometry import RouteGeometry
from hoseselect.knowledge.errors import InputError


@dataclass(frozen=True, eq=False)
class ShapeAt:
    """A hose on its route at one length.

    Parameters
    ----------
    cut : length, engagement at both ends included [mm]
    geometry : how it lies there
    least_radius : of the hose [mm]
    """

    cut: float
    geometry: RouteGeometry
    least_radius: float

    @property
    def tightest(self) -> float:
        """Tightest radius at the worst position of movement [mm]; infinite = straight."""
        return min(self.geometry.tightest_radius, self.geometry.worst_radius)

    @property
    def room(self) -> float:
        """Least room beyond the clearance that is wanted [mm]; NaN where nothing is near."""
        gap = self.geometry.gap
        if gap is None:
            return math.nan
        return gap.left - gap.wanted if math.isfinite(gap.wanted) else gap.left

    @property
    def works(self) -> bool:
        """Whether it bends no tighter than the hose takes, and keeps clear, as measured."""
        return self.tightest >= self.least_radius and not self.room < 0


def shape_at(hose: HoseAnswer, cut: float) -> ShapeAt:
    """Return how an offered hose would lie at another length.

    Parameters
    ----------
    hose : of an answer
    cut : length [mm]

    Raises
    ------
    InputError
        when the hose is not offered, the route is not free, or the length is none of those that
        were looked at.
    """
    curve = hose.curve if hose.verdict.suits and hose.cut is not None else None
    free = hose.answer.judged.free
    if curve is None or free is None:
        raise InputError("length", "a hose without a length on a free route", "one that has one")
    low, high = float(curve.cut[0]), float(curve.cut[-1])
    if not low <= cut <= high:
        raise InputError("length", f"{cut:g} mm", f"a length from {low:.0f} to {high:.0f} mm")
    found = free_geometry_at(
        hose.answer.job, free, hose.place, hose.outside_diameter, cut
    )  # fmt: skip
    if found is None:
        raise InputError("length", f"{cut:g} mm, at which no shape can be relied on", "another")
    return ShapeAt(cut, found, curve.least_radius)
