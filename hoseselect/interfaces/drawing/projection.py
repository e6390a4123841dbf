"""From the route in space to the plane of a drawing: views, outlines, hulls."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.mechanics.arrays import Floats

Box = tuple[float, float, float, float]
ROUND = 48
"""Corners by which a circle is drawn."""


@dataclass(frozen=True, eq=False)
class View:
    """A direction of looking.

    Parameters
    ----------
    name : id of the view
    words : what is seen, in words
    right, up : directions in space that are right and up in the drawing, unit vectors (3,)
    right_word, up_word : what they are called
    """

    name: str
    words: str
    right: Floats
    up: Floats
    right_word: str = ""
    up_word: str = ""

    @property
    def toward(self) -> Floats:
        """Direction towards the eye, unit vector (3,)."""
        return np.cross(self.right, self.up)

    def plane(self, points: Floats) -> Floats:
        """Places in the plane of the view, right and up, (..., 2) [mm]."""
        return np.asarray(points, float) @ np.stack((self.right, self.up), axis=1)

    def depth(self, points: Floats) -> Floats:
        """Distance towards the eye, (...) [mm]."""
        return np.asarray(points, float) @ self.toward


@dataclass(frozen=True, eq=False)
class Placed:
    """A view at its place on the sheet; paper runs right and down in mm.

    Parameters
    ----------
    view : the direction of looking
    scale : paper over true length [-]
    origin : place on paper of the point (0, 0, 0), (2,) [mm]
    cell : left, top, right, bottom of the room the view has on paper [mm]
    reach : left, top, right, bottom of what is drawn in it [mm]
    """

    view: View
    scale: float
    origin: Floats
    cell: Box
    reach: Box

    def paper(self, points: Floats) -> Floats:
        """Places on paper of points in space, (..., 2) [mm]."""
        return self.origin + self.view.plane(points) * (self.scale, -self.scale)

    def heading(self, direction: Floats) -> Floats:
        """A direction in space as it looks on paper, shortened as seen, (2,) [-]."""
        return self.view.plane(direction) * (1.0, -1.0)


def circle(centre: Floats, axis: Floats, radius: float) -> Floats:
    """Points of a circle in space.

    Parameters
    ----------
    centre : (3,) [mm]
    axis : square to its plane, unit vector (3,)
    radius : [mm]

    Returns
    -------
    (ROUND, 3) [mm]
    """
    least = np.eye(3)[int(np.abs(axis).argmin())]
    first = np.cross(axis, least)
    first /= np.linalg.norm(first)
    angles = np.linspace(0.0, 2 * np.pi, ROUND, endpoint=False)[:, None]
    ring: Floats = np.cos(angles) * first + np.sin(angles) * np.cross(axis, first)
    return np.asarray(centre + radius * ring, float)


def hull(points: Floats, radius: float) -> Floats:
    """Corners of the convex outline round equal discs, as a closed polygon.

    Parameters
    ----------
    points : centres of the discs, (n, 2) [mm]
    radius : of the discs [mm]

    Returns
    -------
    (m, 2) [mm]
    """
    angles = np.linspace(0.0, 2 * np.pi, ROUND, endpoint=False)
    ring = radius * np.column_stack((np.cos(angles), np.sin(angles)))
    cloud = (points[:, None, :] + ring[None, :, :]).reshape(-1, 2)
    order = np.unique(np.round(cloud, 6), axis=0)
    if len(order) < 3:
        return order
    half = [_half_hull(order), _half_hull(order[::-1])]
    return np.array([*half[0][:-1], *half[1][:-1]])


def _half_hull(points: Floats) -> list[Floats]:
    found: list[Floats] = []
    for point in points:
        while len(found) > 1 and _turn(found[-2], found[-1], point) <= 0:
            found.pop()
        found.append(point)
    return found


def _turn(a: Floats, b: Floats, c: Floats) -> float:
    return float((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))


def along(points: Floats) -> Floats:
    """Distance along a line of points from its start, (n,) [mm]."""
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    return np.concatenate(([0.0], np.cumsum(steps)))


def resampled(points: Floats, count: int) -> Floats:
    """Points at even distances along a line of points, (count, dimensions) [mm]."""
    places = along(points)
    even = np.linspace(0.0, places[-1], count)
    return np.column_stack([np.interp(even, places, column) for column in points.T])


def sides(points: Floats, half: float) -> tuple[Floats, Floats]:
    """Points beside a line to its left and right, each (n, 2); NaN where it is seen end-on."""
    slope = np.gradient(points, axis=0)
    size = np.linalg.norm(slope, axis=1)
    seen = size > 0.05 * size.max(initial=1e-9)
    slope[~seen] = np.nan
    unit = slope / size.clip(1e-12)[:, None]
    square = np.column_stack((-unit[:, 1], unit[:, 0]))
    return points + half * square, points - half * square


def outside(lines: tuple[Floats, ...], centre: Floats, half: float) -> list[Floats]:
    """Stretches of lines that lie outside the bands round some centre points.

    Parameters
    ----------
    lines : each (n, 2) [mm]
    centre : points on the middle of the bands, (k, 2) [mm]
    half : half the width of the bands [mm]

    Returns
    -------
    stretches of two points or more, each (m, 2) [mm]
    """
    found = []
    for edge in lines:
        apart = (edge[:, :1] - centre[:, 0]) ** 2 + (edge[:, 1:] - centre[:, 1]) ** 2
        keep = apart.min(axis=1) >= (0.985 * half) ** 2  # NaN compares false
        cuts = np.flatnonzero(np.diff(keep.astype(int))) + 1
        for part, kept in zip(np.split(edge, cuts), np.split(keep, cuts), strict=True):
            if kept[0] and len(part) > 1:
                found.append(part)
    return found
