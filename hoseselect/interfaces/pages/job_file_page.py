"""The page of the job file, written from the form that reads it.

`python -m hoseselect.interfaces.pages.job_file_page > docs/reference/job-file.md` writes it anew.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from hoseselect.intake import door
from hoseselect.intake.free_form import FreeForm
from hoseselect.intake.free_types import STANDING_STILL
from hoseselect.intake.job_form import JobForm
from hoseselect.intake.job_keys import job_keys

ALIKE = ("nipple_a", "nipple_b")
PIECES = ("route.run", "route.free.wire")
REPEATED = ("route.free.keep_out", "route.free.clip")
KINDS = {
    get_args(annotated)[1]: kind
    for annotated, kind in (
        (door.Length, ("length", "mm")),
        (door.Diameter, ('diameter, or "30 mm around"', "mm")),
        (door.Bore, ("bore, or a dash size", "mm")),
        (door.Temperature, ("temperature", "degC")),
        (door.Pressure, ("gauge pressure", "kPa")),
        (door.Flow, ("volume flow", "L/min")),
        (door.YesNo, ("yes, no, unknown", "")),
        (door.Fluids, ("list of fluids", "")),
        (door.Drips, ("list of fluids", "")),
        (door.Service, ("name of a service", "")),
    )
}

INTRODUCTION = """# Job file

A job file is TOML. Only `service` must stand in it; every other key may be left out or be
`"unknown"`, which is answered by something to see to at the vehicle, by what is usual for such a
line, a stop, or a measurement to take. Figures carry their unit in quotes: `"3/8 in"`, `"9.5 mm"`,
`"230 °F"`, `"20 inHg vacuum"`, `"15 psi"`, `"30 mm around"`. Bare numbers are in the unit named
below; one that is far outside what is usual is asked about. What cannot both be true is asked about
too, never chosen between. Options on the command line win over the file; `--set key=value` reaches
every key. `hoseselect explain job --json` writes the JSON Schema.

`[nipples]` describes both nipples alike; `[nipple_a]` and `[nipple_b]` have the same keys and say
where one end differs. A route is told in one way: `run`, `measured`, or `[route.free]` for a hose
that bends as it likes between its ends, which again is told in one way: `offset` with the two
directions, `flat`, or `wire`.

This page is written by `python -m hoseselect.interfaces.pages.job_file_page`; do not edit it by
hand.
"""


@dataclass(frozen=True)
class Key:
    """One key of a job file.

    Parameters
    ----------
    place : dotted place in the file
    kind : what may stand there
    unit : of a bare number; empty where there is none
    default : what holds where the key is left out
    """

    place: str
    kind: str
    unit: str
    default: str


def keys(form: type[BaseModel] = JobForm, table: str = "") -> Iterator[Key]:
    """Yield every key of a job file, inner tables last; of the tables of nipples the common one."""
    tables = []
    for name, field in form.model_fields.items():
        place = f"{table}.{name}".lstrip(".")
        inner = FreeForm if place == "route.free" else _form(field.annotation)
        if inner is None or place in PIECES:
            yield Key(place, *_kind(field), _default(field))
        elif name not in ALIKE:
            tables.append((inner, place))
    for inner, place in tables:
        yield from keys(inner, place)


def job_file_page() -> str:
    """Return the page of the job file, in Markdown."""
    told = job_keys()
    lines = [INTRODUCTION]
    heading = None
    for key in keys():
        table = key.place.rpartition(".")[0]
        if table != heading:
            heading = table
            lines += [f"\n## {_heading(table)}\n"]
            lines += [
                "| key | meaning | kind | unit | left out | example |",
                "|---|---|---|---|---|---|",
            ]
        row = told[key.place]
        name = key.place.rpartition(".")[2]
        example = f"`{name} = {row['example']}`"
        kind, unit = row["kind"] or key.kind, row["unit"] or key.unit
        cells = (f"`{name}`", row["meaning"], kind, unit or "-", key.default, example)
        lines.append(f"| {' | '.join(cells)} |")
    return "\n".join(lines) + "\n"


def _heading(table: str) -> str:
    if not table:
        return "Top of the file"
    return f"[[{table}]]" if table in REPEATED else f"[{table}]"


def _form(annotation: Any) -> type[BaseModel] | None:
    """Return the form inside an annotation, or None where it is a plain value."""
    for part in (annotation, *get_args(annotation)):
        if isinstance(part, type) and issubclass(part, BaseModel):
            return part
    return None


def _kind(field: FieldInfo) -> tuple[str, str]:
    for part in field.metadata:
        if part in KINDS:
            return KINDS[part]
    if get_origin(field.annotation) is Literal:
        return ", ".join(get_args(field.annotation)), ""
    if field.annotation is str:
        return "text", ""
    return "", ""


def _default(field: FieldInfo) -> str:
    value = field.get_default()
    if field.is_required():
        return "must be given"
    if isinstance(value, float) and math.isnan(value):
        return "unknown"
    if value is None or value in ((), "", STANDING_STILL):
        return "not given"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, tuple):
        return ", ".join(value)
    return f"{value:g}" if isinstance(value, float) else str(value)


if __name__ == "__main__":
    sys.stdout.write(job_file_page())
