"""Figures as people type them: decimals with point or comma, thousands, fractions.

What is decided here, and why:

- A point is the decimal sign ("9.525"); several points can only part thousands ("1.250.000").
- A comma before one, two or more than three digits is a decimal sign ("9,5", "0,525").
- A comma before exactly three digits has two readings ("1,250"); both are handed back, the limits
  of the field may rule one out, and otherwise the user is asked. A leading zero or a point in the
  same figure settles it ("0,525", "1,250.5").
- Where the decimal sign is known to be the comma (a sheet that is written so), a point before
  exactly three digits has two readings as well ("1.250"). Elsewhere a length of a job is asked
  about where only its reading as thousands is usual (`intake/parted_thousands.py`).
- A space parts thousands where groups of three follow ("20 000"), as in ISO 80000-1.
- "11/4" may be eleven quarters or a crowded 1 1/4: the user is asked.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from hoseselect.knowledge.errors import InputError, NoFigureError

_FIGURE = re.compile(
    r"""(?P<sign>[+-]?)\s*
    (?: (?: (?P<whole>[0-9]+) [ -] )? (?P<top>[0-9]+) [ ]?/[ ]? (?P<bottom>[0-9]+) (?![0-9.,/])
      | (?P<grouped>[0-9]{1,3} (?:[ ][0-9]{3})+ (?:[.,][0-9]+)?) (?![0-9.,/])
      | (?P<decimal>[0-9.,]*[0-9][0-9.,]* (?:[eE][+-]?[0-9]+)?) (?![0-9.,])
    )""",
    flags=re.VERBOSE,
)
_TOLERANCE = re.compile(r"±|\+ ?/? ?-")
_THREE_AFTER_COMMA = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_THREE_AFTER_POINT = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}")
_COMMA_THOUSANDS = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]*|[0-9]{1,3}(?:,[0-9]{3}){2,}")
_POINT_THOUSANDS = re.compile(r"[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+|[0-9]{1,3}(?:\.[0-9]{3}){2,}")
_COMMA_DECIMAL = re.compile(r"[0-9]*,[0-9]+")


@dataclass(frozen=True)
class Figure:
    """A figure found in a text.

    Parameters
    ----------
    value : the figure; with an undecided comma or point, the reading as thousands
    other : the second possible reading, NaN where there is none
    denominator : of the fraction, 0 where the figure is no fraction
    mixed : whether a whole number stands before the fraction, such as 1 1/2
    improper : whether it is a fraction of one or more, such as 5/4
    thousands : whether the digits after an undecided comma or point are all zero
    front : text before the figure
    tail : text after the figure
    """

    value: float
    other: float
    denominator: int
    mixed: bool
    improper: bool
    thousands: bool
    front: str
    tail: str


def find_figure(text: str, decimal: str = ".") -> Figure:
    """Find the first figure in a text that has been made plain by `plain_text`.

    Parameters
    ----------
    text : plain text
    decimal : "," where the text comes from where the decimal sign is the comma, else "."

    Raises
    ------
    NoFigureError : there is no figure
    InputError : it has a tolerance, or it can be read in two ways; the place is left empty
    """
    if _TOLERANCE.search(text):
        raise InputError("", f"'{text}'", "one figure without a tolerance")
    found = _FIGURE.search(text)
    if found is None:
        raise NoFigureError("", f"'{text}'", "a figure")
    front = text[: found.start()].strip()
    tail = text[found.end() :].strip()
    if tail.startswith("-") and not tail[1:2].isdigit():
        tail = tail[1:].strip()
    sign = -1.0 if found["sign"] == "-" else 1.0
    if front.casefold() == "minus" and not found["sign"]:
        front, sign = "", -1.0
    if found["top"]:
        value, denominator = _fraction(found["whole"] or "", found["top"], found["bottom"])
        improper = not found["whole"] and value >= 1
        mixed = int(found["whole"] or 0) > 0
        return Figure(sign * value, math.nan, denominator, mixed, improper, False, front, tail)
    if found["grouped"]:
        value = float(found["grouped"].replace(" ", "").replace(",", "."))
        return Figure(sign * value, math.nan, 0, False, False, False, front, tail)
    value, other = _decimal(found["decimal"], decimal)
    if not math.isfinite(value):
        raise InputError("", f"'{text}'", "a figure of ordinary size")
    zeros = found["decimal"].endswith((",000", ".000"))
    return Figure(sign * value, sign * other, 0, False, False, zeros, front, tail)


def _fraction(whole: str, top: str, bottom: str) -> tuple[float, int]:
    written = f"{whole} {top}/{bottom}".strip()
    if int(bottom) == 0:
        raise InputError("", f"'{written}', a division by zero", "a fraction such as 3/8")
    if int(top) >= int(bottom):
        if whole:
            raise InputError("", f"'{written}'", "a fraction below one after a whole number")
        crowded = _crowded(top, bottom)
        if crowded:
            value = f"{int(top) / int(bottom):g}"
            raise InputError(
                "",
                f"'{written}', which is {value} or a crowded {' or '.join(crowded)}",
                f"one of them with a space or as a decimal, such as '{crowded[0]} in'"
                f" or '{value} in'",
            )
    return int(whole or 0) + int(top) / int(bottom), int(bottom)


def _crowded(top: str, bottom: str) -> list[str]:
    """Return the mixed numbers that an improper fraction may have been meant to be."""
    return [
        f"{top[:cut]} {top[cut:]}/{bottom}"
        for cut in range(1, len(top))
        if top[cut] != "0" and int(top[cut:]) < int(bottom)
    ]


def _decimal(text: str, decimal: str) -> tuple[float, float]:
    """Return the value and its second reading (NaN where there is none)."""
    if decimal == "," and _THREE_AFTER_POINT.fullmatch(text):
        return float(text.replace(".", "")), float(text)
    if _THREE_AFTER_COMMA.fullmatch(text):
        return float(text.replace(",", "")), float(text.replace(",", "."))
    if _COMMA_THOUSANDS.fullmatch(text):
        return float(text.replace(",", "")), math.nan
    if _POINT_THOUSANDS.fullmatch(text):
        return float(text.replace(".", "").replace(",", ".")), math.nan
    if _COMMA_DECIMAL.fullmatch(text):
        return float(text.replace(",", ".")), math.nan
    try:
        return float(text), math.nan
    except ValueError:
        raise InputError("", f"'{text}'", "one figure such as 9.5 or 9,5") from None
