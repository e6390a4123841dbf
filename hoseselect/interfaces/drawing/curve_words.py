"""What stands beside and under the curves of a hose: bars of lengths, signs, what was counted."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.geometry import LengthCurve
from hoseselect.interfaces.drawing.curve_axes import FINE, Panel
from hoseselect.interfaces.drawing.spots import tightest_mark
from hoseselect.interfaces.drawing.svg import (
    SMALL,
    Style,
    element,
    group,
    line,
    path,
    text,
    wrapped,
)
from hoseselect.interfaces.wording import length, one_length

ROWS = 115.0
ROW = 9.0
"""First of the bars under the panels, and their distance [mm]."""
BAR = 3.4
COLUMN = 142.0
LIMIT: Style = {"stroke": "black", "stroke_width": 0.6, "stroke_dasharray": "3 1.2"}
LOWER = {"stroke_width": "0.3", "stroke_dasharray": "1.2 0.8"}
NONE_WORKS = "No length works on this route with this hose."
WIDTH, HEIGHT, MARGIN = 210.0, 148.0, 6.0
LEFT, RIGHT, TOP, BOTTOM = 17.0, 136.0, 20.0, 102.0
"""Room of the panels [mm]."""


def is_chosen(own: LengthCurve) -> bool:
    """Whether there is a cut."""
    return math.isfinite(own.chosen)


def bars(own: LengthCurve, panel: Panel, units: str) -> str:
    """Return bars on the axis of the lengths: the window, what stands the errors, the cut.

    Parameters
    ----------
    own : the curve
    panel : the lowest panel
    units : "mm" or "in"
    """
    cut = (own.chosen - own.tolerance, own.chosen + own.tolerance)
    rows = (
        ("window", "Works as measured", own.window, "white"),
        ("stood", "Stands the errors as well", own.stood, "black"),
        ("cut", "Cut, with its tolerance", cut, "white"),
    )
    drawn = ""
    for row, (name, words, (low, high), fill) in enumerate(rows):
        y = ROWS + row * ROW
        base = line((panel.left, y), (panel.right, y), **FINE)
        found = not (math.isnan(low) or math.isnan(high))
        shown = ""
        if found:
            start, end = panel.x(low), panel.x(high)
            shown = element(
                "rect", x=start, y=y - BAR / 2, width=max(end - start, 0.4), height=BAR,
                fill=fill, stroke="black", stroke_width=0.4, id=f"bar-{name}",
            )  # fmt: skip
        if name == "cut" and found:
            shown += tightest_mark(panel.x(own.chosen), y)
        said = _range(low, high, units) if found else "none"
        if name == "cut" and found:
            said = f"{one_length(own.chosen, units)} +/- {one_length(own.tolerance, units)}"
        drawn += group(
            base,
            shown,
            text(words, COLUMN, y - 0.6),
            text(said, COLUMN, y + 3.2, font_weight="bold", id=f"said-{name}"),
            id=f"row-{name}",
        )
    return drawn


def _range(low: float, high: float, units: str) -> str:
    start = one_length(low, units)
    return f"{start} or longer" if math.isinf(high) else f"{start} to {one_length(high, units)}"


def words_of(own: LengthCurve, units: str, *, room: bool) -> str:
    """Return what is drawn, and how it was counted, beside the panels.

    Parameters
    ----------
    own : the curve
    units : "mm" or "in"
    room : whether there is a panel of the room to keep-outs
    """
    chosen = is_chosen(own)
    cut = f"Cut {length(own.chosen, units, up=True)}" if chosen else NONE_WORKS
    errors = (
        f"Counted: {one_length(own.tape_error, units)} on the tape, {own.angle_error:g} deg on"
        f" each direction, {one_length(own.tolerance, units)} on the cut, either way."
    )
    lines = [(row, True) for row in wrapped(cut, SMALL + 0.6, WIDTH - MARGIN - COLUMN, 2)]
    y = TOP + 1.5
    drawn = ""
    for row, bold in lines:
        drawn += text(row, COLUMN, y, SMALL + 0.6, font_weight="bold" if bold else "")
        y += 4.8
    y += 2.0
    signs = [
        ("measured", path(np.array([[0.0, 0.0], [11.0, 0.0]]), stroke="black",
                          stroke_width=0.6, fill="none"), "as measured"),
        ("worse", _band_sign(), "with errors: in 95 of 100 cases no worse than the lower edge"),
        ("limit", line((0.0, 0.0), (11.0, 0.0), **LIMIT),
         "must be above it: least radius" + ("; clearance kept" if room else "")),
    ]  # fmt: skip
    for name, sign, words in signs:
        rows = wrapped(words, SMALL, WIDTH - MARGIN - COLUMN - 13.0, 3)
        written = "".join(text(row, 13.0, 1.0 + 3.8 * k) for k, row in enumerate(rows))
        moved = f"translate({COLUMN:.3f} {y:.3f})"
        drawn += group(sign, written, id=f"sign-{name}", transform=moved)
        y += 3.8 * len(rows) + 2.4
    y += 1.0
    for row in wrapped(errors, SMALL, WIDTH - MARGIN - COLUMN, 5):
        drawn += text(row, COLUMN, y)
        y += 3.9
    return group(drawn, id="words")


def _band_sign() -> str:
    strokes = "".join(line((x, -1.6), (x, 1.6), **FINE) for x in np.arange(0.6, 11.0, 1.3))
    lower = path(np.array([[0.0, 1.6], [11.0, 1.6]]), fill="none", stroke="black", **LOWER)
    return strokes + lower
