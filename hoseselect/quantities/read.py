"""The door where units come in: text to plain numbers in working units, and back.

Working units: length mm, pressure kPa gauge, temperature degC, angle deg, flow L/min, torque N m,
force N, hardness Shore A. A number without a unit is in the working unit. "unknown" is NaN.

Pressures are gauge pressures: zero is the air outside, suction is negative. "22 inHg vacuum",
"22 inHg suction" and "-22 inHg" all mean 22 inches of mercury below it. An absolute pressure is
refused, as its gauge value hangs on the air pressure of the place and day. Columns of mercury,
torr and atmospheres without a sign or such a word are asked about: workshops use them for vacuum.

How odd figures are read is decided in `numerals`, which units are known in `unit_words`.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache

from hoseselect.knowledge.errors import InputError, NoFigureError
from hoseselect.quantities.conversion import convert
from hoseselect.quantities.figure_field import FigureField
from hoseselect.quantities.figure_text import format_quantity, nearest_fraction
from hoseselect.quantities.fractions import trade_denominators
from hoseselect.quantities.kinds import Kind, kind_named, strange_unit
from hoseselect.quantities.length_words import (
    bare_fraction_unit,
    dash_size,
    feet_and_inches,
    without_around,
)
from hoseselect.quantities.numerals import Figure, find_figure
from hoseselect.quantities.pressure_words import pressure_unit
from hoseselect.quantities.spelling import answer, is_unknown, plain_text, unit_key
from hoseselect.quantities.told_twice import first_of_two

__all__ = [
    "format_quantity",
    "nearest_fraction",
    "read_answer",
    "read_quantity",
]

_LONGEST = 60
_METRIC = {"millimeter", "centimeter"}
_QUICK = {
    "length": re.compile(r"([0-9]+(?:\.[0-9]+)?) ?(?:mm)?"),
    "pressure": re.compile(r"(-?[0-9]+(?:\.[0-9]+)?) ?(?:kPa)?"),
    "temperature": re.compile(r"(-?[0-9]+(?:\.[0-9]+)?) ?(?:°C|degC|C)?"),
}


def read_quantity(
    text: str | float,
    kind: str,
    place: str,
    *,
    minimum: float | None = None,
    maximum: float | None = None,
    around_allowed: bool = False,
    dash_means: str = "either",
    decimal: str = ".",
) -> float:
    """Read one typed figure into the working unit of its kind.

    Parameters
    ----------
    text : what was typed, or a number in the working unit; NaN is unknown
    kind : length, pressure, temperature, angle, flow, torque, force, hardness, count or money
    place : name of the field, for complaints
    minimum : least value allowed; default is the natural limit of the kind [working unit]
    maximum : greatest value allowed; default is the natural limit of the kind [working unit]
    around_allowed : the field is a diameter, and a string's length round it may stand for it
    dash_means : what a dash size in this field must be: "bore", "tube", "either" or "nothing"
    decimal : "," where what is typed is known to have decimal commas, as a sheet may; then a point
        before three digits is asked about

    Returns
    -------
    the value, NaN where it is unknown [working unit]

    Raises
    ------
    InputError : the text cannot be read, has two readings, measures something else, or lies
        outside the limits
    KnowledgeError : there is no such kind

    Examples
    --------
    >>> read_quantity("3/8 in", "length", "bore")
    9.525
    >>> read_quantity("-65 kPa", "pressure", "pressure_min")
    -65.0
    """
    asked = kind_named(kind)
    field = FigureField(
        kind,
        asked.minimum if minimum is None else minimum,
        asked.maximum if maximum is None else maximum,
        around_allowed,
        dash_means,
        decimal,
    )
    try:
        if isinstance(text, bool):
            raise InputError("", f"'{text}'", asked.example)
        if not isinstance(text, str):
            return field.within(_float(text), str(text)[:_LONGEST])
        return _read(text, field)
    except InputError as error:
        raise error.at(place) from None


def read_answer(text: str | float, place: str) -> str:
    """Read a typed answer as "yes", "no" or "unknown".

    Parameters
    ----------
    text : what was typed: yes/no, y/n, true/false, 1/0, "don't know", "?" or nothing
    place : name of the field, for complaints

    Raises
    ------
    InputError : the text is none of these
    """
    if isinstance(text, str):
        read = answer(text)
    elif math.isnan(text):
        read = "unknown"
    else:
        read = {1.0: "yes", 0.0: "no"}.get(float(text), "")
    if not read:
        raise InputError(place, f"'{text}'", "'yes', 'no' or 'unknown'")
    return read


@lru_cache(maxsize=4096)
def _read(text: str, field: FigureField) -> float:
    asked = field.asked
    quick = _QUICK[field.kind].fullmatch(text) if field.kind in _QUICK else None
    if quick and field.decimal == ".":
        return field.within(float(quick[1]), text)
    if len(text) > _LONGEST:
        raise InputError("", f"'{text[:_LONGEST]}...'", asked.example)
    if is_unknown(text):
        return math.nan
    plain, divisor = plain_text(text), 1.0
    if field.kind == "length":
        value, plain, divisor = _read_length(plain, field, text)
        if not math.isnan(value):
            return value
    figure = _figure(plain, asked, text, field.decimal)
    unit, sign = _unit(figure, asked, text)
    readings = [figure.value] if math.isnan(figure.other) else [figure.value, figure.other]
    values = [
        convert(-abs(reading) if sign < 0 else reading, unit, asked.working) / divisor
        for reading in readings
    ]
    return field.choose(values, figure, unit, text)


def _float(number: float) -> float:
    try:
        return float(number)
    except OverflowError:
        return math.inf


def _figure(plain: str, asked: Kind, text: str, decimal: str) -> Figure:
    try:
        return find_figure(plain, decimal)
    except NoFigureError:
        raise NoFigureError("", f"'{text}'", f"{asked.example}, or 'unknown'") from None


def _read_length(plain: str, field: FigureField, text: str) -> tuple[float, str, float]:
    """Return a length that only a length can be typed as (else NaN), text left, and divisor."""
    dash = dash_size(plain, field.dash_means, negative_allowed=field.minimum < 0)
    if not math.isnan(dash):
        return field.within(convert(dash, "dash_size", "millimeter"), text), plain, 1.0
    if field.around_allowed:
        told, value = first_of_two(plain, lambda one: _read(one, field))
        if told:
            return value, plain, 1.0
    plain, divisor = without_around(plain, field.around_allowed, field.dash_means)
    feet, inches = feet_and_inches(plain)
    if math.isnan(feet):
        return math.nan, plain, divisor
    millimeters = convert(feet, "foot", "millimeter") + convert(inches, "inch", "millimeter")
    return field.within(round(millimeters, 9) / divisor, text), plain, divisor


def _unit(figure: Figure, asked: Kind, text: str) -> tuple[str, int]:
    """Return the unit, and -1 where a word says suction (0 where none does)."""
    if asked.name == "pressure":
        unit, sign = pressure_unit(figure, asked, text)
    else:
        words, sign = figure.tail, 0
        if asked.name == "hardness" and not words:
            words = figure.front
        elif figure.front:
            raise InputError("", f"'{text}'", f"only a figure and a unit: {asked.example}")
        key = unit_key(words)
        if key and key not in asked.words:
            raise InputError("", strange_unit(text, key), asked.example)
        unit = asked.words[key] if key else asked.working
    if figure.denominator:
        unit = _unit_of_fraction(figure, unit, asked, text)
    return unit, sign


def _unit_of_fraction(figure: Figure, unit: str, asked: Kind, text: str) -> str:
    """Return the unit of a fraction that the trade writes so; a range is none.

    Raises
    ------
    InputError
        where no workshop writes such a fraction, or there is no unit.
    """
    if not unit_key(figure.tail):
        if asked.name == "length":
            return bare_fraction_unit(figure, text)
        raise InputError("", f"'{text}', a fraction without a unit", asked.example)
    if unit in _METRIC:
        raise InputError(
            "", f"'{text}', a fraction of a metric unit", "inches, or a decimal such as 9.5 mm"
        )
    if unit == "foot" and figure.tail == "'":
        raise InputError("", f"'{text}', where one ' means feet", "'' or in for inches, or ft")
    if figure.denominator not in trade_denominators(unit, mixed=figure.mixed):
        raise InputError(
            "",
            f"'{text}', which may be a range or a fraction",
            f"one figure as a decimal, of a range the harsher end; {asked.example}",
        )
    return unit
