"""Cells into numbers; what is no number is complained of."""

from __future__ import annotations

import re

import numpy as np

from hoseselect.catalogue.cells import Cells, require
from hoseselect.catalogue.columns import FloatArray
from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.file_form import CatalogueField

NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?", re.ASCII)
DECIMAL_COMMA = re.compile(r"([+-]?\d+),(\d+)", re.ASCII)
FRACTION = re.compile(r"[+-]?(\d+[ -])?\d+/\d+.*", re.ASCII)
NUMBER_AND_WORDS = re.compile(r"[+-]?[\d.,]+\s*(\S.*)", re.ASCII)
OTHER_MINUS = re.compile(r"[−–—]\s*[\d.]+", re.ASCII)
LARGEST = 1e6
"""No figure of a hose, clamp or price is larger; keeps sums of powers finite."""
NOT_STATED = {"nan", "n/a", "na", "none", "null", "-", "--", "?", "unknown", "inf", "-inf"}


def numbers(cells: Cells, heading: str, complaints: list[Complaint]) -> FloatArray:
    """Return a column as numbers, empty cells as NaN; each distinct text is read once."""
    field = cells.table.field(heading)
    column = cells.column(heading)
    read = {text: _number(text, field) for text in set(column)}
    faulty = {text: own for text, own in read.items() if not isinstance(own, float)}
    needed = field.required and "" in read
    if faulty or needed:
        for row, text in enumerate(column):
            if text == "":
                require(cells, row, field, complaints)
            elif text in faulty:
                complaints.append(cells.complaint("error", row, heading, *faulty[text]))
    values = {text: own if isinstance(own, float) else np.nan for text, own in read.items()}
    return np.fromiter(map(values.__getitem__, column), np.float64, len(column))


def _number(text: str, field: CatalogueField) -> float | tuple[str, str]:
    """Return a number, NaN of an empty cell, or what was found and what would be right."""
    if text == "":
        return np.nan
    if NUMBER.fullmatch(text) is None:
        return no_number(text, field)
    value = float(text)
    bounds = broken_bounds(value, field)
    return (f"{text} {field.unit}".strip(), bounds) if bounds else value


def no_number(text: str, field: CatalogueField) -> tuple[str, str]:
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


def broken_bounds(value: float, field: CatalogueField) -> str:
    """Return the bound a number breaks in words, "" when it breaks none."""
    if not abs(value) <= LARGEST:
        return f"a number of at most {LARGEST:.0f}"
    unit = f" {field.unit}" if field.unit else ""
    if value <= field.above:
        return f"more than {field.above:g}{unit}"
    if value < field.minimum:
        return f"at least {field.minimum:g}{unit}"
    if value > field.maximum:
        return f"at most {field.maximum:g}{unit}"
    return ""
