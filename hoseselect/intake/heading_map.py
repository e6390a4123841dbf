"""A shop's own headings, mapped once and kept: a small TOML file beside its catalogue.

    [headings]
    "Stub" = "nipples.outside_diameter [mm]"
    "Customer" = "keep"

A heading stands for a key of a job file, with the unit of bare numbers in brackets, or is kept: a
column of the shop's own that is carried over unread.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from hoseselect.files.sheet_line import SheetLine
from hoseselect.files.toml_file import quoted, read_toml
from hoseselect.intake.heading_words import guessed_key
from hoseselect.intake.job_headings import KEEP, column_use, key_of, plain_heading, split_unit
from hoseselect.intake.sheet_cells import clean_cell
from hoseselect.knowledge.errors import HoseselectError, InputError, refuse

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
    """

    heading: str
    meant: str
    sure: bool


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
    best = max(rows, key=lambda row: sum(bool(_guess(heading)) for heading in row))
    return [
        Draft(heading, guess, sure=bool(key_of(split_unit(heading)[0]) and guess))
        for heading in dict.fromkeys(best)
        for guess in [_guess(heading)]
    ]


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
        line = f"{quoted(draft.heading)} = {quoted(draft.meant or KEEP)}"
        told.append(line if draft.meant else f"{line}  # LOOK")
    return "\n".join(told) + "\n"


def _guess(heading: str) -> str:
    """Return what a heading may stand for, with its unit; empty where no word of it is known."""
    bare, unit = split_unit(heading)
    key = key_of(bare) or guessed_key(bare)
    if not key:
        return ""
    meant = f"{key} [{unit}]" if unit else key
    try:
        column_use(meant, heading)
    except HoseselectError:
        return key
    return meant
