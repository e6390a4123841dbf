"""Two straight pieces and a rigid elbow, where the lines out of both nipples meet."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from hoseselect.cutplan.changed_route import Advice, Need, at_rest, moves, with_care
from hoseselect.cutplan.free_fall import fall_refused
from hoseselect.cutplan.free_lie import least_distance
from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.length_scan import TOLERANCE_TABLE
from hoseselect.domain.free_route import FreeRoute, vector
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit
from hoseselect.knowledge.tolerances import cut_length_tolerance
from hoseselect.mechanics.rod import unit


def elbow_advice(route: FreeRoute, need: Need, angles: Iterable[float]) -> Advice | None:
    """Return an elbow with two straight pieces of hose that suit; None where none does.

    Where nothing moves the elbow floats: it sits where the pieces put it. Else it is held on what
    nipple A sits on, and the piece to nipple B takes the movement.

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
    first_piece, second_piece = pieces = _pieces(route, corner, angle, leg)
    held = moves(route)
    if not _stands(first_piece, need, 0.0 if held else _slip(second_piece, need)):
        return None
    if held and not need.met(second_piece):
        return None
    if not held and not _stands(second_piece, need, _slip(first_piece, need)):
        return None
    where = " held on what nipple A sits on" if held else ""
    words = (
        f"an elbow of {angle:g} deg{where} where the lines out of both nipples meet, between two"
    )
    return Advice("elbow", f"{words} straight pieces of hose", pieces)


def _slip(piece: FreeRoute, need: Need) -> float:
    """Return by how much the cut of a piece may put the elbow elsewhere [mm]."""
    cut = math.dist(piece.mouth_b, (0.0, 0.0, 0.0)) + sum(need.engagements)
    return float(cut_length_tolerance(cut, TOLERANCE_TABLE))


def _stands(piece: FreeRoute, need: Need, slip: float) -> bool:
    """Return whether a nearly straight piece to an elbow bends no tighter with errors of care.

    Nothing pushes it along: its elbow end goes aside by what the other piece is cut too long or
    short and by the error of the tape, and the nipple turns by that of its direction. A beam with
    slopes a >= b to its chord, one end aside by w, bends by (4 a + 2 b) / L + 6 w / L^2 at most
    (Euler and Bernoulli, end slopes and end shift of a beam: textbook, from memory).

    Parameters
    ----------
    piece : from nipple to elbow, of which nothing moves
    need : of the hose
    slip : by which the other piece may put the elbow elsewhere [mm]
    """
    still, care = at_rest(piece), with_care(piece)
    length = math.dist(piece.mouth_b, (0.0, 0.0, 0.0)) - 2 * piece.lead
    if length <= piece.lead:
        return False
    solution = FreeSolution(still, need.radius)
    pose = solution.pose
    first, second = (
        math.acos(float(np.clip(way @ pose.chord / pose.distance, -1.0, 1.0)))
        for way in (pose.start_direction, pose.end_direction)
    )
    turned = math.radians(care.angle_error)
    narrow, wide = sorted((first + turned, second))
    aside = slip + care.tape_error + piece.lead * math.tan(turned)
    curvature = (4 * wide + 2 * narrow) / length + 6 * aside / length**2
    slack = SLACK + (first**2 + second**2) / 10
    lie = solution.lie((pose.distance * (1 + slack) + 2 * piece.lead,))
    if curvature * need.radius > 1 or lie is None or fall_refused(need.job, still, lie):
        return False
    apart = aside + wide * length / 4 + need.half
    return all(least_distance(lie, part) - part.wanted >= apart for part in piece.keep_outs)


SLACK = 1e-5  # of the length: a piece that lies straight is not taut


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
    """Return both straight pieces as routes, the elbow shared between the two lines."""
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
