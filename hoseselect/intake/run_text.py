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
    text : straights and bends between semicolons; a bend is an angle, "at" or "R", and a radius
    place : of the text, for complaints

    Raises
    ------
    InputError
        when there is nothing between two semicolons.

    Examples
    --------
    >>> run_parts("60 mm; 90 deg at 110 mm; 45 deg R 80")
    ['60 mm', {'bend': '90 deg', 'radius': '110 mm'}, {'bend': '45 deg', 'radius': '80'}]
    """
    alone = ";" not in text
    return [] if alone and is_unknown(text) else list(_parts(text, place))


def _parts(text: str, place: str) -> Iterable[Any]:
    for part in text.split(";"):
        if not part.strip():
            raise InputError(place, f"'{text}'", "straights and bends between semicolons")
        bend = BEND.fullmatch(part.strip())
        yield {"bend": bend["angle"], "radius": bend["radius"]} if bend else part.strip()


BEND = re.compile(
    r"(?P<angle>.+?)\s*(?:@|\bat\b|\bradius\b|\br(?=\s*=?\s*[0-9.]))\s*=?\s*(?P<radius>.*)",
    flags=re.IGNORECASE,
)


def _listed(value: Any) -> Any:
    """Return a list of straights and bends, written as a list or in one line."""
    return run_parts(value) if isinstance(value, str) else value


Listed = guarded(_listed, "run")
