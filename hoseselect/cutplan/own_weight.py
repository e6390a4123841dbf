"""What its own weight, and what fills it, do to a hose on a free route."""

from __future__ import annotations

import numpy as np

from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.near import Near
from hoseselect.judging.columns import Array
from hoseselect.mechanics.rod import Pose, sagged, solved_with_weight

DOWN = np.array([0.0, 0.0, -1.0])


def with_weight(
    solution: FreeSolution, spans: tuple[float, ...], numbers: Array
) -> tuple[Array, Array]:
    """Return tightest radius and room of hoses with their weight, worst of all positions.

    Parameters
    ----------
    solution : of the route
    spans : lengths in its spans [mm]
    numbers : weight number of every hose over the whole length, shape (m,) [-]

    Returns
    -------
    Tightest radius (m,) [mm], NaN where no shape at rest was found, and the least distance of the
    centreline from a keep-out beyond its clearance (m,) [mm]; infinite without keep-outs
    """
    whole = sum(spans)
    radius, room = np.full(len(numbers), np.inf), np.full(len(numbers), np.inf)
    near = [Near(part, solution) for part in solution.route.keep_outs]
    for span, length in zip(solution.spans, spans, strict=True):
        inner = length - span.leads
        cases = [(pose, inner) for pose in span.poses]
        radii, lines = _sagged(cases, numbers * (inner / whole) ** 3)
        radius = np.minimum(radius, radii.min(axis=0))
        for one in near:
            for number, (which, moved) in enumerate(span.positions):
                points = lines[which] if moved is None else moved.point(lines[which])
                room = np.minimum(room, one.room(points, number))
    return radius, room


def _sagged(cases: list[tuple[Pose, float]], numbers: Array) -> tuple[Array, Array]:
    """Return radii (B, M) and lines of cases with weight, solved anew where they sag far."""
    radii, lines = sagged(cases, numbers, DOWN)
    case, number = np.nonzero(np.isnan(radii))
    slack = np.array([cases[one][1] > cases[one][0].distance for one in case], dtype=bool)
    case, number = case[slack], number[slack]
    if len(case):
        radii[case, number], lines[case, number] = solved_with_weight(
            [cases[one] for one in case], numbers[number], DOWN, lines.shape[2]
        )
    return radii, lines
