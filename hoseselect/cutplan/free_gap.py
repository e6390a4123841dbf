"""Where a hose on a free route comes nearest to what it must keep clear of."""

from __future__ import annotations

import numpy as np

from hoseselect.cutplan.free_lie import Lie, bodies_at, body
from hoseselect.domain.free_route import FreeRoute
from hoseselect.domain.geometry import Gap
from hoseselect.judging.columns import Array
from hoseselect.mechanics.rod import Body

STEP = 1e-3  # mm, by which the way to a surface is found


def least_gap_of(route: FreeRoute, lie: Lie, outside_diameter: float) -> Gap | None:
    """Return the least gap beyond what is wanted, at rest and at all extremes; None without any.

    Parameters
    ----------
    route : with its keep-outs
    lie : how the hose lies
    outside_diameter : of the hose [mm]
    """
    lines = [lie.line(number) for number in range(len(lie.positions))]
    found: tuple[float, Gap] | None = None
    for part in route.keep_outs:
        still = body(part)
        for number, line in enumerate(lines):
            placement = lie.placements[number] if number else None
            for near in bodies_at(part, still, placement):
                left = near.distance(line) - outside_diameter / 2
                place = int(left.argmin())
                room = float(left[place]) - part.wanted
                if found is None or room < found[0]:
                    gap = Gap(
                        part.name,
                        _ends(near, line[place], outside_diameter / 2),
                        float(left[place]),
                        part.wanted,
                        number - 1 if number else None,
                    )
                    found = room, gap
    return None if found is None else found[1]


def _ends(near: Body, point: Array, half: float) -> Array:
    """Return the points on the cover and on the surface that are nearest, shape (2, 3) [mm]."""
    steps = STEP * np.eye(3)
    distance = float(near.distance(point[None])[0])
    slope = near.distance(point + steps) - near.distance(point - steps)
    size = float(np.linalg.norm(slope))
    away = slope / size if size > 0 else np.array([0.0, 0.0, 1.0])
    return np.array([point - half * away, point - distance * away])


def along_hose(gap: Gap, lie: Lie) -> float:
    """Return how far from nipple A along the hose a gap is [mm]."""
    line = lie.line(0 if gap.extreme is None else gap.extreme + 1)
    steps = np.append(0.0, np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1)))
    return float(steps[np.linalg.norm(line - gap.at[0], axis=1).argmin()])
