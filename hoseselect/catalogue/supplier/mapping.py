"""How a supplier's sheet maps to a catalogue: headings, units, constants, words.

A mapping is a small TOML file:

    [sheet]            lists, name, separator, encoding, decimal, headings, skip_lines, not_stated
    [columns]          bore = {heading = "Inside dia", unit = "in"}
    [constants]        values for every row
    [types.NAME]       values for the rows of one hose type
    [words.COLUMN]     "polyester braid" = "textile"

Columns go by the headings of the catalogue; where one ends in a unit ("bore_mm") the name without
it ("bore") will do, as the sheet has a unit of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from hoseselect.catalogue.file_form import CatalogueField, CatalogueFile
from hoseselect.catalogue.tables import CLAMPS, FITTINGS, HOSE_SIZES, HOSE_TYPES, ROLLS

LISTS: dict[str, tuple[CatalogueFile, ...]] = {
    "hoses": (HOSE_TYPES, HOSE_SIZES),
    "clamps": (CLAMPS,),
    "fittings": (FITTINGS,),
    "rolls": (ROLLS,),
}
"""What a sheet may list, and the files of the catalogue it fills."""

NOT_STATED = (
    "-",
    "--",
    "\u2013",
    "\u2014",
    "n/a",
    "n.a.",
    "na",
    "none stated",
    "not stated",
    "nil",
    "tbd",
    "tba",
    "?",
    "unknown",
)
"""Words of a sheet that are read as an empty cell, unless the mapping names its own."""


@dataclass(frozen=True)
class MappedColumn:
    """One column of the catalogue and where it stands in the sheet.

    Parameters
    ----------
    table : file of the catalogue
    field : column of the catalogue
    heading : heading in the sheet
    unit : unit of its numbers, as people write it
    fill_down : an empty cell repeats the one above
    measured : of a bend radius: "centreline", or "inside" of the bend
    """

    table: CatalogueFile
    field: CatalogueField
    heading: str
    unit: str = ""
    fill_down: bool = False
    measured: str = "centreline"


@dataclass(frozen=True)
class Mapping:
    """How a sheet is read.

    Parameters
    ----------
    file : name of the mapping file
    tables : files of the catalogue that the sheet fills
    columns : mapped columns, by the heading of the catalogue
    constants : values for every row, by the heading of the catalogue
    types : values for the rows of one hose type, by type, then by the heading of the catalogue
    words : words of the sheet and what they stand for, by the heading of the catalogue
    name, separator, encoding : of the sheet, "" where found out
    decimal : "point", "comma", or "" where every cell is read by itself
    headings : first and last line of the headings; 0, 0 where found out
    skip_lines : lines that are not read
    not_stated : words that are read as an empty cell, in small letters
    """

    file: str
    tables: tuple[CatalogueFile, ...]
    columns: dict[str, MappedColumn]
    constants: dict[str, str] = field(default_factory=dict)
    types: dict[str, dict[str, str]] = field(default_factory=dict)
    words: dict[str, dict[str, str]] = field(default_factory=dict)
    name: str = ""
    separator: str = ""
    encoding: str = ""
    decimal: str = ""
    headings: tuple[int, int] = (0, 0)
    skip_lines: frozenset[int] = frozenset()
    not_stated: frozenset[str] = frozenset(NOT_STATED)


UNIT_ENDINGS = {
    "mm": "_mm",
    "m": "_m",
    "kPa": "_kpa",
    "degC": "_degc",
    "deg": "_deg",
    "Shore A": "_shore_a",
}


def short_name(field: CatalogueField) -> str:
    """Return the heading of a column without its unit: "bore" for "bore_mm"."""
    return field.name.removesuffix(UNIT_ENDINGS.get(field.unit, ""))
