"""Lengths in which a point may part thousands: "1.250 mm" of hose is a metre and a quarter.

A point is the decimal sign, as long as nobody is known to write otherwise. Where the figure with
decimals is no usual length and the one with thousands is, the person is asked. A sheet tells its
decimal sign by what parts its cells, and is not asked so.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any

from hoseselect.intake.door import MOST_KEPT
from hoseselect.intake.plausibility import LENGTH_KEYS, Typed, is_bare
from hoseselect.intake.questions import asked
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.quantities.read import read_quantity
from hoseselect.quantities.spelling import plain_text

THREE_AFTER_POINT = re.compile(r"([1-9][0-9]{0,2})\.([0-9]{3})( ?[a-z]*)", re.IGNORECASE)
MEASURED, RADIUS, RUN, OLD = "measured", "tightest_radius", "route.run", "old_hose.length"


def parted_thousands(typed: Typed) -> tuple[InputError, ...]:
    """Return a question for every length that may be a thousand times longer.

    Parameters
    ----------
    typed : gives what was typed at a dotted key
    """
    told = [*_lengths(typed), *_of_run(typed(RUN))]
    questions = (_question(key, name, text) for key, name, text in told if isinstance(text, str))
    return tuple(question for found in questions for question in found)


def _lengths(typed: Typed) -> Iterator[tuple[str, str, Any]]:
    """Yield key, name of the length and text; a bare one of these is read back anyway."""
    for name, key in (*LENGTH_KEYS, (MEASURED, OLD)):
        text = typed(key)
        if key == OLD or not is_bare(text):
            yield key, name, text


def _of_run(parts: Any) -> Iterator[tuple[str, str, Any]]:
    for part in parts if isinstance(parts, list | tuple) else ():
        if isinstance(part, Mapping):
            yield RUN, RADIUS, part.get("radius")
        else:
            yield RUN, MEASURED, part


@lru_cache(maxsize=MOST_KEPT)
def _question(key: str, name: str, text: str) -> tuple[InputError, ...]:
    found = THREE_AFTER_POINT.fullmatch(plain_text(text))
    if found is None:
        return ()
    whole, rest, unit = found.groups()
    decimals = f"{whole}.{rest}".rstrip("0").rstrip(".")
    thousands = f"{whole}{rest}"
    if _usual(f"{decimals}{unit}", name) or not _usual(f"{thousands}{unit}", name):
        return ()
    readings = " or ".join(f"{one} {unit.strip()}".rstrip() for one in (thousands, decimals))
    return (
        asked(
            (key,),
            f"'{text}', where the point may part thousands ({thousands}) or decimals ({decimals})",
            f"the figure without a point before three digits: {readings}",
        ),
    )


def _usual(text: str, name: str) -> bool:
    """Return whether a length is usual; what is no length is none."""
    row = table("plausible_lengths").row(key=name)
    try:
        return row.number("least") <= read_quantity(text, "length", "") <= row.number("most")
    except InputError:  # its own field says what is wrong with it
        return False
