"""What a photo measured, in lines of words."""

from __future__ import annotations

import math
from collections.abc import Iterator

from hoseselect.photo.traced import Measured, Traced
from hoseselect.quantities.shown import shown

OTHER_SIDE = 180.0
NOT_THE_ROUTE = "This is the hose from end to end: a route is shorter by what sat on each nipple."


def told(traced: Traced) -> Iterator[str]:
    """Yield the lines that tell a measured hose; the last is one of a job file."""
    yield f"Length {with_error(traced.length)} along the middle of the hose"
    if math.isnan(traced.tightest_radius.value):
        yield "No bend whose radius could be told"
    else:
        yield f"Tightest radius {with_error(traced.tightest_radius)}"
    for number, straight in enumerate(traced.straights):
        yield f"  straight {with_error(straight)}"
        if number < len(traced.bends):
            bend = traced.bends[number]
            angle = f"{bend.angle.value:.0f} +/- {math.ceil(bend.angle.error)} deg"
            turn = ""
            if bend.turn.value:
                other = bend.turn.value == OTHER_SIDE and not bend.turn.error
                turned = f"{bend.turn.value:.0f} +/- {math.ceil(bend.turn.error)} deg"
                turn = ", to the other side" if other else f", its plane turned by {turned}"
            yield f"  bend {angle} at R {with_error(bend.radius)}{turn}"
    for caution in traced.cautions:
        yield f"[~] {caution.text}"
    yield NOT_THE_ROUTE
    yield "For a job file:"
    yield traced.run_line


def with_error(figure: Measured) -> str:
    """Return a length with its error, the error rounded up, in both units."""
    error = math.ceil(figure.error * 10) / 10 if figure.error < 1 else math.ceil(figure.error)
    digits = 1 if figure.error < 1 else 0
    return f"{figure.value:.{digits}f} +/- {error:g} mm ({shown(figure.value, 'mm', 'in')})"
