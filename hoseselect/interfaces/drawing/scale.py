"""Scales of a drawing, and the bar that proves one in millimetres and inches."""

from __future__ import annotations

from collections.abc import Iterator

from hoseselect.interfaces.drawing.svg import SMALL, element, group, number, text
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH

STEPS = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
MILLIMETRE_BARS = (5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
INCH_BARS = (0.25, 0.5, 1, 2, 4, 8, 20, 40, 80, 200)
THICK = 1.6


def usual_scales() -> Iterator[float]:
    """Yield the usual scales, largest first: 2, 1, 1/1.5, 1/2, ... [-]."""
    yield 2.0
    decade = 1.0
    while True:
        yield from (1.0 / (step * decade) for step in STEPS[:-1])
        decade *= 10.0


def fitting_scale(most: float) -> float:
    """Return the largest usual scale that is no larger than the one which just fits.

    Parameters
    ----------
    most : paper over true length that just fits [-]

    Returns
    -------
    one of `usual_scales` [-]

    Raises
    ------
    InputError : the scale is not above zero
    """
    if not most > 0:
        raise InputError("scale of the drawing", f"{most:g}", "a route of finite size")
    return next(scale for scale in usual_scales() if scale <= most * (1 + 1e-9))


def scale_words(scale: float) -> str:
    """Return a scale as the trade writes it: 1:2.5."""
    return f"{number(scale)}:1" if scale > 1 else f"1:{number(1 / scale)}"


def scale_bar(name: str, scale: float, x: float, y: float, longest: float) -> str:
    """Return a bar in millimetres above one in inches; both prove the scale on paper.

    Parameters
    ----------
    name : id
    scale : paper over true length [-]
    x, y : left end of the bar in millimetres, its upper edge [mm]
    longest : room for the bars [mm]
    """
    metric = _longest(MILLIMETRE_BARS, scale, longest)
    inches = _longest(INCH_BARS, scale * MILLIMETRES_PER_INCH, longest)
    inch_words = f"{number(inches)} in"
    return group(
        _bar(f"{name}-mm", metric * scale, x, y, f"{number(metric)} mm"),
        _bar(f"{name}-in", inches * scale * MILLIMETRES_PER_INCH, x, y + 4.2, inch_words),
        id=name,
        class_="scale-bar",
    )


def _longest(lengths: tuple[float, ...], scale: float, room: float) -> float:
    fitting = [length for length in lengths if length * scale <= room]
    return fitting[-1] if fitting else lengths[0]


def _bar(name: str, length: float, x: float, y: float, words: str) -> str:
    """Four fields, black and white in turn, and the length behind them."""
    field = length / 4
    fields = [
        element(
            "rect", x=x + k * field, y=y, width=field, height=THICK,
            fill="black" if k % 2 == 0 else "white", stroke="black", stroke_width=0.2,
        )
        for k in range(4)
    ]  # fmt: skip
    whole = element(
        "line", id=name, x1=x, y1=y, x2=x + length, y2=y, stroke="black", stroke_width=0.2
    )
    return "".join(fields) + whole + text(words, x + length + 1.5, y + THICK + 0.6, SMALL)
