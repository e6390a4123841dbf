"""Random lines of a sheet of jobs, from a seed: plausible, with much left unknown; and jobs."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job
from hoseselect.intake.run_text import run_parts
from hoseselect.knowledge.errors import InputError

SERVICES = (
    "PCV hose",
    "crankcase-breather",
    "crankcase-boosted",
    "heater hose",
    "coolant-bypass",
    "coolant-turbo",
    "vacuum-control",
    "brake-servo-vacuum",
    "fuel-feed-low-pressure",
    "fuel-injection-feed",
    "fuel-return",
    "fuel-in-tank",
    "fuel-vapour-purge",
    "diesel-feed",
    "injector-leak-off",
    "atf-cooler",
    "engine-oil-cooler",
    "steering-return",
    "turbo-oil-drain",
    "charge-air-control",
    "washer",
    "drain",
)
STOPPED = ("brake line", "refrigerant", "unknown")
FLUIDS = ("petrol-e10", "petrol-e85", "diesel-b7; diesel-b20", "engine-oil", "coolant", "unknown")


def random_line(chance: random.Random) -> dict[str, str]:
    """Return the cells of one line, by key; a few are refused, stopped or contradict each other."""
    line: dict[str, str] = {}

    def some(key: str, share: float, *texts: str) -> None:
        if chance.random() < share:
            line[key] = chance.choice(texts)

    def whole(low: int, high: int, unit: str = "mm") -> str:
        return f"{chance.randint(low, high)} {unit}".strip()

    nipple = chance.choice((6.0, 8.0, 9.5, 12.7, 13.0, 15.9, 16.0, 19.1, 25.4))
    line["service"] = chance.choice(STOPPED if chance.random() < 0.03 else SERVICES)
    some("name", 0.5, "van 7", "+49 30", "job - two")
    some("fluids", 0.3, *FLUIDS)
    some("drips", 0.6, "nothing", "engine-oil", "unknown", "coolant; engine-oil")
    some("original_bore", 0.1, f"{nipple} mm", "9 mm")
    some("piece", 0.1, whole(100, 900))
    some("duty.fluid_steady", 0.6, whole(40, 135, "degC"), whole(100, 260, "°F"))
    some("duty.fluid_peak", 0.2, whole(110, 160, "degC"))
    some("duty.air_steady", 0.5, whole(40, 120, ""))
    some("duty.air_peak", 0.2, whole(100, 150, "degC"))
    some("duty.coldest_start", 0.5, whole(-40, 5, "degC"))
    some("duty.pressure_min", 0.4, f"-{chance.randint(1, 90)} kPa", "20 inHg vacuum", "0")
    some("duty.pressure_max", 0.4, whole(0, 700, "kPa"), whole(1, 60, "psi"))
    some("duty.pressure_spike", 0.1, whole(300, 1500, "kPa"))
    some("nipples.outside_diameter", 0.9, f"{nipple} mm", f"{nipple + chance.random():.1f} mm")
    some("nipples.bead", 0.7, "yes", "yes", "no", "?")
    some("nipples.bead_diameter", 0.2, f"{nipple + 2:.1f} mm")
    some("nipples.measured_on", 0.5, "plain", "plain", "bead")
    some("nipples.usable_length", 0.4, whole(10, 40))
    some("nipples.engagement", 0.1, whole(10, 30))
    some("nipples.material", 0.4, "metal", "plastic")
    some("nipples.fixed_to", 0.4, "engine", "body")
    some("nipple_a.bead", 0.1, "no", "yes", "unknown")
    some("nipple_b.outside_diameter", 0.15, f"{nipple + 3} mm", f"{nipple} mm", "unknown")
    some("nipple_b.usable_length", 0.1, "12 mm")
    some("nipple_b.fixed_to", 0.3, "engine", "body")
    _route(chance, line)
    some("route.movement", 0.3, whole(0, 40))
    some("route.supports", 0.2, whole(100, 600))
    some("route.low_spot", 0.4, "yes", "no")
    some("route.fall", 0.3, "yes", "no")
    some("route.heat_source.distance", 0.15, whole(20, 200))
    some("route.heat_source.shielded", 0.1, "yes", "no")
    some("features.insert", 0.6, "none", "none", "restrictor", "check valve")
    some("features.turbo", 0.6, "yes", "no")
    some("features.sees_boost", 0.3, "yes", "no")
    some("features.submerged", 0.1, "yes", "no")
    some("features.end_fitting", 0.1, "plain", "threaded", "quick-connect")
    some("features.place", 0.05, "road-vehicle", "boat")
    some("old_hose.reuse", 0.05, "yes", "no")
    return line


def _route(chance: random.Random, line: dict[str, str]) -> None:
    kind = chance.random()
    if kind < 0.35:
        line["route.run"] = (
            f"{chance.randint(30, 200)} mm; {chance.randint(20, 120)} deg at"
            f" {chance.randint(40, 220)} mm; {chance.randint(30, 300)} mm"
        )
    elif kind < 0.9:
        line["route.measured"] = f"{chance.randint(80, 900)} mm"
        if chance.random() < 0.7:
            line["route.tightest_radius"] = f"{chance.randint(20, 250)} mm"


def nested(line: dict[str, str]) -> dict[str, Any]:
    """Return the cells of a line as the values of a job file."""
    values: dict[str, Any] = {}
    for key, text in line.items():
        *tables, name = key.split(".")
        inner = values
        for table in tables:
            inner = inner.setdefault(table, {})
        inner[name] = run_parts(text) if key == "route.run" else text
    return values


def random_jobs(seed: int) -> Iterator[Job]:
    """Yield jobs of random lines without end, those left out that cannot be read."""
    chance = random.Random(seed)
    while True:
        try:
            yield read_job(nested(random_line(chance)))
        except InputError:
            continue
