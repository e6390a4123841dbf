"""Figures without a unit that lie far outside what is usual: read back with their likely units.

A figure whose unit is typed is believed, unusual or not; heat that is far too mild is told back as
a check. A bare pressure is asked about wherever a larger unit gives one that may be meant: the
answer to the milder of the two would be wrong. What is usual of a service stands in `service_duty`,
what is usual of lengths in `plausible_lengths`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache
from typing import Any

from hoseselect.intake.door import LONGEST, MOST_KEPT, VACUUM, WIDEST
from hoseselect.intake.questions import asked
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit, table
from hoseselect.quantities.conversion import convert
from hoseselect.quantities.figure_text import format_quantity
from hoseselect.quantities.read import read_quantity
from hoseselect.quantities.spelling import plain_text

PRESSURES = ("pressure_min", "pressure_max", "pressure_spike")
TEMPERATURES = ("fluid_steady", "fluid_peak", "air_steady", "air_peak", "coldest_start")
HEAT = TEMPERATURES[:-1]
LENGTHS = {
    "nipples": ("outside_diameter", "bead_diameter", "usable_length", "engagement"),
    "nipple_a": ("outside_diameter", "bead_diameter", "usable_length", "engagement"),
    "nipple_b": ("outside_diameter", "bead_diameter", "usable_length", "engagement"),
    "route": ("measured", "tightest_radius", "supports"),
    "": ("original_bore",),
}
DIAMETERS = ("outside_diameter", "bead_diameter", "original_bore")
LENGTH_KEYS = tuple(
    (name, f"{group}.{name}".lstrip(".")) for group, names in LENGTHS.items() for name in names
)
PRESSURE_KEYS = tuple((field, f"duty.{field}") for field in PRESSURES)
TEMPERATURE_KEYS = tuple((field, f"duty.{field}") for field in TEMPERATURES)
NUMBER = re.compile(r"(?:minus )?[-+]?[0-9.,'\s/]+(?:e[-+]?[0-9]+)?", re.IGNORECASE)
DEGREES = re.compile(r"\s*(?:°|deg|degrees?)\s*$", re.IGNORECASE)
PRESSURE_UNITS = {
    "bar": "bar",
    "psi": "pound_per_square_inch",
    "inHg": "inch_of_mercury",
    "mbar": "millibar",
}
TEMPERATURE_UNITS = {"degF": "degree_Fahrenheit", "K": "kelvin"}
FINE = 5.0  # kPa: lines whose usual pressures are that small are measured finer
NEAR = 10.0  # degC: another unit fits where it comes so near to what is usual

Typed = Callable[[str], Any]


def typed_in(values: Mapping[str, Any]) -> Typed:
    """Return a function that gives what was typed at a dotted key, None where nothing was."""

    def typed(key: str) -> Any:
        found: Any = values
        for part in key.split("."):
            found = found.get(part) if isinstance(found, Mapping) else None
        return found

    return typed


def implausible(service: str, typed: Typed, units: str = "mm") -> tuple[InputError, ...]:
    """Return a question for every bare figure that is far outside what is usual.

    Parameters
    ----------
    service : id of the service or stop
    typed : gives what was typed at a dotted key, as `typed_in` does
    units : "in" where people think in inch units: bare pressures and temperatures are asked about
    """
    return tuple(_questions(service, typed, units))


def _questions(service: str, typed: Typed, units: str) -> Iterator[InputError]:
    for field, key in PRESSURE_KEYS:
        text = typed(key)
        if text is not None and is_bare(text):
            yield from _pressure(service, field, text, units == "in")
    for field, key in TEMPERATURE_KEYS:
        text = typed(key)
        if text is not None and is_bare(text, degrees=True):
            yield from _temperature(service, field, text, units == "in")
    for name, key in LENGTH_KEYS:
        text = typed(key)
        if text is not None and is_bare(text):
            yield from _length(key, name, text)


def is_bare(text: Any, *, degrees: bool = False) -> bool:
    """Return whether a typed figure has no unit.

    Parameters
    ----------
    text : as typed
    degrees : whether a word for degrees alone is no unit either, as with temperatures
    """
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        return False
    if not isinstance(text, str):
        return isinstance(text, int) or not math.isnan(text)
    return _is_number(text, degrees)


@lru_cache(maxsize=MOST_KEPT)
def _is_number(text: str, degrees: bool) -> bool:
    plain = plain_text(text)
    return NUMBER.fullmatch(DEGREES.sub("", plain) if degrees else plain) is not None


@lru_cache(maxsize=MOST_KEPT)
def _pressure(service: str, field: str, text: Any, inches: bool) -> tuple[InputError, ...]:
    value = read_quantity(text, "pressure", "")
    ends = _usual(service, field) or (0.0, 0.0)
    low, high = sorted(map(abs, ends))
    size = abs(value)
    if size == 0:
        return ()
    fitting = [
        unit
        for unit, name in PRESSURE_UNITS.items()
        if (low or FINE) <= abs(convert(value, name, "kilopascal")) <= high
        and (value < 0 or unit != "inHg")
    ]
    factor = limit("unusual-factor") if fitting else limit("unusual-factor-any")
    far = size < low / factor or (bool(fitting) and size > max(high, FINE) * factor)
    harsher = _harsher(value, high)
    if not far and not harsher and not inches:
        return ()
    others = [unit for unit in PRESSURE_UNITS if unit in fitting or unit in harsher]
    others = others or ["bar", "psi"]
    likely = not far and low <= size <= high
    return (_read_back(f"duty.{field}", text, "pressure", value, others, likely=likely),)


def _harsher(value: float, high: float) -> list[str]:
    """Return the larger units in which a bare pressure or suction is still one that may be meant.

    Up to a little above what is usual of the line; and, whatever the line, up to the highest boost
    and to a full vacuum. Nobody can tell such a figure from one in kPa, and it loads the hose more.
    """
    units: tuple[str, ...] = ("bar", "psi", "inHg") if value < 0 else ("bar", "psi")
    most = -VACUUM
    if value > 0:
        most = max(high * limit("bare-pressure-share"), limit("bare-pressure-any-line"))
    sizes = {unit: abs(convert(value, PRESSURE_UNITS[unit], "kilopascal")) for unit in units}
    if min(sizes.values()) > most:
        return []
    return [unit for unit, size in sizes.items() if value > 0 or size <= most]


@lru_cache(maxsize=MOST_KEPT)
def _temperature(service: str, field: str, text: Any, inches: bool) -> tuple[InputError, ...]:
    value = read_quantity(text, "temperature", "")
    ends = _usual(service, field)
    mild = field in HEAT and is_mild(service, field, value)
    unusual = limit("unusual-temperature")
    fitting = []
    if ends is not None and (mild or inches or value > max(ends) + unusual):
        fitting = [
            unit
            for unit, name in TEMPERATURE_UNITS.items()
            if min(ends) - NEAR <= convert(value, name, "degree_Celsius") <= max(ends) + NEAR
        ]
    if field == "coldest_start" and ends is not None and min(ends) <= -value <= max(ends):
        return (_without_minus(f"duty.{field}", text),)
    far = ends is not None and value > max(ends) + (unusual if fitting else 2 * unusual)
    if not far and not mild and not inches:
        return ()
    return (_read_back(f"duty.{field}", text, "temperature", value, fitting or ["degF"]),)


def is_mild(service: str, field: str, value: float) -> bool:
    """Return whether a temperature is too low to be the heat of such a line in its worst hour.

    So is today's air, or a line that was felt with the engine cold.

    Parameters
    ----------
    service : id of the service or stop
    field : of the heat
    value : [degC]; NaN is not
    """
    ends = _usual(service, field)
    return ends is not None and value < min(ends) - limit("mild-temperature")


def _without_minus(key: str, text: Any) -> InputError:
    """Return the question whether a coldest start is so much above or below freezing."""
    figure = DEGREES.sub("", str(text).strip())
    found = f"'{text}' without a unit, read as that many degrees above freezing"
    return asked((key,), found, f"'-{figure} degC', or '{figure} degC' where it never freezes")


def _usual(service: str, field: str) -> tuple[float, float] | None:
    """Return the usual ends of a duty of a service; None where none is known."""
    duty = table("service_duty")
    for name in (field, "pressure_max") if field == "pressure_spike" else (field,):
        if duty.has(service=service, field=name):
            row = duty.row(service=service, field=name)
            return row.number("favourable"), row.number("adverse")
    return None


@lru_cache(maxsize=MOST_KEPT)
def _length(key: str, name: str, text: Any) -> tuple[InputError, ...]:
    most = WIDEST if name in DIAMETERS else LONGEST
    try:
        value = read_quantity(text, "length", "", maximum=most, around_allowed=True)
    except InputError:  # its own field says what is wrong with it
        return ()
    row = table("plausible_lengths").row(key=name)
    if value == 0 or row.number("least") <= value <= row.number("most"):
        return ()
    return (_read_back(key, text, "length", value, ["in", "cm", "m"]),)


def _read_back(
    key: str, text: Any, kind: str, value: float, others: list[str], *, likely: bool = False
) -> InputError:
    """Return the question for the unit of a figure, which may be a likely one as it was read."""
    figure = DEGREES.sub("", str(text).strip()) if kind == "temperature" else str(text).strip()
    why = "which may be meant so or not" if likely else "which is not usual here"
    signs = {"pressure": "kPa", "temperature": "degC", "length": "mm"}
    *first, last = (f"'{figure} {unit}'" for unit in (signs[kind], *others))
    choices = f"{', '.join(first)} or {last}"
    return asked(
        (key,),
        f"'{text}' without a unit, read as {format_quantity(value, kind)}, {why}",
        f"the figure with its unit: {choices}",
    )
