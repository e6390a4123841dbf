"""A draft of a mapping from the headings of a sheet."""

from __future__ import annotations

from collections.abc import Iterator

from hoseselect.catalogue.file_form import CatalogueField
from hoseselect.catalogue.supplier.cells import CellReader
from hoseselect.catalogue.supplier.heading_fit import NOT_FOR, best_columns, reason_left
from hoseselect.catalogue.supplier.heading_words import likeness
from hoseselect.catalogue.supplier.headings import MOST_LINES, SAMPLE, Headings, headings_on
from hoseselect.catalogue.supplier.mapping import (
    LISTS,
    NOT_STATED,
    MappedColumn,
    Mapping,
    short_name,
)
from hoseselect.catalogue.supplier.sheet import SupplierSheet
from hoseselect.catalogue.supplier.units import side_needed, unit_in_heading, working_unit
from hoseselect.files.toml_file import quoted
from hoseselect.knowledge.errors import InputError

MOST_WORDS = 40
"""Words of one column that a draft lists at most."""

FIRST = ("bore_mm", "outside_diameter_mm", "hose_type", "hose_size")


def suggest_mapping(sheet: SupplierSheet, lists: str = "hoses") -> str:
    """Return a draft of a mapping in TOML; what cannot be told is marked to be looked at.

    Parameters
    ----------
    sheet : the sheet
    lists : what it lists: hoses, clamps, fittings or rolls

    Raises
    ------
    InputError
        when no heading of the sheet is known.
    """
    fields = {field.name: field for table in LISTS[lists] for field in table.fields}
    headings = _headings(sheet, list(fields))
    names = _usable_names(headings)
    order = [*(name for name in FIRST if name in fields), *fields]
    found = best_columns(names, list(dict.fromkeys(order)))
    if not found:
        raise InputError(sheet.file, "no heading that is known", "a line of headings")
    return "\n".join(_lines(sheet, lists, fields, headings, names, found)) + "\n"


def _headings(sheet: SupplierSheet, columns: list[str]) -> Headings:
    """Return the rows whose cells look most like headings; the fewest lines among equals."""
    best, most = headings_on(sheet, range(0)), 0.0
    for count in range(1, MOST_LINES + 1):
        for first in range(min(SAMPLE, len(sheet.rows) - count + 1)):
            found = headings_on(sheet, range(first, first + count))
            score = sum(
                max(likeness(name, column) for column in columns) for name in found.names if name
            )
            if score > most + count - 1:
                best, most = found, score
    return best


def _usable_names(headings: Headings) -> list[str]:
    """Return the headings that stand once."""
    return [name for name in headings.names if name and len(headings.places(name)) == 1]


def _lines(
    sheet: SupplierSheet,
    lists: str,
    fields: dict[str, CatalogueField],
    headings: Headings,
    names: list[str],
    found: dict[str, str],
) -> Iterator[str]:
    yield f"# Draft of a mapping for {sheet.file}. Look at every line marked LOOK first."
    yield "[sheet]"
    yield f'lists = "{lists}"'
    numbers = [sheet.numbers[row] for row in headings.rows]
    yield (
        f"headings = {numbers[0]}"
        if len(numbers) == 1
        else f'headings = "{numbers[0]}-{numbers[-1]}"'
    )
    yield '# decimal = "comma"     # where a comma parts decimals and not thousands'
    yield ""
    yield "[columns]"
    words: list[tuple[CatalogueField, list[str]]] = []
    for name, field in fields.items():
        if name in found:
            yield _column(field, found[name], sheet, headings)
            unknown = _unknown_words(field, found[name], sheet, headings)
            if unknown:
                words.append((field, unknown))
    for name in names:
        if name not in found.values():
            reason = reason_left(name, fields)
            look = ("LOOK: ", f": {reason}") if reason else ("", "")
            yield f"# {look[0]}not mapped: {quoted(name)}{look[1]}"
    missing = [short_name(f) for f in fields.values() if f.required and f.name not in found]
    if missing:
        yield f"# LOOK: no heading for {', '.join(missing)}; name one, or put it under [constants]"
    yield ""
    yield "[constants]"
    yield '# made_for_clamps = "yes"     # the same value for every row'
    for field, unknown in words:
        yield ""
        yield f"[words.{field.name}]   # LOOK: put the catalogue's word on the right"
        for word in unknown:
            yield f'{quoted(word)} = ""'


def _column(field: CatalogueField, heading: str, sheet: SupplierSheet, headings: Headings) -> str:
    parts = [f"heading = {quoted(heading)}"]
    look = ""
    unit = unit_in_heading(heading, field)
    if unit and field.name.startswith("suction") and side_needed(unit):
        parts.append(f"unit = {quoted(f'{unit} vacuum')}")
        look = "     # LOOK: taken for suction, with or without a sign"
    elif unit:
        parts.append(f"unit = {quoted(unit)}")
        if field.name.startswith("suction"):
            look = '     # LOOK: suction is negative; "kPa vacuum" takes figures without a sign'
    elif working_unit(field):
        parts.append(f'unit = "{working_unit(field)}"')
        look = "     # LOOK: the heading names no unit"
    if field.name == "least_bend_radius_mm":
        parts.append('measured = "centreline"')
        look += '     # LOOK: or "inside" of the bend'
    if field.name == NOT_FOR:
        look += "     # LOOK: fluids that the maker excludes"
    place = headings.places(heading)[0]
    if place in sheet.hidden_columns:
        look += "     # LOOK: a hidden column"
    return f"{short_name(field)} = {{{', '.join(parts)}}}{look}"


def _unknown_words(
    field: CatalogueField, heading: str, sheet: SupplierSheet, headings: Headings
) -> list[str]:
    """Return the words of a column that the catalogue does not know, in order."""
    if field.kind not in {"choice", "listed", "alternatives"}:
        return []
    place = headings.places(heading)[0]
    column = MappedColumn(LISTS["hoses"][0], field, heading)
    reader = CellReader(field, "", Mapping("draft", (), {field.name: column}))
    unknown: dict[str, None] = {}
    for row in range(headings.rows.stop, len(sheet.rows)):
        text = sheet.rows[row][place]
        if text and text.casefold() not in NOT_STATED:
            try:
                reader.read(text)
            except InputError:
                unknown.setdefault(text)
    return list(unknown)[:MOST_WORDS]
