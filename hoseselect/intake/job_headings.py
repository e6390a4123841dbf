"""Headings of a sheet of jobs: which key of a job file each column holds, and in which unit."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from pydantic import TypeAdapter, ValidationError

from hoseselect.files.sheet_line import column_letters
from hoseselect.intake.faults import RENAMED
from hoseselect.intake.sheet_cells import clean_cell
from hoseselect.intake.sheet_keys import lists_of_tables, sheet_keys
from hoseselect.knowledge.errors import SHOWN, InputError, refuse
from hoseselect.quantities.spelling import near_spellings

ALIKE = ("nipple_a", "nipple_b")
HINTS = ("old_hose",)
FREE = "route.free."
PREFIX = "answer."
"""Before the name of every column of answers."""
SHORT = {
    "fluid": "fluids",
    "nipple": "nipples.outside_diameter",
    "nipple_a": "nipple_a.outside_diameter",
    "nipple_b": "nipple_b.outside_diameter",
}
NOTES = ("note", "notes", "remark", "remarks")
"""Columns of the user's own, carried over and not read."""

A_KEY = "a key of a job file"
KEEP = "keep"
"""What a shop's own heading stands for that is carried over and not read."""

_UNIT = re.compile(r"^(.*?)\s*[\[(]([^\])]*)[\])]$")


@dataclass(frozen=True)
class ColumnUse:
    """What one column of a sheet is for.

    Parameters
    ----------
    heading : as it stands
    key : of a job file; empty where the column is not read
    unit : of bare numbers; empty = the working unit
    carried : whether it is written into the answers
    """

    heading: str
    key: str = ""
    unit: str = ""
    carried: bool = True


def cell_name(row: int, column: int) -> str:
    """Return the name of a cell, row from 1 and column from 0.

    Examples
    --------
    >>> cell_name(7, 2)
    'C7'
    """
    return f"{column_letters(column)}{row}"


def key_of(heading: str) -> str:
    """Return the key that a heading without a unit names; empty where it names none.

    Examples
    --------
    >>> key_of("duty.fluid_steady"), key_of("Fluid steady"), key_of("customer")
    ('duty.fluid_steady', 'duty.fluid_steady', '')
    """
    return _names().get(plain_heading(heading), "")


def plain_heading(heading: str) -> str:
    """Return a heading as it is compared: small letters, one line between words."""
    return ".".join("_".join(re.split(r"[\s_-]+", p.strip())) for p in heading.lower().split("."))


@cache
def _names() -> dict[str, str]:
    names: dict[str, str] = {}
    twice: set[str] = set()
    for key in sheet_keys().values():
        last = key.parts[-1]
        if key.parts[0] in ALIKE or (key.place.startswith(FREE) and last in names):
            continue
        if last in names:
            twice.add(last)
        names[last] = key.place
    for name, place in list(names.items()):
        if name in twice or place.split(".")[0] in HINTS:
            del names[name]
    return {**names, **SHORT, **{place: place for place in sheet_keys()}}


def split_unit(heading: str) -> tuple[str, str]:
    """Return a heading and the unit in its brackets.

    Examples
    --------
    >>> split_unit("duty.fluid_steady [degF]"), split_unit("service")
    (('duty.fluid_steady', 'degF'), ('service', ''))
    """
    found = _UNIT.match(heading)
    return (found[1], found[2].strip()) if found else (heading, "")


def column_use(meant: str, place: str) -> ColumnUse:
    """Return what a heading is for that stands alone.

    Raises
    ------
    InputError
        when it is no key of a job file, or its unit is none of it.
    """
    return _use(meant, meant, "", place, set())


def column_uses(
    headings: Sequence[str],
    groups: Sequence[str],
    row: int,
    keep: Sequence[str] = (),
    mapped: Mapping[str, str] | None = None,
) -> tuple[ColumnUse, ...]:
    """Return what each column is for.

    Parameters
    ----------
    headings : of the columns
    groups : what stands above each heading, such as a merged "duty"; empty for nothing
    row : of the headings, from 1, for complaints
    keep : headings of the user's own columns, which are carried over unread; "*" = all others
    mapped : what a shop's own headings stand for, by the headings as they are compared

    Raises
    ------
    ManyFaultsError
        with every heading that cannot be used.
    """
    uses: list[ColumnUse] = []
    faults: list[InputError] = []
    taken: dict[str, str] = {}
    own = {plain_heading(name) for name in keep}
    for column, (text, group) in enumerate(zip(headings, groups, strict=True)):
        name = cell_name(row, column)
        try:
            clean = clean_cell(text)
            meant = (mapped or {}).get(plain_heading(clean), clean)
            if meant == KEEP:
                uses.append(ColumnUse(clean))
                continue
            above = clean_cell(group) if meant == clean else ""
            use = _use(clean, meant, above, name, own, helped=len(faults) < SHOWN)
            if use.key in taken:
                raise InputError(name, f"'{use.key}' again, as in {taken[use.key]}", "it once")
        except InputError as error:
            faults.append(error)
            use = ColumnUse(text)
        if use.key:
            taken[use.key] = name
        uses.append(use)
    if "service" not in taken and not faults:
        faults.append(InputError(f"row {row}", "no column 'service'", "what each line does"))
    refuse(faults)
    return tuple(uses)


def _use(
    text: str, meant: str, group: str, name: str, own: set[str], *, helped: bool = True
) -> ColumnUse:
    """Return what a column is for; `helped` looks for keys that are spelled alike, which is slow.

    Raises
    ------
    InputError
        when it is for nothing known.
    """
    if text == "" and group == "":
        return ColumnUse("", carried=False)
    bare, unit = split_unit(meant)
    if not key_of(bare) and meant and key_of(meant):
        bare, unit = meant, ""
    key = key_of(f"{group}.{bare}") or key_of(bare) or (key_of(group) if not bare else "")
    if plain_heading(text) in own:
        return ColumnUse(text)
    if not key:
        plain = plain_heading(text)
        if plain.startswith(PREFIX):
            return ColumnUse(text, carried=False)
        if "*" in own or re.split(r"[_.\d]", plain)[0] in NOTES:
            return ColumnUse(text)
        plain = plain_heading(bare)
        listed = next((key for key in lists_of_tables() if f"{plain}.".startswith(f"{key}.")), "")
        if listed:
            found = f"a heading '{text}', of which a job has a list"
            raise InputError(name, found, f"a job file for a job with {listed}: no cell holds it")
        expected = (
            f"{_near(bare) if helped else A_KEY}; else --keep, or what it stands for in --headings"
        )
        raise InputError(name, f"a heading '{meant}'", expected)
    if unit:
        _check_unit(key, unit, name)
    return ColumnUse(text or group, key, unit)


def _check_unit(key: str, unit: str, name: str) -> None:
    form = sheet_keys()[key]
    if not form.unit:
        raise InputError(name, f"a unit '{unit}' for {key}", "no unit")
    if not any(_is_read(form.annotation, f"{figure} {unit}") for figure in (1, -1, 0)):
        expected = f"a unit of {form.kind}, such as {form.unit}"
        raise InputError(name, f"a unit '{unit}' for {key}", expected)


def _is_read(annotation: Any, text: str) -> bool:
    try:
        TypeAdapter(annotation).validate_python(text)
    except ValidationError:
        return False
    return True


def _near(text: str) -> str:
    if plain_heading(text) in RENAMED:
        return RENAMED[plain_heading(text)]
    near = near_spellings(plain_heading(text), _names(), most=2)
    found = list(dict.fromkeys(_names()[name] for name in near))
    return f"a key of a job file, perhaps {' or '.join(found)}" if found else A_KEY
