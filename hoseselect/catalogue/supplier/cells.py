"""A cell of a supplier's sheet as it is written into a catalogue."""

from __future__ import annotations

import re

from hoseselect.catalogue.file_form import YES_NO, CatalogueField
from hoseselect.catalogue.roll_age import EXPECTED_DATE, made_on
from hoseselect.catalogue.supplier.mapping import Mapping
from hoseselect.catalogue.supplier.units import number_text, read_number
from hoseselect.catalogue.words import PARTS, allowed_words
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.read import read_answer
from hoseselect.quantities.spelling import near_spellings

_NOT_IN_NAME = re.compile(r"[\s;|,]+")
RUN_BY_SPREADSHEETS = ("=", "@")
_CLOCK = re.compile(r"\d{4}-\d{2}-\d{2}(?: \d{2}:\d{2}:\d{2})?")


class CellReader:
    """Reads the cells of one column; equal cells are read once.

    Parameters
    ----------
    field : column of the catalogue
    unit : unit of bare numbers
    mapping : words, decimal sign and what counts as not stated
    """

    def __init__(self, field: CatalogueField, unit: str, mapping: Mapping) -> None:
        self.field = field
        self.unit = unit
        self.mapping = mapping
        self.words = mapping.words.get(field.name, {})
        self.allowed = allowed_words(field) if field.kind in {"choice", *PARTS} else ()
        self.exact = {word.casefold(): word for word in self.allowed}
        self._known: dict[str, str | InputError] = {}

    def read(self, text: str) -> str:
        """Return the text of the catalogue's cell, "" for not stated.

        Raises
        ------
        InputError
            when the cell cannot be read; the place is empty.
        """
        if text not in self._known:
            try:
                self._known[text] = self._read(text)
            except InputError as error:
                self._known[text] = error
        found = self._known[text]
        if isinstance(found, InputError):
            raise InputError("", found.found, found.expected)
        return found

    def _read(self, text: str) -> str:
        word = text.casefold()
        if word in self.words:
            return self._checked(self.words[word], text)
        if text == "" or word in self.mapping.not_stated:
            return ""
        kind = self.field.kind
        if kind == "number":
            return self._number(text)
        if kind in {"key", "reference"}:
            return name_from(text)
        if kind == "date":
            return self._date(text)
        if kind == "text" and text.startswith(RUN_BY_SPREADSHEETS):
            raise InputError("", f"'{text}', which a spreadsheet would run", "words")
        if kind == "text":
            return text
        return self._checked(text, text)

    def _number(self, text: str) -> str:
        if _CLOCK.fullmatch(text):
            found = f"the date {text}"
            raise InputError("", found, "a number (a spreadsheet makes dates of 3/8: use 0.375)")
        return number_text(read_number(text, self.field, self.unit, self.mapping.decimal))

    def _date(self, text: str) -> str:
        day = text[:10] if _CLOCK.fullmatch(text) else text
        if made_on(day) is not None:
            return day
        raise InputError("", f"'{text}'", EXPECTED_DATE)

    def _checked(self, value: str, text: str) -> str:
        """Return words that the column allows, one by one where it holds a list."""
        field = self.field
        if value == "" or field.kind not in {"choice", *PARTS}:
            return value
        if field.choices == YES_NO:
            answer = read_answer(value, "")
            return "" if answer == "unknown" else answer
        if field.kind == "choice":
            return self._allowed(value, text)
        mark = PARTS[field.kind]
        parts = [part.strip() for part in re.split(r"[;,]" if mark == ";" else r"\|", value)]
        kept = [self.words.get(part.casefold(), part) for part in parts if part]
        return mark.join(self._allowed(part, text) for part in kept if part)

    def _allowed(self, word: str, text: str) -> str:
        found = self.exact.get(word.casefold())
        if found is not None:
            return found
        hint = "".join(f", perhaps {near}" for near in near_spellings(word, self.allowed))
        if self.field.knowledge:
            known = f"a known {self.field.knowledge.split(':')[1]}"
        else:
            known = ", ".join(self.allowed[:-1]) + f" or {self.allowed[-1]}"
        place = f"[words.{self.field.name}]"
        raise InputError("", f"'{text}'", f"{known}{hint}; or an entry in {place} of the mapping")


def name_from(text: str) -> str:
    """Return a text as the name of a row: no blanks, commas, semicolons or bars.

    Examples
    --------
    >>> name_from("Heater hose, 16 mm")
    'Heater-hose-16-mm'
    """
    return _NOT_IN_NAME.sub("-", text).strip("-").lstrip("._/\\#*+()[]\"'-")
