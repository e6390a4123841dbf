"""The columns of a sheet of jobs and of its answers as a Table Schema, a template and a page."""

from __future__ import annotations

from typing import Any

from hoseselect.answer.line_answer import COLUMNS, FIGURES, LENGTHS
from hoseselect.intake.job_headings import PREFIX
from hoseselect.intake.job_keys import job_keys
from hoseselect.intake.sheet_keys import SheetKey, sheet_keys

SCHEMA = "https://datapackage.org/profiles/2.0/tableschema.json"
ALIKE = ("nipple_a", "nipple_b")
RUN_EXAMPLE = "60 mm; 90 deg at 110 mm; 180 mm"
IN_ONE_CELL = {
    "route.run": "straights and bends from nipple mouth to nipple mouth",
    "route.free.wire": "a piece of wire bent along the route and read off as straights and bends",
}
RUN_MEANING = "all bends in one plane; a bend is an angle `at` a radius of the centreline"
KIND_WORDS = {
    "length": "length",
    "temperature": "temperature",
    "pressure": "gauge pressure, suction negative",
    "flow": "volume flow",
    "answer": "yes, no or unknown",
    "fluids": "fluids between semicolons",
    "service": "name of a service",
    "angle": "angle",
    "run": "straights and bends between semicolons",
    "place": "lengths by direction, between semicolons",
    "direction": "direction in words",
    "rocking": "how it rocks, in words",
    "text": "text",
}
TEMPLATE = (
    {
        "service": "PCV hose",
        "name": "snapped PCV hose",
        "drips": "nothing",
        "duty.fluid_steady": "110 degC",
        "duty.fluid_peak": "110 degC",
        "duty.air_steady": "115 degC",
        "duty.air_peak": "115 degC",
        "duty.coldest_start": "-25 degC",
        "duty.pressure_min": "20 inHg vacuum",
        "duty.pressure_max": "0 kPa",
        "nipples.outside_diameter": "13 mm",
        "nipples.bead": "yes",
        "nipples.bead_diameter": "14.5 mm",
        "nipples.measured_on": "plain",
        "nipples.usable_length": "25 mm",
        "nipples.fixed_to": "engine",
        "route.run": RUN_EXAMPLE,
        "route.low_spot": "no",
        "features.insert": "none",
        "features.turbo": "no",
    },
    {
        "service": "heater hose",
        "name": "heater return, measured by string",
        "duty.fluid_steady": "230 °F",
        "nipples.outside_diameter": "5/8 in",
        "nipples.bead": "yes",
        "nipples.measured_on": "plain",
        "route.measured": "26 in",
        "route.tightest_radius": "4 in",
    },
)
"""Two lines that show how cells are filled in."""


def meanings() -> dict[str, tuple[str, str]]:
    """Return meaning and example of every key of a job file."""
    return {key: (row["meaning"], row["example"]) for key, row in job_keys().items()}


def meaning_of(key: SheetKey) -> tuple[str, str]:
    """Return meaning and example of a column; an end of its own has those of both."""
    table, _, name = key.place.partition(".")
    told = meanings()
    if table in ALIKE:
        meaning, example = told[f"nipples.{name}"]
        return f"{meaning}, nipple {table[-1].upper()} alone", _plain(example)
    meaning, example = told[key.place]
    if key.kind == "run":
        return f"{IN_ONE_CELL[key.place]}, {RUN_MEANING}", RUN_EXAMPLE
    if key.kind == "place":
        return meaning, _offsets(example)
    return meaning.replace("[] = nothing", "`nothing` where nothing does"), _plain(example)


def _plain(example: str) -> str:
    return example.strip("[]").replace('"', "")


def _offsets(example: str) -> str:
    """Return offsets by direction as they stand in one cell."""
    return example.strip("{}").replace(" = ", " ").replace(", ", "; ").replace('"', "")


def fields() -> list[dict[str, Any]]:
    """Return the columns of a sheet of jobs as fields of a Table Schema."""
    return [_field(key) for key in sheet_keys().values()]


def _field(key: SheetKey) -> dict[str, Any]:
    meaning, example = meaning_of(key)
    field: dict[str, Any] = {
        "name": key.place,
        "type": "string",
        "description": meaning,
        "example": example,
    }
    if key.unit:
        field["unit"] = key.unit
    constraints: dict[str, Any] = {}
    if key.place == "service":
        constraints["required"] = True
    if key.words:
        field["categories"] = list(key.words)
    if constraints:
        field["constraints"] = constraints
    return field


def answer_fields() -> list[dict[str, Any]]:
    """Return the columns of answers as fields of a Table Schema; lengths in mm."""
    found = []
    for name, meaning in COLUMNS.items():
        length = name in LENGTHS
        field: dict[str, Any] = {
            "name": f"{PREFIX}{name} [mm]" if length else f"{PREFIX}{name}",
            "type": "number" if name in FIGURES else "string",
            "description": meaning,
        }
        if length:
            field["unit"] = "mm"
        found.append(field)
    return found


def schema() -> dict[str, Any]:
    """Return the Table Schema of a sheet of jobs, and that of its answers."""
    return {
        "$schema": SCHEMA,
        "name": "sheet-of-jobs",
        "description": "One line a job; every column but service may be left out. A bare number is"
        " in the unit named here, or in the unit in brackets in the heading.",
        "fields": fields(),
        "missingValues": ["", "unknown"],
        "answers": {
            "$schema": SCHEMA,
            "description": "These columns follow those of the sheet of jobs. Lengths are in inches"
            " with --units in.",
            "fields": answer_fields(),
            "missingValues": [""],
        },
    }


def template_keys() -> list[SheetKey]:
    """Return the columns of an empty sheet of jobs."""
    left_out = ("old_hose.", "route.free.")
    return [key for key in sheet_keys().values() if not key.place.startswith(left_out)]


def with_unit(key: SheetKey) -> str:
    """Return the heading of a column with the unit of bare numbers."""
    return f"{key.place} [{key.unit}]" if key.unit else key.place


def kind_words(key: SheetKey) -> str:
    """Return what stands in a cell of a column."""
    return ", ".join(key.words) if key.words else KIND_WORDS[key.kind]


def columns_page() -> str:
    """Return the tables of columns, in Markdown."""
    rows = ["| column | meaning | what stands in a cell | unit of a bare number | example |"]
    rows.append("|---|---|---|---|---|")
    for key in sheet_keys().values():
        if key.parts[0] in ALIKE:
            continue
        meaning, example = meaning_of(key)
        rows.append(
            f"| `{key.place}` | {meaning} | {kind_words(key)} | {key.unit or '-'} | `{example}` |"
        )
    rows += ["", "## Columns of the answers", "", "| column | meaning |", "|---|---|"]
    rows += [f"| `{f['name']}` | {f['description']} |" for f in answer_fields()]
    return "\n".join(rows) + "\n"
