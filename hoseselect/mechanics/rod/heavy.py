"""Shapes with their own weight, solved anew instead of followed from the shape without."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hoseselect.mechanics.rod.newton import relax
from hoseselect.mechanics.rod.nodes import Array, nodes, running
from hoseselect.mechanics.rod.pose import Pose
from hoseselect.mechanics.rod.seed import hermite
from hoseselect.mechanics.rod.solve import WITH_WEIGHT
from hoseselect.mechanics.rod.sweep import ends
from hoseselect.mechanics.rod.tightest import tightest


def solved_with_weight(
    cases: Sequence[tuple[Pose, float]], numbers: Array, down: Array, points: int
) -> tuple[Array, Array]:
    """Return shapes of least energy with weight, all in one stack.

    Parameters
    ----------
    cases : B pairs of pose and length, none of them taut [mm]
    numbers : (B,) weight number w L^3 / EI of each [-]
    down : (3,) direction of gravity [-]
    points : of a centreline

    Returns
    -------
    (B,) tightest radius, NaN where no shape at rest was found [mm], and (B, points, 3) centreline
    """
    at = nodes(WITH_WEIGHT)
    poses = [pose for pose, _ in cases]
    length = np.array([one for _, one in cases])
    start, end, chord = ends(poses)
    scaled = chord / length[:, None]
    load = numbers[:, None] * down
    shapes = relax(at, hermite(at, start, end, scaled), scaled, load)
    radius = np.where(shapes.settled, length / tightest(shapes).curvature, np.nan)
    along = running(at.position, np.linspace(0.0, 1.0, points)) @ shapes.tangent
    place = np.array([pose.start for pose in poses])
    return radius, place[:, None] + length[:, None, None] * along
