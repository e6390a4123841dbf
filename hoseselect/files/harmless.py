"""Text that no spreadsheet runs."""

from __future__ import annotations

import re

RUN_BY_SPREADSHEETS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""A cell that starts like this is taken for a formula."""

CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffe\uffff]")
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][+-]?\d+)?")


def harmless(text: str) -> str:
    """Return a text that no spreadsheet runs: what looks like a formula gets a mark before it.

    Plain numbers stay as they are.

    Examples
    --------
    >>> harmless("=1+1"), harmless("-65"), harmless("-65 kPa"), harmless("12 mm")
    ("'=1+1", '-65', "'-65 kPa", '12 mm')
    """
    shown = CONTROL.sub("\ufffd", text)
    looks_run = shown.lstrip(" \u00a0").startswith(RUN_BY_SPREADSHEETS)
    return f"'{shown}" if looks_run and not _NUMBER.fullmatch(shown.strip()) else shown
