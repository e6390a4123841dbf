"""The bench's form: how a route is told, and what becomes of it in the address of a job."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from hoseselect.application.ask_on import OF_A_REPLY, RAW, Pair
from hoseselect.intake.interview_answers import AGAIN
from hoseselect.intake.interview_state import flat, nested
from hoseselect.intake.job_code import decode_job, encode_job
from hoseselect.intake.told_stops import told_stops
from hoseselect.interfaces.page.address import Address
from hoseselect.interfaces.page.around import CLIP, KEEP_OUT, as_pairs, is_around
from hoseselect.knowledge.errors import InputError

ENDS = {
    "both_engine": ("engine", "engine"),
    "one_body": ("engine", "body"),
    "both_body": ("body", "body"),
}
"""What moves, by its choice: what the nipples A and B are fixed to."""
WAYS: dict[str, tuple[tuple[str, str, str], ...]] = {
    "measured": (
        ("route.measured", "string", "400 mm"),
        ("route.tightest_radius", "tightest", "75 mm"),
    ),
    "run": (("route.run", "run_parts", "60 mm; 90 deg at 110 mm; 180 mm"),),
    "free": (
        ("route.free.offset", "offset", "120 mm forward, 80 mm up"),
        ("route.free.nipple_a_points", "points_a", "forward and 30 deg up"),
        ("route.free.nipple_b_points", "points_b", "back"),
        ("route.free.movement", "moves", "rocks sideways, 8 mm at B"),
    ),
    "flat": (
        ("route.free.flat.distance", "distance", "250 mm"),
        ("route.free.flat.angle_a", "angle_a", "60 deg"),
        ("route.free.flat.angle_b", "angle_b", "45 deg"),
        ("route.free.movement", "moves", "5 mm forward, 8 mm up"),
    ),
    "wire": (
        ("route.free.wire", "wire_parts", "80 mm; 90 deg at 60 mm; 120 mm"),
        ("route.free.nipple_a_points", "wire_points", "forward"),
        ("route.free.wire_bends", "wire_bends", "up"),
        ("route.free.movement", "moves", "5 mm forward, 8 mm up"),
    ),
}
"""By the way in which a route is told: key of a job file, name of its words, an example."""
FREE_WAYS = ("free", "flat", "wire")
RETOLD = ("route.measured", "route.tightest_radius", "route.run", "route.free")
"""Beginnings of what is told anew with the way in which a hose runs; the rest of a route stays."""
MOVEMENT = ("route.movement", "movement.far")
"""What a free route tells in its own way."""
NIPPLES = ("nipple_a.outside_diameter", "nipple_b.outside_diameter")
SERVICE, BEAD, MOVES = "service", "bead", "fixed"
USABLE, USABLE_LENGTHS = "usable", ("nipple_a.usable_length", "nipple_b.usable_length")
BEADS = ("nipple_a.bead", "nipple_b.bead")


def way_of(values: Mapping[str, Any]) -> str:
    """Return in which way the route of a job is told; "free" where it is not told yet.

    Parameters
    ----------
    values : dotted keys of a job file
    """
    for way, start in WAY_KEYS.items():
        if any(key.startswith(start) for key in values):
            return way
    return "free"


WAY_KEYS = {
    "measured": "route.measured",
    "run": "route.run",
    "flat": "route.free.flat",
    "wire": "route.free.wire",
}


def shown_text(value: object) -> str:
    """Return the value of a key as it stands in a field of the form.

    Straights and bends stand between semicolons, as `read` takes them; what a line of text cannot
    say stays out of the field.
    """
    if isinstance(value, str):
        return value
    if isinstance(value, Mapping) and all(isinstance(part, str) for part in value.values()):
        return ", ".join(f"{length} {way}" for way, length in value.items())
    if isinstance(value, list | tuple):
        parts = [_part(part) for part in value]
        return "; ".join(parts) if all(parts) else ""
    return ""


def _part(part: object) -> str:
    if isinstance(part, Mapping):
        plain = set(part) == {"bend", "radius"}
        return f"{part['bend']} at {part['radius']}" if plain else ""
    return str(part)


def shown_fields(address: Address) -> dict[str, str]:
    """Return the texts of the form's fields for a job, by name.

    A reply that waits to be read back stands as it was typed.

    Raises
    ------
    InputError
        when something in the address cannot be used.
    """
    fields = {key: shown_text(value) for key, value in flat(address.interviewing.values)}
    typed = {name.removeprefix(RAW): text for name, text in address.pairs}
    waits = {name: text for name, text in typed.items() if name in NIPPLES and name not in fields}
    return {**fields, **waits, **{name: typed[name] for name in (SERVICE,) if name in typed}}


def _as_shown(before: Address, form: Mapping[str, str]) -> frozenset[str]:
    """Return which fields the form leaves as they stood: they stay told as they were.

    What was said when they were read back stays with them.
    """
    try:
        shown = shown_fields(before)
    except InputError:
        return frozenset()
    same = [name for name in (SERVICE, *NIPPLES) if shown.get(name, "") == form.get(name, "")]
    if NIPPLES[0] not in same:  # what is said of nipple B may rest on it
        same = [name for name in same if name == SERVICE]
    return frozenset(name for name in same if shown.get(name))


def before_form(address: Address, form: Mapping[str, str]) -> Address:
    """Return the address as it was before the form, whose own fields come last in it."""
    pairs = list(address.pairs)
    for name in (SERVICE, *NIPPLES):
        places = [place for place, pair in enumerate(pairs) if pair[0] == name]
        if name in form and places:
            del pairs[places[-1]]
    return replace(address, pairs=tuple(pairs))


def with_form(address: Address, form: Mapping[str, str]) -> Address:
    """Return the address of a job after the form of the bench.

    What was said of another way in which the hose runs is dropped; a field that is left empty is
    not known.

    Parameters
    ----------
    address : before it
    form : names and texts as sent
    """
    same = _as_shown(address, form)
    way = form.get("way", "free")
    told = {key: form.get(f"{way}:{key}", "").strip() for key, _, _ in WAYS.get(way, ())}
    told |= {key: form[key].strip() for key in (SERVICE, *NIPPLES) if key in form}
    if told.get(NIPPLES[0]) and not told.get(NIPPLES[1]):
        told[NIPPLES[1]] = told[NIPPLES[0]]
    told = {key: text for key, text in told.items() if key not in same}
    if form.get(BEAD):
        told |= dict.fromkeys(BEADS, form[BEAD])
    if USABLE in form:
        told |= dict.fromkeys(USABLE_LENGTHS, form[USABLE].strip())
    told |= dict(zip(FIXED, ENDS.get(form.get(MOVES, ""), ("", "")), strict=True))
    own = unpacked(address)
    kept = _kept(own.pairs, told, way)
    new = [(name, text) for name, text in told.items() if text]
    new += [(name, form[name].strip()) for name in form if is_around(name) and form[name].strip()]
    pairs = tuple(sorted((*kept, *new), key=lambda pair: pair[0].removeprefix(RAW) != SERVICE))
    hose = form.get("hose", "").strip()
    return replace(own, pairs=pairs, code=_without_route(own.code, told), number="", hose=hose)


def replies_to(address: Address) -> dict[str, str]:
    """Return what may be said to the question that waits, and the address in which it is said.

    The reply stands behind the one that it reads back, so that both go together. Who mistyped says
    it again in its field.
    """
    waiting = address.interviewing.unanswered
    if waiting is None:
        return {}
    places = [
        place
        for place, (name, _) in enumerate(address.pairs)
        if name == (waiting.about or SERVICE) or (not waiting.about and name.startswith(OF_A_LINE))
    ]
    place = places[-1] + 1
    found: dict[str, str] = {}
    for number, choice in enumerate(waiting.choices, 1):
        if not choice.then.startswith(AGAIN):
            reply = (waiting.field, str(number))
            pairs = (*address.pairs[:place], reply, *address.pairs[place:])
            found[choice.label] = replace(address, pairs=pairs, number="").query
    return found


def _kept(pairs: Sequence[Pair], told: Mapping[str, str], way: str) -> list[Pair]:
    """Return what stays of what was said: a reply that goes takes with it how it was read back."""
    kept: list[Pair] = []
    stays = True
    for name, text in pairs:
        if name not in OF_A_REPLY:
            of_line = SERVICE in told and name.startswith(OF_A_LINE)
            other = name.removeprefix(RAW) in told or is_told_anew(name, way)
            stays = not (of_line or other or is_around(name))
        if stays:
            kept.append((name, text))
    return kept


OF_A_LINE = "line."
"""Beginning of the questions that find a line without a name."""


def is_told_anew(name: str, way: str) -> bool:
    """Return whether a name in an address is dropped where the way of a route is told anew.

    How near heat is, low spots, fall and supports stay told.
    """
    key = name.removeprefix(RAW)
    moves = way in FREE_WAYS and key in MOVEMENT
    return key == "route" or key.startswith(RETOLD) or moves


FIXED = ("nipple_a.fixed_to", "nipple_b.fixed_to")


def unpacked(address: Address) -> Address:
    """Return the address of a job in which what its code holds stands in words, as far as it can.

    A job that is a stop for sure keeps its code, and so stays one.
    """
    before = address.before
    if not before or told_stops(before):
        return address
    pairs: list[tuple[str, str]] = []
    left: dict[str, Any] = {}
    for key, value in flat(before):
        if key in LISTED:
            found = as_pairs(LISTED[key], value, shown_text)
        elif key in SEVERAL and isinstance(value, list):
            found = [(f"{RAW}{key}", ", ".join(map(str, value)) or "nothing")]
        else:
            text = shown_text(value)
            found = [(f"{RAW}{key}", text)] if text else []
        if found:
            pairs += found
        else:
            left[key] = value
    code = encode_job(nested(left)) if left else ""
    return replace(address, pairs=(*pairs, *address.pairs), code=code)


LISTED = {"route.free.keep_out": KEEP_OUT, "route.free.clip": CLIP}
SEVERAL = ("fluids", "drips")


def _without_route(code: str, told: Mapping[str, str]) -> str:
    """Return a code without what the form tells anew."""
    if not code or told_stops(decode_job(code)):
        return code
    kept = {
        key: value
        for key, value in flat(decode_job(code))
        if key not in told and not (key.startswith(RETOLD) and key not in LISTED)
    }
    return encode_job(nested(kept)) if kept else ""
