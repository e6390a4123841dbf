"""A roll as a bar: pieces in cutting order, the remnant to keep, the waste hatched."""

from __future__ import annotations

from hoseselect.interfaces.drawing.svg import element, text, text_width
from hoseselect.interfaces.wording import one_length
from hoseselect.rolls.plan import PlannedRoll

WIDTH, HEIGHT, MARGIN, BAR_TOP, BAR = 1000.0, 92.0, 4.0, 26.0, 46.0
LETTERS = 17.0
LEAST_BAR = 3.0
"""Least width of a part that is drawn at all."""


def roll_picture(roll: PlannedRoll, longest: float, units: str, words: dict[str, str]) -> str:
    """Return the picture of a roll in SVG; what it shows stands in words below it as well.

    Parameters
    ----------
    roll : with its cuts
    longest : length of the longest roll that is drawn beside it [mm]
    units : "mm" or "in"
    words : of the page: "remnant" and "waste"
    """
    scale = (WIDTH - 2 * MARGIN) / max(longest, roll.stock.length)
    parts = [_bar(MARGIN, roll.stock.length * scale, "roll-whole")]
    for number, cut in enumerate(roll.cuts, start=1):
        left, width = MARGIN + cut.start * scale, cut.length * scale
        parts.append(_bar(left, width, "roll-piece"))
        parts.append(_label(f"{number}: {one_length(cut.length, units)}", left, width))
    left_over = roll.remnant + roll.waste
    start = MARGIN + (roll.stock.length - left_over) * scale
    if roll.remnant:
        parts.append(_bar(start, left_over * scale, "roll-remnant"))
        told = f"{words['remnant']} {one_length(roll.remnant, units)}"
        parts.append(_label(told, start, left_over * scale))
    elif roll.waste:
        parts.append(_bar(start, max(left_over * scale, LEAST_BAR), "roll-waste"))
        parts.extend(_hatch(start, max(left_over * scale, LEAST_BAR)))
        told = f"{words['waste']} {one_length(roll.waste, units)}"
        x = min(start, WIDTH - MARGIN - text_width(told, LETTERS))
        parts.append(text(told, x, BAR_TOP - 7, LETTERS, class_="roll-words"))
    return element(
        "svg",
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDTH:g} {HEIGHT:g}",
        class_="roll-picture",
        aria_hidden="true",
    )


def _bar(left: float, width: float, kind: str) -> str:
    return element("rect", x=left, y=BAR_TOP, width=max(width, 0.5), height=BAR, class_=kind)


def _label(words: str, left: float, width: float) -> str:
    """Return words inside a part; none where they do not fit."""
    if text_width(words, LETTERS) > width - 4:
        return ""
    return text(words, left + 4, BAR_TOP + BAR / 2 + 6, LETTERS, class_="roll-words")


def _hatch(left: float, width: float) -> list[str]:
    """Return slanted lines over a part, so that it is told apart without colours."""
    step, lines = 9.0, []
    x = left - BAR
    while x < left + width:
        low, high = max(x, left), min(x + BAR, left + width)
        if high > low:
            ends = {"x1": low, "y1": BAR_TOP + BAR - (low - x), "x2": high}
            lines.append(element("line", **ends, y2=BAR_TOP + BAR - (high - x), class_="hatch"))
        x += step
    return lines
