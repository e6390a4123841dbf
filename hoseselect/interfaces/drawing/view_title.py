"""The title of a view: what it shows, and which way its directions point."""

from __future__ import annotations

import numpy as np

from hoseselect.interfaces.drawing.dimension import arrow
from hoseselect.interfaces.drawing.projection import Placed, View
from hoseselect.interfaces.drawing.svg import SMALL, group, text, text_width

HEAD = 1.8
"""Length of the heads of the arrows [mm]."""
TITLE = 5.2
"""Height of a line of the title of a view [mm]."""
WIDE = 120.0
"""Narrower views have their directions below their title [mm]."""
ARM = 3.4
"""Length of the arrows of its directions [mm]."""


def title_width(view: View) -> float:
    """Width of the title of a view, and of its directions [mm]."""
    return max(_words_width(view), _directions_width(view))


def title_lines(view: View, width: float) -> int:
    """Lines that the title of a view and its directions take in a width [mm]."""
    return 1 if _words_width(view) + _directions_width(view) + 2.0 <= width else 2


def _words_width(view: View) -> float:
    return text_width(view.words, SMALL + 0.2)


def _directions_width(view: View) -> float:
    return text_width(view.up_word) + text_width(view.right_word) + ARM + 7.0


def title(placed: Placed) -> str:
    """What a view shows, and its directions as two arrows with their words."""
    view = placed.view
    left, top, right, _ = placed.cell
    lines = title_lines(view, right - left) if right - left > WIDE else 2
    first = top - 1.4 - (lines - 1) * TITLE
    words = text(view.words, left, first, SMALL + 0.2, class_="view-title", font_weight="bold")
    start = left if lines > 1 else right - _directions_width(view)
    base, across = top - 1.4, start + 4.0 + text_width(view.up_word)
    up, level = np.array([start + 1.0, base + 0.4]), np.array([across, base - 1.0])
    arrows = group(
        arrow(up, up - np.array([0.0, ARM]), HEAD),
        text(view.up_word, start + 2.4, base),
        arrow(level, level + np.array([ARM, 0.0]), HEAD),
        text(view.right_word, across + ARM + 1.0, base),
        id=f"{view.name}-directions",
        class_="directions",
    )
    return words + arrows
