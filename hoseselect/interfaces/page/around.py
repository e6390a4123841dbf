"""What lies round a free route, as an address tells it: things to keep clear of, and clips."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from hoseselect.knowledge.errors import InputError

KEEP_OUT, CLIP = "keep_out", "clip"
KEEP_OUT_PARTS = ("name", "kind", "at", "to", "size", "hot")
KEEP_OUT_FURTHER = ("clearance", "growth", "shake", "fixed_to")
"""Parts of a keep-out that a form hands on and does not ask."""
CLIP_PARTS = ("at", "along", "fixed_to")
KINDS = ("rod", "ball", "box")
MOST = 6
"""Of each kind in a form."""
NAME = re.compile(rf"({KEEP_OUT}|{CLIP})\.([1-{MOST}])\.([a-z_]+)")
PLACE = "its place from the mouth of A, such as 80 mm down; or every field of it empty"
Listed = dict[str, list[dict[str, Any]]]


def is_around(name: str) -> bool:
    """Return whether a name in an address is about what lies round a route."""
    return NAME.fullmatch(name) is not None


def around(pairs: Iterable[tuple[str, str]]) -> Listed:
    """Return keep-outs and clips as a job file holds them, in the order of their numbers.

    Nothing that somebody told of one is dropped: without its place it is a fault.

    Parameters
    ----------
    pairs : such as ("keep_out.1.name", "exhaust"); other names are passed over

    Raises
    ------
    InputError
        when one has no place, a kind that there is not, or a part that there is not.
    """
    found: dict[str, dict[str, dict[str, str]]] = {KEEP_OUT: {}, CLIP: {}}
    for name, text in pairs:
        match = NAME.fullmatch(name)
        if match is None or not text.strip():
            continue
        kind, number, part = match.groups()
        known = (*KEEP_OUT_PARTS, *KEEP_OUT_FURTHER) if kind == KEEP_OUT else CLIP_PARTS
        if part not in known:
            raise InputError(name, f"the part '{part}'", ", ".join(known))
        found[kind].setdefault(number, {})[part] = text.strip()
    told: Listed = {}
    for kind, read in ((KEEP_OUT, _keep_out), (CLIP, _clip)):
        listed = [read(number, one) for number, one in sorted(found[kind].items()) if _told(one)]
        if listed:
            told[kind] = listed
    return told


def _told(one: Mapping[str, str]) -> bool:
    """Return whether somebody told anything of it: a form sends its form and its heat always."""
    return any(part not in {"kind", "hot"} for part in one) or one.get("hot") == "yes"


def _keep_out(number: str, one: Mapping[str, str]) -> dict[str, Any]:
    """Return one thing to keep clear of."""
    kind = one.get("kind", KINDS[0])
    if kind not in KINDS:
        raise InputError(f"{KEEP_OUT}.{number}.kind", f"'{kind}'", ", ".join(KINDS))
    if "at" not in one:
        raise InputError(f"{KEEP_OUT}.{number}.at", "nothing", PLACE)
    if kind == "rod" and "to" not in one:
        expected = "where the other end of the rod is, or a ball or box instead of a rod"
        raise InputError(f"{KEEP_OUT}.{number}.to", "nothing", expected)
    if kind != "rod" and "to" in one:
        expected = f"nothing there for a {kind}, or a rod"
        raise InputError(f"{KEEP_OUT}.{number}.to", f"'{one['to']}'", expected)
    told: dict[str, Any] = {"name": one.get("name", f"part {number}")}
    told[kind] = [one["at"], one["to"]] if kind == "rod" else one["at"]
    if "size" in one:
        told["size" if kind == "box" else "diameter"] = one["size"]
    return told | {part: one[part] for part in ("hot", *KEEP_OUT_FURTHER) if part in one}


def _clip(number: str, one: Mapping[str, str]) -> dict[str, Any]:
    """Return one clip."""
    if "at" not in one:
        raise InputError(f"{CLIP}.{number}.at", "nothing", PLACE)
    return dict(one)


def as_pairs(kind: str, listed: object, text: Callable[[object], str]) -> list[tuple[str, str]]:
    """Return keep-outs or clips of a job file as an address tells them; none where it cannot.

    Parameters
    ----------
    kind : KEEP_OUT or CLIP
    listed : as the job file holds them
    text : tells a place or a length in words; empty where it cannot
    """
    if not isinstance(listed, list | tuple) or len(listed) > MOST:
        return []
    pairs: list[tuple[str, str]] = []
    for number, one in enumerate(listed, start=1):
        parts = _parts_of(one, text) if kind == KEEP_OUT else _texts(one, text)
        if not parts or not all(parts.values()):
            return []
        pairs += [(f"{kind}.{number}.{part}", value) for part, value in parts.items()]
    return pairs


def _texts(one: object, text: Callable[[object], str]) -> dict[str, str]:
    return {str(k): text(v) for k, v in one.items()} if isinstance(one, Mapping) else {}


def _parts_of(one: object, text: Callable[[object], str]) -> dict[str, str]:
    """Return the parts of a keep-out in words."""
    if not isinstance(one, Mapping):
        return {}
    kind = next((kind for kind in KINDS if kind in one), "")
    parts = {"kind": kind, **_texts({k: v for k, v in one.items() if k not in KINDS}, text)}
    if "diameter" in parts:
        parts["size"] = parts.pop("diameter")
    if "hot" in one and isinstance(one["hot"], bool):
        parts["hot"] = "yes" if one["hot"] else "no"
    places = one.get(kind)
    if kind == "rod" and isinstance(places, list | tuple) and len(places) == ENDS:
        return parts | {"at": text(places[0]), "to": text(places[1])}
    return parts | {"at": text(places)}


ENDS = 2
