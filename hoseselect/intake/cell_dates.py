"""Dates that a spreadsheet has made of fractions: 3/8 becomes "3-Aug", "08. Mrz" or 2024-03-08."""

from __future__ import annotations

import re

# common names and short forms of months in languages of spreadsheets, without dots
_NAMES = (
    "jan feb mar apr may jun jul aug sep sept oct nov dec",
    "january february march april june july august september october november december",
    "januar jänner februar mrz märz mär mai juni juli oktober okt dezember dez",
    "janv janvier févr fév février mars avr avril juin juil juillet août aoû septembre octobre",
    "novembre déc décembre",
    "ene enero febrero marzo abr abril mayo junio julio ago agosto septiembre octubre noviembre",
    "dic diciembre",
    "gen gennaio febbraio aprile mag maggio giu giugno lug luglio set settembre ott ottobre",
    "novembre dicembre",
    "fev fevereiro março maio junho julho setembro out outubro novembro dezembro",
    "mrt maart mei januari februari augustus",
    "maj sty lut kwi cze lip sie wrz paź lis gru",
)
MONTHS = frozenset(name for names in _NAMES for name in names.split())
_PARTS = re.compile(r"[\s.,/-]+")
_YEAR = re.compile(r"[12][0-9]{3}")
_CLOCK = re.compile(r"\s[0-2]?\d:\d{2}(?::\d{2}(?:\.\d+)?)?(?:\s?[ap]m)?$", re.IGNORECASE)


def is_date(text: str) -> bool:
    """Return whether a cell holds a date, with or without a year and a time of the day.

    A word that is a month beside a figure makes a date, and so do three figures with a year among
    them; two figures alone are a fraction or a decimal.

    Examples
    --------
    >>> [is_date(text) for text in ("3-Aug", "08. Mrz", "Aug 03", "2024-03-08 00:00:00")]
    [True, True, True, True]
    >>> [is_date(text) for text in ("3/8/2024", "8.3.24", "3/8", "1-3/8", "3 8/10 in", "13 mm")]
    [True, True, False, False, False, False]
    """
    parts = [part for part in _PARTS.split(_CLOCK.sub("", text).casefold()) if part]
    words = [part for part in parts if not part.isdecimal()]
    figures = [part for part in parts if part.isdecimal()]
    if len(words) == 1:
        return words[0] in MONTHS and 1 <= len(figures) <= MOST_FIGURES - 1
    years = [part for part in figures if _YEAR.fullmatch(part)]
    return not words and len(figures) == MOST_FIGURES and (bool(years) or _with_short_year(text))


MOST_FIGURES = 3  # day, month, year


def _with_short_year(text: str) -> bool:
    """Return whether three figures of at most two digits stand between two equal signs."""
    return re.fullmatch(r"[0-3]?[0-9]([./-])[0-3]?[0-9]\1[0-9]{2}", text.strip()) is not None
