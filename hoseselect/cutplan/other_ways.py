"""The other ways in which a hose can lie on a span, over its lengths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoseselect.cutplan.free_lie import body
from hoseselect.cutplan.free_spans import Span
from hoseselect.domain.free_route import KeepOut
from hoseselect.judging.columns import Array
from hoseselect.mechanics.rod import least_gap, others_many, solve_many


@dataclass(frozen=True, eq=False)
class OtherWays:
    """The other ways to lie of one span at rest, at n lengths.

    Parameters
    ----------
    length : rising, what nipples hold straight included, shape (n,) [mm]
    radius : tightest radius of all of them, shape (n,) [mm]; infinite without any, 0 not solved
    room : their least distance from a keep-out beyond the clearance wanted, shape (n,) [mm]
    """

    length: Array
    radius: Array
    room: Array

    def at(self, lengths: Array) -> tuple[Array, Array]:
        """Return radius and room at other lengths, the worse of both neighbours' [mm], [mm].

        Ways to lie begin and end between two lengths, so nothing is interpolated.
        """
        above = np.clip(np.searchsorted(self.length, lengths), 1, len(self.length) - 1)
        return (
            np.minimum(self.radius[above - 1], self.radius[above]),
            np.minimum(self.room[above - 1], self.room[above]),
        )


def other_ways(span: Span, inner: Array, keep_outs: Sequence[KeepOut]) -> OtherWays:
    """Return the other ways to lie of a span at lengths between its straight ends [mm]."""
    cases = [(span.poses[0], float(length)) for length in inner]
    solved = {number: shape for number, shape in enumerate(solve_many(cases)) if shape is not None}
    others = others_many([cases[number] for number in solved], list(solved.values()))
    radius, room = np.zeros(len(cases)), np.full(len(cases), -np.inf)
    for number, shapes in zip(solved, others, strict=True):
        radius[number] = min((shape.tightest_radius for shape in shapes), default=np.inf)
        gaps = [least_gap(shapes, body(part)) - part.wanted for part in keep_outs if shapes]
        room[number] = min(gaps, default=np.inf)
    return OtherWays(inner + span.leads, radius, room)
