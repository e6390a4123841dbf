"""Field types of the forms of a free route: places, directions and figures that must be known."""

from __future__ import annotations

import math
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict

from hoseselect.domain.free_route import Vector
from hoseselect.intake.directions import read_direction
from hoseselect.intake.door import Reads, guarded, once
from hoseselect.intake.faults import shown
from hoseselect.intake.offsets import read_box, read_movement, read_offset
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.read import read_quantity

Place = Annotated[Vector, guarded(once(read_offset), "place")]
Box = Annotated[Vector, guarded(once(read_box), "place")]
Movement = Annotated[Vector | None, guarded(once(read_movement), "place")]
Direction = Annotated[Vector, guarded(once(read_direction), "direction")]
STANDING_STILL: Vector = (0.0, 0.0, 0.0)


def known(kind: str, **bounds: Any) -> Reads:
    """Return a validator that reads a figure which must be known: no shape is solved without it."""

    def read(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise InputError("", shown(value), KNOWN[kind])
        figure = read_quantity(value, kind, "", **bounds)
        if math.isnan(figure):
            raise InputError("", f"'{value}'", KNOWN[kind])
        return figure

    return guarded(once(read), kind)


KNOWN = {"length": 'a length such as "60 mm"', "angle": 'an angle such as "90 deg"'}


class FreeBase(BaseModel):
    """Common settings: no other keys than those named."""

    model_config = ConfigDict(extra="forbid", frozen=True)
