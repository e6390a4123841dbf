"""Shapes that hold their side weakly: errors may turn them over to another way to lie.

Draws of errors are followed from the shape as measured. Where that gives way easily, or can lie
another way already, a draw may have a stable shape of which the one as measured says nothing, and
which of them the hose takes nobody knows. So each draw is also solved from a guess of its own at
the chosen cut, and a plan stands the errors only where that bends no tighter and keeps clear too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.length_scan import LengthScan
from hoseselect.cutplan.near import Near
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import Errors, Stack, place_draws

SOFT = 12.0  # stiffness of a shape [EI / length] below which its draws are solved for themselves
POSITIONS = 3  # soft ones that are looked at: nearest, then those with the tightest bend
NEAREST = 2  # of them


def with_soft_shapes(plan: SizePlan, solution: FreeSolution, scan: LengthScan | None) -> SizePlan:
    """Return a plan that claims no more than its soft shapes stand with errors.

    Parameters
    ----------
    plan : with its lie
    solution, scan : of the route
    """
    soft = _soft(plan, solution)
    if scan is None or not any(soft) or not plan.stood > 0:
        return plan
    careful, angle = scan.careful
    route = solution.route
    levels = [
        (route.tape_error, scan.errors(route.tape_error, route.angle_error, scan.tolerance,
                                       laid=True)),
        (careful, scan.errors(careful, angle, min(careful, scan.tolerance), laid=True)),
    ]  # fmt: skip
    stood = clear = 0.0
    for error, errors in levels:
        if error > max(plan.stood, plan.clear) or min(stood, clear) > 0:
            continue
        tight, broken = _shares(plan, solution, soft, errors)
        stood = max(stood, error if tight <= limit("error-chance") else 0.0)
        clear = max(clear, error if broken <= limit("error-chance") else 0.0)
    return replace(plan, stood=min(plan.stood, stood), clear=min(plan.clear, clear))


def _soft(plan: SizePlan, solution: FreeSolution) -> list[list[int]]:
    """Return for every span the positions in which it is soft, those that decide."""
    if plan.lie is None or solution.rings:
        return []
    nears = [Near(part, solution) for part in solution.route.keep_outs]
    found = []
    for k in range(len(solution.spans)):
        shapes = [position[k] for position in plan.lie.positions]
        either = bool(plan.lie.others)
        soft = [
            n
            for n, one in enumerate(shapes)
            if either or one.diagnostics.smallest_eigenvalue < SOFT
        ]
        room = {n: min((float(near.room(shapes[n].centreline(), n)) for near in nears),
                       default=np.inf) for n in soft}  # fmt: skip
        tight = sorted(soft, key=lambda n: shapes[n].tightest_radius)
        close = sorted(soft, key=lambda n: room[n])[: NEAREST if nears else 0]
        found.append(sorted({*tight[: POSITIONS - len(close)], *close}))
    return found


def _shares(
    plan: SizePlan, solution: FreeSolution, soft: Sequence[list[int]], errors: Errors
) -> tuple[float, float]:
    """Return the shares of draws that bend too tight, and that do so or come too near."""
    nears = [Near(part, solution) for part in solution.route.keep_outs]
    slips = errors.tape * place_draws(len(nears))
    half = 0.0 if np.isnan(plan.outside) else plan.outside / 2
    tight = np.zeros(slips.shape[1], dtype=bool)
    close = np.zeros_like(tight)
    for k, positions in enumerate(soft):
        if not positions:
            continue
        span = solution.spans[k]
        placed = [span.positions[number] for number in positions]
        stack = Stack([(span.poses[which], plan.spans[k] - span.leads) for which, _ in placed])
        rows = np.arange(len(positions))
        radii, lines = stack.drawn(rows, errors, k > 0, lines=bool(nears), anew=True)
        tight |= (radii < plan.radius).any(axis=0)
        for row, number in enumerate(positions if nears else []):
            drawn: Array = np.moveaxis(lines[row], -1, 0)
            moved = placed[row][1]
            drawn = drawn if moved is None else moved.point(drawn)
            for near, slip in zip(nears, slips, strict=True):
                close |= near.room(drawn, number) + slip < half
    return float(tight.mean()), float((tight | close).mean())
