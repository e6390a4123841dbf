"""Two straight pieces and a rigid elbow, where the lines out of both nipples meet."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from hoseselect.cutplan.changed_route import Advice, Need, moves
from hoseselect.domain.free_route import FreeRoute, vector
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import unit


def elbow_advice(route: FreeRoute, need: Need, angles: Iterable[float]) -> Advice | None:
    """Return an elbow with two straight pieces of hose that suit; None where none does.

    The elbow is held on what nipple A sits on; the piece to nipple B takes the movement.

    Parameters
    ----------
    route : without clips
    need : of the hose
    angles : by which the elbows for its nipples and service turn [deg]
    """
    leaves, arrives = np.array(route.points_a), -np.array(route.points_b)
    wanted = math.degrees(math.acos(float(np.clip(leaves @ arrives, -1.0, 1.0))))
    near = [angle for angle in angles if abs(angle - wanted) <= limit("elbow-angle-off")]
    corner = _corner(route)
    if route.clips or not near or corner is None:
        return None
    angle = min(near, key=lambda one: abs(one - wanted))
    leg = limit("elbow-leg-per-nipple") * need.job.nipple_a.outside_diameter
    first, second = np.linalg.norm(corner), np.linalg.norm(np.array(route.mouth_b) - corner)
    if not all(
        side >= engaged + leg
        for side, engaged in zip((first, second), need.engagements, strict=True)
    ):
        return None
    pieces = _pieces(route, corner, angle, leg)
    if not all(need.met(piece) for piece in pieces):
        return None
    held = " held on what nipple A sits on" if moves(route) else ""
    words = f"an elbow of {angle:g} deg{held} where the lines out of both nipples meet, between two"
    return Advice("elbow", f"{words} straight pieces of hose", pieces)


def _corner(route: FreeRoute) -> Array | None:
    """Return where the lines out of both nipples meet, ahead of both; None where they do not."""
    a, b, mouth = (np.array(v) for v in (route.points_a, route.points_b, route.mouth_b))
    cosine = float(a @ b)
    square = 1.0 - cosine**2
    if square < PARALLEL:
        return None
    along_a = float(mouth @ (a - cosine * b)) / square
    along_b = float(mouth @ (cosine * a - b)) / square
    near_a, near_b = along_a * a, mouth + along_b * b
    apart = float(np.linalg.norm(near_a - near_b))
    if min(along_a, along_b) <= 0 or apart > limit("elbow-lines-apart"):
        return None
    return np.asarray((near_a + near_b) / 2)


PARALLEL = 1e-3


def _pieces(
    route: FreeRoute, corner: Array, angle: float, leg: float
) -> tuple[FreeRoute, FreeRoute]:
    """Return both straight pieces as routes, the elbow shared between the two lines.

    The elbow sits where the pieces put it: an error of the tape moves it, and strains neither.
    Where something is near, the errors stay.
    """
    if not route.keep_outs:
        route = replace(route, tape_error=0.0, angle_error=0.0)
    mouth = np.array(route.mouth_b)
    enters, leaves = unit(corner), unit(mouth - corner)
    across = unit(np.cross(np.cross(enters, leaves), enters))
    turn = math.acos(float(np.clip(enters @ leaves, -1.0, 1.0)))
    off = (turn - math.radians(angle)) / 2
    enters, leaves = (
        math.cos(turned) * enters + math.sin(turned) * across for turned in (off, turn - off)
    )
    inlet, outlet = corner - leg * enters, corner + leg * leaves
    still = replace(route, mouth_b=vector(inlet), points_b=vector(-enters), mouth_moves=False)
    moved = replace(
        route,
        mouth_b=vector(mouth - outlet),
        points_a=vector(leaves),
        keep_outs=tuple(
            replace(part, places=tuple(vector(np.subtract(place, outlet)) for place in part.places))
            for part in route.keep_outs
        ),
        rocking=route.rocking
        and replace(route.rocking, place=vector(np.subtract(route.rocking.place, outlet))),
    )
    return still, moved
