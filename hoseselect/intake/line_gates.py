"""What is said of the line twice, and cannot be true both ways: boost, fuel, coolant."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

from hoseselect.domain.job import Job
from hoseselect.intake.door import MOST_KEPT
from hoseselect.intake.questions import asked
from hoseselect.judging.job_columns import failure_acts
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import Row, limit, table
from hoseselect.quantities.conversion import definition_figure
from hoseselect.quantities.figure_text import format_quantity

ENGINE_FUEL = ("crankcase", "fuel", "diesel")
"""Groups of services on which a fuel that is named is the engine's own."""

BOILS_IN_THE_OPEN = 100.0  # degC: no coolant boils below it at the air pressure of the coast


def boost_without_turbo(job: Job) -> Iterator[InputError]:
    """Ask where a line sees boost on an engine that makes none."""
    if job.features.turbo == "no" and job.features.sees_boost == "yes":
        yield asked(
            ("features.turbo", "features.sees_boost"),
            "turbo = no beside sees_boost = yes",
            "turbo = yes (a supercharger counts as well), or sees_boost = no",
        )


def boost_without_pressure(job: Job) -> Iterator[InputError]:
    """Ask where a line that is usually sucked sees boost, and no pressure that is boost."""
    service = _service(job)
    highest = limit("crankcase-pressure-highest")
    if (
        service is not None
        and service.yes("boost_possible")
        and job.features.sees_boost == "yes"
        and job.duty.pressure_max <= highest
    ):
        yield asked(
            ("features.sees_boost", "duty.pressure_max"),
            f"sees_boost = yes beside a highest pressure of {_pressure(job.duty.pressure_max)},"
            " which is no boost",
            "the highest boost pressure, unknown, or sees_boost = no",
        )


def fuel_in_another_line(job: Job) -> Iterator[InputError]:
    """Ask where a liquid fuel is named on a line in which neither fuel nor its vapour flows."""
    service = _service(job)
    fuels = [fluid for fluid in job.fluids if _family(fluid) == "fuel"]
    if service is None or not fuels or service["group"] in ENGINE_FUEL:
        return
    usual = table("service_fluids").where(service=job.service)
    if not any(row["fluid"] == VAPOUR or _family(row["fluid"]) == "fuel" for row in usual):
        flows = " and ".join(_name(row["fluid"]) for row in usual) or "no fuel"
        yield asked(
            ("service", "fluids"),
            f"the service {service['name']}, in which {flows} flows, beside {_name(fuels[0])}",
            "what does flow in the line; a fuel line has a service of its own",
        )


VAPOUR = "fuel-vapour"


def sucked_flat_without_suction(job: Job) -> Iterator[InputError]:
    """Ask where the old hose was sucked flat in a line that is said never to be sucked."""
    if failure_acts(job.old_hose.condition) == "suction" and job.duty.pressure_min >= 0:
        yield asked(
            ("old_hose.condition", "duty.pressure_min"),
            f"an old hose that was sucked flat beside a lowest pressure of"
            f" {_pressure(job.duty.pressure_min)}",
            "how deep the suction gets, or unknown; crushed from outside is no suction: then leave"
            " the condition out",
        )


def burst_without_pressure(job: Job) -> Iterator[InputError]:
    """Ask where the old hose burst in a line that is said to see no pressure."""
    highest = max(job.duty.pressure_max, job.duty.pressure_spike)
    told = not math.isnan(job.duty.pressure_max) and not job.duty.pressure_spike > 0
    if failure_acts(job.old_hose.condition) == "pressure" and told and highest <= 0:
        yield asked(
            ("old_hose.condition", "duty.pressure_max"),
            f"an old hose that burst beside a highest pressure of {_pressure(highest)}",
            "the highest pressure, boost and a blocked line counted, or unknown",
        )


def coolant_above_boiling(job: Job) -> Iterator[InputError]:
    """Ask where coolant is said to be hotter than it can be at the highest pressure.

    The least volatile usual mixture is taken, and where no pressure is stated the highest usual.
    """
    service = _service(job)
    if service is None or service["group"] != "coolant":
        return
    told = {"duty.fluid_peak": job.duty.fluid_peak, "duty.fluid_steady": job.duty.fluid_steady}
    hottest = [(key, found) for key, found in told.items() if found > BOILS_IN_THE_OPEN]
    if not hottest:
        return
    stated = job.duty.pressure_max
    pressure, said = stated, "the highest pressure of"
    if math.isnan(stated):
        usual = table("service_duty").where(service=job.service, field="pressure_max")
        pressure, said = max((row.number("adverse") for row in usual), default=math.nan), "usual"
    if pressure >= 0 and all(found <= _boiling_point(0.0) for _, found in hottest):
        return
    boils = _boiling_point(pressure)
    for key, found in hottest:
        if found > boils:
            yield asked(
                (key, "duty.pressure_max"),
                f"coolant of {_temperature(found)}, which boils at {_temperature(boils)} at {said}"
                f" {_pressure(pressure)}",
                "a temperature below that, or the higher pressure at which it does not boil",
            )


@lru_cache(maxsize=MOST_KEPT)
def _boiling_point(pressure: float) -> float:
    """Return where the least volatile usual mixture boils [degC]; NaN where it is not known."""
    from hoseselect.mechanics.boiling import boiling_point

    share = limit("coolant-share-max") / PER_CENT
    return float(boiling_point(share, pressure, definition_figure("standard_atmosphere")))


PER_CENT = 100


def _service(job: Job) -> Row | None:
    """Return the row of a service; None for a stop."""
    services = table("services")
    return services.row(service=job.service) if services.has(service=job.service) else None


def _family(fluid: str) -> str:
    fluids = table("fluids")
    return fluids.row(fluid=fluid)["family"] if fluids.has(fluid=fluid) else ""


def _name(fluid: str) -> str:
    return table("fluids").row(fluid=fluid)["name"].partition(",")[0]


def _pressure(value: float) -> str:
    return format_quantity(value, "pressure")


def _temperature(value: float) -> str:
    return format_quantity(value, "temperature", decimals=0)


LINE_GATES = (
    boost_without_turbo,
    boost_without_pressure,
    fuel_in_another_line,
    coolant_above_boiling,
    sucked_flat_without_suction,
    burst_without_pressure,
)
