"""The columns of a sheet of jobs: the dotted keys of a job file, one key a column."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from hoseselect.intake.door import Reads
from hoseselect.intake.free_field import FreeField
from hoseselect.intake.job_form import JobForm

UNITS = {
    "length": "mm",
    "temperature": "degC",
    "pressure": "kPa",
    "angle": "deg",
    "flow": "L/min",
}


@dataclass(frozen=True)
class SheetKey:
    """One key of a job file.

    Parameters
    ----------
    place : dotted key, such as "duty.fluid_steady"
    kind : what its field reads, as `Reads` says; "text" where it says nothing
    annotation : what the form makes of a cell
    words : what may stand in a cell, where it is one of few words
    fits : whether it can be told in one cell; a list of tables cannot
    """

    place: str
    kind: str
    annotation: Any
    words: tuple[str, ...] = ()
    fits: bool = True

    @property
    def unit(self) -> str:
        """Unit of a bare number; empty where there is none."""
        return UNITS.get(self.kind, "")

    @property
    def parts(self) -> tuple[str, ...]:
        """Tables and key."""
        return tuple(self.place.split("."))


@cache
def sheet_keys(form: type[BaseModel] = JobForm) -> dict[str, SheetKey]:
    """Return every key of a job file that a column can hold, by its place, in the form's order."""
    return {key.place: key for key in _keys(form, "") if key.fits}


@cache
def lists_of_tables(form: type[BaseModel] = JobForm) -> tuple[str, ...]:
    """Return the keys of a job file that no column can hold: lists of tables."""
    return tuple(key.place for key in _keys(form, "") if not key.fits)


def _keys(form: type[BaseModel], table: str) -> Iterator[SheetKey]:
    for name, field in form.model_fields.items():
        place = f"{table}.{name}".lstrip(".")
        inner = _form(field)
        if inner is None:
            yield _key(place, field)
        else:
            yield from _keys(inner, place)


def _key(place: str, field: FieldInfo) -> SheetKey:
    inner = (part for choice in get_args(field.annotation) for part in get_args(choice)[1:])
    kinds = [part.kind for part in (*field.metadata, *inner) if isinstance(part, Reads)]
    annotation: Any = field.annotation
    for part in field.metadata:
        annotation = Annotated[annotation, part]
    few = bool(kinds) and kinds[0] in {"word", "answer"}
    words = tuple(get_args(field.annotation)) if few else ()
    listed = not kinds and any(_is_form(part) for part in get_args(field.annotation))
    return SheetKey(place, kinds[0] if kinds else "text", annotation, words, fits=not listed)


def _form(field: FieldInfo) -> type[BaseModel] | None:
    """Return the form of a table, or None where the field is no table."""
    for part in field.metadata:
        if isinstance(part, FreeField):
            return part.form
    choices = (field.annotation, *get_args(field.annotation))
    found = next((part for part in choices if _is_form(part)), None)
    return None if found is None or _is_list(field) else found


def _is_list(field: FieldInfo) -> bool:
    return get_args(field.annotation)[-1:] == (Ellipsis,)


def _is_form(part: Any) -> bool:
    return isinstance(part, type) and issubclass(part, BaseModel)
