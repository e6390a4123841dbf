"""What a heading of a sheet says of the unit of the figures below it."""

from __future__ import annotations

import re
from itertools import pairwise

from hoseselect.quantities.kinds import KINDS
from hoseselect.quantities.spelling import plain_text, unit_key

_PRESSURES = KINDS["pressure"].words
_GAUGE = re.compile(r"(?:gauge|gage|g)$")
_ABSOLUTE = frozenset({"abs", "absolute"})


def is_unit(text: str, kind: str = "") -> bool:
    """Return whether a text is a unit of a kind of figure, and nothing else.

    Parameters
    ----------
    text : a text
    kind : kind of figure; empty = any

    Examples
    --------
    >>> is_unit("in Hg"), is_unit("bar gauge", "pressure"), is_unit("mm", "pressure")
    (True, True, False)
    """
    key = unit_key(plain_text(text.strip(" .:")))
    words = [KINDS[kind].words] if kind else [one.words for one in KINDS.values()]
    if not kind or kind == "pressure":
        return any(key in each for each in words) or _GAUGE.sub("", key) in _PRESSURES
    return key in words[0]


def names_absolute(heading: str) -> bool:
    """Return whether a heading says absolute pressure.

    Examples
    --------
    >>> names_absolute("Vacuum (bara)"), names_absolute("Vacuum, kPa(a)"), names_absolute("kPa")
    (True, True, False)
    """
    words = re.findall(r"[^\W_]+", plain_text(heading).casefold())
    pairs = (one + two for one, two in pairwise(words) if two == "a")
    return any(
        word in _ABSOLUTE
        or (word not in _PRESSURES and word[-1:] == "a" and word[:-1] in _PRESSURES)
        for word in (*words, *pairs)
    )
