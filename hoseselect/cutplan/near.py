"""What a hose on a free route must keep clear of, wherever the other body is."""

from __future__ import annotations

import numpy as np

from hoseselect.cutplan.free_lie import bodies_at, body
from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.domain.free_route import KeepOut
from hoseselect.judging.columns import Array
from hoseselect.mechanics.rod import Body, Placement


class Near:
    """A keep-out and where it is at every position."""

    def __init__(self, keep_out: KeepOut, solution: FreeSolution) -> None:
        still = body(keep_out)
        self.wanted = keep_out.wanted
        places: list[Placement | None] = [None, *solution.placements[1:]]
        self.bodies: list[list[Body]] = [bodies_at(keep_out, still, one) for one in places]

    def room(self, points: Array, position: int) -> Array:
        """Return the least distance of points (..., n, 3) beyond the clearance wanted, (...)."""
        flat = points.reshape(-1, 3)
        gaps = [near.distance(flat).reshape(points.shape[:-1]) for near in self.bodies[position]]
        return np.asarray(np.min(gaps, axis=(0, -1)) - self.wanted)
