"""How a hose lies on a free route at one length, and how near it comes to what lies there."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoseselect.domain.free_route import KeepOut
from hoseselect.judging.columns import Array
from hoseselect.mechanics.rod import (
    Ball,
    Body,
    Box,
    Placement,
    Rod,
    Shape,
    falls,
    least_gap,
    low_spot_depth,
    moved_body,
    nipple_ends,
)

POINTS = 201


@dataclass(frozen=True, eq=False)
class Lie:
    """How the hose lies at one length, at rest and at every extreme of movement.

    Parameters
    ----------
    length : nipple mouth to nipple mouth [mm]
    at_rest : shapes of the spans at rest, in order from nipple A
    moved : for every extreme of movement, the shapes of all spans
    others : other stable shapes of the spans at rest, mirror images included
    lead : straight length at each nipple [mm]
    placements : of the other body at every position, at rest first
    """

    length: float
    at_rest: tuple[Shape, ...]
    moved: tuple[tuple[Shape, ...], ...]
    others: tuple[Shape, ...]
    lead: float = 0.0
    placements: tuple[Placement, ...] = ()

    @property
    def positions(self) -> tuple[tuple[Shape, ...], ...]:
        """Shapes of all spans at every position, at rest first."""
        return (self.at_rest, *self.moved)

    @cached_property
    def tightest_position(self) -> int:
        """Number of the position with the tightest bend, 0 at rest."""
        radii = [min(shape.tightest_radius for shape in one) for one in self.positions]
        return radii.index(min(radii))

    @property
    def tightest_radius(self) -> float:
        """Tightest radius at rest and at all extremes [mm]."""
        return min(one.tightest_radius for one in self.positions[self.tightest_position])

    @property
    def tightest_at(self) -> float:
        """Where the tightest bend of all is, along the hose from nipple A [mm]; NaN if straight."""
        place, best, start = math.nan, math.inf, self.lead
        for shape in self.positions[self.tightest_position]:
            if shape.tightest_radius < best:
                best, place = shape.tightest_radius, start + shape.tightest_at
            start += shape.length
        return place

    @property
    def other_radius(self) -> float:
        """Tightest radius of the other ways to lie [mm]; infinite where there is none."""
        return min((shape.tightest_radius for shape in self.others), default=math.inf)

    @cached_property
    def low_spot(self) -> bool:
        """Whether liquid can stand in a low spot at rest: the line is higher on both sides."""
        return low_spot_depth(self.centreline[:, 2]) > LOW_SPOT_DEPTH

    @cached_property
    def falls(self) -> bool:
        """Whether the line falls all the way, one way or the other."""
        return falls(self.centreline[:, 2])

    @cached_property
    def centreline(self) -> Array:
        """Points from nipple A to nipple B at rest, shape (n, 3) [mm]."""
        return self.line(0)

    def line(self, position: int) -> Array:
        """Return points from nipple A to nipple B at one position, shape (n, 3) [mm]."""
        return led(self.positions[position], self.lead)

    @property
    def end_radii(self) -> tuple[float, float]:
        """Centreline radius right at nipple A and at nipple B [mm]."""
        return (
            nipple_ends(self.at_rest[0])[0].radius,
            nipple_ends(self.at_rest[-1])[1].radius,
        )


def led(shapes: Sequence[Shape], lead: float) -> Array:
    """Return points along spans with the straight lengths at the nipples, shape (n, 3) [mm]."""
    lines = [shape.centreline(POINTS) for shape in shapes]
    if lead:
        first, last = shapes[0].pose, shapes[-1].pose
        lines.insert(0, first.start - np.outer(BEFORE * lead, first.start_direction))
        lines.append(last.end + np.outer(BEFORE[::-1] * lead, last.end_direction))
    return np.concatenate(lines)


BEFORE = np.linspace(1.0, 0.0, 6)[:-1]
LOW_SPOT_DEPTH = 0.5  # shallower ones hold next to nothing, common practice [mm]


def body(keep_out: KeepOut) -> Body:
    """Return the body of a keep-out for the mechanics."""
    first = np.array(keep_out.places[0])
    if keep_out.kind == "ball":
        return Ball(first, keep_out.size[0] / 2)
    if keep_out.kind == "rod":
        return Rod(first, np.array(keep_out.places[1]), keep_out.size[0] / 2)
    return Box(first, np.array(keep_out.size) / 2)


def least_distance(lie: Lie, keep_out: KeepOut) -> float:
    """Return the least distance of the centreline from a keep-out, however it lies [mm].

    At rest, at all extremes of movement, in every other way to lie, and on every side to which a
    shape turns freely about the line between its ends.
    """
    return nearest(lie, keep_out)[0]


def nearest(lie: Lie, keep_out: KeepOut) -> tuple[float, int]:
    """Return the least distance of the centreline from a keep-out [mm], and at which position."""
    still = body(keep_out)
    gaps = []
    for number, shapes in enumerate(lie.positions):
        near = bodies_at(keep_out, still, lie.placements[number] if number else None)
        gaps.append(min(_gap(shapes, lie.lead, one) for one in near))
    if lie.others:
        gaps[0] = min(gaps[0], least_gap(lie.others, still))
    least = min(gaps)
    return least, gaps.index(least)


def bodies_at(keep_out: KeepOut, still: Body, placement: Placement | None) -> list[Body]:
    """Return where a keep-out may be when the other body has moved; None at rest."""
    if placement is None or keep_out.moves is False:
        return [still]
    moved = moved_body(still, placement)
    return [moved] if keep_out.moves else [still, moved]


def _gap(shapes: Sequence[Shape], lead: float, near: Body) -> float:
    """Return the least distance of spans and of the straight lengths at the nipples [mm]."""
    gap = least_gap(shapes, near)
    return min(gap, float(near.distance(led(shapes, lead)).min())) if lead else gap
