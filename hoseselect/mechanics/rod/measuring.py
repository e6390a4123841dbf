"""What an error of the tape or of an angle does to the window of lengths."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.mechanics.rod.bounds import length_bound
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose, across
from hoseselect.mechanics.rod.profile import PRACTICAL, RouteProfile
from hoseselect.mechanics.rod.sweep import FINE_LADDER, FINE_SPREAD, ends, sweep
from hoseselect.mechanics.rod.window import Window

ROUNDS = 8
SAMPLES = 12
CLEARLY = 1.05


@dataclass(frozen=True)
class Misread:
    """The window after one reading was wrong.

    Attributes
    ----------
    what : which reading and by how much
    shortest, longest : of the window then; NaN if no length works then [mm]
    """

    what: str
    shortest: float
    longest: float


@dataclass(frozen=True)
class MeasuringEffect:
    """Window as measured, and with one reading wrong at a time.

    Attributes
    ----------
    window : as measured
    misreads : one row for each reading and sense
    shortest : largest of the shortest lengths; NaN if some misread leaves no length [mm]
    longest : least of the longest lengths [mm]
    """

    window: Window
    misreads: list[Misread]
    shortest: float
    longest: float


def misread_poses(pose: Pose, tape: float, angle: float) -> list[tuple[str, Pose]]:
    """The pose with one reading wrong at a time: three offsets, two angles at each nipple.

    Parameters
    ----------
    pose : as measured
    tape : error of each offset [mm]
    angle : error of each direction [deg]
    """
    found: list[tuple[str, Pose]] = []
    for axis, name in enumerate("xyz"):
        for sign in (1.0, -1.0):
            shift = np.zeros(3)
            shift[axis] = sign * tape
            found.append((f"offset {name} {sign * tape:+g} mm", pose.moved(shift)))
    turn = np.radians(angle)
    for end in ("start", "end"):
        direction = getattr(pose, f"{end}_direction")
        first = _in_plane(direction, pose.chord)
        for side, name in ((first, "in plane"), (np.cross(direction, first), "out of plane")):
            for sign in (1.0, -1.0):
                turned = np.cos(turn) * direction + sign * np.sin(turn) * side
                directions = {"start": pose.start_direction, "end": pose.end_direction, end: turned}
                moved = Pose(pose.start, directions["start"], pose.end, directions["end"])
                found.append((f"{end} angle {name} {sign * angle:+g} deg", moved))
    return found


def _in_plane(direction: Array, chord: Array) -> Array:
    """Unit vector square to a direction, in its plane with the chord."""
    side = chord - (chord @ direction) * direction
    size = float(np.linalg.norm(side))
    if size < 1e-6 * float(np.linalg.norm(chord)):
        return across(direction)
    return np.asarray(side / size)


def measuring_effect(pose: Pose, radius: float, tape: float, angle: float) -> MeasuringEffect:
    """What errors of measuring do to the window of one radius.

    Parameters
    ----------
    pose : as measured
    radius : least centreline radius [mm]
    tape : error of each offset, 0 or more [mm]
    angle : error of each direction, 0 or more [deg]

    Raises
    ------
    InputError : an error is negative, or the radius is no positive number
    """
    if not (tape >= 0 and angle >= 0):
        raise InputError("measuring error", f"{tape} mm and {angle} deg", "0 or more")
    window = RouteProfile(pose, radius).window(radius)
    cases = misread_poses(pose, tape, angle)
    poses = [case for _, case in cases]
    shortest = _follow(poses, radius, window.shortest, 1.0)
    longest = _follow(poses, radius, window.longest, -1.0)
    if np.isinf(window.longest):
        longest = _still_open(poses, radius, window.shortest)
    for index in np.flatnonzero(np.isnan(shortest) | np.isnan(longest)):
        again = RouteProfile(poses[index], radius).window(radius)
        shortest[index], longest[index] = again.shortest, again.longest
    rows = [
        Misread(what, float(low), float(high))
        for (what, _), low, high in zip(cases, shortest, longest, strict=True)
    ]
    return MeasuringEffect(
        window, rows, float(np.max(np.append(shortest, window.shortest))),
        float(np.min(np.append(longest, window.longest))),
    )  # fmt: skip


def _still_open(poses: list[Pose], radius: float, shortest: float) -> Array:
    """Infinite where no longer length is near the wanted radius, NaN where one may be, (P,) [mm].

    Parameters
    ----------
    poses : P misread poses
    radius : wanted radius [mm]
    shortest : shortest length of the pose as measured [mm]
    """
    start, end, chord = ends(poses)
    far = PRACTICAL * max(pose.distance for pose in poses)
    lengths = np.geomspace(shortest + 0.05 * (far - shortest), max(far, 1.2 * shortest), SAMPLES)
    index = np.repeat(np.arange(len(poses)), SAMPLES)
    here = sweep(start[index], end[index], chord[index], np.tile(lengths, len(poses)))
    least = np.nan_to_num(here.radius, nan=0.0).reshape(len(poses), SAMPLES).min(axis=1)
    return np.where(least > CLEARLY * radius, np.inf, np.nan)


def _follow(poses: list[Pose], radius: float, begin: float, sense: float) -> Array:
    """Follow an edge of the window from the measured pose; NaN where it is lost, (P,) [mm].

    Parameters
    ----------
    poses : P misread poses
    radius : wanted radius [mm]
    begin : the edge as measured [mm]
    sense : 1 for the edge where the radius rises with length, -1 for the other [-]
    """
    many = len(poses)
    lost = np.full(many, np.nan)
    if not np.isfinite(begin):
        return lost
    start, end, chord = ends(poses)
    low = np.array([float(length_bound(pose, radius)) for pose in poses])
    length = np.maximum(begin, low * (1.0 + 1e-4))
    scale = np.array([pose.distance for pose in poses])
    found = lost
    todo = np.arange(many)
    for _ in range(ROUNDS):
        here = sweep(start[todo], end[todo], chord[todo], length[todo], FINE_LADDER, FINE_SPREAD)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = np.log(radius / here.radius) * here.radius / here.slope
        usable = np.isfinite(step) & (here.slope * sense > 0)
        near = usable & (np.abs(step) < 1e-3 * scale[todo])
        found[todo[near]] = (length[todo] + step)[near]
        onward = usable & ~near
        todo, step = todo[onward], step[onward]
        if len(todo) == 0:
            break
        wanted = length[todo] + np.clip(step, -0.1 * scale[todo], 0.1 * scale[todo])
        length[todo] = np.maximum(wanted, 0.5 * (length[todo] + low[todo]))
    return found
