"""The JSON interface to a photo that measures the old hose."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, File, Form

from hoseselect.application.trace import Shot, trace
from hoseselect.files.picture_file import MOST_BYTES, picture_of
from hoseselect.interfaces.page.json_forms import FAULTS
from hoseselect.interfaces.page.photo_view import read_taps
from hoseselect.quantities.read import read_quantity

router = APIRouter(prefix="/api", responses=FAULTS, tags=["answers"])


@router.post("/trace")
def traced(
    photo: Annotated[bytes, File(description="JPEG, PNG or WebP; it is not kept.")],
    points: Annotated[str, Form(description="One a line: corner, hose or edge, x, y [px].")],
    side: Annotated[bytes | None, File(description="A second one, from the side.")] = None,
    side_points: Annotated[str, Form(description="Points tapped in it.")] = "",
    sheet: Annotated[Literal["a4", "letter", "card"], Form()] = "a4",
    outside_diameter: Annotated[str, Form(max_length=100)] = "unknown",
) -> dict[str, Any]:
    """Measure the old hose in a photo of it beside a sheet of known size."""
    diameter = read_quantity(outside_diameter, "length", "outside_diameter", minimum=0.0)
    above = Shot(picture_of(photo[: MOST_BYTES + 1], "photo"), read_taps(points))
    second = None
    if side is not None:
        second = Shot(picture_of(side[: MOST_BYTES + 1], "side"), read_taps(side_points))
    return trace(above, second, sheet=sheet, outside_diameter=diameter).as_json()
