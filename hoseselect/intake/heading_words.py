"""Words of a shop's own headings and the keys that they may stand for, for a draft to look over.

They never decide by themselves: a draft is read and kept by somebody.
"""

from __future__ import annotations

import re

from hoseselect.quantities.spelling import plain_text

# the first phrase decides of which all words stand in the heading; an empty key: no input of a job
PHRASES: tuple[tuple[str, str], ...] = (
    ("burst", ""),
    ("proof", ""),
    ("test pressure", ""),
    ("bead diameter", "nipples.bead_diameter"),
    ("bead", "nipples.bead"),
    ("bump", "nipples.bead"),
    ("coldest", "duty.coldest_start"),
    ("winter", "duty.coldest_start"),
    ("min temp", "duty.coldest_start"),
    ("cold temp", "duty.coldest_start"),
    ("air peak", "duty.air_peak"),
    ("max air temp", "duty.air_peak"),
    ("max ambient", "duty.air_peak"),
    ("air temp", "duty.air_steady"),
    ("ambient", "duty.air_steady"),
    ("around temp", "duty.air_steady"),
    ("peak temp", "duty.fluid_peak"),
    ("max temp", "duty.fluid_peak"),
    ("temp", "duty.fluid_steady"),
    ("vacuum pressure", "duty.pressure_min"),
    ("suction pressure", "duty.pressure_min"),
    ("min pressure", "duty.pressure_min"),
    ("peak pressure", "duty.pressure_spike"),
    ("spike", "duty.pressure_spike"),
    ("pressure", "duty.pressure_max"),
    ("stub length", "nipples.usable_length"),
    ("nipple length", "nipples.usable_length"),
    ("spigot length", "nipples.usable_length"),
    ("stub", "nipples.outside_diameter"),
    ("nipple", "nipples.outside_diameter"),
    ("spigot", "nipples.outside_diameter"),
    ("barb", "nipples.outside_diameter"),
    ("pipe", "nipples.outside_diameter"),
    ("hose od", ""),
    ("od", "nipples.outside_diameter"),
    ("bend", "route.tightest_radius"),
    ("radius", "route.tightest_radius"),
    ("rock", "route.movement"),
    ("movement", "route.movement"),
    ("length", "route.measured"),
    ("run", "route.measured"),
    ("string", "route.measured"),
    ("vacuum", "duty.pressure_min"),
    ("suction", "duty.pressure_min"),
    ("drips", "drips"),
    ("leak", "drips"),
    ("turbo", "features.turbo"),
    ("boost", "features.sees_boost"),
    ("restrictor", "features.insert"),
    ("medium", "fluids"),
    ("fluid", "fluids"),
    ("fuel", "fluids"),
    ("job", "name"),
    ("vehicle", "name"),
    ("line", "service"),
    ("hose", "service"),
    ("application", "service"),
    ("use", "service"),
)


OLD = frozenset(("old", "original", "previous", "existing", "former", "removed", "worn"))
"""Words of what was there before: it is a hint and never an input of the new route."""

OLD_PHRASES: tuple[tuple[str, str], ...] = (
    *((part, "") for part in ("stub", "nipple", "spigot", "barb", "pipe")),
    ("outside dia", "old_hose.outside_diameter"),
    ("outer dia", "old_hose.outside_diameter"),
    ("od", "old_hose.outside_diameter"),
    ("inside dia", "old_hose.bore"),
    ("inner dia", "old_hose.bore"),
    ("id", "old_hose.bore"),
    ("bore", "old_hose.bore"),
    ("length", "old_hose.length"),
    ("condition", "old_hose.condition"),
    ("inside", "features.insert"),
    ("restrictor", "features.insert"),
)

SUCTION = frozenset(("vacuum", "suction"))

_SAME = {
    "minimum": "min",
    "lowest": "min",
    "maximum": "max",
    "highest": "max",
    "temperature": "temp",
    "diameter": "dia",
}


def plain_words(heading: str) -> frozenset[str]:
    """Return the words of a heading as the phrases have them."""
    found = re.findall(r"[a-z]+", plain_text(heading).lower())
    return frozenset(_SAME.get(word, word) for word in found)


def guessed_key(heading: str) -> str:
    """Return the key of a job file that the words of a heading hint at; empty where none does.

    Examples
    --------
    >>> guessed_key("Stub OD"), guessed_key("max. temp."), guessed_key("Colour")
    ('nipples.outside_diameter', 'duty.fluid_peak', '')
    """
    words = plain_words(heading)
    phrases = OLD_PHRASES if words & OLD else PHRASES
    return next((key for phrase, key in phrases if words >= plain_words(phrase)), "")
