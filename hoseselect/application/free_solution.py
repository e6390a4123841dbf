"""A free route solved once, and read by every hose of a pick.

The bent shape depends on geometry alone: one profile of tightest radius against length serves all
hoses, and each reads its own window of lengths from it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoseselect.domain.free_route import FreeRoute, KeepOut, Vector
from hoseselect.knowledge.errors import InputError, SolveError
from hoseselect.mechanics.rod import (
    Ball,
    Box,
    ClampClip,
    MovementProfile,
    Pose,
    Rod,
    Shape,
    Window,
    low_spots,
    nipple_ends,
    positions,
    shapes,
    spans,
    through_rings,
)
from hoseselect.rules.columns import Array

DOWN = np.array([0.0, 0.0, -1.0])
POINTS = 201
LONGEST_PER_DISTANCE = 3.0
LOOP_PER_DISTANCE = 1.6


def pose_of(route: FreeRoute) -> Pose:
    """Return the pose of a route: the hose leaves A as it points and arrives against B."""
    return Pose(
        np.zeros(3),
        np.array(route.points_a),
        np.array(route.mouth_b),
        -np.array(route.points_b),
    )


@dataclass(frozen=True, eq=False)
class Lie:
    """How the hose lies at one length, at rest and at every extreme of movement.

    Parameters
    ----------
    length : nipple mouth to nipple mouth [mm]
    at_rest : shapes of the spans at rest, in order from nipple A
    moved : for every position of movement, the shapes of the spans that it changes
    others : other stable shapes at rest
    """

    length: float
    at_rest: tuple[Shape, ...]
    moved: tuple[tuple[Shape, ...], ...]
    others: tuple[Shape, ...]

    @property
    def all_shapes(self) -> tuple[Shape, ...]:
        """Every shape, at rest and moved."""
        return self.at_rest + tuple(shape for position in self.moved for shape in position)

    @cached_property
    def tightest(self) -> Shape:
        """The shape with the tightest radius of all."""
        return min(self.all_shapes, key=lambda shape: shape.tightest_radius)

    @property
    def tightest_radius(self) -> float:
        """Tightest radius at rest and at all extremes [mm]."""
        return self.tightest.tightest_radius

    @property
    def tightest_at(self) -> float:
        """Where the tightest bend at rest is, from nipple A [mm]."""
        place, best, start = math.nan, math.inf, 0.0
        for shape in self.at_rest:
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
        """Whether liquid can stand in a low spot at rest."""
        line = self.centreline
        height = line[:, 2]
        for k in range(1, len(height) - 1):
            rim = min(height[:k].max(), height[k:].max())
            if height[k] < rim - LOW_SPOT_DEPTH and height[k] <= height.min() + LOW_SPOT_DEPTH:
                return True
        return any(bool(low_spots(shape, DOWN)) for shape in self.at_rest)

    @cached_property
    def falls(self) -> bool:
        """Whether the line falls all the way, one way or the other."""
        steps = np.diff(self.centreline[:, 2])
        return bool((steps <= LEVEL).all() or (steps >= -LEVEL).all())

    @cached_property
    def centreline(self) -> Array:
        """Points from nipple A to nipple B at rest, shape (n, 3) [mm]."""
        return np.concatenate([shape.centreline(POINTS) for shape in self.at_rest])

    @property
    def end_radii(self) -> tuple[float, float]:
        """Centreline radius right at nipple A and at nipple B [mm]."""
        return (
            nipple_ends(self.at_rest[0])[0].radius,
            nipple_ends(self.at_rest[-1])[1].radius,
        )


LOW_SPOT_DEPTH = 0.5
LEVEL = 1e-9


class FreeSolution:
    """The profiles of a free route and the lies worked out so far.

    Parameters
    ----------
    route : as described
    smallest : least bend radius on the shelf [mm]

    Raises
    ------
    InputError, SolveError
        when the route cannot be solved at all.
    """

    def __init__(self, route: FreeRoute, smallest: float) -> None:
        self.route = route
        self.pose = pose_of(route)
        rings = [np.array(clip.place) for clip in route.clips if clip.along is None]
        if rings and len(rings) < len(route.clips):
            raise InputError("route.free.clip", "rings and holding clips", "clips of one kind")
        self.rings = rings
        self.poses = spans(self.pose, self._clips())
        still = np.zeros(3)
        moving = np.array(route.movement)
        last = len(self.poses) - 1
        self.profiles = [
            MovementProfile(pose, moving if k == last else still, smallest)
            for k, pose in enumerate(self.poses)
        ]
        self._lies: dict[tuple[float, ...], Lie | None] = {}

    def _clips(self) -> list[ClampClip]:
        """Return the clips that hold the hose; a ring takes the direction of the natural shape."""
        if not self.rings:
            return [
                ClampClip(np.array(clip.place), np.array(clip.along))
                for clip in self.route.clips
                if clip.along is not None
            ]
        corners = [self.pose.start, *self.rings, self.pose.end]
        straight = sum(
            float(np.linalg.norm(b - a)) for a, b in zip(corners, corners[1:], strict=False)
        )
        natural = through_rings(self.pose, self.rings, RING_TRIAL * straight)
        return [
            ClampClip(place, shape.tangents_at(2)[-1])
            for place, shape in zip(self.rings, natural.shapes, strict=False)
        ]

    @property
    def distance(self) -> float:
        """Straight from nipple to nipple over the clips [mm]."""
        return sum(pose.distance for pose in self.poses)

    def windows(self, radii: Array) -> list[list[Window]]:
        """Return the windows of lengths for many radii, a list for every span."""
        return [profile.windows(radii) for profile in self.profiles]

    def best(self) -> tuple[float, float]:
        """Return the best radius that the route allows, and its length [mm], [mm]."""
        each = [profile.best_radius() for profile in self.profiles]
        return min(radius for radius, _ in each), sum(length for _, length in each)

    def lie(self, lengths: tuple[float, ...]) -> Lie | None:
        """Return how the hose lies with the given length in each span; None where it cannot."""
        key = tuple(round(length, 6) for length in lengths)
        if key not in self._lies:
            try:
                self._lies[key] = self._solve(lengths)
            except SolveError:
                self._lies[key] = None
        return self._lies[key]

    def _solve(self, lengths: tuple[float, ...]) -> Lie:
        if self.rings:
            return self._through_rings(sum(lengths))
        at = [profile.at(length) for profile, length in zip(self.profiles, lengths, strict=True)]
        others = [
            other
            for pose, length, found in zip(self.poses, lengths, at, strict=True)
            for other in shapes(pose, length)
            if other.energy > found[0].energy * (1 + DIFFERENT) + DIFFERENT / length
        ]
        return Lie(
            length=sum(lengths),
            at_rest=tuple(found[0] for found in at),
            moved=tuple((shape,) for shape in at[-1][1:]),
            others=tuple(others),
        )

    def _through_rings(self, length: float) -> Lie:
        """Return how the hose lies where it slides and tilts in rings."""
        rest, *moved = (
            tuple(through_rings(pose, self.rings, length).shapes)
            for pose in positions(self.pose, np.array(self.route.movement))
        )
        return Lie(length=length, at_rest=rest, moved=tuple(moved), others=())


DIFFERENT = 1e-6
RING_TRIAL = 1.08  # of the polyline through the rings: near where most routes are roomiest


def body(keep_out: KeepOut) -> Ball | Rod | Box:
    """Return the body of a keep-out for the mechanics."""
    first = np.array(keep_out.places[0])
    if keep_out.kind == "ball":
        return Ball(first, keep_out.size[0] / 2)
    if keep_out.kind == "rod":
        return Rod(first, np.array(keep_out.places[1]), keep_out.size[0] / 2)
    return Box(first, np.array(keep_out.size) / 2)


def least_distance(lie: Lie, keep_out: KeepOut) -> float:
    """Return the least distance of the centreline from a keep-out at all positions [mm]."""
    solid = body(keep_out)
    return min(float(solid.distance(shape.centreline(POINTS)).min()) for shape in lie.all_shapes)


def turned(direction: Vector, towards: Array, angle: float) -> Array:
    """Return a direction turned by an angle [rad] towards another vector, never past it."""
    angle = min(angle, float(np.arccos(np.clip(np.array(direction) @ towards, -1.0, 1.0))))
    start = np.array(direction)
    across = towards - (towards @ start) * start
    size = float(np.linalg.norm(across))
    if size == 0:
        return start
    return math.cos(angle) * start + math.sin(angle) * across / size
