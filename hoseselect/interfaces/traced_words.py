"""What a photo measured, in lines of words."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from hoseselect.interfaces.wording import length
from hoseselect.photo.traced import Measured, Traced

OTHER_SIDE = 180.0


class Line(NamedTuple):
    """A line and its indent."""

    text: str
    indent: int


def told(traced: Traced) -> Iterator[Line]:
    """Yield the lines that tell a measured hose."""
    yield Line(f"Length {with_error(traced.length)} along the middle of the hose", 0)
    if math.isnan(traced.tightest_radius.value):
        yield Line("No bend whose radius could be told", 0)
    else:
        yield Line(f"Tightest radius {with_error(traced.tightest_radius)}", 0)
    for number, straight in enumerate(traced.straights):
        yield Line(f"straight {with_error(straight)}", 2)
        if number < len(traced.bends):
            bend = traced.bends[number]
            angle = f"{bend.angle.value:.0f} +/- {math.ceil(bend.angle.error)} deg"
            turn = ""
            if bend.turn.value:
                other = bend.turn.value == OTHER_SIDE and not bend.turn.error
                turned = f"{bend.turn.value:.0f} +/- {math.ceil(bend.turn.error)} deg"
                turn = ", to the other side" if other else f", its plane turned by {turned}"
            yield Line(f"bend {angle} at R {with_error(bend.radius)}{turn}", 2)
    for caution in traced.cautions:
        yield Line(f"[~] {caution.text}", 0)
    yield Line("For a job file:", 0)
    yield Line(traced.run_line, 2)


def with_error(figure: Measured) -> str:
    """Return a length with its error, the error rounded up, in both units."""
    error = math.ceil(figure.error * 10) / 10 if figure.error < 1 else math.ceil(figure.error)
    digits = 1 if figure.error < 1 else 0
    return f"{figure.value:.{digits}f} +/- {error:g} mm ({length(figure.value, 'in')})"
