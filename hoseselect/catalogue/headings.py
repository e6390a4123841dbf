"""The line of headings of a catalogue file: known, missing, doubled and mistaken ones."""

from __future__ import annotations

from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.file_form import CatalogueFile


def about_file(table: CatalogueFile, line: int, found: str, expected: str) -> Complaint:
    """Return an error about a whole line, or with line 0 about the whole file."""
    return Complaint("error", table.file, line, 0, "", found, expected)


def name_columns(
    line: int, headings: tuple[str, ...], table: CatalogueFile, complaints: list[Complaint]
) -> dict[str, int]:
    """Return the number of each known heading; complain of missing, extra and doubled ones."""
    if len(headings) == 1 and any(mark in headings[0] for mark in ";\t"):
        mark = "semicolons" if ";" in headings[0] else "tabulators"
        complaints.append(about_file(table, line, f"cells parted by {mark}", "commas"))
        return {}
    numbers: dict[str, int] = {}
    strange: list[tuple[int, str]] = []
    for number, heading in enumerate(headings, start=1):
        if heading in numbers:
            complaints.append(
                Complaint(
                    "error",
                    table.file,
                    line,
                    number,
                    heading,
                    f"the heading '{heading}' a second time",
                    "every heading once",
                )
            )
        elif heading in table.headings:
            numbers[heading] = number
        else:
            strange.append((number, heading))
    missing = [name for name in table.headings if name not in numbers]
    for number, heading in strange:
        meant = meant_heading(heading, missing, table)
        if meant:
            missing.remove(meant)
            complaints.append(
                Complaint(
                    "error",
                    table.file,
                    line,
                    number,
                    heading,
                    f"the heading '{heading}'",
                    f"'{meant}'{unit_hint(meant, table)}",
                )
            )
        else:
            complaints.append(
                Complaint(
                    "warning",
                    table.file,
                    line,
                    number,
                    heading,
                    f"the heading '{heading}', which is not read",
                    "no such column",
                )
            )
    complaints.extend(
        about_file(table, line, f"no column '{name}'", f"a column '{name}'")
        for name in missing
        if not table.field(name).optional
    )
    return numbers


def meant_heading(heading: str, missing: list[str], table: CatalogueFile) -> str:
    """Return the missing heading this one stands for, "" when there is none.

    The same words in other letters or with blanks, without the unit or with another unit.
    """
    plain = heading.lower().replace(" ", "_").replace("-", "_")
    for name in missing:
        stem = name.rsplit("_", 1)[0] if table.field(name).unit not in ("", "money") else name
        if plain == name or (stem and plain in (stem, *(f"{stem}_{u}" for u in OTHER_UNITS))):
            return name
    return ""


OTHER_UNITS = (
    "mm",
    "cm",
    "m",
    "in",
    "inch",
    "inches",
    "ft",
    "kpa",
    "bar",
    "mbar",
    "psi",
    "mpa",
    "pa",
    "inhg",
    "mmhg",
    "degc",
    "c",
    "degf",
    "f",
    "k",
    "deg",
    "rad",
)
"""Units a heading may end in by mistake."""


def unit_hint(name: str, table: CatalogueFile) -> str:
    """Return a reminder of the unit of a column."""
    unit = table.field(name).unit
    return f" with numbers in {unit}" if unit not in ("", "money") else ""
