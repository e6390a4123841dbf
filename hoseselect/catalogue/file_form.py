"""The form of a catalogue file: which columns, what may stand in them.

One description serves the reader, the checks, the empty catalogue and the CatalogueFile Schema
descriptor. A cell left empty means "not stated".
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Kind = Literal["number", "key", "reference", "choice", "listed", "alternatives", "text", "date"]

YES_NO = ("yes", "no")

FLUID_FAMILIES = ("oil", "fuel", "vapour", "water", "brake", "air", "urea", "acid")
"""Families of fluids, each a word for all its fluids."""

FULL_VACUUM = -101.325
"""Gauge pressure of a perfect vacuum under the standard atmosphere (ISO 2533:1975) [kPa]."""


@dataclass(frozen=True)
class CatalogueField:
    """One column of a catalogue file.

    Parameters
    ----------
    name : heading, ending in the unit where the cell is a number with one
    kind : number, key (identifies the row), reference (key of another file), choice (one of
        `choices`), listed (words parted by ";"), alternatives (words parted by "|"), text, date
    description : what stands in the cell
    unit : unit of the number, "" for none
    required : an empty cell is a fault
    above : the number is greater than this
    minimum : the number is at least this
    maximum : the number is at most this
    choices : the words allowed, or allowed beside the published ones
    knowledge : "table:column" of the published words allowed
    refers_to : file whose key the cell names
    optional : the column may be missing
    """

    name: str
    kind: Kind
    description: str
    unit: str = ""
    required: bool = False
    above: float = -math.inf
    minimum: float = -math.inf
    maximum: float = math.inf
    choices: tuple[str, ...] = ()
    knowledge: str = ""
    refers_to: str = ""
    optional: bool = False


@dataclass(frozen=True)
class CatalogueFile:
    """One file of a catalogue.

    Parameters
    ----------
    file : name of the file
    title : what it lists
    fields : its columns
    optional : the file may be missing
    """

    file: str
    title: str
    fields: tuple[CatalogueField, ...]
    optional: bool = False

    @property
    def key(self) -> str:
        """Heading of the column that identifies a row."""
        return next(field.name for field in self.fields if field.kind == "key")

    @property
    def headings(self) -> tuple[str, ...]:
        """All headings in their usual order."""
        return tuple(field.name for field in self.fields)

    def field(self, name: str) -> CatalogueField:
        """The field with this heading."""
        return next(field for field in self.fields if field.name == name)


def length(name: str, description: str, *, required: bool = False) -> CatalogueField:
    """A length above zero [mm]."""
    return CatalogueField(name, "number", description, "mm", required, above=0.0)


def temperature(name: str, description: str) -> CatalogueField:
    """A temperature [degC]."""
    return CatalogueField(name, "number", description, "degC", minimum=-273.15)


def pressure(name: str, description: str) -> CatalogueField:
    """A gauge pressure above zero [kPa]."""
    return CatalogueField(name, "number", description, "kPa", above=0.0)


def suction(name: str, description: str) -> CatalogueField:
    """A suction as negative gauge pressure [kPa]."""
    return CatalogueField(name, "number", description, "kPa", minimum=FULL_VACUUM, maximum=0.0)


def price(name: str, description: str) -> CatalogueField:
    """A price in the shop's own money."""
    return CatalogueField(name, "number", description, "money", minimum=0.0)


def remark() -> CatalogueField:
    """Free words about the row."""
    return CatalogueField("remark", "text", "anything else worth saying")
