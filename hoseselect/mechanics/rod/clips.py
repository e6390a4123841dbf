"""Clips that hold a hose by position and direction: the route falls into separate spans."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose


@dataclass(frozen=True)
class ClampClip:
    """A clip that holds the hose at a place and in a direction.

    Parameters
    ----------
    position : (3,) of the centreline [mm]
    direction : (3,) unit vector along the hose from start to end [-]
    """

    position: Array
    direction: Array


def spans(pose: Pose, clips: Sequence[ClampClip]) -> list[Pose]:
    """Poses of the independent spans between nipples and clips.

    Parameters
    ----------
    pose : the whole route
    clips : in order from start to end

    Raises
    ------
    InputError : a direction is no unit vector, or two places coincide
    """
    places = [pose.start, *[clip.position for clip in clips], pose.end]
    directions = [
        pose.start_direction, *[clip.direction for clip in clips], pose.end_direction,
    ]  # fmt: skip
    return [
        Pose(places[i], directions[i], places[i + 1], directions[i + 1])
        for i in range(len(places) - 1)
    ]
