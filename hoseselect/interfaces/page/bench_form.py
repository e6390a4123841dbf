"""The bench's form: how a route is told, and what becomes of it in the address of a job."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from hoseselect.intake.interview_state import flat, nested
from hoseselect.intake.job_code import encode_job
from hoseselect.interfaces.page.address import Address
from hoseselect.interfaces.page.around import is_around

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
        ("route.free.movement", "moves", "5 mm forward, 8 mm up"),
    ),
}
"""By the way in which a route is told: key of a job file, name of its words, an example."""
FREE_WAYS = ("free", "flat", "wire")
ROUTE_PARTS = ("route", "movement.far")
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


def with_form(address: Address, form: Mapping[str, str]) -> Address:
    """Return the address of a job after the form of the bench.

    What was said of another way in which the hose runs is dropped; a field that is left empty is
    not known.

    Parameters
    ----------
    address : before it
    form : names and texts as sent
    """
    way = form.get("way", "free")
    told = {key: form.get(f"{way}:{key}", "").strip() for key, _, _ in WAYS.get(way, ())}
    told |= {key: form[key].strip() for key in (SERVICE, *NIPPLES) if key in form}
    if form.get(BEAD):
        told |= dict.fromkeys(BEADS, form[BEAD])
    if USABLE in form:
        told |= dict.fromkeys(USABLE_LENGTHS, form[USABLE].strip())
    told |= dict(zip(FIXED, ENDS.get(form.get(MOVES, ""), ("", "")), strict=True))
    if told.get(NIPPLES[0]) and not told.get(NIPPLES[1]):
        told[NIPPLES[1]] = told[NIPPLES[0]]
    complex_keys = _kept_of_code(address, told)
    kept = [
        (name, text)
        for name, text in address.pairs
        if name not in told and not name.startswith(ROUTE_PARTS) and not is_around(name)
    ]
    new = [(name, text) for name, text in told.items() if text]
    if way in FREE_WAYS:
        new += [(name, form[name].strip()) for name in form if is_around(name) and form[name]]
    pairs = tuple(sorted((*kept, *new), key=lambda pair: pair[0] != SERVICE))
    return replace(address, pairs=pairs, code=complex_keys, number="", hose=form.get("hose", ""))


FIXED = ("nipple_a.fixed_to", "nipple_b.fixed_to")


def _kept_of_code(address: Address, told: Mapping[str, str]) -> str:
    """Return the code without what the form tells anew; what stands round the route is kept."""
    before = dict(flat(address.before))
    kept = {
        key: value
        for key, value in before.items()
        if key not in told and (not key.startswith("route") or key in AROUND)
    }
    if any(key in AROUND for key in kept) and not any("free" in key for key in told):
        kept = {key: value for key, value in kept.items() if key not in AROUND}
    return encode_job(nested(kept)) if kept else ""


AROUND = ("route.free.keep_out", "route.free.clip", "route.free.rocking", "route.heat_source")
"""What a form does not ask, and a code may hold."""
