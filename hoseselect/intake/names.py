"""Other names of services, stops and fluids, as people say them."""

from __future__ import annotations

from functools import cache

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.quantities.spelling import is_unknown
from hoseselect.rules.stop import STOP_FLUID


def plain(text: str) -> str:
    """Return a name as it is compared: lower case, one space between words."""
    return " ".join(text.lower().replace("-", " ").replace("_", " ").split())


@cache
def _services() -> dict[str, str]:
    names: dict[str, str] = {}
    for name, key in (("stop_names", "stop"), ("service_names", "service")):
        for row in table(name):
            names[plain(row["other_name"])] = row[key]
    for name, key in (("services", "service"), ("stops", "stop")):
        for row in table(name):
            names[plain(row["name"])] = row[key]
            names[plain(row[key])] = row[key]
    return names


@cache
def _fluids() -> dict[str, str]:
    names = {plain(row["other_name"]): row["fluid"] for row in table("fluid_names")}
    for row in table("fluids"):
        names[plain(row["name"])] = row["fluid"]
        names[plain(row["fluid"])] = row["fluid"]
    return names


# A person who says "petrol" or "diesel" means what the pump sells, not the pure hydrocarbon.
AS_SOLD = {"petrol": "petrol-e10", "diesel": "diesel-b7"}


def known_service(text: object) -> str:
    """Return the id of a service or stop.

    Raises
    ------
    InputError
        when nobody calls a service so; near names are offered.
    """
    if not isinstance(text, str) or not text.strip():
        raise InputError("service", repr(text), "what the line does, such as 'PCV hose'")
    if is_unknown(text):
        return "unknown-service"
    return _find(text, _services(), "service", "a service")


def known_fluid(text: str, *, as_sold: bool = True) -> str:
    """Return the id of a fluid.

    Parameters
    ----------
    text : its id or another name
    as_sold : whether "petrol" and "diesel" mean what the pump sells

    Raises
    ------
    InputError
        when nobody calls a fluid so; near names are offered.
    """
    if as_sold and plain(text) in AS_SOLD:
        return AS_SOLD[plain(text)]
    stop = _services().get(plain(text), "")
    if plain(text) not in _fluids() and table("stops").has(stop=stop):
        return f"{STOP_FLUID}{stop}"
    return _find(text, _fluids(), "fluid", "a fluid")


def _find(text: str, names: dict[str, str], place: str, kind: str) -> str:
    wanted = plain(text)
    if wanted in names:
        return names[wanted]
    near = _near(wanted[:LONGEST_NAME], names)
    hint = " or ".join(near) if near else "one that `hoseselect explain` lists"
    raise InputError(place, ascii_text(text), f"{kind}: {hint}")


def ascii_text(text: str) -> str:
    """Return a typed text in quotes, with what no terminal can show written out."""
    short = text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}..."
    return f"'{short}'" if short.isprintable() else ascii(short)


LONGEST_SHOWN = 60


LONGEST_NAME = 100
"""Letters of a name that are compared with others: comparing takes the square of its length."""

COMMON_WORDS = {"hose", "line", "pipe", "tube", "the", "a", "of", "to", "and", "in", "for"}
OFFERED = 6


def _near(wanted: str, names: dict[str, str]) -> list[str]:
    """Return what may be meant, best first: names spelled alike, and names that share words."""
    import difflib

    words = set(wanted.split()) - COMMON_WORDS

    def likeness(name: str) -> float:
        own = set(name.split()) - COMMON_WORDS
        shared = len(words & own) / max(len(words | own), 1)
        return shared + difflib.SequenceMatcher(None, wanted, name).ratio()

    best: dict[str, float] = {}
    for name, found in names.items():
        best[found] = max(best.get(found, 0.0), likeness(name))
    near = [found for found, score in best.items() if score >= LIKE_ENOUGH]
    return sorted(near, key=lambda found: -best[found])[:OFFERED]


LIKE_ENOUGH = 0.75
