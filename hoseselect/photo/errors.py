"""How uncertain a fitted path is: by its taps, by the view, and by the height of the hose."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.fit_path import HoseTaps, PathFit, off_path
from hoseselect.photo.path import angles_of, radii_of, straights_of
from hoseselect.photo.traced import Measured, TracedBend
from hoseselect.photo.view import View

LOOSE = np.array([1e3, 1e3, 10.0, 300.0])
"""How uncertain each figure of a path is at most, so that none is beyond all bounds."""

LOOSE_BEND = np.array([2.0, 1.5, 300.0])
STEP = 1e-3
"""Of a figure of the view, in its standard deviations, by which slopes are found."""


@dataclass(frozen=True)
class Errors:
    """How uncertain a fitted path is.

    Parameters
    ----------
    covariance : of its figures
    scatter : standard deviation of a tap [px]
    times : errors that are told, in standard deviations
    """

    covariance: Floats
    scatter: float
    times: float

    def measured(self, value: float, slope: Floats) -> Measured:
        """Return a figure with its error, from how it changes with the figures of the path."""
        return Measured(value, self.times * float(np.sqrt(slope @ self.covariance @ slope)))

    def length_slope(self, path: Floats) -> Floats:
        """Return how the length changes with the figures of the path."""
        slope = np.zeros(len(path))
        slope[3::3] = 1.0
        slope[4::3] = np.sign(angles_of(path)) * radii_of(path)
        slope[5::3] = np.abs(angles_of(path)) * radii_of(path)
        return slope

    def straights(self, fit: PathFit) -> tuple[Measured, ...]:
        """Return the straights with their errors [mm]."""
        unit = np.eye(len(fit.path))
        return tuple(
            self.measured(float(length), unit[3 + 3 * number])
            for number, length in enumerate(straights_of(fit.path))
        )

    def bends(self, fit: PathFit) -> tuple[TracedBend, ...]:
        """Return the bends with their errors; the first turns as it likes."""
        unit, made = np.eye(len(fit.path)), []
        angles, radii = np.degrees(angles_of(fit.path)), radii_of(fit.path)
        for number, (angle, radius) in enumerate(zip(angles, radii, strict=True)):
            off = math.degrees(self.measured(0.0, unit[4 + 3 * number]).error)
            off = math.hypot(off, limit("photo-angle-floor"))
            share = self.measured(0.0, unit[5 + 3 * number]).error
            other = number > 0 and angle * angles[number - 1] < 0
            made.append(
                TracedBend(
                    Measured(abs(float(angle)), off),
                    Measured(float(radius), float(radius * np.expm1(min(share, 5.0)))),
                    Measured(180.0 if other else 0.0, 0.0),
                )
            )
        return tuple(made)


def errors_of(
    view: View, fit: PathFit, taps: HoseTaps, along: Floats, height: Measured, noise: float
) -> Errors:
    """Return how uncertain a path is: by its taps, by the view, and by the height of the hose."""
    from scipy.stats import t as student

    trust = limit("photo-tap-trust")
    freedom = trust + max(len(fit.off) - len(fit.path), 0)
    scatter = math.sqrt((trust * noise**2 + fit.squares) / freedom)
    loose = np.concatenate([LOOSE, np.tile(LOOSE_BEND, fit.bends)])
    shape = np.linalg.inv(fit.slopes.T @ fit.slopes / scatter**2 + np.diag(loose**-2.0))
    of_view = view.covariance(scatter)
    spreads = np.sqrt(np.diag(of_view))
    states = view.state + STEP * np.vstack([np.diag(spreads), np.zeros(len(spreads))])
    heights = np.full(len(states), height.value)
    heights[-1] += STEP * height.error
    shifted = view.taps.camera(states).on_plane(along, heights)
    columns = [off_path(fit.path, replace(taps, places=places)) - fit.off for places in shifted] / (
        STEP * np.array([*spreads, height.error])
    )[:, None]
    leaning = -shape @ fit.slopes.T @ columns.T / scatter**2
    known = np.zeros((len(columns), len(columns)))
    known[:-1, :-1], known[-1, -1] = of_view, height.error**2
    times = float(student.ppf((1 + limit("photo-confidence")) / 2, freedom))
    return Errors(shape + leaning @ known @ leaning.T, scatter, times)
