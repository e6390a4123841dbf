"""Reading a mapping from TOML; every fault in it is told at once."""

from __future__ import annotations

from collections.abc import Mapping as Map
from pathlib import Path
from typing import Any

from hoseselect.catalogue.file_form import CatalogueField, CatalogueFile
from hoseselect.catalogue.supplier.mapping import (
    LISTS,
    NOT_STATED,
    MappedColumn,
    Mapping,
    short_name,
)
from hoseselect.catalogue.supplier.units import known_unit, working_unit
from hoseselect.catalogue.tables import HOSE_TYPES
from hoseselect.files.toml_file import read_toml
from hoseselect.knowledge.errors import HoseselectError, InputError, refuse
from hoseselect.quantities.spelling import near_spellings

SECTIONS = ("sheet", "columns", "constants", "types", "words")
SHEET_KEYS = (
    "lists",
    "name",
    "separator",
    "encoding",
    "decimal",
    "headings",
    "skip_lines",
    "not_stated",
)
COLUMN_KEYS = ("heading", "unit", "fill_down", "measured")
DECIMALS = ("", "point", "comma")
MEASURED = ("centreline", "inside")


def read_mapping(path: Path) -> Mapping:
    """Read a mapping file.

    Raises
    ------
    InputError
        when it is not there or is no TOML.
    ManyFaultsError
        when anything in it cannot be used; it carries every fault.
    """
    return mapping_from(read_toml(path, "a mapping in TOML"), path.name)


def mapping_from(entries: Map[str, Any], file: str) -> Mapping:
    """Return the mapping that a TOML file describes.

    Parameters
    ----------
    entries : the file as nested mappings
    file : its name, for complaints

    Raises
    ------
    ManyFaultsError
        when anything in it cannot be used; it carries every fault.
    """
    reader = _Reader(file)
    made = reader.mapping(entries)
    refuse(reader.faults)
    return made


class _Reader:
    """Reads the sections; faults are gathered, not raised."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[HoseselectError] = []
        self.fields: dict[str, tuple[CatalogueFile, CatalogueField]] = {}

    def fault(self, place: str, found: str, expected: str) -> None:
        self.faults.append(InputError(f"{self.file}: {place}", found, expected))

    def mapping(self, entries: Map[str, Any]) -> Mapping:
        for name in entries:
            if name not in SECTIONS:
                self.fault(name, f"a section '{name}'", ", ".join(SECTIONS))
        sheet = self.section(entries, "sheet")
        for name in sheet:
            if name not in SHEET_KEYS:
                self.fault(f"sheet.{name}", f"'{name}'", ", ".join(SHEET_KEYS))
        lists = sheet.get("lists", "hoses")
        if lists not in LISTS:
            self.fault("sheet.lists", f"'{lists}'", " or ".join(LISTS))
        tables = LISTS.get(str(lists), LISTS["hoses"])
        for table in tables:
            for entry in table.fields:
                self.fields.setdefault(entry.name, (table, entry))
                self.fields.setdefault(short_name(entry), (table, entry))
        columns = self.columns(self.section(entries, "columns"))
        if not columns:
            self.fault("columns", "no column", 'such as bore = {heading = "Bore", unit = "mm"}')
        types = {
            str(name): self.constants(values, f"types.{name}", HOSE_TYPES)
            for name, values in self.section(entries, "types").items()
        }
        if types and HOSE_TYPES not in tables:
            self.fault("types", "values for hose types", 'sheet.lists = "hoses" with them')
        decimal = self.word(sheet, "decimal", DECIMALS)
        return Mapping(
            file=self.file,
            tables=tables,
            columns=columns,
            constants=self.constants(self.section(entries, "constants"), "constants"),
            types=types,
            words=self.words(self.section(entries, "words")),
            name=self.text(sheet, "name"),
            separator=self.separator(sheet),
            encoding=self.text(sheet, "encoding"),
            decimal=decimal,
            headings=self.headings(sheet),
            skip_lines=self.skip_lines(sheet),
            not_stated=self.not_stated(sheet),
        )

    def section(self, entries: Map[str, Any], name: str) -> dict[str, Any]:
        found = entries.get(name, {})
        if not isinstance(found, dict):
            self.fault(name, f"'{found}'", f"a table [{name}]")
            return {}
        return found

    def field_named(self, name: str, place: str) -> tuple[CatalogueFile, CatalogueField] | None:
        found = self.fields.get(name)
        if found is None:
            hint = "".join(f", perhaps {near}" for near in near_spellings(name, self.fields))
            self.fault(place, f"'{name}'", f"a column of the catalogue{hint}")
        return found

    def columns(self, entries: Map[str, Any]) -> dict[str, MappedColumn]:
        made: dict[str, MappedColumn] = {}
        for name, entry in entries.items():
            place = f"columns.{name}"
            found = self.field_named(name, place)
            values = {"heading": entry} if isinstance(entry, str) else entry
            if found is None:
                continue
            if not isinstance(values, dict) or not isinstance(values.get("heading"), str):
                self.fault(place, f"'{entry}'", '{heading = "the heading in the sheet"}')
                continue
            if found[1].name in made:
                self.fault(place, "a column mapped a second time", "every column once")
            made[found[1].name] = self.column(place, *found, values)
        return made

    def column(
        self, place: str, table: CatalogueFile, entry: CatalogueField, values: Map[str, Any]
    ) -> MappedColumn:
        for key in values:
            if key not in COLUMN_KEYS:
                self.fault(f"{place}.{key}", f"'{key}'", ", ".join(COLUMN_KEYS))
        unit, measured = values.get("unit", ""), values.get("measured", "centreline")
        if entry.unit == "" and unit:
            self.fault(f"{place}.unit", f"'{unit}'", "no unit, as the column holds no numbers")
        elif entry.unit and not unit and working_unit(entry):
            self.fault(place, "no unit", f'unit = "{working_unit(entry)}", or the sheet\'s own')
        elif not isinstance(unit, str) or (unit and not known_unit(entry, unit)):
            self.fault(f"{place}.unit", f"'{unit}'", f"a unit such as {working_unit(entry)}")
        if measured not in MEASURED or ("radius" not in entry.name and "measured" in values):
            self.fault(f"{place}.measured", f"'{measured}'", "centreline or inside, of a radius")
        fill_down = values.get("fill_down", False)
        if not isinstance(fill_down, bool):
            self.fault(f"{place}.fill_down", f"'{fill_down}'", "true or false")
        heading = " ".join(values["heading"].split())
        return MappedColumn(table, entry, heading, str(unit), bool(fill_down), str(measured))

    def constants(
        self, entries: Any, place: str, only: CatalogueFile | None = None
    ) -> dict[str, str]:
        if not isinstance(entries, dict):
            self.fault(place, f"'{entries}'", f"a table [{place}]")
            return {}
        made = {}
        for name, value in entries.items():
            found = self.field_named(name, f"{place}.{name}")
            if found is None:
                continue
            if only is not None and found[0] is not only:
                self.fault(f"{place}.{name}", f"'{name}'", f"a column of {only.file}")
            made[found[1].name] = self.constant(value, f"{place}.{name}", found[1])
        return made

    def constant(self, value: Any, place: str, entry: CatalogueField) -> str:
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, list) and all(isinstance(word, str) for word in value):
            return ("|" if entry.kind == "alternatives" else ";").join(value)
        if not isinstance(value, (str, int, float)):
            self.fault(place, f"'{value}'", "a text, a number, or true or false")
            return ""
        return str(value)

    def words(self, entries: Map[str, Any]) -> dict[str, dict[str, str]]:
        made: dict[str, dict[str, str]] = {}
        for name, pairs in entries.items():
            found = self.field_named(name, f"words.{name}")
            if found is None:
                continue
            if not isinstance(pairs, dict) or not all(isinstance(w, str) for w in pairs.values()):
                self.fault(f"words.{name}", f"'{pairs}'", '"word of the sheet" = "word"')
                continue
            made[found[1].name] = {" ".join(k.split()).casefold(): w for k, w in pairs.items()}
        return made

    def text(self, sheet: Map[str, Any], key: str) -> str:
        value = sheet.get(key, "")
        if not isinstance(value, str):
            self.fault(f"sheet.{key}", f"'{value}'", "a text")
            return ""
        return value

    def word(self, sheet: Map[str, Any], key: str, allowed: tuple[str, ...]) -> str:
        value = self.text(sheet, key)
        if value not in allowed:
            self.fault(f"sheet.{key}", f"'{value}'", " or ".join(w for w in allowed if w))
            return ""
        return value

    def separator(self, sheet: Map[str, Any]) -> str:
        value = self.text(sheet, "separator")
        if len(value) > 1 or value in {'"', "\n", "\r"}:
            self.fault("sheet.separator", f"'{value}'", "one sign, such as ';' or '\\t'")
            return ""
        return value

    def headings(self, sheet: Map[str, Any]) -> tuple[int, int]:
        value = sheet.get("headings", 0)
        first, dash, last = str(value).partition("-")
        if isinstance(value, (int, str)) and first.strip().isdecimal():
            start = int(first)
            end = int(last) if last.strip().isdecimal() else start
            if start <= end and (not dash or last.strip().isdecimal()):
                return start, end
        self.fault("sheet.headings", f"'{value}'", 'a line such as 3, or lines such as "3-4"')
        return 0, 0

    def skip_lines(self, sheet: Map[str, Any]) -> frozenset[int]:
        value = sheet.get("skip_lines", [])
        if not isinstance(value, list) or not all(type(line) is int for line in value):
            self.fault("sheet.skip_lines", f"'{value}'", "line numbers such as [12, 30]")
            return frozenset()
        return frozenset(value)

    def not_stated(self, sheet: Map[str, Any]) -> frozenset[str]:
        value = sheet.get("not_stated", list(NOT_STATED))
        if not isinstance(value, list) or not all(isinstance(word, str) for word in value):
            self.fault("sheet.not_stated", f"'{value}'", 'words such as ["-", "n/a"]')
            return frozenset()
        return frozenset(" ".join(word.split()).casefold() for word in value)
