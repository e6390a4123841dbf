"""Number formats of cells: which of them show a figure otherwise than it is stored."""

from __future__ import annotations

import re
from functools import cache

_PLAIN = re.compile(r'\[(?!\$)[^\]]*\]|_.|\*.|"[\s()+\-]*"|\\[\s()+\-]|General|E[+-]')
"""Colours and conditions, blanks and fillers, words and signs that say nothing of the figure."""

_TELLING = re.compile(r"[^0#?.,;()@\s+\-]|(?<=[0#?]),+(?![0#?,])")
"""A fraction, a unit, money, a share of a hundred; a comma that leaves out thousands."""


@cache
def shows_otherwise(form: str) -> bool:
    r"""Return whether a number format shows more than the figure: a fraction, a unit, a hundredth.

    Examples
    --------
    >>> [shows_otherwise(form) for form in ("General", "0.00", "#,##0.0;[Red]-#,##0.0")]
    [False, False, False]
    >>> [shows_otherwise(form) for form in ("# ?/?", '0" in"', '0"\u00b0F"', "0%", "0.0,")]
    [True, True, True, True, True]
    """
    return _TELLING.search(_PLAIN.sub("", form)) is not None
