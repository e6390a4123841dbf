"""Which heading fits which column of a catalogue, and what speaks against it.

A heading that denies claims nothing: fluids that it excludes go to `not_for`, any other is left to
whoever reads the draft. So is one that says another quantity: a burst pressure is no working one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from hoseselect.catalogue.supplier.heading_words import heading_words, likeness
from hoseselect.quantities.heading_units import names_absolute

NOT_FOR = "not_for"


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split("|"))


_DENYING = _words(
    "not|non|nor|neither|never|none|cannot|without|except|excepting|exception|exceptions|exclude"
    "|excl|excludes|excluded|excluding|exclusion|exclusions|avoid|avoided|avoiding|forbidden|prohibited"
    "|disallowed|banned|barred|refused|inadmissible|impermissible"
)
_DENIED = re.compile(
    r"\b(?:\w+n['\u2019]t|w/o|unfit|(?:un|in|non|im|dis)-?(?:suit|compat|approv|appropr|clamp|reinforc"
    r"|recommend|permit|resist|safe|usable|mark|advis|allow|submers|immers|rated|certif|crimp)\w*)"
)
_NUMBERED = _words(
    "part|item|article|art|roll|reel|coil|order|stock|product|code|ref|reference|hose|clamp"
    "|fitting|batch|serial|catalogue|cat|model|lot|drawing|line|type|our|your|supplier|material"
    "|standard|norm"
)
"""Words after which "no" is short for number."""
_OF_FLUIDS = _words(
    "media|medium|fluid|fluids|liquid|liquids|suitable|suited|compatible|resistant|recommended"
    "|approved|permitted|allowed|intended|use|used|do|don|t|for|with|to|be|is|are|against"
)
"""What a heading that excludes fluids says beside the word that denies."""

_SHORT = _words("short|intermittent|peak|momentary|brief|temporary|minutes|spike")
_PROOF = _words("burst|bursting|rupture|test|tested|testing|proof")
_LEAST = _words("min|cold|low|lower|lowest")
_ELSEWHERE = _words("storage|test|tested")
_HOURS = _words("h|hr|hrs|hour|hours")
_CHARGES = _words("vat|tax|taxes|duty|freight|delivery|packing|carriage")
"""What a price may be without, and is a price all the same."""
_SPREAD = frozenset({"tolerance", "tolerances", "tol"})
_OTHER_PRESSURE = _PROOF | _SHORT | {"surge", "impulse", "drop", "loss"}
_JOINED = _words("crimped|coupled|couplings|fittings")
_CLAMPED = _words("clamp|clamps|clamped")

SAYS_OTHERWISE: dict[str, frozenset[str]] = {
    "working_pressure_clamped_kpa": _OTHER_PRESSURE | _JOINED,
    "working_pressure_crimped_kpa": _OTHER_PRESSURE | _CLAMPED,
    "suction_limit_cold_kpa": _OTHER_PRESSURE | {"hot"},
    "suction_limit_hot_kpa": _OTHER_PRESSURE | {"cold"},
    "temperature_continuous_degc": _SHORT | _HOURS | _LEAST | _ELSEWHERE,
    "temperature_short_time_degc": _LEAST | _ELSEWHERE | {"continuous"},
    "temperature_cold_degc": _SHORT
    | _ELSEWHERE
    | {"max", "upper", "high", "highest", "hot", "continuous"},
    "bore_mm": _SPREAD | {"min", "max"},
    "bore_min_mm": _SPREAD | {"max"},
    "bore_max_mm": _SPREAD | {"min"},
    "outside_diameter_mm": _SPREAD | {"min", "max"},
}
"""Words with which a heading says another figure than that of a column."""


def denying_word(heading: str) -> str:
    """Return the word by which a heading denies something, "" where it denies nothing.

    Examples
    --------
    >>> denying_word("Not suitable for"), denying_word("Incompatible media")
    ('not', 'incompatible')
    >>> denying_word("Part No")
    ''
    """
    plain = heading.replace("_", " ").casefold()
    found = _DENIED.search(plain)
    if found:
        return found[0]
    words = re.findall(r"[^\W_]+", plain)
    for place, word in enumerate(words):
        number = words[:place][-1:] and words[place - 1] in _NUMBERED
        if word in _DENYING or (word == "no" and len(words) > 1 and not number):
            return word
    return ""


def _excludes_fluids(heading: str) -> bool:
    """Return whether a heading that denies says of fluids that the hose is not for them."""
    left = heading_words(heading) - _OF_FLUIDS - _DENYING
    return all(_DENIED.fullmatch(word) for word in left)


def reason_against(heading: str, column: str) -> str:
    """Return why a heading cannot stand for a column, "" where nothing speaks against it.

    Parameters
    ----------
    heading : heading of a sheet
    column : heading of the catalogue
    """
    denied = denying_word(heading)
    if denied and not _of_charges(heading, column):
        fits = column == NOT_FOR and _excludes_fluids(heading)
        return "" if fits else f"it denies ('{denied}') and claims nothing"
    if column.endswith("_kpa") and names_absolute(heading):
        return "an absolute pressure, and the catalogue holds gauge pressures"
    words = heading_words(heading)
    if column.startswith("temperature") and {"min", "max"} <= words:
        return "both ends of a range in one column"
    other = sorted(words & SAYS_OTHERWISE.get(column, frozenset()))
    return f"'{', '.join(other)}' says another figure than {column}" if other else ""


def _of_charges(heading: str, column: str) -> bool:
    """Return whether a heading denies no more than charges that a price leaves out."""
    return column.startswith("price") and bool(heading_words(heading) & _CHARGES)


def reason_left(heading: str, columns: Iterable[str]) -> str:
    """Return why a heading stands for no column, "" where it is like none or only comes second."""
    best = max(columns, key=lambda column: likeness(heading, column))
    if denying_word(heading) or likeness(heading, best) > 0.0:
        return reason_against(heading, best if best != NOT_FOR else "")
    return ""


def best_columns(headings: list[str], columns: list[str]) -> dict[str, str]:
    """Return which heading fits which column best; every heading and column is used once.

    Parameters
    ----------
    headings : headings of a sheet
    columns : headings of the catalogue, the more important ones first

    Returns
    -------
    heading of the sheet by heading of the catalogue
    """
    pairs = sorted(
        (-_fit(heading, column), columns.index(column), place, heading, column)
        for place, heading in enumerate(headings)
        for column in columns
        if _fit(heading, column) > 0.0
    )
    taken: dict[str, str] = {}
    used: set[int] = set()
    for _, _, place, heading, column in pairs:
        if column not in taken and place not in used:
            taken[column] = heading
            used.add(place)
    return taken


def _fit(heading: str, column: str) -> float:
    if reason_against(heading, column):
        return 0.0
    return 1.0 if column == NOT_FOR and denying_word(heading) else likeness(heading, column)
