"""Plain numbers in working units back to text, in metric units, inch units or both.

No pint here: what is printed for every hose must cost nothing. The constants are those of
`units.txt`.
"""

from __future__ import annotations

import math

from hoseselect.quantities.conversion import definition_figure
from hoseselect.quantities.kinds import kind_named

_DECIMALS = {"count": 0, "money": 2}
_SIXTEENTHS = 16
_MOST_DECIMALS = 9


def format_quantity(
    value: float, kind: str, units: str = "mm", *, decimals: int | None = None
) -> str:
    """Return a value with its unit, as `read_quantity` reads it back.

    Lengths in inches are given to the nearest sixteenth, those below a sixteenth as a decimal.
    Other figures have one decimal; below one, two figures that count.

    Parameters
    ----------
    value : the figure; NaN is "unknown", infinity "no limit" [working unit]
    kind : length, pressure, temperature, ...
    units : "mm" for metric, "in" for inch units, "both" for metric with inch units in brackets
    decimals : of the metric figure; default as above

    Raises
    ------
    KnowledgeError : there is no such kind

    Examples
    --------
    >>> format_quantity(465.0, "length", "both")
    '465 mm (18 5/16 in)'
    >>> format_quantity(110.0, "temperature", "both")
    '110 °C (230 °F)'
    """
    asked = kind_named(kind)
    if math.isnan(value):
        return "unknown"
    if math.isinf(value):
        return "no limit"
    gap = "" if asked.sign == "°" else " "
    metric = f"{figure_text(value, kind, decimals)}{gap}{asked.sign}".strip()
    if units == "mm":
        return metric
    inch = _inch_units(value, kind)
    if not inch:
        return metric
    return inch if units == "in" else f"{metric} ({inch})"


def figure_text(value: float, kind: str, decimals: int | None = None) -> str:
    """Return the figure alone, without zeros that say nothing.

    Parameters
    ----------
    value : the figure [working unit]
    kind : length, pressure, temperature, ...
    decimals : at most so many; default as in `format_quantity`
    """
    if kind == "money":
        return f"{value:.2f}"
    return _short(value, _DECIMALS.get(kind, 1) if decimals is None else decimals, decimals is None)


def nearest_fraction(inches: float, denominator: int = _SIXTEENTHS) -> str:
    """Return inches as a whole number and a reduced fraction, without a unit.

    Parameters
    ----------
    inches : the length [in]
    denominator : finest division [-]

    Examples
    --------
    >>> nearest_fraction(18.3)
    '18 5/16'
    """
    parts = round(abs(inches) * denominator)
    whole, top = divmod(parts, denominator)
    sign = "-" if inches < 0 and parts else ""
    if not top:
        return f"{sign}{whole}"
    common = math.gcd(top, denominator)
    fraction = f"{top // common}/{denominator // common}"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"


def _short(value: float, decimals: int, widen: bool) -> str:
    if widen and 0 < abs(value) < 1:
        decimals = min(_MOST_DECIMALS, max(decimals, 1 - math.floor(math.log10(abs(value)))))
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _inch_units(value: float, kind: str) -> str:
    """Return the figure in inch units; empty where the kind has none."""
    inch = definition_figure("inch")
    pound_force = definition_figure("pound") * definition_figure("standard_gravity")  # N
    if kind == "length":
        inches = value / inch
        if 0 < abs(inches) < 1 / _SIXTEENTHS:
            return f"{_short(inches, 1, True)} in"
        return f"{nearest_fraction(inches)} in"
    if kind == "temperature":  # units.txt, degree_Fahrenheit
        return f"{_short(value * 9 / 5 + 32, 1, True)} °F"
    factors = {
        "pressure": (inch**2 / (1000 * pound_force), "psi"),
        "flow": (1e6 / (definition_figure("us_gallon") * inch**3), "US gal/min"),
        "torque": (1000 / (pound_force * inch), "lbf in"),
        "force": (1 / pound_force, "lbf"),
    }
    if kind not in factors:
        return ""
    factor, sign = factors[kind]
    return f"{_short(value * factor, 1, True)} {sign}"
