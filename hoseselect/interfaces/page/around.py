"""What lies round a free route, as an address tells it: things to keep clear of, and clips."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from hoseselect.knowledge.errors import InputError

KEEP_OUT, CLIP = "keep_out", "clip"
KEEP_OUT_PARTS = ("name", "kind", "at", "to", "size", "hot")
CLIP_PARTS = ("at", "along", "fixed_to")
KINDS = ("rod", "ball", "box")
MOST = 6
"""Of each kind in a form."""
NAME = re.compile(rf"({KEEP_OUT}|{CLIP})\.([1-{MOST}])\.([a-z_]+)")


def is_around(name: str) -> bool:
    """Return whether a name in an address is about what lies round a route."""
    return NAME.fullmatch(name) is not None


def around(pairs: Iterable[tuple[str, str]]) -> dict[str, list[dict[str, Any]]]:
    """Return keep-outs and clips as a job file holds them, in the order of their numbers.

    Parameters
    ----------
    pairs : such as ("keep_out.1.name", "exhaust"); other names are passed over

    Raises
    ------
    InputError
        when a keep-out has a kind that there is not, or a name has a part that there is not.
    """
    found: dict[str, dict[str, dict[str, str]]] = {KEEP_OUT: {}, CLIP: {}}
    for name, text in pairs:
        match = NAME.fullmatch(name)
        if match is None or not text.strip():
            continue
        kind, number, part = match.groups()
        if part not in (KEEP_OUT_PARTS if kind == KEEP_OUT else CLIP_PARTS):
            raise InputError(name, f"the part '{part}'", ", ".join(KEEP_OUT_PARTS))
        found[kind].setdefault(number, {})[part] = text.strip()
    keep_outs = [_keep_out(number, one) for number, one in sorted(found[KEEP_OUT].items())]
    clips = [one for _, one in sorted(found[CLIP].items()) if "at" in one]
    told: dict[str, list[dict[str, Any]]] = {}
    if any(keep_outs):
        told[KEEP_OUT] = [one for one in keep_outs if one]
    if clips:
        told[CLIP] = [dict(one) for one in clips]
    return told


def _keep_out(number: str, one: Mapping[str, str]) -> dict[str, Any]:
    """Return one thing to keep clear of; nothing where it has no place."""
    if "at" not in one:
        return {}
    kind = one.get("kind", KINDS[0])
    if kind not in KINDS:
        raise InputError(f"{KEEP_OUT}.{number}.kind", f"'{kind}'", ", ".join(KINDS))
    told: dict[str, Any] = {"name": one.get("name", f"part {number}")}
    told["rod" if kind == "rod" else kind] = (
        [one["at"], one.get("to", one["at"])] if kind == "rod" else one["at"]
    )
    if "size" in one:
        told["size" if kind == "box" else "diameter"] = one["size"]
    if "hot" in one:
        told["hot"] = one["hot"]
    return told
