"""Units of a sheet's numbers: which a column may have, and reading a cell through the door."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from hoseselect.catalogue.file_form import CatalogueField
from hoseselect.knowledge.errors import InputError, SideNeededError
from hoseselect.quantities.exact import MILLIMETRES_PER_METRE
from hoseselect.quantities.heading_units import is_unit
from hoseselect.quantities.read import read_quantity

KIND_OF_UNIT = {
    "mm": "length",
    "m": "length",
    "kPa": "pressure",
    "degC": "temperature",
    "deg": "angle",
    "Shore A": "hardness",
    "money": "money",
}
"""Kind of figure of each unit that a catalogue uses."""

DECIMALS_KEPT = 6
"""Decimals of a figure in the unit of the catalogue; what lies behind them is conversion dust."""

_BARE = re.compile(r"[-+−]?[0-9.,'\s/]+")
_SUCTION_WORDS = re.compile(r"\b(vacuum|vac|suction|depression)\b", re.IGNORECASE)


def working_unit(field: CatalogueField) -> str:
    """Return the unit in which the catalogue keeps a column, "" where none has to be named."""
    return "" if field.unit in {"", "money", "Shore A"} else field.unit


def known_unit(field: CatalogueField, unit: str) -> bool:
    """Return whether a column's numbers may be in a unit.

    A price of a metre may be given for a length: unit "ft" is the price of a foot.
    """
    if field.name == "price_per_m":
        return _readable(f"1 {unit}", "length")
    words = _SUCTION_WORDS.sub(" ", unit) if KIND_OF_UNIT[field.unit] == "pressure" else unit
    if field.unit == "money" or not words.strip():
        return False
    return _readable(f"1 {unit}", KIND_OF_UNIT[field.unit])


def _readable(text: str, kind: str) -> bool:
    try:
        return not math.isnan(read_quantity(text, kind, ""))
    except SideNeededError:
        return True
    except InputError:
        return False


def read_number(text: str, field: CatalogueField, unit: str, decimal: str) -> float:
    """Return a cell as a number in the unit of the catalogue; NaN where it says unknown.

    Parameters
    ----------
    text : the cell; a unit written in it goes before the column's
    field : column of the catalogue
    unit : unit of the column's bare numbers
    decimal : "point", "comma", or "" where the cell is read by itself

    Raises
    ------
    InputError
        when the cell cannot be read, or lies outside the limits of the column; place is empty.
    """
    figure = _one_decimal_sign(text, decimal)
    kind = KIND_OF_UNIT[field.unit]
    if field.name == "price_per_m":
        price = read_quantity(figure, kind, "")
        length = read_quantity(f"1 {unit or 'm'}", "length", "") / MILLIMETRES_PER_METRE
        return _within(round(price / length, DECIMALS_KEPT), field, text)
    bare = _BARE.fullmatch(figure) and unit
    if bare and figure.lstrip().startswith(("-", "−")) and _SUCTION_WORDS.search(unit):
        unit = _SUCTION_WORDS.sub(" ", unit).strip()  # the sign says suction already
    value = read_quantity(f"{figure} {unit}" if bare else figure, kind, "")
    if field.unit == "m":
        # without any unit the door takes millimetres; a roll's column always has a unit
        value /= MILLIMETRES_PER_METRE
    return _within(round(value, DECIMALS_KEPT), field, text)


def number_text(value: float) -> str:
    """Return a number as it is written into a catalogue; "" for NaN.

    Examples
    --------
    >>> number_text(9.525), number_text(20.0), number_text(float("nan"))
    ('9.525', '20', '')
    """
    return "" if math.isnan(value) else f"{round(value, DECIMALS_KEPT):.12g}"


def _one_decimal_sign(text: str, decimal: str) -> str:
    """Return the text with a decimal point and no mark for thousands, where that is settled."""
    if decimal == "comma":
        return re.sub(r"(?<=\d)[.' ](?=\d{3}\b)", "", text).replace(",", ".")
    if decimal == "point":
        return re.sub(r"(?<=\d)[,' ](?=\d{3}\b)", "", text)
    return text


def _within(value: float, field: CatalogueField, text: str) -> float:
    """Return a number that a column may hold.

    Raises
    ------
    InputError
        when it may not; place is empty.
    """
    if math.isnan(value):
        return value
    unit = "" if field.unit == "money" else f" {field.unit}"
    if not value > field.above and math.isfinite(field.above):
        raise InputError("", f"'{text}'", f"more than {field.above:g}{unit}")
    if value < field.minimum:
        raise InputError("", f"'{text}'", f"at least {field.minimum:g}{unit}")
    if value > field.maximum:
        hint = "; suction is negative, or its unit is such as 'bar vacuum'"
        end = hint if KIND_OF_UNIT[field.unit] == "pressure" else ""
        raise InputError("", f"'{text}'", f"at most {field.maximum:g}{unit}{end}")
    return value


def unit_in_heading(heading: str, field: CatalogueField) -> str:
    """Return the unit that a heading names, "" where it names none that fits the column.

    Examples
    --------
    >>> from hoseselect.catalogue.file_form import length
    >>> unit_in_heading("Inside dia. (in)", length("bore_mm", "bore"))
    'in'
    """
    if field.unit in {"", "money", "Shore A"} and field.name != "price_per_m":
        return ""
    kind = "length" if field.name == "price_per_m" else KIND_OF_UNIT[field.unit]
    heading = heading.replace("_", " ")
    for candidate in _unit_candidates(heading):
        for word in (candidate, re.sub(r"^(?:in|per)\s+|^[^/]*/", "", candidate)):
            bare = word.strip(" .:")
            if is_unit(bare, kind):
                return bare
    return ""


def _unit_candidates(heading: str) -> Iterator[str]:
    """Yield what may be the unit of a heading: what stands in brackets, then its last words."""
    brackets = re.findall(r"[(\[]([^)\]]+)[)\]]", heading)
    yield from (text.strip() for text in brackets)
    yield from re.findall(r"(?:per|/|,|\bin)\s*([^\s,;/()\[\]]+)\s*$", heading)
    words = re.sub(r"[()\[\]]", " ", heading).split()
    yield from (" ".join(words[-count:]) for count in (3, 2, 1) if len(words) > count)
    for text in brackets:
        yield from (word for word in reversed(re.split(r"[\s,;]+", text)) if word != "in")


def side_needed(unit: str) -> bool:
    """Return whether figures in a unit of pressure may be a vacuum or a pressure, as inHg may."""
    try:
        read_quantity(f"1 {unit}", "pressure", "")
    except SideNeededError:
        return True
    except InputError:
        return False
    return False
