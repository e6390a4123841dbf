"""Random parts of a job: nipples, routes and features, told or not."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

ANSWERS = ("yes", "no", "unknown")
INSERTS = ("none", "restrictor", "check-valve", "flame-trap", "something", "unknown")
DISTANCES = (30, 60, 64, 65, 80, 114, 115, 200)
LEAST_WITH_BEAD = 4.0
"""On a bead of less the usual height of a bead leaves no nipple [mm]."""
Told = Callable[..., bool]


def random_nipple(chance: random.Random, nipple: float, told: Told) -> dict[str, str]:
    """Return one nipple."""
    across = nipple * chance.choice((1.0, 1.0, 1.01, 1.03, 1.06, 1.12, 0.985, 0.96, 1.2))
    made = {}
    if chance.random() < 0.9:
        made["outside_diameter"] = f"{across:.2f} mm"
    if told():
        made["bead"] = chance.choice(("yes", "yes", "no", "unknown"))
    if told(0.6) and made.get("bead") != "no":
        made["bead_diameter"] = f"{across + chance.choice((0.35, 0.4, 1.0, 1.5, 2.0, 3.0)):.2f} mm"
    elif told():
        on = chance.choice(("plain", "plain", "bead", "unknown"))
        made["measured_on"] = "plain" if across < LEAST_WITH_BEAD else on
    if told():
        made["usable_length"] = f"{chance.choice((6, 9, 11, 13, 14, 18, 22, 30, 45))} mm"
    if told(0.3):
        made["engagement"] = f"{chance.choice((8, 12, 15, 20, 25))} mm"
    if told(0.3):
        made["material"] = chance.choice(("metal", "plastic"))
    if told(0.7):
        made["fixed_to"] = chance.choice(("engine", "body"))
    return made


def random_route(chance: random.Random, told: Told) -> dict[str, Any]:
    """Return a route that is measured, a run, or not known."""
    route: dict[str, Any] = {}
    kind = chance.random()
    if kind < 0.4:
        route["run"] = [
            f"{chance.choice((0, 15, 30, 60, 120))} mm",
            random_bend(chance),
            f"{chance.choice((0, 20, 80, 250))} mm",
            random_bend(chance) | {"turn": "90 deg"},
            f"{chance.choice((20, 40, 100, 1500))} mm",
        ][: chance.choice((1, 3, 5))]
    elif kind < 0.85:
        route["measured"] = f"{chance.choice((20, 40, 60, 150, 300, 400, 650, 900, 2500))} mm"
        if told():
            route["tightest_radius"] = f"{chance.choice((8, 20, 40, 60, 80, 100, 150, 300))} mm"
    if told():
        route["movement"] = f"{chance.choice((0, 0, 5, 10, 25, 40, 60))} mm"
    if told(0.6):
        route["supports"] = f"{chance.choice((150, 300, 457, 600))} mm"
    for name in ("low_spot", "fall"):
        if told():
            route[name] = chance.choice(ANSWERS)
    if told(0.6):
        route["heat_source"] = {"distance": f"{chance.choice(DISTANCES)} mm"}
    if told(0.4):
        route.setdefault("heat_source", {})["shielded"] = chance.choice(ANSWERS)
    return route


def random_bend(chance: random.Random) -> dict[str, str]:
    """Return a bend of a run; slight ones and very tight ones among them."""
    return {
        "bend": f"{chance.choice((0, 2, 3, 4, 30, 60, 90))} deg",
        "radius": f"{chance.choice((3, 20, 35, 60, 90, 150, 200))} mm",
    }


def random_features(chance: random.Random, told: Told) -> dict[str, str]:
    """Return features, of which few are those of a stop."""
    made = {}
    if told():
        made["insert"] = chance.choice(("none", "none", *INSERTS))
    for name in ("turbo", "sees_boost", "submerged"):
        if told(0.7):
            made[name] = chance.choice(ANSWERS)
    if chance.random() < 0.05:
        made["turbo"] = made["sees_boost"] = "yes"
    if told(0.3):
        made["print_lost"] = chance.choice(ANSWERS)
    if told(0.3):
        made["end_fitting"] = chance.choice(("plain", "plain", "threaded", "unknown"))
    if chance.random() < 0.02:
        made["end_fitting"] = chance.choice(("quick-connect", "crimped", "flanged"))
    if chance.random() < 0.02:
        made["place"] = chance.choice(("boat", "aircraft", "road-vehicle"))
    if chance.random() < 0.01:
        made["insert"] = "moulded-in"
    return made
