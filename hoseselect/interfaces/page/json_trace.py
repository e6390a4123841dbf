"""The JSON interface to a photo that measures the old hose."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import APIRouter, File, Form

from hoseselect.application.trace import trace
from hoseselect.files.picture_file import MOST_BYTES, picture_of
from hoseselect.interfaces.page.json_forms import FAULTS
from hoseselect.interfaces.page.photo_view import read_taps
from hoseselect.quantities.read import read_quantity

router = APIRouter(prefix="/api", responses=FAULTS, tags=["answers"])


@router.post("/trace")
def traced(
    photo: Annotated[bytes, File(description="JPEG, PNG or WebP; it is not kept.")],
    points: Annotated[str, Form(description="One a line: corner, hose or edge, x, y [px].")],
    sheet: Annotated[Literal["a4", "letter", "card"], Form()] = "a4",
    outside_diameter: Annotated[str, Form(max_length=100)] = "unknown",
) -> dict[str, Any]:
    """Measure the old hose in a photo of it beside a sheet of known size."""
    diameter = read_quantity(outside_diameter, "length", "outside_diameter", minimum=0.0)
    picture = picture_of(photo[: MOST_BYTES + 1], "photo")
    return trace(picture, read_taps(points), sheet=sheet, outside_diameter=diameter).as_json()
