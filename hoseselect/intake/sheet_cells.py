"""Cells of a sheet of jobs through the door of the job file; every distinct text is read once."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import numpy as np
from pydantic import TypeAdapter, ValidationError

from hoseselect.intake.door import checked_text
from hoseselect.intake.job_form import RouteForm
from hoseselect.intake.read_job import one_sentence
from hoseselect.intake.run_text import run_pieces
from hoseselect.intake.sheet_keys import SheetKey
from hoseselect.judging.columns import Array
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.spelling import is_unknown, plain_text

BARE = re.compile(r"[-+]?[0-9.,'\s/]+")
SUCTION = re.compile(r"\b(vacuum|vac|suction|depression)\b", re.IGNORECASE)
CLOCK = re.compile(r"\d{4}-\d{2}-\d{2}(?: \d{2}:\d{2}:\d{2}(?:\.\d+)?)?")
FORMULA_SIGNS = ("=", "+", "-", "@")
MOST_KEPT = 200_000
"""Distinct texts of one column that are kept at once, a matter of memory."""

BLANK = 0


class Column:
    """One column of a sheet: reads its cells, each distinct text once.

    Parameters
    ----------
    key : of the job file
    unit : of bare numbers, from the heading; empty = the working unit
    """

    def __init__(self, key: SheetKey, unit: str = "") -> None:
        self.key = key
        self.unit = unit
        self.adapter: TypeAdapter[Any] = TypeAdapter(key.annotation)
        self._forget()

    def _forget(self) -> None:
        self.values: list[Any] = [None]
        self.faults: list[InputError | None] = [None]
        self._checked, self._faulty = 0, np.zeros(0, dtype=bool)
        self.places = _Places(self)
        self._meanings: dict[str, tuple[list[Any], Array]] = {}

    def codes(self, texts: list[str]) -> Array:
        """Return the place of each cell's text among `values`, shape (n,); 0 for an empty cell."""
        if len(self.values) > MOST_KEPT:
            self._forget()
        return np.fromiter(map(self.places.__getitem__, texts), dtype=np.int64, count=len(texts))

    def meanings(self, name: str, meaning: Callable[[Any], Any], blank: Any) -> Array:
        """Return what each of `values` means, shape (values, ...); each is asked once.

        Parameters
        ----------
        name : of the meaning
        meaning : of a value that can be used
        blank : what an empty cell means, and one that cannot be used
        """
        kept, array = self._meanings.get(name, ([], np.array([])))
        if len(kept) < len(self.values):
            new = self.values[len(kept) :]
            kept.extend(blank if value is None else meaning(value) for value in new)
            array = np.array(kept)
            self._meanings[name] = kept, array
        return array

    def faulty(self) -> Array:
        """Return which of `values` cannot be used, shape (values,)."""
        faults = np.array([fault is not None for fault in self.faults[self._checked :]])
        self._faulty = np.concatenate([self._faulty, faults.astype(bool)])
        self._checked = len(self.faults)
        return self._faulty

    def learn(self, text: str) -> int:
        """Return the place of a text that is new."""
        clean = clean_cell(text)
        if clean == "":
            return BLANK
        try:
            value, fault = self.read(clean), None
        except InputError as error:
            value, fault = None, error
        self.values.append(value)
        self.faults.append(fault)
        return len(self.values) - 1

    def read(self, text: str) -> Any:
        """Return what the door makes of a text that is not empty.

        Raises
        ------
        InputError
            when it cannot be used; the place is empty.
        """
        checked_text(text)
        if self.key.kind in {"length", "temperature", "pressure", "flow"}:
            if CLOCK.fullmatch(text):
                found = f"the date {text}"
                expected = "a figure (spreadsheets make dates of 3/8: format the cell as text)"
                raise InputError("", found, expected)
            text = with_unit(text, self.unit)
        if self.key.kind == "run":
            return read_run(text)
        try:
            return self.adapter.validate_python(text)
        except ValidationError as error:
            raise _without_place(error) from None

    def as_typed(self, text: str) -> Any:
        """Return a cell as a job file would have it."""
        text = clean_cell(text)
        if self.key.kind == "run":
            return typed_run(text)
        return with_unit(text, self.unit) if self.key.unit else text


class _Places(dict[str, int]):
    """Places of texts; one that is missing is read."""

    def __init__(self, column: Column) -> None:
        super().__init__()
        self.column = column

    def __missing__(self, text: str) -> int:
        self[text] = place = self.column.learn(text)
        return place


def clean_cell(text: str) -> str:
    """Return a cell without needless blanks, and without the mark that keeps it from being run."""
    clean = " ".join(text.split())
    if clean.startswith("'") and clean[1:2] in FORMULA_SIGNS:
        return clean[1:]
    return clean


def with_unit(text: str, unit: str) -> str:
    """Return a bare number with the unit of its heading.

    Examples
    --------
    >>> with_unit("230", "degF"), with_unit("110 degC", "degF"), with_unit("-20", "inHg vacuum")
    ('230 degF', '110 degC', '-20 inHg')
    """
    plain = plain_text(text)
    if not unit or not BARE.fullmatch(plain):
        return text
    if plain.startswith("-") and SUCTION.search(unit):
        unit = SUCTION.sub(" ", unit).strip()  # the sign says suction already
    return f"{plain} {unit}"


def read_run(text: str) -> RouteForm:
    """Return a route of straights and bends.

    Raises
    ------
    InputError
        when a piece cannot be used; the place is empty.
    """
    pieces = typed_run(text)
    try:
        return RouteForm.model_validate({"run": pieces})
    except ValidationError as error:
        raise _without_place(error) from None


def typed_run(text: str) -> list[Any]:
    """Return the pieces of a run; none where it is not known."""
    return [] if is_unknown(text) else run_pieces(text, "")


def _without_place(error: ValidationError) -> InputError:
    detail = error.errors(include_url=False)[0]
    sentence = one_sentence("", {**detail, "loc": ()})
    found, sign, expected = sentence.removeprefix(": found ").partition("; expected ")
    return InputError("", found, expected) if sign else InputError("", sentence, "another value")
