"""What only lengths have: dash sizes, feet and inches, string round a nipple, bare fractions."""

from __future__ import annotations

import math
import re
from typing import Any

from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.fractions import RULE_DENOMINATORS
from hoseselect.quantities.numerals import Figure, find_figure

_DASH = re.compile(
    r"(?P<dash>dash ?-?|-) ?(?P<size>[0-9]{1,2}(?:\.5)?)"
    r" ?(?P<what>(?:hose )?bore|tube(?: od| outside diameter)?)?",
    flags=re.IGNORECASE,
)
_BY_STRING = re.compile(r"\b(?:by|with) (?:an? |the )?(?=string\b)", flags=re.IGNORECASE)
_STRING = re.compile(rf"{_BY_STRING.pattern}string\b", flags=re.IGNORECASE)
_AROUND = re.compile(
    r"\b(?:all )?(?:around|round|circumference|circ\.?|girth|string)(?![a-z])", flags=re.IGNORECASE
)
_ACROSS = re.compile(r"ø|⌀|\b(?:diameter|dia\.?|across)(?![a-z])", flags=re.IGNORECASE)
_OUTSIDE = re.compile(r"\b(?:o\.?d\.?|outside diameter)(?![a-z])", flags=re.IGNORECASE)
_FEET = re.compile(
    r"(?P<sign>-?) ?(?P<feet>[0-9]+) ?(?:'|ft\.?|feet|foot) ?-?(?P<inches>.*?[0-9].*)",
    flags=re.IGNORECASE,
)
_INCH = re.compile(r"(?P<figure>[0-9 ./-]+?) ?(?:\"|in\.?|inch|inches)", flags=re.IGNORECASE)
_RADIUS = re.compile(
    r"^\s*(?:radius|rad\.?|r)(?: of)?\s*=?\s*(?=[0-9.])|\s+radius\s*$", flags=re.IGNORECASE
)
_INCHES_IN_A_FOOT = 12


def dash_size(text: str, dash_means: str, *, negative_allowed: bool) -> float:
    """Return the number of a dash size, NaN where the text is none.

    A dash size counts sixteenths of an inch, of the hose bore with some makers and of the outside
    diameter of a tube with others, so it is read only when the text says which.

    Parameters
    ----------
    text : plain text
    dash_means : "bore" or "tube" where the field can only be the one, "nothing" where it is the
        size of neither, else "either"
    negative_allowed : the field takes negative lengths, so that a bare "-6" is one

    Raises
    ------
    InputError : bore or tube is not said, or is the wrong one
    """
    found = _DASH.fullmatch(text)
    if found is None or float(found["size"]) == 0:
        return math.nan
    size = found["size"]
    if not found["what"]:
        if found["dash"] == "-" and (negative_allowed or dash_means == "nothing"):
            return math.nan
        raise InputError(
            "",
            f"'{text}', a dash size without saying of what",
            f"bore or tube? '-{size} bore' for the bore of a hose, '-{size} tube' for the outside"
            f" diameter of a tube, both {size}/16 in; or a length such as '{size} mm'",
        )
    what = "tube" if found["what"].casefold().startswith("tube") else "bore"
    if dash_means == "nothing":
        raise InputError("", f"'{text}', a dash size", "a length such as '60 mm'")
    if dash_means not in {"either", what}:
        raise InputError("", f"'{text}', a dash size of a {what}", f"the size of the {dash_means}")
    return float(size)


def without_around(text: str, around_allowed: bool, dash_means: str) -> tuple[str, float]:
    """Return the text without words for "round it" or "across", and what to divide by.

    A length by string is the length itself; a diameter by string is taken round.

    Parameters
    ----------
    text : plain text
    around_allowed : the field is a diameter
    dash_means : "bore" where it is an inside one

    Returns
    -------
    the text, and pi for a measure taken round, else 1

    Raises
    ------
    InputError : a measure taken round, in a field that is no diameter
    """
    text = _BY_STRING.sub("", text) if around_allowed else " ".join(_STRING.sub(" ", text).split())
    across = text if dash_means == "bore" else _OUTSIDE.sub(" ", text)
    across = " ".join(_ACROSS.sub(" ", across).split()) if around_allowed else text
    if not _AROUND.search(across):
        return across, 1.0
    if not around_allowed or across != text:
        expected = "either across or round" if around_allowed else "the length itself"
        raise InputError("", f"'{text}', a measure taken round something", expected)
    return " ".join(_AROUND.sub(" ", text).split()), math.pi


def without_radius(value: Any) -> Any:
    """Return a typed radius without the word for it; what is no text stays as it is.

    No string is laid along a radius: one taken by string is taken round.

    Examples
    --------
    >>> without_radius('radius 4"'), without_radius("R100"), without_radius("60 mm radius")
    ('4"', '100', '60 mm')
    """
    return _RADIUS.sub("", _BY_STRING.sub("", value)).strip() if isinstance(value, str) else value


def feet_and_inches(text: str) -> tuple[float, float]:
    """Return feet and inches of a text such as 2' 3", both NaN where it is none.

    Parameters
    ----------
    text : plain text

    Raises
    ------
    InputError : there are inches after the feet, but no mark, or a foot or more of them
    """
    found = _FEET.fullmatch(text)
    if found is None:
        return math.nan, math.nan
    rest = _INCH.fullmatch(found["inches"].strip())
    if rest is None:
        raise InputError("", f"'{text}'", "feet and inches such as 2 ft 3 in")
    inches = find_figure(rest["figure"])
    if inches.front or inches.tail or not 0 <= inches.value < _INCHES_IN_A_FOOT:
        raise InputError("", f"'{text}'", "feet and inches such as 2 ft 3 in, inches below 12")
    sign = -1.0 if found["sign"] else 1.0
    return sign * float(found["feet"]), sign * inches.value


def bare_fraction_unit(figure: Figure, text: str) -> str:
    """Return the unit of a length typed as a fraction without a unit: the inch.

    A fraction without a unit is read as inches by trade habit (common practice, no source), but
    only one below one on an inch rule (1/2 to 63/64), alone or after a whole number; "5/4" is
    asked about.

    Parameters
    ----------
    figure : the fraction
    text : what was typed

    Raises
    ------
    InputError : the denominator is not on an inch rule, or it is a fraction of one or more
    """
    if figure.denominator not in RULE_DENOMINATORS or figure.improper:
        raise InputError("", f"'{text}', a fraction without a unit", f"a unit, as in '{text} in'")
    return "inch"
