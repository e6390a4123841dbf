"""Stops: services and features that are no job for bulk hose. They come before any hose."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoseselect.domain.job import Job
from hoseselect.judging.assume import duty_range
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import limit, table
from hoseselect.rules.name_words import GAS_FUEL, names_gas_fuel

END_FITTINGS = {
    "quick-connect": "quick-connect-tube",
    "crimped": "crimped-ends",
    "flanged": "flanged-pipe",
}
INSERTS = {"moulded-in": "moulded-in-part"}
PLACES = {"boat": "boat", "aircraft": "aircraft"}
FEATURES = {"end_fitting": END_FITTINGS, "place": PLACES, "insert": INSERTS}
"""What a feature of a job may say, and the stop that it is."""
FLUIDS = {
    "brake-fluid": "brake-fluid-reservoir",
    "brake-fluid-mineral": "brake-fluid-reservoir",
    "brake-fluid-silicone": "brake-fluid-reservoir",
    "urea-solution": "urea-line",
}
STOP_FLUID = "stop:"  # a fluid that is named only in a stop, such as a refrigerant
STEERING = ("steering-return", "steering-suction")
FUEL_GROUPS = ("fuel", "diesel")
INJECTION, LOW_PRESSURE = "fuel-injection-feed", "fuel-feed-low-pressure"
LEAK_OFF = "injector-leak-off"
BRAKE_FAMILY = "brake"
VAPORISER = "coolant-to-gas-vaporiser"


@dataclass(frozen=True)
class Stop:
    """Why a job is stopped before any hose is looked at, and who can help.

    Parameters
    ----------
    code : id of the stop
    name : what it is
    reason : in one sentence
    who : who does such work
    source : where the reason comes from
    """

    code: str
    name: str
    reason: str
    who: str
    source: str

    def as_json(self) -> dict[str, str]:
        """Return the stop as plain values."""
        return {
            "code": self.code,
            "name": self.name,
            "reason": self.reason,
            "who": self.who,
            "source": self.source,
        }


def is_stop(service: str) -> bool:
    """Return whether a service id is that of a stop."""
    return table("stops").has(stop=service)


def stop_of(code: str) -> Stop:
    """Return a stop by its id.

    Raises
    ------
    KnowledgeError
        when there is none.
    """
    row = table("stops").row(stop=code)
    return Stop(code, row["name"], row["reason"], row["who"], row.source)


def stops(job: Job) -> tuple[Stop, ...]:
    """Return every stop that a job meets: its service, ends, place, fluids, drips and name.

    What it checks
        Brake and clutch hydraulics, hydraulic brake boosters, air brakes, refrigerant, gas fuel
        (also in the name of a job, but for the coolant side of a vaporiser), high-pressure
        injection, oil feed of a turbocharger, oil-pressure lines, steering pressure (also by
        threaded ends) and suspension, quick-connect tube, crimped ends, boats and aircraft, exhaust
        gas and urea, traction-battery loops, wide ducts of the intake. Diesel on an injection feed
        is a stop; petrol there is one until a pressure is told that such a feed may have; a
        leak-off line under the pressure of piezo injectors is one. "Don't know which side" of the
        steering is a stop until told. Nothing else in a job can lift a stop.
    Why it matters
        No bulk hose with clamps holds there; people get hurt.
    """
    codes = [job.service] * is_stop(job.service)
    features = vars(job.features)
    codes += [own[features[name]] for name, own in FEATURES.items() if features[name] in own]
    codes += [stop for fluid in job.fluids if (stop := fluid_stop(job.service, fluid))]
    codes += [drip.removeprefix(STOP_FLUID) for drip in job.drips if drip.startswith(STOP_FLUID)]
    if job.service != VAPORISER and names_gas_fuel(job.name):
        codes.append(GAS_FUEL)
    codes += _pressure_stops(job)
    return tuple(stop_of(code) for code in dict.fromkeys(codes))


def fluid_stop(service: str, fluid: str) -> str:
    """Return the stop that a fluid in a line is; an empty text where it is none."""
    if fluid.startswith(STOP_FLUID):
        return fluid.removeprefix(STOP_FLUID)
    told = table("service_stop_fluids").where(service=service, fluid=fluid)
    if told:
        return told[0]["stop"]
    brake = table("fluids").has(fluid=fluid, family=BRAKE_FAMILY)
    return FLUIDS["brake-fluid"] if brake else FLUIDS.get(fluid, "")


def _pressure_stops(job: Job) -> list[str]:
    """Return the stops that the pressure or a threaded end of a line gives away."""
    told = [p for p in (job.duty.pressure_max, job.duty.pressure_spike) if not math.isnan(p)]
    highest = max(told, default=0.0)
    codes = []
    if job.service in STEERING:
        threaded = job.features.end_fitting == "threaded"
        if threaded or highest > limit("steering-return-pressure-max"):
            codes.append("steering-pressure")
    elif table("services").has(service=job.service):
        fuel = table("services").row(service=job.service)["group"] in FUEL_GROUPS
        if fuel and highest > limit("fuel-hose-pressure-max"):
            codes.append("high-pressure-injection")
        if job.service == INJECTION and not highest > _usual_highest(LOW_PRESSURE):
            codes.append("injection-pressure-unknown")
        if job.service == LEAK_OFF and highest >= limit("piezo-return-pressure-min"):
            codes.append("piezo-injector-return")
    return codes


def _usual_highest(service: str) -> float:
    """Return the harsh end of the highest pressure that a line usually sees [kPa]."""
    return float(duty_range("pressure_max")[1][service_columns().index[service]])
