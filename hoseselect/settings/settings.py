"""What a shop has set, and what holds where it has set nothing."""

from __future__ import annotations

from dataclasses import dataclass, field

from hoseselect.domain.job import Usual


@dataclass(frozen=True)
class Settings:
    """What a shop has set, and what holds where it has set nothing.

    Parameters
    ----------
    usual : where a job is silent
    units : "mm" or "in", shown first
    paper : "a4" or "letter"
    currency : of prices
    catalog : folder of the shop's own catalogue; empty = the built-in one
    language : of the words
    book : whether a job book is kept
    book_file : its file; empty = in the user's folder of data
    """

    usual: Usual = field(default_factory=Usual)
    units: str = "mm"
    paper: str = "a4"
    currency: str = ""
    catalog: str = ""
    language: str = "en"
    book: bool = True
    book_file: str = ""


MEANINGS = {
    "coldest_start": "coldest start of a winter, where a job does not tell it, e.g. '-20 degC'",
    "fuel": "worst fuels sold, where a job names none, e.g. 'petrol-e10, diesel-b7'",
    "cap_pressure": "highest pressure on the caps of cooling systems, e.g. '110 kPa' or '15 psi'",
    "units": "what is shown first, and the cut's step: mm or in",
    "paper": "a4 or letter",
    "currency": "written behind prices, e.g. EUR",
    "catalog": "folder of the shop's own catalogue",
    "language": "of the words: en, the only one there is",
    "book": "whether the job book is kept: on or off",
    "book_file": "file of the job book, where it is not in the user's folder of data",
}
"""Keys and what they mean, in the order in which they are shown."""
