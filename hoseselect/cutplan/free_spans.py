"""A free route as spans between what holds the hose, at every position of the other body."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoseselect.domain.free_route import FreeRoute, Vector
from hoseselect.judging.columns import Array
from hoseselect.mechanics.rod import ClampClip, Placement, Pose, Shape, placements, spans


def pose_of(route: FreeRoute) -> Pose:
    """Return the pose of a route: the hose leaves A as it points and arrives against B."""
    return Pose(
        np.zeros(3),
        np.array(route.points_a),
        np.array(route.mouth_b),
        -np.array(route.points_b),
    )


def placements_of(route: FreeRoute) -> list[Placement]:
    """Return where the other body is, at rest and at every extreme of its movement."""
    movement, rocking = np.array(route.movement), route.rocking
    if rocking is None:
        return placements(movement)
    return placements(movement, np.array(rocking.place), np.array(rocking.axis), rocking.angle)


@dataclass(frozen=True, eq=False)
class Span:
    """Hose between two places that hold it, at every position of the other body.

    Parameters
    ----------
    poses : to be solved, that at rest first
    positions : for every position, which of these poses, and how its shape has moved as a whole
    lead_start, lead_end : straight lengths that the nipples hold at its ends [mm]
    """

    poses: tuple[Pose, ...]
    positions: tuple[tuple[int, Placement | None], ...]
    lead_start: float
    lead_end: float

    @property
    def leads(self) -> float:
        """Length of it that nipples hold straight [mm]."""
        return self.lead_start + self.lead_end

    @property
    def figures(self) -> tuple[float, ...]:
        """Places and directions of its poses: spans with the same ones bend alike."""
        return tuple(
            figure
            for pose in self.poses
            for vector in (pose.start, pose.start_direction, pose.end, pose.end_direction)
            for figure in vector.tolist()
        )

    def shapes(self, solved: Sequence[Shape]) -> list[Shape]:
        """Return its shape at every position, from the shapes of its poses."""
        return [
            solved[which] if moved is None else solved[which].placed(moved)
            for which, moved in self.positions
        ]


def spans_of(route: FreeRoute, clips: Sequence[ClampClip], held: Sequence[Placement]) -> list[Span]:
    """Return the spans of a route.

    Parameters
    ----------
    route : as described
    clips : that hold the hose, in order from nipple A
    held : placements of the other body, at rest first
    """
    whole = pose_of(route)
    moves = [False, *(bool(clip.moves) for clip in route.clips), route.mouth_moves]
    found = []
    for k, pose in enumerate(spans(whole, clips)):
        first, last = moves[k], moves[k + 1]
        leads = route.lead if k == 0 else 0.0, route.lead if k == len(clips) else 0.0
        if first == last:
            poses = [pose]
            positions = [(0, one if first and n else None) for n, one in enumerate(held)]
        else:
            poses = [pose] + [_moved(pose, one, first, last) for one in held[1:]]
            positions = [(n, None) for n in range(len(held))]
        led = tuple(_led(one, *leads) for one in poses)
        found.append(Span(led, tuple(positions), *leads))
    return found


def _moved(pose: Pose, placement: Placement, first: bool, last: bool) -> Pose:
    """Return a pose of which one end has moved."""
    start, along = pose.start, pose.start_direction
    end, arrives = pose.end, pose.end_direction
    if first:
        start, along = placement.point(start), placement.direction(along)
    if last:
        end, arrives = placement.point(end), placement.direction(arrives)
    return Pose(start, along, end, arrives)


def _led(pose: Pose, start: float, end: float) -> Pose:
    """Return the pose of what bends between the lengths that the nipples hold straight."""
    if not start and not end:
        return pose
    return Pose(
        pose.start + start * pose.start_direction,
        pose.start_direction,
        pose.end - end * pose.end_direction,
        pose.end_direction,
    )


def turned(direction: Vector, towards: Array, angle: float) -> Array:
    """Return a direction turned by an angle [rad] towards another vector, never past it."""
    angle = min(angle, float(np.arccos(np.clip(np.array(direction) @ towards, -1.0, 1.0))))
    start = np.array(direction)
    across = towards - (towards @ start) * start
    size = float(np.linalg.norm(across))
    if size == 0:
        return start
    return math.cos(angle) * start + math.sin(angle) * across / size
