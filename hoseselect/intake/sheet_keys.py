"""The columns of a sheet of jobs: the dotted keys of a job file, one key a column."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from hoseselect.intake import door
from hoseselect.intake.job_form import JobForm

RUN = "route.run"
NO_COLUMN = ("route.free",)
"""What has no place in one cell: a free route is described in a job file."""

KINDS: dict[Any, str] = {
    get_args(annotated)[1]: kind
    for annotated, kind in (
        (door.Length, "length"),
        (door.Diameter, "length"),
        (door.Bore, "length"),
        (door.Temperature, "temperature"),
        (door.Pressure, "pressure"),
        (door.Flow, "flow"),
        (door.YesNo, "answer"),
        (door.Fluids, "fluids"),
        (door.Drips, "fluids"),
        (door.Service, "service"),
    )
} | {door.Word: "word"}
UNITS = {"length": "mm", "temperature": "degC", "pressure": "kPa", "flow": "L/min"}


@dataclass(frozen=True)
class SheetKey:
    """One key of a job file that a column of a sheet can hold.

    Parameters
    ----------
    place : dotted key, such as "duty.fluid_steady"
    kind : length, temperature, pressure, flow, answer, fluids, service, word, run or text
    annotation : what the door makes of a cell
    words : what may stand in a cell, where it is one of few words
    """

    place: str
    kind: str
    annotation: Any
    words: tuple[str, ...] = ()

    @property
    def unit(self) -> str:
        """Unit of a bare number; empty where there is none."""
        return UNITS.get(self.kind, "")

    @property
    def parts(self) -> tuple[str, ...]:
        """Tables and key."""
        return tuple(self.place.split("."))


@cache
def sheet_keys() -> dict[str, SheetKey]:
    """Return every key of a job file that a column can hold, by its place, in the form's order."""
    return {key.place: key for key in _keys(JobForm, "")}


def _keys(form: type[BaseModel], table: str) -> Iterator[SheetKey]:
    for name, field in form.model_fields.items():
        place = f"{table}.{name}".lstrip(".")
        if place in NO_COLUMN:
            continue
        inner = _form(field.annotation)
        if place == RUN:
            yield SheetKey(place, "run", str)
        elif inner is None:
            yield _key(place, field)
        else:
            yield from _keys(inner, place)


def _key(place: str, field: FieldInfo) -> SheetKey:
    kinds = [KINDS[part] for part in field.metadata if part in KINDS]
    annotation: Any = field.annotation
    for part in field.metadata:
        annotation = Annotated[annotation, part]
    words = tuple(get_args(field.annotation)) if kinds and kinds[0] in {"word", "answer"} else ()
    return SheetKey(place, kinds[0] if kinds else "text", annotation, words)


def _form(annotation: Any) -> type[BaseModel] | None:
    """Return the form inside an annotation, or None where it is a plain value."""
    for part in (annotation, *get_args(annotation)):
        if isinstance(part, type) and issubclass(part, BaseModel):
            return part
    return None
