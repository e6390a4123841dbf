"""Cells into numbers and words; what is no number or not an allowed word is complained of."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Sequence

import numpy as np

from hoseselect.catalogue.cells import Cells
from hoseselect.catalogue.columns import FloatArray, IntArray, WordArray, WordLists, Words
from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.fields import Field
from hoseselect.knowledge.load import table as knowledge_table

NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?", re.ASCII)
DECIMAL_COMMA = re.compile(r"([+-]?\d+),(\d+)", re.ASCII)
FRACTION = re.compile(r"[+-]?(\d+[ -])?\d+/\d+.*", re.ASCII)
NUMBER_AND_WORDS = re.compile(r"[+-]?[\d.,]+\s*(\S.*)", re.ASCII)
OTHER_MINUS = re.compile(r"[−–—]\s*[\d.]+", re.ASCII)
NOT_STATED = {"nan", "n/a", "na", "none", "null", "-", "--", "?", "unknown", "inf", "-inf"}
DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
PARTS = {"listed": ";", "alternatives": "|"}


def numbers(cells: Cells, heading: str, complaints: list[Complaint]) -> FloatArray:
    """Return a column as numbers, empty cells as NaN."""
    field = cells.table.field(heading)
    values = np.full(len(cells), np.nan)
    for row, text in enumerate(cells.column(heading)):
        if text == "":
            require(cells, row, field, complaints)
        elif NUMBER.fullmatch(text) is None:
            found, expected = no_number(text, field)
            complaints.append(cells.complaint("error", row, heading, found, expected))
        else:
            value = float(text)
            bounds = broken_bounds(value, field)
            if bounds:
                found = f"{text} {field.unit}".strip()
                complaints.append(cells.complaint("error", row, heading, found, bounds))
            else:
                values[row] = value
    return values


def require(cells: Cells, row: int, field: Field, complaints: list[Complaint]) -> None:
    """Complain of an empty cell where the field needs one and its column is there."""
    if field.required and field.name in cells.numbers:
        complaints.append(
            cells.complaint("error", row, field.name, "an empty cell", field.description)
        )


def no_number(text: str, field: Field) -> tuple[str, str]:
    """Return what was found in place of a number and what would be right."""
    unit = f" in {field.unit}" if field.unit else ""
    comma = DECIMAL_COMMA.fullmatch(text)
    if comma and len(comma[2]) != 3:
        return f"'{text}' with a decimal comma", f"{comma[1]}.{comma[2]}"
    if comma:
        return (
            f"'{text}' with a comma",
            f"a number{unit} with a decimal point and no mark for thousands",
        )
    if text.lower() in NOT_STATED:
        return f"'{text}'", f"a number{unit}, or an empty cell for 'not stated'"
    if OTHER_MINUS.fullmatch(text):
        return f"'{text}' with a dash for a minus sign", f"-{text[1:].strip()}"
    if FRACTION.fullmatch(text):
        return f"the fraction '{text}'", f"a decimal number{unit}"
    words = NUMBER_AND_WORDS.fullmatch(text)
    if words and text[-1].isalpha():
        return f"'{text}' with words in the cell", f"the number alone{unit}"
    return f"'{text}', which is no number", f"a number{unit}"


def broken_bounds(value: float, field: Field) -> str:
    """Return the bound a number breaks in words, "" when it breaks none."""
    if not math.isfinite(value):
        return "a finite number"
    unit = f" {field.unit}" if field.unit else ""
    if value <= field.above:
        return f"more than {field.above:g}{unit}"
    if value < field.minimum:
        return f"at least {field.minimum:g}{unit}"
    if value > field.maximum:
        return f"at most {field.maximum:g}{unit}"
    return ""


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
        elif field.kind == "date" and not is_date(text):
            complaints.append(
                cells.complaint("error", row, heading, f"'{text}'", "a date as year-month-day")
            )
    return column


def is_date(text: str) -> bool:
    """Return whether the text is a day of the calendar as year-month-day."""
    if DATE.fullmatch(text) is None:
        return False
    try:
        datetime.date.fromisoformat(text)
    except ValueError:
        return False
    return True


def keys(cells: Cells, complaints: list[Complaint]) -> WordArray:
    """Return the names of the rows; complain of odd and doubled ones."""
    heading = cells.table.key
    first: dict[str, int] = {}
    column = cells.column(heading)
    for row, text in enumerate(column):
        if text == "":
            require(cells, row, cells.table.field(heading), complaints)
        elif not text.isprintable() or not text[0].isalnum() or re.search(r"[\s;|,]", text):
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
    made: list[Words] = []
    for row, text in enumerate(cells.column(heading)):
        words = tuple(word.strip() for word in text.split(PARTS[field.kind])) if text else none
        if text:
            complaints.extend(
                unknown_word(cells, row, field, word, allowed)
                for word in words
                if word not in allowed
            )
        made.append(words)
    return tuple(made)


def allowed_words(field: Field) -> tuple[str, ...]:
    """Return the words a field allows, from its own list and a published table."""
    if not field.knowledge:
        return field.choices
    name, _, heading = field.knowledge.partition(":")
    return tuple(dict.fromkeys([*field.choices, *knowledge_table(name).column(heading)]))


def unknown_word(
    cells: Cells, row: int, field: Field, word: str, allowed: tuple[str, ...]
) -> Complaint:
    """Return the complaint about a word that is not allowed, with the nearest one that is."""
    if word == "":
        mark = PARTS[field.kind]
        found = f"nothing between two '{mark}'"
        return cells.complaint("error", row, field.name, found, f"words parted by '{mark}'")
    if not field.knowledge:
        expected = ", ".join(allowed[:-1]) + f" or {allowed[-1]}"
    else:
        near = nearest(word, allowed)
        hint = f", perhaps {near}" if near else ""
        expected = f"a known {field.knowledge.split(':')[1]}{hint}"
    return cells.complaint("error", row, field.name, f"'{word}'", expected)


def nearest(word: str, allowed: tuple[str, ...]) -> str:
    """Return the allowed word most like this one, "" when none is; swapped letters count most."""
    import difflib

    lower = {name.lower(): name for name in allowed}
    swapped = [name for name in lower if sorted(name) == sorted(word.lower())]
    near = swapped or difflib.get_close_matches(word.lower(), list(lower), n=1)
    return lower[near[0]] if near else ""


def references(
    cells: Cells,
    heading: str,
    names: WordArray,
    dropped: frozenset[str],
    complaints: list[Complaint],
) -> tuple[WordArray, IntArray]:
    """Return a column of names of another file and their places in it, -1 where unknown."""
    field = cells.table.field(heading)
    places = {str(name): place for place, name in reversed(list(enumerate(names)))}
    column = cells.column(heading)
    for row, text in enumerate(column):
        if text == "":
            require(cells, row, field, complaints)
        elif text not in places and text not in dropped:
            complaints.append(
                cells.complaint(
                    "error", row, heading, f"'{text}'", f"a name that is in {field.refers_to}"
                )
            )
    index = np.array([places.get(text, -1) for text in column], dtype=np.intp)
    return as_words(column), index
