"""Words of a shop's own headings and the keys that they may stand for, for a draft to look over.

They never decide by themselves: a draft is read and kept by somebody.
"""

from __future__ import annotations

import re

from hoseselect.quantities.spelling import plain_text

# the first phrase decides of which all words stand in the heading
PHRASES: tuple[tuple[str, str], ...] = (
    ("bead diameter", "nipples.bead_diameter"),
    ("bead", "nipples.bead"),
    ("bump", "nipples.bead"),
    ("coldest", "duty.coldest_start"),
    ("winter", "duty.coldest_start"),
    ("air peak", "duty.air_peak"),
    ("air temp", "duty.air_steady"),
    ("ambient", "duty.air_steady"),
    ("around temp", "duty.air_steady"),
    ("peak temp", "duty.fluid_peak"),
    ("max temp", "duty.fluid_peak"),
    ("temp", "duty.fluid_steady"),
    ("temperature", "duty.fluid_steady"),
    ("vacuum", "duty.pressure_min"),
    ("suction", "duty.pressure_min"),
    ("pressure", "duty.pressure_max"),
    ("stub length", "nipples.usable_length"),
    ("nipple length", "nipples.usable_length"),
    ("spigot length", "nipples.usable_length"),
    ("stub", "nipples.outside_diameter"),
    ("nipple", "nipples.outside_diameter"),
    ("spigot", "nipples.outside_diameter"),
    ("barb", "nipples.outside_diameter"),
    ("pipe", "nipples.outside_diameter"),
    ("od", "nipples.outside_diameter"),
    ("bend", "route.tightest_radius"),
    ("radius", "route.tightest_radius"),
    ("rock", "route.movement"),
    ("movement", "route.movement"),
    ("length", "route.measured"),
    ("run", "route.measured"),
    ("string", "route.measured"),
    ("drips", "drips"),
    ("leak", "drips"),
    ("turbo", "features.turbo"),
    ("boost", "features.sees_boost"),
    ("inside old", "features.insert"),
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


def guessed_key(heading: str) -> str:
    """Return the key of a job file that the words of a heading hint at; empty where none does.

    Examples
    --------
    >>> guessed_key("Stub OD"), guessed_key("max. temp."), guessed_key("Colour")
    ('nipples.outside_diameter', 'duty.fluid_peak', '')
    """
    words = set(re.findall(r"[a-z]+", plain_text(heading).lower()))
    return next((key for phrase, key in PHRASES if words >= set(phrase.split())), "")
