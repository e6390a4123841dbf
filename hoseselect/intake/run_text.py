"""A run of straights and bends written in one line."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from hoseselect.knowledge.errors import InputError


def run_pieces(text: str, place: str = "--run") -> list[Any]:
    """Return the pieces of a run written in one line.

    Parameters
    ----------
    text : straights and bends between semicolons; a bend is an angle "at" (or "@") a radius
    place : of the text, for complaints

    Raises
    ------
    InputError
        when there is no piece between two semicolons.

    Examples
    --------
    >>> run_pieces("60 mm; 90 deg at 110 mm")
    ['60 mm', {'bend': '90 deg', 'radius': '110 mm'}]
    """
    return list(_pieces(text, place))


def _pieces(text: str, place: str) -> Iterable[Any]:
    for piece in text.split(";"):
        if not piece.strip():
            raise InputError(place, f"'{text}'", "pieces between semicolons")
        angle, sign, radius = piece.replace("@", " at ").partition(" at ")
        yield {"bend": angle.strip(), "radius": radius.strip()} if sign else piece.strip()
