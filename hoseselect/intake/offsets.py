"""Places without coordinates: offsets along the vehicle's own directions, as people say them."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from typing import Any

from hoseselect.domain.free_route import Vector
from hoseselect.intake.directions import NAMES, axis, without_fillers
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.read import read_quantity
from hoseselect.quantities.spelling import is_unknown, plain_text

OFFSET = (
    'an offset such as {forward = "120 mm", up = "80 mm"} or "forward 120 mm, up 80 mm";'
    " left and right as seen from the driver's seat"
)
FARTHEST = 100_000.0
SEPARATORS = re.compile(r"\s*;\s*|\s+and\s+|\s*,(?!\d)\s*|(?<!\d),\s*")
FROM_A = re.compile(r"\s+(?:(?:of|from|than) )?(?:nipple )?a(?=\s*(?:[,;]|and\b|$))")
DIRECTION_WORD = re.compile(rf"(?<![\w-])(?:{NAMES})(?![\w-])")
BOTH_WAYS = {
    "forward": r"fore and aft|back(?:wards?)? and forth|forwards? and back(?:wards?)?"
    r"|front to (?:back|rear)|lengthways|lengthwise",
    "left": r"side to side|left and right|left to right|sideways|sidewards",
    "up": r"up and down",
}
EITHER_WAY = re.compile(r"\s*\b(?:either|each) way\b|^\s*\+/-\s*")
NONE = frozenset({"none", "nothing", "not at all", "0", "0 mm", "no", "does not move"})


def read_offset(values: Any) -> Vector:
    """Return a place from offsets in vehicle directions [mm]; what is not named is 0.

    Raises
    ------
    InputError
        when a direction is none, an offset cannot be read, or a direction is named both ways.

    Examples
    --------
    >>> read_offset("180 mm forward, 60 mm up")
    (180.0, 0.0, 60.0)
    """
    if isinstance(values, str):
        offsets = list(_in_words(values))
    elif isinstance(values, Mapping):
        offsets = [(str(word), text) for word, text in values.items()]
    else:
        offsets = []
    if not offsets:
        raise InputError("", repr(values), OFFSET)
    place = [0.0, 0.0, 0.0]
    seen: set[int] = set()
    for word, text in offsets:
        direction = axis(word)
        number = next(k for k in range(3) if direction[k])
        if number in seen:
            raise InputError("", f"'{word}' twice, or beside its opposite", "it once")
        seen.add(number)
        length = read_quantity(text, "length", "", minimum=-FARTHEST, maximum=FARTHEST)
        if math.isnan(length):
            raise InputError("", f"'{word}' unknown", OFFSET)
        place[number] = length * direction[number]
    return (place[0], place[1], place[2])


def _in_words(text: str) -> Iterator[tuple[str, str]]:
    """Yield direction and length of every offset said in one line."""
    plain = FROM_A.sub("", without_fillers(plain_text(text).lower()))
    for part in SEPARATORS.split(plain):
        found = list(DIRECTION_WORD.finditer(part))
        if not found:
            raise InputError("", f"'{part}' without a direction in '{text}'", OFFSET)
        first = found[0].start() == 0
        starts = [match.start() if first else match.end() for match in found]
        ends = [*starts[1:], len(part)] if first else starts
        starts = starts if first else [0, *starts[:-1]]
        if ends[-1] != len(part):
            raise InputError("", f"'{part}' in '{text}'", OFFSET)
        for match, start, end in zip(found, starts, ends, strict=True):
            length = part[start : match.start()] + part[match.end() : end]
            if not length.strip():
                raise InputError("", f"'{match[0]}' without a length in '{text}'", OFFSET)
            yield match[0], length.strip()


def read_box(values: Any) -> Vector:
    """Return a movement either way along the three directions [mm].

    Raises
    ------
    InputError
        when it cannot be read.

    Examples
    --------
    >>> read_box("12 mm sideways, 10 mm up and down")
    (0.0, 12.0, 10.0)
    """
    x, y, z = read_offset(_one_way(values) if isinstance(values, str) else values)
    return (abs(x), abs(y), abs(z))


def _one_way(text: str) -> str:
    """Return a movement with one direction for what goes both ways: "up" for "up and down"."""
    plain = EITHER_WAY.sub("", plain_text(text).lower())
    for word, ways in BOTH_WAYS.items():
        plain = re.sub(rf"\b(?:{ways})\b", word, plain)
    return plain


def read_movement(values: Any) -> Vector | None:
    """Return a movement either way along the three directions [mm], None where it is unknown.

    Raises
    ------
    InputError
        when it cannot be read.
    """
    if isinstance(values, str):
        if is_unknown(values):
            return None
        if plain_text(values).lower().rstrip(".") in NONE:
            return (0.0, 0.0, 0.0)
    return read_box(values)
