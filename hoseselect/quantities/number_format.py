"""What a number format of a spreadsheet shows beside the figure that the cell holds.

A cell that shows "26 1/2" or "26 in" may hold the bare figure 26.5 or 26: what a person read in it
is lost when the figure alone is taken.
"""

from __future__ import annotations

import re

_SECTION_END = re.compile(r';(?=(?:[^"]*"[^"]*")*[^"]*$)')
_BRACKETS = re.compile(r"\[[^\]]*\]")
_PADDING = re.compile(r"[_*].")
_LITERAL = re.compile(r'"([^"]*)"|\\(.)')
_FRACTION = re.compile(r"[#?0-9]\s*/\s*[#?0-9]")
_SCALED = re.compile(r"[0#?],+(?![0#?,])")
_SIGNS = "°′″'\"%"
_DATE = re.compile(r"[dmyhs]", re.IGNORECASE)


def format_asks(number_format: str) -> str | None:
    """Return what a number format shows that its figure does not hold; None where nothing.

    Parameters
    ----------
    number_format : code of the format, as the workbook has it

    Returns
    -------
    words for a question: a fraction, a scale, or a unit

    Examples
    --------
    >>> format_asks("# ?/?"), format_asks('0" in"'), format_asks("0.00")
    ('a fraction', "the unit 'in'", None)
    """
    if number_format.strip().casefold() in {"", "general", "@"}:
        return None
    asked = (_section_asks(section) for section in _SECTION_END.split(number_format))
    return next((words for words in asked if words), None)


def _section_asks(code: str) -> str | None:
    """Return what one section of a number format shows beside its figure."""
    shown = _PADDING.sub("", _BRACKETS.sub("", code))
    bare = _LITERAL.sub("", shown)
    literal = "".join(quoted or escaped for quoted, escaped in _LITERAL.findall(shown))
    unit = " ".join((literal + "".join(sign for sign in bare if sign in _SIGNS)).split())
    if "%" in bare:
        return "a percentage"
    if any(sign.isalpha() or sign in _SIGNS for sign in unit):
        return f"the unit '{unit}'"
    if _DATE.search(bare):
        return None
    if _FRACTION.search(bare):
        return "a fraction"
    return "thousands" if _SCALED.search(bare) else None
