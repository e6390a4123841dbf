"""What stands in the print of a hose: markings, sizes, polymers, pressures, dates, stops."""

from __future__ import annotations

import re
from collections.abc import Iterator

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import Row, table
from hoseselect.quantities.fractions import RULE_DENOMINATORS
from hoseselect.quantities.read import read_quantity

SIZE = re.compile(
    r"(?<![\w/.])(?:\d+[ -])?\d+/\d+ ?(?:in\b|inch\b|\"|'')|\b\d+(?:[.,]\d+)? ?mm\b"
    r"|(?<![\w/.,])\d{1,2}(?:[.,]\d+)? ?(?:in\b|inch\b|\"|'')"
    r"|(?<![\w/.,])\d+(?:[.,]\d+)? ?[xX×] ?\d+(?:[.,]\d+)?(?![\w/])(?: ?mm\b)?",
    re.IGNORECASE,
)
FRACTION = re.compile(
    r"(?<![\w/.-])(?:\d{1,2}[ -])?(?:[1-9]|[1-6]\d)/(?P<bottom>\d{1,2})(?![\w/.])"
)
PRESSURE = re.compile(
    r"(?<![\w.,])(?P<figure>\d+(?:[.,]\d+)?) ?(?P<unit>psi|bar|mpa|kpa)\b", re.IGNORECASE
)
BURST = re.compile(r"\b(?:BURST|BP|PROOF)\b", re.IGNORECASE)
YEAR = r"(?:19[89]\d|20[0-4]\d)"
DATE = re.compile(
    rf"(?<![\w/.])(?:(?:0[1-9]|1[0-2])[/. -](?:{YEAR}|\d\d)|[1-4] ?Q ?(?:{YEAR}|\d\d)|{YEAR})"
    r"(?![\w/])",
    re.IGNORECASE,
)


def markings_in(text: str) -> Iterator[tuple[Row, str]]:
    """Yield each published marking that a print bears, with the words that say so."""
    for row in table("markings"):
        found = re.search(row["print_pattern"], text, re.IGNORECASE)
        if found is not None:
            yield row, found.group(0)


def sizes_in(text: str) -> tuple[str, ...]:
    """Return the sizes of a print in its order; a fraction of a rule's divisions is one of inches.

    Examples
    --------
    >>> sizes_in("SAE 30R7 3/8 03/25")
    ('3/8',)
    """
    found = {match.start(): match.group(0) for match in SIZE.finditer(text)}
    taken = [match.span() for match in (*SIZE.finditer(text), *DATE.finditer(text))]
    for match in FRACTION.finditer(text):
        apart = all(match.end() <= start or end <= match.start() for start, end in taken)
        if apart and int(match["bottom"]) in RULE_DENOMINATORS:
            found[match.start()] = match.group(0)
    return tuple(found[place] for place in sorted(found))


def bores_in(text: str) -> tuple[float, ...]:
    """Return the sizes of a print that may be a bore [mm]; of "8 x 13" the first."""
    bores = []
    for size in sizes_in(text):
        first = re.split(r"[xX×]", size)[0].strip()
        try:
            bores.append(read_quantity(first, "length", "size", minimum=0.0))
        except InputError:
            continue
    return tuple(bores)


def polymers_in(text: str) -> Iterator[Row]:
    """Yield the polymers that a print names by their symbol."""
    for row in table("polymers"):
        if re.search(
            rf"(?<![A-Z0-9/]){re.escape(row['symbol'])}(?![A-Z0-9/])", text, re.IGNORECASE
        ):
            yield row


def pressures_in(text: str) -> tuple[tuple[str, float, bool], ...]:
    """Return the pressures of a print: its words, the figure [kPa], and whether it is of burst."""
    return tuple(
        (
            match.group(0),
            read_quantity(match.group(0), "pressure", "pressure"),
            BURST.search(text[max(0, match.start() - NEAR) : match.end() + NEAR]) is not None,
        )
        for match in PRESSURE.finditer(text)
    )


NEAR = 8
"""Letters beside a pressure in which a word says what it is of."""


def dates_in(text: str) -> tuple[str, ...]:
    """Return what may be dates of make: month and year, quarter and year, or a year."""
    return tuple(match.group(0) for match in DATE.finditer(text))


def stops_in(text: str) -> Iterator[Row]:
    """Yield what in a print means that the hose is for no job for bulk hose."""
    for row in table("print_stops"):
        if re.search(row["print_pattern"], text, re.IGNORECASE):
            yield row


def forms_in(text: str) -> Iterator[Row]:
    """Yield the standards of a print of which no more than the field is known."""
    for row in table("print_forms"):
        if re.search(row["print_pattern"], text, re.IGNORECASE):
            yield row


STANDARD = re.compile(
    r"(?<![A-Z0-9])(?:DIN|EN|ISO|UNI|BS|JIS|NF|GOST)(?: (?:EN|ISO))*[ -]?\d[\d-]*", re.IGNORECASE
)


def strange_standards(text: str) -> tuple[str, ...]:
    """Return the standards that a print names and of which nothing is known here."""
    tables = [table(name) for name in ("markings", "print_stops", "print_forms")]
    patterns = [row["print_pattern"] for rows in tables for row in rows]
    known = [
        match.span() for pattern in patterns for match in re.finditer(pattern, text, re.IGNORECASE)
    ]
    return tuple(
        named.group(0)
        for named in STANDARD.finditer(text)
        if all(named.end() <= start or end <= named.start() for start, end in known)
    )
