"""What stands in the fields of the bench's form for a job that is told already."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoseselect.application.ask_on import RAW
from hoseselect.intake.interview_state import UNKNOWN, flat
from hoseselect.interfaces.page.address import Address

SERVICE, BEAD, USABLE, MOVES = "service", "bead", "usable", "fixed"
SIZE, SHARED = "outside_diameter", "nipples"
NIPPLES = (f"nipple_a.{SIZE}", f"nipple_b.{SIZE}")
BEADS = ("nipple_a.bead", "nipple_b.bead")
BEAD_SIZES = ("nipple_a.bead_diameter", "nipple_b.bead_diameter")
USABLE_LENGTHS = ("nipple_a.usable_length", "nipple_b.usable_length")
FIXED = ("nipple_a.fixed_to", "nipple_b.fixed_to")
ENDS = {
    "both_engine": ("engine", "engine"),
    "one_body": ("engine", "body"),
    "both_body": ("body", "body"),
}
"""What moves, by its choice: what the nipples A and B are fixed to."""
OTHER = "other"
"""Choice of a field that says one thing of both nipples, where they are not alike."""
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
WAY_KEYS = {
    "measured": "route.measured",
    "run": "route.run",
    "flat": "route.free.flat",
    "wire": "route.free.wire",
}


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


def shown_fields(address: Address) -> dict[str, str]:
    """Return the texts of the form's fields for a job, by the names of the form.

    A reply that waits to be read back stands as it was typed.

    Raises
    ------
    InputError
        when something in the address cannot be used.
    """
    values = dict(flat(address.interviewing.values))
    typed = {name.removeprefix(RAW): text for name, text in address.pairs}
    service = typed.get(SERVICE, "") or _text(values, SERVICE)
    sizes = {key: _of_nipple(values, key) or typed.get(key, "") for key in NIPPLES}
    ends = tuple(_of_nipple(values, key) for key in FIXED)
    moves = next((one for one, told in ENDS.items() if told == ends), OTHER if any(ends) else "")
    routes = {
        f"{way}:{key}": _text(values, key) for way, keys in WAYS.items() for key, _, _ in keys
    }
    return {
        SERVICE: service,
        **sizes,
        BEAD: _alike({**_beads_by_size(values), **values}, BEADS, OTHER),
        USABLE: _alike(values, USABLE_LENGTHS),
        MOVES: moves,
        **routes,
    }


def typed_fields(address: Address) -> dict[str, str]:
    """Return the texts of the form's fields as they were typed, where they cannot be read."""
    typed = {name.removeprefix(RAW): text for name, text in address.pairs}
    fields = {name: typed.get(name, "") for name in (SERVICE, *NIPPLES)}
    fields |= {BEAD: typed.get(BEADS[0], ""), USABLE: typed.get(USABLE_LENGTHS[0], "")}
    routes = [(f"{way}:{key}", key) for way, keys in WAYS.items() for key, _, _ in keys]
    return fields | {name: typed.get(key, "") for name, key in routes}


def _beads_by_size(values: Mapping[str, Any]) -> dict[str, str]:
    """Return the beads that are there because their size is told."""
    sizes = zip(BEADS, BEAD_SIZES, strict=True)
    return {bead: "yes" for bead, size in sizes if _of_nipple(values, size)}


def _alike(values: Mapping[str, Any], keys: tuple[str, str], other: str = "") -> str:
    """Return what is told alike of both nipples; where it differs, a name for that or both."""
    of_a, of_b = (_of_nipple(values, key) for key in keys)
    if of_a == of_b:
        return of_a
    return other or f"A {of_a or UNKNOWN}, B {of_b or UNKNOWN}"


def _of_nipple(values: Mapping[str, Any], key: str) -> str:
    """Return what is told of a nipple, by itself or with the other; empty where nobody knows."""
    _, _, name = key.partition(".")
    text = _text(values, key) or _text(values, f"{SHARED}.{name}")
    return "" if text == UNKNOWN else text


def _text(values: Mapping[str, Any], key: str) -> str:
    """Return the value of a key as a field shows it, also where it is a table of its own."""
    if key in values:
        return field_text(values[key])
    inside = {name.removeprefix(f"{key}."): value for name, value in values.items()
              if name.startswith(f"{key}.")}  # fmt: skip
    plain = inside and all(isinstance(value, str | int | float) for value in inside.values())
    parts = (f"{field_text(value)} {way}" for way, value in inside.items())
    return ", ".join(parts) if plain else ""


def field_text(value: object) -> str:
    """Return a value as a field shows it: a bare number without its unit."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return f"{value:g}"
    return shown_text(value)


def shown_text(value: object) -> str:
    """Return the value of a key as a line of text from which it can be read again.

    Straights and bends stand between semicolons, as `read` takes them; what a line of text cannot
    say is left empty.
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
