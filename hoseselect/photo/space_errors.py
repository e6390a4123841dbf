"""How uncertain a path in space is: by its taps, by both views, and by how the sheet was stood."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.fit_space import SpaceFit, SpaceTaps
from hoseselect.photo.placed_view import placement_spreads
from hoseselect.photo.space_path import EACH, HEAD, space_bends, space_length
from hoseselect.photo.traced import Measured, TracedBend

LOOSE_HEAD = np.array([1e3, 1e3, 1e3, 10.0, 10.0, 10.0, 300.0])
LOOSE_BEND = np.array([2.0, 1.5, 10.0, 300.0])
"""How uncertain each figure of a path is at most, so that none is beyond all bounds."""

STEP = 1e-6


class SpaceFigures(NamedTuple):
    """What is told of a path in space."""

    length: Measured
    straights: tuple[Measured, ...]
    bends: tuple[TracedBend, ...]
    scatter: float


def space_figures(fit: SpaceFit, full: SpaceFit, taps: SpaceTaps) -> SpaceFigures:
    """Return the figures of a path with their errors.

    Parameters
    ----------
    fit : the path
    full : the same with how it leans on the views
    taps : in both photos
    """
    from scipy.stats import t as student

    trust, path = limit("photo-tap-trust"), fit.path
    freedom = trust + max(len(fit.off) - len(path), 0)
    scatter = math.sqrt((trust * taps.noise**2 + fit.squares) / freedom)
    bends_loose = np.tile(LOOSE_BEND, space_bends(path))
    loose = np.concatenate([LOOSE_HEAD, bends_loose, placement_spreads()])
    shape = np.linalg.inv(fit.slopes.T @ fit.slopes / scatter**2 + np.diag(loose**-2.0))
    covariance = shape
    start = 0
    for view, leaning in zip(taps.views, full.leanings, strict=True):
        rows = slice(start, start + len(leaning))
        moved = -shape @ fit.slopes[rows].T @ leaning / scatter**2
        covariance = covariance + moved @ view.view.covariance(scatter) @ moved.T
        start += len(leaning)
    covariance = covariance[: len(path), : len(path)]
    times = float(student.ppf((1 + limit("photo-confidence")) / 2, freedom))

    def measured(figure: Callable[[Floats], Floats]) -> Measured:
        slope = (figure(path + STEP * np.eye(len(path))) - figure(path)) / STEP
        return Measured(float(figure(path)), times * math.sqrt(slope @ covariance @ slope))

    straights = tuple(
        measured(lambda path, at=at: path[..., at])  # type: ignore[misc]
        for at in range(HEAD - 1, len(path), EACH)
    )
    bends = []
    for number, at in enumerate(range(HEAD, len(path), EACH)):
        angle = measured(lambda path, at=at: np.degrees(path[..., at]))  # type: ignore[misc]
        share = measured(lambda path, at=at: path[..., at + 1])  # type: ignore[misc]
        turn = measured(lambda path, at=at: np.degrees(path[..., at + 2]))  # type: ignore[misc]
        radius = math.exp(share.value)
        floor = limit("photo-angle-floor")
        other_way = 180.0 if angle.value < 0 else 0.0
        bends.append(
            TracedBend(
                Measured(abs(angle.value), math.hypot(angle.error, floor)),
                Measured(radius, radius * math.expm1(min(share.error, 5.0))),
                Measured((turn.value + other_way) % 360, math.hypot(turn.error, floor))
                if number
                else Measured(0.0, 0.0),
            )
        )
    return SpaceFigures(measured(space_length), straights, tuple(bends), scatter)
