"""Cells into words, lists and names; what is not an allowed word is complained of."""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np

from hoseselect.catalogue.cells import Cells, require
from hoseselect.catalogue.columns import IntArray, WordArray, WordLists, Words
from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.file_form import CatalogueField
from hoseselect.catalogue.roll_age import EXPECTED_DATE, made_on
from hoseselect.knowledge.load import table as knowledge_table
from hoseselect.quantities.spelling import near_spellings

NO_NAME = re.compile(r"[\s;|,]")
PARTS = {"listed": ";", "alternatives": "|"}


def texts(cells: Cells, heading: str, complaints: list[Complaint]) -> Words:
    """Return a column of free words."""
    field = cells.table.field(heading)
    column = cells.column(heading)
    for row, text in enumerate(column):
        if text == "":
            require(cells, row, field, complaints)
        elif not text.isprintable():
            complaints.append(
                cells.complaint(
                    "error", row, heading, "a line break or control character", "words on one line"
                )
            )
        elif field.kind == "date" and made_on(text) is None:
            complaints.append(cells.complaint("error", row, heading, f"'{text}'", EXPECTED_DATE))
    return column


def keys(cells: Cells, complaints: list[Complaint]) -> WordArray:
    """Return the names of the rows; complain of odd and doubled ones."""
    heading = cells.table.key
    first: dict[str, int] = {}
    column = cells.column(heading)
    if _are_names(column):
        return as_words(column)
    for row, text in enumerate(column):
        if text == "":
            require(cells, row, cells.table.field(heading), complaints)
        elif not _is_name(text):
            complaints.append(
                cells.complaint(
                    "error",
                    row,
                    heading,
                    f"the name {text!r}",
                    "a name without blanks, commas, semicolons or bars that starts "
                    "with a letter or figure",
                )
            )
        elif text in first:
            complaints.append(
                cells.complaint(
                    "error",
                    row,
                    heading,
                    f"'{text}' a second time",
                    f"every name once (first on line {cells.lines[first[text]]})",
                )
            )
        else:
            first[text] = row
    return as_words(column)


def _are_names(column: Sequence[str]) -> bool:
    """Return whether all texts are names, each there once: seen from all of them at once."""
    if len(set(column)) < len(column) or not _is_name("".join(column)):
        return False
    return all(text[:1].isalnum() for text in column)


def _is_name(text: str) -> bool:
    return text.isprintable() and text[:1].isalnum() and NO_NAME.search(text) is None


def as_words(column: Sequence[str]) -> WordArray:
    """Return texts as an array of strings."""
    return np.array(column, dtype=np.str_) if column else np.empty(0, dtype="<U1")


def choices(cells: Cells, heading: str, complaints: list[Complaint]) -> WordArray:
    """Return a column of one word out of a few, empty cells as "unknown"."""
    field = cells.table.field(heading)
    allowed = allowed_words(field)
    column = cells.column(heading)
    for row, text in enumerate(column):
        if text == "":
            require(cells, row, field, complaints)
        elif text not in allowed:
            complaints.append(unknown_word(cells, row, field, text, allowed))
    return as_words([text or "unknown" for text in column])


def lists(cells: Cells, heading: str, complaints: list[Complaint]) -> WordLists:
    """Return a column of lists; an empty cell is () or, for alternatives, ("unknown",)."""
    field = cells.table.field(heading)
    allowed = allowed_words(field)
    none = ("unknown",) if field.kind == "alternatives" else ()
    column, mark = cells.column(heading), PARTS[field.kind]
    read = {text: tuple(map(str.strip, text.split(mark))) for text in set(column) if text}
    odd = {text: own for text, words in read.items() if (own := set(words) - set(allowed))}
    for row, text in enumerate(column):
        if text in odd:
            complaints.extend(
                unknown_word(cells, row, field, word, allowed)
                for word in read[text]
                if word in odd[text]
            )
    return tuple(read.get(text, none) for text in column)


def allowed_words(field: CatalogueField) -> tuple[str, ...]:
    """Return the words a field allows, from its own list and a published table."""
    if not field.knowledge:
        return field.choices
    name, _, heading = field.knowledge.partition(":")
    return tuple(dict.fromkeys([*field.choices, *knowledge_table(name).column(heading)]))


def unknown_word(
    cells: Cells, row: int, field: CatalogueField, word: str, allowed: tuple[str, ...]
) -> Complaint:
    """Return the complaint about a word that is not allowed, with the nearest one that is."""
    if word == "":
        mark = PARTS[field.kind]
        found = f"nothing between two '{mark}'"
        return cells.complaint("error", row, field.name, found, f"words parted by '{mark}'")
    if not field.knowledge:
        expected = ", ".join(allowed[:-1]) + f" or {allowed[-1]}"
    else:
        hint = "".join(f", perhaps {near}" for near in near_spellings(word, allowed))
        expected = f"a known {field.knowledge.split(':')[1]}{hint}"
    return cells.complaint("error", row, field.name, f"'{word}'", expected)


def references(
    cells: Cells,
    heading: str,
    names: WordArray,
    dropped: frozenset[str] | None,
    complaints: list[Complaint],
) -> tuple[WordArray, IntArray]:
    """Return a column of names of another file and their places in it, -1 where unknown.

    Parameters
    ----------
    cells : of the file
    heading : of the column
    names : that stand in the other file
    dropped : names of rows of it that could not be read; None where none of it could be
    complaints : to which is added what is wrong
    """
    field = cells.table.field(heading)
    places = dict(zip(names.tolist()[::-1], range(len(names) - 1, -1, -1), strict=True))
    column = cells.column(heading)
    for row, text in enumerate(column):
        if text == "":
            require(cells, row, field, complaints)
        elif dropped is not None and text not in places and text not in dropped:
            complaints.append(
                cells.complaint(
                    "error", row, heading, f"'{text}'", f"a name that is in {field.refers_to}"
                )
            )
    index = np.array([places.get(text, -1) for text in column], dtype=np.intp)
    return as_words(column), index
