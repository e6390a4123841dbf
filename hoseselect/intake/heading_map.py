"""A shop's own headings, mapped once and kept: a small TOML file beside its catalogue.

    [headings]
    "Stub" = "nipples.outside_diameter [mm]"
    "Customer" = "keep"

A heading stands for a key of a job file, with the unit of bare numbers in brackets, or is kept: a
column of the shop's own that is carried over unread.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from hoseselect.files.sheet_line import SheetLine
from hoseselect.files.toml_file import quoted, read_toml
from hoseselect.intake.heading_words import SUCTION, guessed_key, plain_words
from hoseselect.intake.job_headings import KEEP, column_use, key_of, plain_heading, split_unit
from hoseselect.intake.sheet_cells import clean_cell
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.knowledge.errors import HoseselectError, InputError, refuse
from hoseselect.quantities.heading_units import is_unit, names_absolute

FILE = "headings.toml"
"""Name of the file in the folder of a catalogue."""
EXPECTED = "a mapping of headings in TOML"
ABOUT = (
    "# What our headings stand for: a key of a job file with the unit of bare numbers in brackets,",
    '# or "keep": a column of our own that is carried over unread. LOOK: this wants a decision.',
)
LOOKED_AT = 40  # lines of a sheet among which the headings are looked for


def read_headings(path: Path) -> dict[str, str]:
    """Return what headings stand for, by the headings as they are compared.

    Raises
    ------
    InputError
        when the file is not there or is no TOML.
    ManyFaultsError
        with every heading that stands for nothing.
    """
    entries = read_toml(path, EXPECTED)
    told = entries.get("headings")
    if not isinstance(told, Mapping) or set(entries) != {"headings"}:
        found = ", ".join(map(repr, entries)) or "nothing"
        raise InputError(path.name, found, "one section [headings]")
    faults: list[HoseselectError] = []
    for heading, meant in told.items():
        place = f"{path.name}: '{heading}'"
        if not isinstance(meant, str):
            faults.append(InputError(place, repr(meant), "a key of a job file in quotes"))
        elif meant != KEEP:
            try:
                column_use(meant, place)
            except HoseselectError as error:
                faults.append(error)
    refuse(faults)
    return {plain_heading(clean_cell(heading)): meant for heading, meant in told.items()}


def kept_headings(option: Path | None, folder: Path) -> dict[str, str]:
    """Return what headings stand for, by an option or else by the file beside the catalogue.

    Parameters
    ----------
    option : a file; None = that of the folder, where there is one
    folder : of the catalogue
    """
    if option is not None:
        return read_headings(option)
    return read_headings(folder / FILE) if (folder / FILE).is_file() else {}


@dataclass(frozen=True)
class Draft:
    """What a heading of a sheet may stand for.

    Parameters
    ----------
    heading : as it stands
    meant : key of a job file with the unit of bare numbers in brackets; empty = no word of it is
        known
    sure : whether the heading itself is that key
    reason : what is doubtful about it; empty where it is but a guess by its words
    """

    heading: str
    meant: str
    sure: bool
    reason: str = ""


def drafted(lines: Iterable[SheetLine], file: str) -> list[Draft]:
    """Return what the headings of a sheet may stand for, each heading once.

    Raises
    ------
    InputError
        when no line looks like headings.
    """
    rows = [
        [clean_cell(cell) for cell in line.cells if cell.strip()]
        for line in islice(lines, LOOKED_AT)
    ]
    rows = [row for row in rows if len(row) > 1]
    if not rows:
        raise InputError(file, "no line with two headings", "a sheet of jobs")
    best = max(rows, key=lambda row: sum(bool(_key(heading)) for heading in row))
    return [_draft(heading) for heading in dict.fromkeys(best)]


def suggested_headings(lines: Iterable[SheetLine], file: str) -> str:
    """Return a draft of the mapping for a sheet, by the words of its headings.

    Raises
    ------
    InputError
        when no line looks like headings.
    """
    told = [*ABOUT, "[headings]"]
    for draft in drafted(lines, file):
        if draft.sure:
            continue
        look = f"LOOK: {draft.reason}" if draft.reason else "LOOK"
        told.append(f"{quoted(draft.heading)} = {quoted(draft.meant or KEEP)}  # {look}")
    return "\n".join(told) + "\n"


def _key(heading: str) -> str:
    """Return the key that a heading is or hints at; empty where no word of it is known."""
    return key_of(split_unit(heading)[0]) or guessed_key(heading)


def _draft(heading: str) -> Draft:
    """Return what a heading may stand for, with its unit and with what is doubtful about it."""
    key = _key(heading)
    form = sheet_keys().get(key)
    if form is None or not form.unit:
        return Draft(heading, key, sure=bool(key and key_of(split_unit(heading)[0])))
    if form.kind == "pressure" and names_absolute(heading):
        return Draft(heading, "", False, "an absolute pressure, and a job has gauge pressures")
    bare, bracket = split_unit(heading)
    exact = key_of(bare) == key
    unit = next((one for one in _units(heading, form.kind) if _fits(key, one)), "")
    if exact and unit == bracket:
        return Draft(heading, f"{key} [{unit}]" if unit else key, sure=True)
    if not unit and any(_units(heading, "")):
        return Draft(heading, "", False, f"it names a unit that {key} cannot have")
    reason = "" if unit else f"no unit, bare numbers count in {form.unit}"
    if key == "duty.pressure_min" and _unsaid_suction(heading, unit):
        unit = f"{unit or form.unit} vacuum"
    return Draft(heading, f"{key} [{unit}]" if unit else key, sure=False, reason=reason)


def _unsaid_suction(heading: str, unit: str) -> bool:
    """Return whether a heading says suction and its unit does not."""
    return bool(plain_words(heading) & SUCTION) and not plain_words(unit) & SUCTION


def _fits(key: str, unit: str) -> bool:
    try:
        column_use(f"{key} [{unit}]", key)
    except HoseselectError:
        return False
    return True


def _units(heading: str, kind: str) -> Iterator[str]:
    """Yield what may be the unit of a heading: its brackets, its last words, any word of it."""
    bracket = split_unit(heading)[1]
    if bracket and (kind or is_unit(bracket)):
        yield bracket
    words = re.split(r"[\s,;:_/()\[\]]+", heading.strip(" ()[]"))
    last = [" ".join(words[-count:]) for count in (3, 2, 1) if len(words) > count]
    within = [word for word in reversed(words) if word.casefold() != "in"]
    yield from (text for text in (*last, *(within if kind else ())) if is_unit(text, kind))
