"""The bent shape of one hose on one route."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from hoseselect.mechanics.rod.movement import Placement
from hoseselect.mechanics.rod.nodes import Array, interpolation, nodes, running
from hoseselect.mechanics.rod.pose import Pose


@dataclass(frozen=True)
class Diagnostics:
    """How well a shape is solved.

    Attributes
    ----------
    converged : gradient and closure small, no direction lowers the energy
    closure : largest coordinate of the gap at the end over length [-]
    smallest_eigenvalue : of the second variation, length / EI; negative = unstable [-]
    invariant_spread : spread of k^2 / 2 + n.t over k_max^2 / 2; NaN with weight [-]
    twist_spread : spread of (t x k).n over k_max^3; NaN with weight [-]
    intervals : number of intervals N [-]
    steps : Newton steps taken [-]
    """

    converged: bool
    closure: float
    smallest_eigenvalue: float
    invariant_spread: float
    twist_spread: float
    intervals: int
    steps: int


@dataclass(frozen=True)
class Shape:
    """A hose at rest between two clamped ends.

    Forces and moments are given per bending stiffness EI [N mm^2]; multiply by it to get N and
    N mm. They are what the nipple does to the hose.

    Attributes
    ----------
    pose : the route
    length : between the nipple tips [mm]
    tangents : (N + 1, 3) unit vectors along the hose [-]
    nodes : (N + 1,) distance along the hose of each tangent [mm]
    tightest_radius : least centreline radius; infinite if straight [mm]
    tightest_at : where it is, along the hose from the start [mm]
    energy : bending energy per EI [1/mm]
    end_force : (3,) force of nipple B on the hose per EI; that of nipple A is its opposite
        unless weight acts [1/mm^2]
    start_moment : (3,) moment of nipple A on the hose per EI [1/mm]
    end_moment : (3,) moment of nipple B on the hose per EI [1/mm]
    weight_number : weight per length times length^3 / EI, 0 if left out [-]
    diagnostics : how well it is solved
    """

    pose: Pose
    length: float
    tangents: Array
    nodes: Array
    tightest_radius: float
    tightest_at: float
    energy: float
    end_force: Array
    start_moment: Array
    end_moment: Array
    weight_number: float
    diagnostics: Diagnostics

    def centreline(self, points: int = 97) -> Array:
        """Even-spaced points along the centreline, both ends included.

        Parameters
        ----------
        points : 2 or more [-]

        Returns
        -------
        (points, 3) [mm]
        """
        matrix = _running(len(self.tangents) - 1, points)
        return self.pose.start + self.length * (matrix @ self.tangents)

    def tangents_at(self, points: int = 97) -> Array:
        """Unit tangents at the even-spaced points of `centreline`.

        Parameters
        ----------
        points : 2 or more [-]

        Returns
        -------
        (points, 3) [-]
        """
        matrix = _between(len(self.tangents) - 1, points)
        value = matrix @ self.tangents
        unit: Array = value / np.linalg.norm(value, axis=1)[:, None]
        return unit

    def placed(self, placement: Placement) -> Shape:
        """The same shape on a body that has moved as a whole."""
        pose = self.pose
        turned = placement.direction
        return replace(
            self,
            pose=Pose(
                placement.point(pose.start), turned(pose.start_direction),
                placement.point(pose.end), turned(pose.end_direction),
            ),
            tangents=turned(self.tangents),
            end_force=turned(self.end_force),
            start_moment=turned(self.start_moment),
            end_moment=turned(self.end_moment),
        )  # fmt: skip

    def curvatures(self, points: int = 97) -> Array:
        """Curvature at the even-spaced points of `centreline`.

        Parameters
        ----------
        points : 2 or more [-]

        Returns
        -------
        (points,) [1/mm]
        """
        count = len(self.tangents) - 1
        slope = _between(count, points) @ (nodes(count).slope @ self.tangents)
        size: Array = np.linalg.norm(slope, axis=1) / self.length
        return size


@lru_cache(maxsize=32)
def _running(intervals: int, points: int) -> Array:
    return running(nodes(intervals).position, np.linspace(0.0, 1.0, points))


@lru_cache(maxsize=32)
def _between(intervals: int, points: int) -> Array:
    return interpolation(nodes(intervals).position, np.linspace(0.0, 1.0, points))
