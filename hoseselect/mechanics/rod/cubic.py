"""Cubic pieces through values and slopes: crossings and turning points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.mechanics.rod.nodes import Array

BISECTIONS = 44  # halve an interval to machine accuracy
DOUBT = 0.1  # share of the disagreement of end slopes that is taken as the error of a cubic


@dataclass(frozen=True)
class Pieces:
    """K intervals with the radius and its slope at both ends, (K,) each.

    Attributes
    ----------
    left, right : ends of the interval [mm]
    low, high : radius at the left and right end [mm]
    left_slope, right_slope : derivative of radius by length [-]
    """

    left: Array
    right: Array
    low: Array
    high: Array
    left_slope: Array
    right_slope: Array

    def value(self, part: Array) -> Array:
        """Radius at a part (0 to 1) of each interval, (K,) [mm]."""
        return _cubic(
            part, self.low, self.high,
            self.left_slope * self.width, self.right_slope * self.width,
        )  # fmt: skip

    def logarithm(self, part: Array) -> Array:
        """The same from a cubic through logarithms; needs radii above 0, (K,) [mm]."""
        low, high = np.maximum(self.low, 1e-300), np.maximum(self.high, 1e-300)
        left, right = self.left_slope * self.width / low, self.right_slope * self.width / high
        value: Array = np.exp(_cubic(part, np.log(low), np.log(high), left, right))
        return value

    @property
    def width(self) -> Array:
        """Length of each interval [mm]."""
        return self.right - self.left

    def crossing(self, radius: Array) -> tuple[Array, Array]:
        """Lengths at which the radius is reached, and how far two interpolants differ there.

        Parameters
        ----------
        radius : (K,) between the radii at the ends of each interval [mm]

        Returns
        -------
        (K,) length [mm] and (K,) difference [mm]; infinite where an end has no radius
        """
        plain = self._bisect(radius, logarithm=False)
        logarithmic = self._bisect(radius, logarithm=True)
        known = (np.minimum(self.low, self.high) > 0) & np.isfinite(self.low + self.high)
        high = np.where(np.isfinite(self.high), self.high, radius)
        steep = np.maximum(self.right_slope, 1e-9)
        ratio = np.log(np.maximum(high / radius, 1.0))
        newton = 1.0 - np.clip(ratio * high / (steep * self.width), 0.02, 0.9)
        part = np.where(known, logarithmic, newton)
        apart = np.maximum(np.abs(plain - logarithmic) * self.width, self._doubt(plain))
        gap = np.where(known, apart, np.inf)
        return self.left + part * self.width, gap

    def _doubt(self, part: Array) -> Array:
        """Length by which the cubic may be off: a share of how far its slopes disagree."""
        step = 1e-4
        with np.errstate(invalid="ignore", over="ignore", divide="ignore"):
            bend = self.left_slope + self.right_slope - 2.0 * (self.high - self.low) / self.width
            local = (self.value(part + step) - self.value(part - step)) / (2 * step * self.width)
            share: Array = np.abs(bend / local) * part * (1.0 - part) * self.width * DOUBT
        return np.where(np.isnan(share), np.inf, share)

    def _bisect(self, radius: Array, logarithm: bool) -> Array:
        rising = self.high >= self.low
        low, high = np.zeros_like(radius), np.ones_like(radius)
        with np.errstate(invalid="ignore", over="ignore"):
            for _ in range(BISECTIONS):
                middle = 0.5 * (low + high)
                value = self.logarithm(middle) if logarithm else self.value(middle)
                below = (value < radius) == rising
                low, high = np.where(below, middle, low), np.where(below, high, middle)
        return 0.5 * (low + high)

    def turning(self) -> tuple[Array, Array]:
        """Where the cubic turns and where the end tangents meet, (K,) each [mm].

        Both ends must slope opposite ways.
        """
        a, b = self.left_slope * self.width, self.right_slope * self.width
        rise = self.high - self.low
        p, q = 3.0 * (a + b - 2.0 * rise), 2.0 * (3.0 * rise - 2.0 * a - b)
        root = np.sqrt(np.maximum(q * q - 4.0 * p * a, 0.0))
        stable = -0.5 * (q + np.where(q >= 0, root, -root))
        with np.errstate(divide="ignore", invalid="ignore"):
            first, second = stable / p, a / stable
            meet = (rise - b) / (a - b)
        inside = (second > 0) & (second < 1)
        turn = np.where(inside, second, first)
        turn = np.where((turn > 0) & (turn < 1), turn, 0.5)
        meet = np.where((meet > 0) & (meet < 1), meet, 0.5)
        return self.left + turn * self.width, self.left + meet * self.width


def _cubic(part: Array, low: Array, high: Array, left: Array, right: Array) -> Array:
    """Cubic through two values and two slopes on [0, 1]."""
    t = part
    back = 1.0 - t
    value: Array = (
        low * (1 + 2 * t) * back * back
        + high * t * t * (3 - 2 * t)
        + left * t * back * back
        - right * t * t * back
    )
    return value
