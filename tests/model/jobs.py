"""Random jobs: every service and every key of the job form, each left unknown as often as not.

The jobs are read by the tool's own door: what contradicts itself never reaches a rule.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from hoseselect.domain.job import Job, Usual
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import HoseselectError

from .fluids import all_fluids, of_service
from .job import usual_duty
from .tables import rows

DUTY = {
    "fluid_steady": (15, 170),
    "fluid_peak": (18, 210),
    "air_steady": (15, 170),
    "air_peak": (18, 210),
    "coldest_start": (-55, 12),
}
ANSWERS = ("yes", "no", "unknown")
BORES = (3.2, 4.0, 4.8, 6.4, 7.9, 8.0, 9.5, 12.7, 15.9, 19.1, 25.4, 31.8, 38.1)


def random_job(chance: random.Random, nipple: float) -> Job | None:
    """Return a random job; None where the door would not let it in."""
    values = random_values(chance, nipple)
    try:
        job = read_job(values)
    except HoseselectError:
        return None
    return replace(job, usual=random_usual(chance))


def random_jobs(chance: random.Random, nipples: tuple[float, ...]) -> Iterator[Job]:
    """Yield jobs without end, on nipples near some sizes."""
    while True:
        job = random_job(chance, chance.choice(nipples))
        if job is not None:
            yield job


def random_usual(chance: random.Random) -> Usual:
    """Return what a shop has set: mostly nothing."""
    if chance.random() < 0.8:
        return Usual()
    fuels = (
        "petrol-e0",
        "petrol-e10",
        "petrol-e30",
        "petrol-e85",
        "diesel",
        "diesel-b7",
        "diesel-b100",
    )
    return Usual(
        coldest_start=chance.choice((float("nan"), -30.0, -5.0, 10.0, -50.0)),
        cap_pressure=chance.choice((float("nan"), 25.0, 90.0, 110.0, 200.0)),
        fuels=tuple(chance.sample(fuels, chance.randint(0, 2))),
    )


def random_values(chance: random.Random, nipple: float) -> dict[str, Any]:
    """Return a random job as a job file has it."""
    names = [row["service"] for row in rows("services")]
    service = chance.choice(names)
    if chance.random() < 0.01:
        service = chance.choice([row["stop"] for row in rows("stops") if row["kind"] == "service"])
    lazy = chance.choice((0.1, 0.4, 0.9))
    """How much of it is told."""

    def told(share: float = 1.0) -> bool:
        return chance.random() < lazy * share

    values: dict[str, Any] = {"service": service}
    if told():
        values["fluids"] = random_fluids(chance, service)
    if told():
        values["drips"] = chance.choice(
            (
                [],
                [],
                ["engine-oil"],
                ["coolant"],
                ["unknown"],
                ["atf", "unknown"],
                ["diesel-b7"],
                ["brake-fluid"],
            )
        )
    for name, low, high in (("original_bore", 0.8, 1.3), ("old_bore", 0.9, 1.1)):
        if told(0.3):
            bore = f"{nipple * chance.uniform(low, high):.2f} mm"
            if name == "old_bore":
                values.setdefault("old_hose", {})["bore"] = bore
            else:
                values[name] = bore
    if told(0.2):
        values["piece"] = f"{chance.randint(60, 1200)} mm"
    values["duty"] = random_duty(chance, service, told)
    shared = random_nipple(chance, nipple, told)
    if chance.random() < 0.7:
        values["nipples"] = shared
    else:
        values["nipple_a"] = shared
        other = nipple if chance.random() < 0.5 else nipple * chance.uniform(0.85, 1.2)
        values["nipple_b"] = random_nipple(chance, other, told)
    values["route"] = random_route(chance, told)
    values["features"] = random_features(chance, told)
    old = values.setdefault("old_hose", {})
    if told(0.5):
        old["condition"] = chance.choice([row["failure"] for row in rows("failures")])
    if told(0.1):
        old["length"], old["reuse"] = "400 mm", "yes"
        values["name"] = "van"
    return values


def random_fluids(chance: random.Random, service: str) -> list[str]:
    """Return fluids: mostly of the kind that is usual in the service."""
    usual = [*of_service(service, "always"), *of_service(service, "default")]
    fuels = [fluid for fluid in all_fluids() if fluid.startswith(("petrol", "diesel"))]
    pick = chance.random()
    if usual and pick < 0.35:
        return [chance.choice(usual)]
    if pick < 0.65:
        return [chance.choice(fuels)]
    if pick < 0.75:
        return chance.sample(fuels, 2)
    if pick < 0.85:
        return [chance.choice(all_fluids())]
    return [chance.choice([*usual, *fuels, *all_fluids()]), "unknown"]


def random_duty(chance: random.Random, service: str, told: Any) -> dict[str, str]:
    """Return heat and pressure about what is usual in the service."""
    duty = {}
    for name, (low, high) in DUTY.items():
        if told():
            usual = usual_duty(service, name)
            if usual and chance.random() < 0.7:
                low, high = int(min(usual)) - 15, int(max(usual)) + 10
            duty[name] = f"{chance.randint(low, high)} degC"
    for name in ("pressure_min", "pressure_max", "pressure_spike"):
        usual = usual_duty(service, name)
        if told(0.3 if name == "pressure_spike" and usual is None else 1.0):
            low, high = usual or (0.0, 300.0)
            low, high = min(low, high), max(low, high)
            figure = chance.choice(
                (0.0, low, high, chance.uniform(low, high), high * chance.uniform(1, 2))
            )
            if chance.random() < 0.1:
                figure = chance.uniform(-90, 1200)
            duty[name] = f"{figure:.1f} kPa"
    if service.startswith(("crankcase", "catch", "oil-sep")) and told(0.6):
        duty["flow"] = f"{chance.choice((0, 5, 30, 80, 200))} L/min"
    return duty


def random_nipple(chance: random.Random, nipple: float, told: Any) -> dict[str, str]:
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
        made["measured_on"] = chance.choice(("plain", "plain", "bead", "unknown"))
    if told():
        made["usable_length"] = f"{chance.choice((6, 9, 11, 13, 14, 18, 22, 30, 45))} mm"
    if told(0.3):
        made["engagement"] = f"{chance.choice((8, 12, 15, 20, 25))} mm"
    if told(0.3):
        made["material"] = chance.choice(("metal", "plastic"))
    if told(0.7):
        made["fixed_to"] = chance.choice(("engine", "body"))
    return made


def random_route(chance: random.Random, told: Any) -> dict[str, Any]:
    """Return a route that is measured, a run, or not known."""
    route: dict[str, Any] = {}
    kind = chance.random()
    if kind < 0.4:
        route["run"] = [
            f"{chance.choice((0, 15, 30, 60, 120))} mm",
            {
                "bend": f"{chance.choice((2, 4, 30, 60, 90))} deg",
                "radius": f"{chance.choice((3, 20, 35, 60, 90, 150))} mm",
            },
            f"{chance.choice((0, 20, 80, 250))} mm",
            {
                "bend": f"{chance.choice((0, 3, 30, 60, 90))} deg",
                "radius": f"{chance.choice((30, 60, 90, 200))} mm",
                "turn": "90 deg",
            },
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
        route["heat_source"] = {
            "distance": f"{chance.choice((30, 60, 64, 65, 80, 114, 115, 200))} mm"
        }
    if told(0.4):
        route.setdefault("heat_source", {})["shielded"] = chance.choice(ANSWERS)
    return route


def random_features(chance: random.Random, told: Any) -> dict[str, str]:
    """Return features, of which few are those of a stop."""
    made = {}
    if told():
        made["insert"] = chance.choice(
            (
                "none",
                "none",
                "none",
                "restrictor",
                "check-valve",
                "flame-trap",
                "something",
                "unknown",
            )
        )
    for name in ("turbo", "sees_boost", "submerged"):
        if told(0.7):
            made[name] = chance.choice(ANSWERS)
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
