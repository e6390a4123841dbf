"""A run of straights and bends written in one line."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from hoseselect.intake.door import guarded
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.spelling import is_unknown


def run_parts(text: str, place: str = "") -> list[Any]:
    """Return the parts of a run written in one line; none where it is not known.

    Parameters
    ----------
    text : straights and bends between semicolons; a bend is an angle, "at" or "R", and a radius,
        and where it leaves the plane of the bend before it, "turn" and an angle
    place : of the text, for complaints

    Raises
    ------
    InputError
        when there is nothing between two semicolons.

    Examples
    --------
    >>> run_parts("60 mm; 90 deg at 110 mm; 45 deg R 80")
    ['60 mm', {'bend': '90 deg', 'radius': '110 mm'}, {'bend': '45 deg', 'radius': '80'}]
    >>> run_parts("90 deg at 60 mm, turn 180 deg")
    [{'bend': '90 deg', 'radius': '60 mm', 'turn': '180 deg'}]
    """
    alone = ";" not in text
    return [] if alone and is_unknown(text) else list(_parts(text, place))


def _parts(text: str, place: str) -> Iterable[Any]:
    for part in text.split(";"):
        if not part.strip():
            raise InputError(place, f"'{text}'", "straights and bends between semicolons")
        bend = BEND.fullmatch(part.strip())
        told = {} if bend is None else {k: v for k, v in bend.groupdict().items() if v is not None}
        yield told or part.strip()


BEND = re.compile(
    r"(?P<bend>.+?)\s*(?:@|\bat\b|\bradius\b|\br(?=\s*=?\s*[0-9.]))\s*=?\s*(?P<radius>.*?)"
    r"(?:\s*,?\s*\bturn(?:ed)?\b(?:\s+by\b)?\s*(?P<turn>.+))?",
    flags=re.IGNORECASE,
)


def _listed(value: Any) -> Any:
    """Return a list of straights and bends, written as a list or in one line."""
    return run_parts(value) if isinstance(value, str) else value


Listed = guarded(_listed, "run")
