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

from .flowing import all_fluids, of_service
from .job import usual_duty
from .job_parts import Told, random_features, random_nipple, random_route
from .tables import by, rows

DUTY = {
    "fluid_steady": (15, 170),
    "fluid_peak": (18, 210),
    "air_steady": (15, 170),
    "air_peak": (18, 210),
    "coldest_start": (-55, 12),
}
FUELS = (
    "petrol-e0",
    "petrol-e10",
    "petrol-e30",
    "petrol-e85",
    "diesel",
    "diesel-b7",
    "diesel-b100",
)
DRIPS = (
    [],
    [],
    ["engine-oil"],
    ["coolant"],
    ["unknown"],
    ["atf", "unknown"],
    ["diesel-b7"],
    ["brake-fluid"],
)


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
    return Usual(
        coldest_start=chance.choice((float("nan"), -30.0, -5.0, 10.0, -50.0)),
        cap_pressure=chance.choice((float("nan"), 25.0, 90.0, 110.0, 200.0)),
        fuels=tuple(chance.sample(FUELS, chance.randint(0, 2))),
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
        values["drips"] = chance.choice(DRIPS)
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
        old["length"], old["reuse"], old["outside_diameter"] = "400 mm", "yes", "90 mm"
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


def random_duty(chance: random.Random, service: str, told: Told) -> dict[str, str]:
    """Return heat and pressure about what is usual in the service."""
    duty = {}
    for name, (low, high) in DUTY.items():
        if told():
            usual = usual_duty(service, name)
            ends = (low, high)
            if usual and chance.random() < 0.7:
                ends = (int(min(usual)) - 15, int(max(usual)) + 10)
            duty[name] = f"{chance.randint(*ends)} degC"
    for name in ("pressure_min", "pressure_max", "pressure_spike"):
        usual = usual_duty(service, name)
        if told(0.3 if name == "pressure_spike" and usual is None else 1.0):
            low, high = usual or (0.0, 300.0)
            low, high = min(low, high), max(low, high)
            beyond = high * chance.uniform(1, 2)
            figure = chance.choice((0.0, low, high, chance.uniform(low, high), beyond))
            other = by("pressure_lines", "service").get(service)
            if name == "pressure_max" and other and chance.random() < 0.3:
                least = usual_duty(other["judged_as"], name)
                figure = max(high, least[0] if least else 0.0) * chance.choice((1.0, 1.01, 1.5))
            if chance.random() < 0.1:
                figure = chance.uniform(-90, 1200)
            duty[name] = f"{figure:.1f} kPa"
    if service == "crankcase-breather" and chance.random() < 0.8:
        duty["flow"] = f"{chance.choice((0, 5, 30, 80, 200))} L/min"
    return duty
