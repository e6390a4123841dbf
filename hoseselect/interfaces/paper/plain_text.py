"""Text that any paper can carry: no controls, no endless words."""

from __future__ import annotations

import re
import unicodedata
from typing import Any

from hoseselect.quantities.spelling import JOINERS

LONGEST_TEXT = 420
LONGEST_WORD = 18
"""Longer words may be broken, so that no name runs out of its column."""
LONGEST_CODE = 4000
BREAK_HERE = "\u200b"
UNIT = re.compile(r"(?<=\d) (?=(?:mm|in|m|ft|deg|degC|degF|kPa|psi)\b|%)")
"""The space between a figure and its unit, at which no line may break."""
NO_BREAK = "\u00a0"


def short(text: str, longest: int) -> str:
    """Return a text no longer than so many letters."""
    return text if len(text) <= longest else f"{text[: longest - 1].rstrip()}…"


def clean(value: Any, longest: int = LONGEST_TEXT) -> Any:
    """Return plain values with text that any paper can carry: no controls, no endless words."""
    if isinstance(value, dict):
        return {
            key: clean(item, LONGEST_CODE if key == "code" else longest)
            for key, item in value.items()
        }
    if isinstance(value, list):
        return [clean(item, longest) for item in value]
    if not isinstance(value, str):
        return value
    seen = "".join(c if _visible(c) else " " for c in value)
    plain = short(re.sub(" +", " ", seen).strip(), longest)
    plain = UNIT.sub(NO_BREAK, plain)
    return re.sub(rf"([^\s-]{{{LONGEST_WORD}}})(?=[^\s-])", rf"\1{BREAK_HERE}", plain)


def _visible(character: str) -> bool:
    hidden = {"Cc", "Cf", "Cs", "Cn", "Co", "Zl", "Zp"}
    return character in JOINERS or unicodedata.category(character) not in hidden
