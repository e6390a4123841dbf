"""A free route solved once, and read by every hose of a pick.

The bent shape depends on geometry alone: one profile of tightest radius against length serves all
hoses, and each reads its own window of lengths from it.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from typing import Any

import numpy as np

from hoseselect.cutplan.free_lie import Lie
from hoseselect.cutplan.free_spans import Span, placements_of, spans_of
from hoseselect.cutplan.span_windows import longer, practical_windows
from hoseselect.domain.free_route import FreeRoute
from hoseselect.judging.columns import Array
from hoseselect.knowledge.errors import InputError, SolveError
from hoseselect.mechanics.rod import (
    ClampClip,
    Placement,
    Pose,
    Profile,
    Shape,
    Window,
    others_many,
    others_through_rings,
    roomiest,
    solve_many,
    through_rings,
    through_rings_many,
)

Lengths = tuple[float, ...]

NEARER = "fewer of them, or places nearer to where the hose lies by itself"


class FreeSolution:
    """The profiles of a free route and the lies worked out so far.

    Parameters
    ----------
    route : as described
    smallest : least bend radius on the shelf [mm]
    kept : profiles of spans worked out for other routes, to which those of this one are added

    Raises
    ------
    InputError, SolveError
        when the route cannot be solved at all.
    """

    def __init__(
        self, route: FreeRoute, smallest: float, kept: dict[Any, Profile] | None = None
    ) -> None:
        self.route = route
        self.kept: dict[Any, Profile] = {} if kept is None else kept
        rings = [clip for clip in route.clips if clip.along is None]
        if rings and len(rings) < len(route.clips):
            raise InputError("route.free.clip", "rings and holding clips", "clips of one kind")
        self.rings = [np.array(clip.place) for clip in rings]
        self.placements = tuple(placements_of(route))
        (whole,) = spans_of(replace(route, clips=()), (), self.placements)
        self.pose = whole.poses[0]
        self._whole = whole
        self.spans = spans_of(route, self._clips(), self.placements)
        self.poses = [span.poses[0] for span in self.spans]
        self.profiles = [self._profile(span, smallest) for span in self.spans]
        self._lies: dict[Lengths, Lie | None] = {}

    def _profile(self, span: Span, smallest: float) -> Profile:
        """Return the profile of a span, kept where the same was worked out before."""
        least = min(smallest, SMALL_PER_DISTANCE * span.poses[0].distance)
        key = (least, *span.figures)
        if key not in self.kept:
            self.kept[key] = Profile(span.poses, least)
        return self.kept[key]

    def _clips(self) -> list[ClampClip]:
        """Return the clips that hold the hose; a ring takes the direction of the natural shape."""
        if not self.rings:
            return [
                ClampClip(np.array(clip.place), np.array(clip.along))
                for clip in self.route.clips
                if clip.along is not None
            ]
        along = ring_directions(self.pose, self.rings)
        return [ClampClip(place, way) for place, way in zip(self.rings, along, strict=True)]

    @property
    def distance(self) -> float:
        """Straight from nipple to nipple over the clips [mm]."""
        places = [
            np.zeros(3),
            *(np.array(clip.place) for clip in self.route.clips),
            np.array(self.route.mouth_b),
        ]
        return sum(float(np.linalg.norm(b - a)) for a, b in itertools.pairwise(places))

    @property
    def practical(self) -> float:
        """Longest practical length: a longer hose sags or touches itself [mm]."""
        return sum(
            profile.practical + span.leads
            for profile, span in zip(self.profiles, self.spans, strict=True)
        )

    def windows(self, radii: Array) -> list[list[Window]]:
        """Return the windows of lengths for many radii, a list for every span.

        Lengths beyond the longest practical one are left out: only wide loops begin there.
        """
        with np.errstate(invalid="ignore"):  # the radius of a straight hose is infinite
            return [
                [longer(one, span.leads) for one in practical_windows(profile, radii)]
                for profile, span in zip(self.profiles, self.spans, strict=True)
            ]

    def best(self) -> tuple[float, float]:
        """Return the best radius that the route allows, and its length [mm], [mm].

        Wide loops are left out: no cut is offered there either.
        """
        return min(radius for radius, _ in self.roomiest), sum(self.best_spans)

    @cached_property
    def roomiest(self) -> list[tuple[float, float]]:
        """Best radius of every span, and the length between what holds it straight [mm], [mm]."""
        with np.errstate(invalid="ignore"):
            return [roomiest(profile) for profile in self.profiles]

    @property
    def best_spans(self) -> Lengths:
        """Lengths at which every span has its best radius [mm]."""
        each = zip(self.roomiest, self.spans, strict=True)
        return tuple(length + span.leads for (_, length), span in each)

    def lie(self, lengths: Lengths) -> Lie | None:
        """Return how the hose lies with the given length in each span; None where it cannot."""
        return self.lies([lengths])[0]

    def lies(self, many: Sequence[Lengths]) -> list[Lie | None]:
        """Return how the hose lies with each of many choices of lengths; None where it cannot."""
        keys = [tuple(round(length, 6) for length in lengths) for lengths in many]
        new = [key for key in dict.fromkeys(keys) if key not in self._lies]
        if self.rings:
            self._lies |= zip(new, self._through_rings(new), strict=True)
        elif new:
            self._lies |= zip(new, self._solve(new), strict=True)
        return [self._lies[key] for key in keys]

    def _solve(self, many: Sequence[Lengths]) -> list[Lie | None]:
        """Return how the hose lies, all positions and lengths in one stack."""
        each = [
            (span, length - span.leads)
            for lengths in many
            for span, length in zip(self.spans, lengths, strict=True)
        ]
        solved = iter(solve_many([(pose, length) for span, length in each for pose in span.poses]))
        found = [[next(solved) for _ in span.poses] for span, _ in each]
        number = len(self.spans)
        sure = [
            k
            for k in range(len(many))
            if all(shape is not None for span in self._of(found, k) for shape in span)
        ]
        whole = {
            k: [[s for s in span if s is not None] for span in self._of(found, k)] for k in sure
        }
        rest = [
            (span.poses[0], length)
            for k in sure
            for span, length in each[k * number : (k + 1) * number]
        ]
        others = iter(others_many(rest, [span[0] for k in sure for span in whole[k]]))
        lies: list[Lie | None] = [None] * len(many)
        for k in sure:
            placed = [
                span.shapes(shapes) for span, shapes in zip(self.spans, whole[k], strict=True)
            ]
            at_rest, *moved = zip(*placed, strict=True)
            lies[k] = Lie(
                length=sum(many[k]),
                at_rest=at_rest,
                moved=tuple(moved),
                others=tuple(shape for _ in whole[k] for shape in next(others)),
                lead=self.route.lead,
                placements=self.placements,
            )
        return lies

    def _of(self, found: list[list[Shape | None]], which: int) -> list[list[Shape | None]]:
        """Return the shapes of the spans of one choice of lengths."""
        number = len(self.spans)
        return found[which * number : (which + 1) * number]

    def _through_rings(self, many: Sequence[Lengths]) -> list[Lie | None]:
        """Return how the hose lies where it slides and tilts in rings."""
        number = len(self.placements)
        cases = [
            (self._pose_at(k), self._rings_at(placement), sum(lengths) - self._whole.leads)
            for lengths in many
            for k, placement in enumerate(self.placements)
        ]
        found = through_rings_many(cases)
        whole: dict[int, list[tuple[Shape, ...]]] = {}
        for k in range(len(many)):
            each = [one for one in found[k * number : (k + 1) * number] if one is not None]
            if len(each) == number:
                whole[k] = [tuple(one.shapes) for one in each]
        at_rest = [k * number for k in whole]
        known = [one for k in at_rest if (one := found[k]) is not None]
        others = iter(others_through_rings([cases[k] for k in at_rest], known))
        lies: list[Lie | None] = [None] * len(many)
        for k, (still, *moved) in whole.items():
            ways = tuple(shape for other in next(others) for shape in other.shapes)
            lies[k] = Lie(sum(many[k]), still, tuple(moved), ways, self.route.lead, self.placements)
        return lies

    def _pose_at(self, position: int) -> Pose:
        """Return the pose of the whole route at a position."""
        which, moved = self._whole.positions[position]
        assert moved is None  # nipple A stays where it is
        return self._whole.poses[which]

    def _rings_at(self, placement: Placement) -> list[Array]:
        """Return where the rings are when the other body has moved."""
        return [
            placement.point(place) if clip.moves else place
            for clip, place in zip(self.route.clips, self.rings, strict=True)
        ]


def ring_directions(pose: Pose, rings: Sequence[Array]) -> list[Array]:
    """Return the directions that a hose takes by itself in rings, (3,) each [-].

    Parameters
    ----------
    pose : of the whole route
    rings : (3,) places in order from start to end [mm]

    Raises
    ------
    SolveError : no shape at rest was found
    """
    corners = [pose.start, *rings, pose.end]
    straight = sum(float(np.linalg.norm(b - a)) for a, b in itertools.pairwise(corners))
    try:
        natural = through_rings(pose, rings, RING_TRIAL * straight)
    except SolveError:
        found = f"no shape at rest through {len(rings)} clips in which the hose turns"
        raise SolveError("route.free.clip", found, NEARER) from None
    each = zip(rings, natural.shapes, strict=False)  # no ring behind the last
    return [shape.tangents_at(2)[-1] for _, shape in each]


SMALL_PER_DISTANCE = 0.1  # below this radius every route has lengths; the best is seen from there
RING_TRIAL = 1.08  # of the polyline through the rings: near where most routes are roomiest
