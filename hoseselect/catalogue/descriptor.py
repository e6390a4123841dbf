"""The CatalogueFile Schema descriptor of a catalogue folder, written from the form of its files."""

from __future__ import annotations

import math

from hoseselect.catalogue.file_form import CatalogueField, CatalogueFile
from hoseselect.catalogue.tables import TABLES

Json = dict[str, object]

PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
"""Name of the open specification the descriptor follows."""

FILE = "datapackage.json"
"""Name of the descriptor inside a catalogue folder."""


def descriptor(name: str, title: str, description: str, licence: Json) -> Json:
    """Return the descriptor of a catalogue folder.

    Data Package and CatalogueFile Schema, version 2.0 (open specifications, 2024).

    Parameters
    ----------
    name : short name of the catalogue, small letters and dashes
    title : its title
    description : what it is and where its figures come from
    licence : name, path and title of the licence
    """
    return {
        "$schema": PROFILE,
        "name": name,
        "title": title,
        "description": description,
        "licenses": [licence],
        "resources": [resource(table, title) for table in TABLES],
    }


def resource(table: CatalogueFile, catalogue: str) -> Json:
    """Return the entry of one file."""
    schema: Json = {
        "fields": [field_entry(field) for field in table.fields],
        "primaryKey": [table.key],
        "missingValues": [""],
    }
    references = [
        {
            "fields": [field.name],
            "reference": {"resource": field.refers_to.removesuffix(".csv"), "fields": [field.name]},
        }
        for field in table.fields
        if field.refers_to
    ]
    if references:
        schema["foreignKeys"] = references
    return {
        "name": table.file.removesuffix(".csv"),
        "type": "table",
        "path": table.file,
        "title": table.title,
        "description": f"{table.title}. {catalogue}.",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "schema": schema,
    }


def field_entry(field: CatalogueField) -> Json:
    """Return the entry of one column."""
    kind = "number" if field.kind == "number" else "string"
    entry: Json = {"name": field.name, "type": kind, "description": field.description}
    if field.unit:
        entry["unit"] = field.unit
    constraints: Json = {}
    if field.required:
        constraints["required"] = True
    if field.kind == "key":
        constraints["unique"] = True
    if field.choices and not field.knowledge:
        constraints["enum"] = list(field.choices)
    if math.isfinite(field.minimum):
        constraints["minimum"] = field.minimum
    if math.isfinite(field.maximum):
        constraints["maximum"] = field.maximum
    if math.isfinite(field.above):
        constraints["exclusiveMinimum"] = field.above
    if constraints:
        entry["constraints"] = constraints
    return entry
