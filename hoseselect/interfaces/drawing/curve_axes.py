"""Axes of a curve: a panel on paper, round figures on it, and bands between two curves."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from hoseselect.interfaces.drawing.svg import SMALL, element, group, line, number, path, text
from hoseselect.mechanics.arrays import Floats
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH
from hoseselect.quantities.figure_text import nearest_fraction

INCH_STEPS = (0.125, 0.25, 0.5)
LEAST_PER_DECADE = (1.0, 2.0, 5.0)
STROKES = 1.3
"""Distance between the strokes of a band [mm]."""
FINE = {"stroke": "black", "stroke_width": "0.2"}


@dataclass(frozen=True)
class Panel:
    """A panel with a level axis of lengths and an upright one.

    Parameters
    ----------
    name : id
    left, top, right, bottom : its place on paper [mm]
    low_x, high_x : lengths at its left and right edge [mm]
    low_y, high_y : values at its lower and upper edge [mm]
    """

    name: str
    left: float
    top: float
    right: float
    bottom: float
    low_x: float
    high_x: float
    low_y: float
    high_y: float

    def x(self, value: float) -> float:
        """Place of a length on paper, within the panel [mm]."""
        share = (value - self.low_x) / (self.high_x - self.low_x)
        return self.left + min(max(share, 0.0), 1.0) * (self.right - self.left)

    def y(self, value: float) -> float:
        """Place of a value on paper, within the panel [mm]."""
        share = (value - self.low_y) / (self.high_y - self.low_y)
        return self.bottom - min(max(share, 0.0), 1.0) * (self.bottom - self.top)

    def holds(self, length: float) -> bool:
        """Whether a length lies on the axis."""
        return self.low_x <= length <= self.high_x


def ticks(low: float, high: float, units: str, most: int) -> list[tuple[float, str]]:
    """Return round figures between two values, at most so many: each [mm] with its words.

    Parameters
    ----------
    low, high : ends of an axis [mm]
    units : "mm" or "in"
    most : largest number of figures
    """
    unit = MILLIMETRES_PER_INCH if units == "in" else 1.0
    first, last = low / unit, high / unit
    step = next(s for s in _steps(units) if math.floor(last / s) - math.ceil(first / s) < most)
    counts = range(math.ceil(first / step - 1e-9), math.floor(last / step + 1e-9) + 1)
    return [(count * step * unit, _figure(count * step, units)) for count in counts]


def _steps(units: str) -> list[float]:
    decades = [step * 10.0**power for power in range(6) for step in LEAST_PER_DECADE]
    return [*INCH_STEPS, *decades] if units == "in" else decades


def _figure(value: float, units: str) -> str:
    if units != "in" or value == round(value):
        return number(value)
    return ("-" if value < 0 else "") + nearest_fraction(abs(value))


def frame(panel: Panel, title: str, units: str, *, figures_below: bool) -> str:
    """Return the frame of a panel with its ticks, faint level lines, and its title.

    Parameters
    ----------
    panel : the panel
    title : what its upright axis shows
    units : "mm" or "in"
    figures_below : whether the lengths stand under it
    """
    parts = [text(title, panel.left - 10.0, panel.top - 2.4, SMALL + 0.2, font_weight="bold")]
    for value, words in ticks(panel.low_y, panel.high_y, units, 6):
        y = panel.y(value)
        parts.append(line((panel.left, y), (panel.right, y), stroke="black", stroke_width="0.08"))
        parts.append(line((panel.left - 1.2, y), (panel.left, y), **FINE))
        parts.append(text(words, panel.left - 1.8, y + 1.0, text_anchor="end"))
    for value, words in ticks(panel.low_x, panel.high_x, units, 8):
        x = panel.x(value)
        parts.append(line((x, panel.bottom), (x, panel.bottom + 1.2), **FINE))
        if figures_below:
            parts.append(text(words, x, panel.bottom + 4.4, text_anchor="middle"))
    box = element(
        "rect", x=panel.left, y=panel.top, width=panel.right - panel.left,
        height=panel.bottom - panel.top, fill="none", stroke="black", stroke_width=0.3,
    )  # fmt: skip
    return group(*parts, box, id=f"{panel.name}-axes", class_="axes")


def curve(panel: Panel, lengths: Floats, values: Floats, **attributes: str) -> str:
    """Return a curve in a panel: what is not known, or leaves the panel, is left out.

    Parameters
    ----------
    panel : the panel
    lengths, values : of the curve, each (n,) [mm]
    attributes : of the line
    """
    drawn = ""
    for part in _stretches(panel, lengths, values):
        points = np.array([[panel.x(x), panel.y(y)] for x, y in part])
        drawn += path(points, fill="none", stroke="black", stroke_linejoin="round", **attributes)
    return drawn


def _stretches(panel: Panel, lengths: Floats, values: Floats) -> list[Floats]:
    """Parts of a curve that lie in a panel, ended where they cross its edges, each (m, 2)."""
    found: list[list[tuple[float, float]]] = [[]]
    values = np.where(np.isinf(values), 1e9 * np.sign(values), values)
    for (x1, y1), (x2, y2) in pairwise(zip(lengths, values, strict=True)):
        if math.isnan(y1) or math.isnan(y2):
            found.append([])
            continue
        shares = [0.0, 1.0]
        for level in (panel.low_y, panel.high_y):
            if (y1 - level) * (y2 - level) < 0:
                shares.append((level - y1) / (y2 - y1))
        points = [(x1 + s * (x2 - x1), y1 + s * (y2 - y1)) for s in sorted(shares)]
        for start, end in pairwise(points):
            middle = (start[1] + end[1]) / 2
            if not panel.low_y <= middle <= panel.high_y:
                found.append([])
                continue
            found[-1] = found[-1] or [start]
            found[-1].append(end)
    return [np.array(part) for part in found if part]


def band(panel: Panel, lengths: Floats, low: Floats, high: Floats) -> str:
    """Return upright strokes between two curves.

    Parameters
    ----------
    panel : the panel
    lengths : [mm], (n,)
    low, high : the curves [mm], (n,)
    """
    steps = ""
    for x in np.arange(panel.left + STROKES / 2, panel.right, STROKES):
        length = panel.low_x + (x - panel.left) / (panel.right - panel.left) * (
            panel.high_x - panel.low_x
        )
        if not lengths[0] <= length <= lengths[-1]:
            continue
        ends = [float(np.interp(length, lengths, edge)) for edge in (low, high)]
        if any(math.isnan(end) for end in ends):
            continue
        start, end = (panel.y(value) for value in ends)
        if start - end > 0.05:
            steps += f"M{number(x)} {number(start)} L{number(x)} {number(end)} "
    return element("path", d=steps.rstrip(), fill="none", **FINE, class_="band") if steps else ""
