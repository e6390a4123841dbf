"""A free route solved once, and read by every hose of a pick.

The bent shape depends on geometry alone: one profile of tightest radius against length serves all
hoses, and each reads its own window of lengths from it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from hoseselect.domain.free_route import FreeRoute, KeepOut, Vector
from hoseselect.judging.columns import Array
from hoseselect.knowledge.errors import InputError, SolveError
from hoseselect.mechanics.rod import (
    Ball,
    Body,
    Box,
    ClampClip,
    MovementProfile,
    Pose,
    Rod,
    Shape,
    Window,
    falls,
    least_gap,
    low_spot_depth,
    nipple_ends,
    others_many,
    positions,
    roomiest,
    solve_many,
    spans,
    through_rings,
)

POINTS = 201
Lengths = tuple[float, ...]


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
    others : other stable shapes of the spans at rest, mirror images included
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
        """Where the tightest bend of all is, along the hose from nipple A [mm]; NaN if straight."""
        place, best = math.nan, math.inf
        kept = self.at_rest[:-1]
        for position in (
            self.at_rest,
            *((*kept, *moved)[-len(self.at_rest) :] for moved in self.moved),
        ):
            start = 0.0
            for shape in position:
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
        return np.concatenate([shape.centreline(POINTS) for shape in self.at_rest])

    @property
    def end_radii(self) -> tuple[float, float]:
        """Centreline radius right at nipple A and at nipple B [mm]."""
        return (
            nipple_ends(self.at_rest[0])[0].radius,
            nipple_ends(self.at_rest[-1])[1].radius,
        )


LOW_SPOT_DEPTH = 0.5  # shallower ones hold next to nothing, common practice [mm]


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
            MovementProfile(
                pose,
                moving if k == last else still,
                min(smallest, SMALL_PER_DISTANCE * pose.distance),
            )
            for k, pose in enumerate(self.poses)
        ]
        self._lies: dict[Lengths, Lie | None] = {}

    def _clips(self) -> list[ClampClip]:
        """Return the clips that hold the hose; a ring takes the direction of the natural shape."""
        if not self.rings:
            return [
                ClampClip(np.array(clip.place), np.array(clip.along))
                for clip in self.route.clips
                if clip.along is not None
            ]
        corners = [self.pose.start, *self.rings, self.pose.end]
        straight = sum(float(np.linalg.norm(b - a)) for a, b in itertools.pairwise(corners))
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
        """Return the windows of lengths for many radii, a list for every span.

        Lengths beyond the longest practical one are left out: only wide loops begin there.
        """
        with np.errstate(invalid="ignore"):  # the radius of a straight hose is infinite
            return [_windows(profile, radii) for profile in self.profiles]

    def best(self) -> tuple[float, float]:
        """Return the best radius that the route allows, and its length [mm], [mm].

        Wide loops are left out: no cut is offered there either.
        """
        with np.errstate(invalid="ignore"):
            each = [roomiest(profile) for profile in self.profiles]
        return min(radius for radius, _ in each), sum(length for _, length in each)

    def lie(self, lengths: Lengths) -> Lie | None:
        """Return how the hose lies with the given length in each span; None where it cannot."""
        return self.lies([lengths])[0]

    def lies(self, many: Sequence[Lengths]) -> list[Lie | None]:
        """Return how the hose lies with each of many choices of lengths; None where it cannot."""
        keys = [tuple(round(length, 6) for length in lengths) for lengths in many]
        new = [key for key in dict.fromkeys(keys) if key not in self._lies]
        if self.rings:
            for key in new:
                try:
                    self._lies[key] = self._through_rings(sum(key))
                except SolveError:
                    self._lies[key] = None
        elif new:
            self._lies |= zip(new, self._solve(new), strict=True)
        return [self._lies[key] for key in keys]

    def _solve(self, many: Sequence[Lengths]) -> list[Lie | None]:
        """Return how the hose lies, all positions and lengths in one stack."""
        cases = [
            (pose, length)
            for lengths in many
            for profile, length in zip(self.profiles, lengths, strict=True)
            for pose in profile.poses
        ]
        solved = iter(solve_many(cases))
        found = [[[next(solved) for _ in profile.poses] for profile in self.profiles] for _ in many]
        whole = [
            [[shape for shape in span if shape is not None] for span in spans] for spans in found
        ]
        sure = [
            k
            for k, spans in enumerate(whole)
            if [len(span) for span in spans] == [len(profile.poses) for profile in self.profiles]
        ]
        rest = [
            (pose, length) for k in sure for pose, length in zip(self.poses, many[k], strict=True)
        ]
        others = iter(others_many(rest, [span[0] for k in sure for span in whole[k]]))
        lies: list[Lie | None] = [None] * len(many)
        for k in sure:
            lies[k] = Lie(
                length=sum(many[k]),
                at_rest=tuple(span[0] for span in whole[k]),
                moved=tuple((shape,) for shape in whole[k][-1][1:]),
                others=tuple(shape for _ in whole[k] for shape in next(others)),
            )
        return lies

    def _through_rings(self, length: float) -> Lie:
        """Return how the hose lies where it slides and tilts in rings."""
        rest, *moved = (
            tuple(through_rings(pose, self.rings, length).shapes)
            for pose in positions(self.pose, np.array(self.route.movement))
        )
        return Lie(length=length, at_rest=rest, moved=tuple(moved), others=())


def _windows(profile: MovementProfile, radii: Array) -> list[Window]:
    """Return the window for every radius; a loop beyond the practical length is not looked for."""
    most, length = profile.best_radius()
    within = radii <= most
    found = iter(profile.windows(radii[within]))
    none = math.nan, math.nan
    return [
        _practical(next(found), profile.practical)
        if inside
        else Window(float(radius), *none, float(bound), math.nan, False, most, length)
        for radius, inside, bound in zip(radii, within, profile.bound(radii), strict=True)
    ]


def _practical(window: Window, longest: float) -> Window:
    """Return a window that counts as a wide loop where it begins beyond a length [mm]."""
    return replace(window, big_loop_only=window.big_loop_only or window.shortest > longest)


SMALL_PER_DISTANCE = 0.1  # below this radius every route has lengths; the best is seen from there
RING_TRIAL = 1.08  # of the polyline through the rings: near where most routes are roomiest


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
    return least_gap((*lie.all_shapes, *lie.others), body(keep_out))


def turned(direction: Vector, towards: Array, angle: float) -> Array:
    """Return a direction turned by an angle [rad] towards another vector, never past it."""
    angle = min(angle, float(np.arccos(np.clip(np.array(direction) @ towards, -1.0, 1.0))))
    start = np.array(direction)
    across = towards - (towards @ start) * start
    size = float(np.linalg.norm(across))
    if size == 0:
        return start
    return math.cos(angle) * start + math.sin(angle) * across / size
