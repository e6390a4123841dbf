"""One length told in two units, the second in brackets: "5/8 in (16 mm)"."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.figure_text import format_quantity

_TWO = re.compile(r"([^()]*[0-9][^()]*)\(([^()]*[0-9][^()]*)\)")
_UNIT = re.compile(r"[a-z\"'/]", flags=re.IGNORECASE)
SHARE_APART, MOST_APART = 0.02, 2.0
"""How far apart two readings of one length may be: a share, and at most so many [mm]."""


def first_of_two(text: str, read: Callable[[str], float]) -> tuple[str, float]:
    """Return the first of two lengths that agree, and its value; "" and NaN where text is no two.

    Parameters
    ----------
    text : plain text
    read : reads one of them [mm]

    Raises
    ------
    InputError : the two disagree

    Examples
    --------
    >>> first_of_two("16 mm (160 mm)", lambda text: float(text.split()[0]))
    Traceback (most recent call last):
    hoseselect.knowledge.errors.InputError: : found '16 mm (160 mm)', which are 16 mm and 160 mm; \
expected one of the two
    """
    found = _TWO.fullmatch(text)
    parts = [part.strip() for part in found.groups()] if found else []
    if not parts or not all(_UNIT.search(part) for part in parts):
        return "", math.nan
    try:
        first, second = map(read, parts)
    except InputError:  # whoever reads the whole says what is wrong with it
        return "", math.nan
    if abs(first - second) <= min(MOST_APART, SHARE_APART * max(abs(first), abs(second))):
        return parts[0], first
    told = " and ".join(format_quantity(one, "length") for one in (first, second))
    raise InputError("", f"'{text}', which are {told}", "one of the two")
