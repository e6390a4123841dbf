"""A hose as people name it: its size or type of the catalogue, in any case, or its print."""

from __future__ import annotations

from hoseselect.catalogue.columns import Catalogue
from hoseselect.intake.names import ascii_text
from hoseselect.intake.print_words import bores_in, markings_in, sizes_in
from hoseselect.knowledge.errors import AmbiguousNameError, InputError
from hoseselect.knowledge.load import limit
from hoseselect.quantities.spelling import without_unseen


def hoses_named(text: str, catalogue: Catalogue, place: str = "HOSE") -> tuple[str, ...]:
    """Return the hose types or sizes that a name or a print means.

    Parameters
    ----------
    text : a type or size of the catalogue, or a print such as "SAE 30R11 1/2"
    catalogue : of the shop
    place : for complaints

    Raises
    ------
    InputError
        when the catalogue holds none.
    """
    text = without_unseen(text)
    try:
        return (catalogue.spelled(text, place),)
    except InputError:
        found = _printed(text, catalogue)
    if not found:
        expected = "a hose type or size of the catalogue, or the print of one"
        raise InputError(place, ascii_text(text), expected)
    return found


def hose_named(text: str, catalogue: Catalogue, place: str = "HOSE") -> str:
    """Return the one hose that a name or a print means.

    Raises
    ------
    InputError
        when the catalogue holds none, or several bear that print.
    """
    found = hoses_named(text, catalogue, place)
    if len(found) > 1:
        told = ", ".join(f"{number} {hose}" for number, hose in enumerate(found, 1))
        raise AmbiguousNameError(place, ascii_text(text), f"one of: {told}", found)
    return found[0]


def _printed(text: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Return the types that bear a print, or their sizes of the bore that stands in it."""
    asked = {row["marking"] for row, _ in markings_in(text)}
    words = text
    for size in sizes_in(text):
        words = words.replace(size, " ")
    plain = " ".join(words.split()).casefold()
    types, sizes = catalogue.types, catalogue.sizes
    bearing = [
        str(name)
        for name, marks, line in zip(types.hose_type, types.marking, types.print_line, strict=True)
        if (asked and asked <= set(marks)) or (plain and plain == line.casefold())
    ]
    bores = bores_in(text)
    if not bores:
        return tuple(bearing)
    near = limit("same-bore")
    return tuple(
        str(name)
        for name, own, bore in zip(sizes.hose_size, sizes.hose_type, sizes.bore, strict=True)
        if own in bearing and any(abs(bore - wanted) <= near for wanted in bores)
    )
