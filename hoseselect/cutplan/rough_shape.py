"""How well a hose suits many changed routes, for searches: thousands guessed, a few solved.

A guess takes a cubic between both ends for the bent hose, and its root mean square of curvature for
the tightest one. It only says which changes are worth solving, as is what is solved here: at rest
and at a few lengths. No advice rests on either.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from hoseselect.cutplan.free_lie import bodies_at, body
from hoseselect.cutplan.free_solution import ring_directions
from hoseselect.cutplan.free_spans import placements_of, spans_of
from hoseselect.domain.free_route import FreeRoute, vector
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import Body, ClampClip, Pose, Stack

SLACKS = np.geomspace(0.6, 3.0, 10)  # pull of the tangents over the distance: short to long hose
OVER = 1.15  # radius of the guess over that of the solved shape, median of 200 random routes
LENGTHS = np.array([1.02, 1.07, 1.13, 1.2, 1.28, 1.38, 1.52, 1.75])  # over the distance, solved
PLACES = np.linspace(0.0, 1.0, 15)
WEIGHTS = np.concatenate([[0.5], np.ones(13), [0.5]])


def margins_of(
    ends: Array, radius: float, half: float, near: Sequence[tuple[Body, float]]
) -> Array:
    """Return the margin of bend and room of spans at every slack, (n, slacks) [-].

    Parameters
    ----------
    ends : start, direction there, end, direction there, shape (n, 4, 3) [mm]
    radius : least bend radius [mm]
    half : half the outside diameter of the hose [mm]
    near : bodies, and the clearance wanted of each [mm]
    """
    from scipy.interpolate import CubicHermiteSpline  # slow to import, and seldom asked for

    start, leaves, end, arrives = np.moveaxis(ends, 1, 0)
    distance = np.linalg.norm(end - start, axis=1)
    pull = distance[:, None] * SLACKS
    many = pull.shape
    places = [np.broadcast_to(one[:, None], (*many, 3)) for one in (start, end)]
    tangents = [pull[..., None] * one[:, None] for one in (leaves, arrives)]
    curve = CubicHermiteSpline([0.0, 1.0], places, tangents)
    slope, bend = curve(PLACES, 1), curve(PLACES, 2)
    speed = np.maximum(np.linalg.norm(slope, axis=-1), 1e-9)
    curvature = np.linalg.norm(np.cross(slope, bend), axis=-1) / speed**3
    lengths = speed * WEIGHTS[:, None, None]
    bent = np.sqrt((curvature**2 * lengths).sum(axis=0) / lengths.sum(axis=0))
    margin = 1.0 / np.maximum(OVER * bent * radius, 1e-9) - 1.0
    if near:
        lines = curve(PLACES).reshape(-1, 3)
        for part, wanted in near:
            gap = part.distance(lines).reshape(-1, *many).min(axis=0) - wanted - half
            margin = np.minimum(margin, gap / limit("room-per-margin"))
    return np.minimum(margin, MOST)


MOST = 1.0


def rough_margins(routes: Sequence[FreeRoute], radius: float, half: float) -> Array:
    """Return the margin of bend and room of routes with holding clips, at their best lengths, (n,).

    Parameters
    ----------
    routes : alike but for where and how the hose is held
    radius, half : least bend radius, and half the outside diameter of the hose [mm]
    """
    if not routes:
        return np.zeros(0)
    held = placements_of(routes[0])
    places, along, moves = _holds(routes)
    spans = places.shape[1] - 1
    worst = np.full((len(routes), spans, len(SLACKS)), np.inf)
    for number, placement in enumerate(held):
        here = np.where(moves[..., None], placement.point(places), places)
        ways = np.where(moves[..., None], placement.direction(along), along)
        lead = routes[0].lead
        here[:, 0] += lead * ways[:, 0]
        here[:, -1] -= lead * ways[:, -1]
        near = [
            (one, part.wanted)
            for part in routes[0].keep_outs
            for one in bodies_at(part, body(part), placement if number else None)
        ]
        for k in range(spans):
            ends = np.stack([here[:, k], ways[:, k], here[:, k + 1], ways[:, k + 1]], axis=1)
            worst[:, k] = np.minimum(worst[:, k], margins_of(ends, radius, half, near))
    return np.asarray(worst.max(axis=2).min(axis=1))


def _holds(routes: Sequence[FreeRoute]) -> tuple[Array, Array, Array]:
    """Return places, directions and whether they move, of all that holds the hose."""
    places = [[(0.0, 0.0, 0.0), *(c.place for c in one.clips), one.mouth_b] for one in routes]
    along = [
        [one.points_a, *(c.along or one.points_a for c in one.clips), np.negative(one.points_b)]
        for one in routes
    ]
    moves = [[False, *(bool(c.moves) for c in one.clips), one.mouth_moves] for one in routes]
    return np.array(places), np.array(along, dtype=float), np.array(moves)


def with_held_rings(route: FreeRoute) -> FreeRoute:
    """Return a route whose rings hold the hose as it runs in them at rest."""
    rings = [np.array(clip.place) for clip in route.clips if clip.along is None]
    if not rings:
        return route
    (whole,) = spans_of(replace(route, clips=()), (), placements_of(route)[:1])
    along = ring_directions(whole.poses[0], rings)
    clips = [replace(clip, along=vector(way)) for clip, way in zip(route.clips, along, strict=True)]
    return replace(route, clips=tuple(clips))


def poses_of(route: FreeRoute) -> list[Pose]:
    """Return the spans of a route with holding clips, at rest."""
    clips = [ClampClip(np.array(c.place), np.array(c.along)) for c in route.clips]
    return [span.poses[0] for span in spans_of(route, clips, placements_of(route)[:1])]


def solved_margins(poses: Sequence[Pose], route: FreeRoute, radius: float, half: float) -> Array:
    """Return the margin of bend and room of spans at rest, at the best of a few lengths, (n,).

    Parameters
    ----------
    poses : n spans
    route : with what is near
    radius, half : least bend radius, and half the outside diameter of the hose [mm]
    """
    if not poses:
        return np.zeros(0)
    stack = Stack([(pose, float(pose.distance * share)) for pose in poses for share in LENGTHS])
    margin = np.nan_to_num(stack.radius / radius - 1.0, nan=-1.0, posinf=MOST)
    for part in route.keep_outs:
        gap = body(part).distance(stack.line.reshape(-1, 3)).reshape(len(margin), -1).min(axis=1)
        room = (gap - part.wanted - half) / limit("room-per-margin")
        margin = np.minimum(margin, room)
    return np.asarray(margin.reshape(len(poses), -1).max(axis=1))
