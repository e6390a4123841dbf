"""Jobs whose cut is known, or rests on a guess; and where a text gives one length by itself."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from hoseselect.quantities.shown import AT_LEAST, NEAREST, shown


def line(service: str, nipple: str, measured: str = "", **more: Any) -> dict[str, Any]:
    """Return what is told of a line: ends, length, and further keys of a job file."""
    route = {"route": {"measured": measured}} if measured else {}
    return {"service": service, "nipples": {"outside_diameter": nipple}, **route, **more}


HEATER = line("heater hose", "16 mm", "400 mm")
JOBS: dict[str, dict[str, Any]] = {
    "heater": HEATER,
    "heater in inches": line("heater hose", "5/8 in", "24 in"),
    "heater, both ends on the engine": HEATER
    | {"nipples": {"outside_diameter": "16 mm", "fixed_to": "engine"}},
    "heater, movement told": HEATER | {"route": {"measured": "400 mm", "movement": "10 mm"}},
    "heater, nipples told": HEATER
    | {"nipples": {"outside_diameter": "16 mm", "usable_length": "25 mm"}},
    "heater, all told": HEATER
    | {"nipples": {"outside_diameter": "16 mm", "usable_length": "25 mm"}}
    | {"route": {"measured": "400 mm", "movement": "10 mm"}},
    "heater, no run": line("heater hose", "16 mm"),
    "heater, run in bends": line(
        "heater hose",
        "16 mm",
        route={"run": ["300 mm", {"radius": "120 mm", "bend": "90 deg"}, "200 mm"]},
    ),
    "washer": line("washer hose", "4 mm", "900 mm"),
    "washer, free route": line(
        "washer hose",
        "10 mm",
        route={
            "free": {
                "offset": "forward 120 mm; up 80 mm",
                "nipple_a_points": "up",
                "nipple_b_points": "back",
            }
        },
    ),
    "vacuum": line("vacuum control line", "4 mm", "300 mm"),
    "breather": line("breather hose", "19 mm", "300 mm"),
    "fuel return": line("fuel return", "8 mm", "300 mm", fluids=["petrol-e10"]),
    "steering return": line("steering return", "10 mm", "500 mm"),
    "leak-off": line("injector leak off", "4 mm", "120 mm"),
    "overflow": line("coolant overflow", "8 mm", "500 mm"),
}

BARE = (r"\bcut (?:length )?\d[\d /]* ?(?:mm|in)", r"lengths that work: \d")
"""One length, told as the one to cut, or a window of lengths, told as a fact."""
RANGES = (
    r"cuts from [\d /]+ (?:mm|in) to [\d /]+ (?:mm|in)",
    r"between \S.*? and [\d /]+ (?:mm|in)",
    r"\bcomes to [\d /]+ (?:mm|in) at most",
    r"[\d /]+ (?:mm|in) \([\d /]+ (?:mm|in)\) to [\d /]+ (?:mm|in) \([\d /]+ (?:mm|in)\)",
)


def texts(value: Any) -> Iterator[str]:
    """Yield every text of plain values."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        yield from texts(list(value.values()))
    elif isinstance(value, list | tuple):
        for one in value:
            yield from texts(one)


def bare_lengths(text: str, most: float, units: str) -> list[str]:
    """Return where a text gives one length, or the longest that it may come to, by itself.

    Parameters
    ----------
    text : in one line
    most : the longest that the cut may come to [mm]
    units : "mm" or "in"
    """
    for words in RANGES:
        text = re.sub(words, "(a range)", text, flags=re.IGNORECASE)
    longest = {shown(most, "mm", units, side) for side in (NEAREST, AT_LEAST)}
    patterns = (*BARE, *(rf"(?<![\d/.])(?<!R ){re.escape(words)}" for words in longest))
    return [found for own in patterns for found in re.findall(own, text, re.IGNORECASE)]
