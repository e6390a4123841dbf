"""A job as a dictionary of facts, unknown left unknown (None), as the rules read them."""

from __future__ import annotations

import math
from typing import Any

from hoseselect.domain.job import Job as DomainJob
from hoseselect.domain.job import Nipple
from hoseselect.domain.run_parts import Bend, RunPart

from . import lengths
from .fluids import family, made_of, of_service
from .free import NO_SHAPE
from .tables import by, known, limit, pairs, rows

Job = dict[str, Any]


def read_job(job: DomainJob) -> Job:
    """Return the facts of a job that no stop has met."""
    row = by("services", "service")[job.service]
    duty, route, features = job.duty, job.route, job.features
    acts = failure(job)
    facts: Job = {"service": job.service, "row": row, "group": row["group"]}
    for name in vars(duty):
        facts[name] = known(getattr(duty, name))
    facts["usual"] = {
        "coldest_start": known(job.usual.coldest_start),
        "cap_pressure": known(job.usual.cap_pressure),
        "fuels": job.usual.fuels,
    }
    facts["named_fluids"] = named_fluids(job)
    facts["fluids"] = made_of((*of_service(job.service, "always"), *facts["named_fluids"]))
    facts["bath"] = facts["fluids"] if job.service == "fuel-in-tank" else frozenset()
    facts["fluids_known"] = fluids_known(job)
    facts["drips"] = made_of(fluid for fluid in job.drips if fluid != "unknown")
    facts["drips_known"] = "unknown" not in job.drips and not (acts == "drip" and not job.drips)
    facts["sucked_flat"] = acts == "suction"
    facts["heat_aged"] = acts == "heat"
    facts["attacked"] = acts == "attack"
    facts["threaded"] = features.end_fitting == "threaded"
    for end, nipple in (("a", job.nipple_a), ("b", job.nipple_b)):
        facts[f"nipple_{end}"] = known(nipple.outside_diameter)
        facts[f"has_bead_{end}"] = nipple.bead
        facts[f"bead_{end}"] = known(nipple.bead_diameter)
        facts[f"measured_on_{end}"] = measured_on(nipple)
        facts[f"usable_{end}"] = usable(nipple)
    facts["old_bore"] = known(job.original_bore) or known(job.old_hose.bore)
    facts["original_bore"] = known(job.original_bore)
    facts["piece"] = known(job.piece)
    facts["movement"] = movement(job)
    facts["supports"] = known(route.supports)
    facts["low_spot"], facts["fall"] = route.low_spot, route.fall
    facts["heat_source_distance"] = known(route.heat_source.distance)
    facts["heat_source_shielded"] = route.heat_source.shielded
    for name in ("insert", "turbo", "sees_boost", "submerged", "print_lost"):
        facts[name] = getattr(features, name)
    if facts["submerged"] == "unknown" and facts["group"] not in ("fuel", "diesel"):
        facts["submerged"] = "no"  # asked on lines of fuel alone
    facts["boost_stated"] = boost_stated(facts)
    facts |= NO_SHAPE
    facts |= route_figures(job)
    return facts | lengths.of_job(job, facts)


def failure(job: DomainJob) -> str:
    """Return what the way in which the old hose failed tells the rules."""
    row = by("failures", "failure").get(job.old_hose.condition)
    return row["acts"] if row else ""


def named_fluids(job: DomainJob) -> tuple[str, ...]:
    """Return the named fluids that flow in the line itself.

    On a crankcase line a named fuel tells what the engine burns: its vapour is in the gas. That
    of usual fuel is in crankcase vapour already, any other counts as fuel vapour.
    """
    named = tuple(fluid for fluid in job.fluids if fluid != "unknown")
    if by("services", "service")[job.service]["group"] != "crankcase":
        return named
    usual = made_of(row["fluid"] for row in rows("service_fluids") if row["role"] == "default")
    flowing = []
    for fluid in named:
        if family(fluid) != "fuel":
            flowing.append(fluid)
        elif not made_of([fluid]) <= usual:
            flowing.append("fuel-vapour")
    return tuple(flowing)


def fluids_known(job: DomainJob) -> bool:
    """Return whether a fluid of every family that is else assumed is named, and no other.

    Where none is assumed, what always flows is all, unless it is said that there may be more.
    """
    assumed = {family(fluid) for fluid in of_service(job.service, "default")}
    if "unknown" in job.fluids:
        return not assumed and set(job.fluids) == {"unknown"}
    return not assumed or {family(fluid) for fluid in job.fluids} == assumed


def measured_on(nipple: Nipple) -> str:
    """Return where the caliper sat; without a bead, or beside a bead that was measured, plain."""
    if nipple.bead == "no" or known(nipple.bead_diameter) is not None:
        return "plain"
    return nipple.measured_on


def usable(nipple: Nipple) -> float | None:
    """Return the length of nipple that hose and clamp use: the engagement where it is told."""
    told = [known(nipple.engagement), known(nipple.usable_length)]
    return min((value for value in told if value is not None), default=None)


def movement(job: DomainJob) -> float | None:
    """Return how far the ends move against each other; not at all on one body, if not told."""
    told = known(job.route.movement)
    ends = {job.nipple_a.fixed_to, job.nipple_b.fixed_to}
    return 0.0 if told is None and len(ends) == 1 and "unknown" not in ends else told


def boost_stated(facts: Job) -> bool:
    """Return whether a pressure is told that only boost explains on such a line."""
    told = [facts[name] for name in ("pressure_max", "pressure_spike") if facts[name] is not None]
    return max(told, default=0.0) > limit("crankcase-pressure-highest")


def route_figures(job: DomainJob) -> Job:
    """Return length, tightest bend and shorter straight at the ends of a route."""
    route = job.route
    told = known(route.tightest_radius)
    if route.kind == "run":
        return {
            "tip_length": sum(length(part) for part in route.run),
            "tightest_radius": tightest(route.run),
            "lead": lead(route.run) if any(isinstance(p, Bend) for p in route.run) else None,
        }
    tip = known(route.measured) if route.kind == "measured" else None
    return {"tip_length": tip, "tightest_radius": told, "lead": None}


def length(part: RunPart) -> float:
    """Return the length of a part of a run along the centreline [mm]."""
    return math.radians(part.angle) * part.radius if isinstance(part, Bend) else part.length


def tightest(run: tuple[RunPart, ...]) -> float:
    """Return the tightest radius of a run; infinite where nothing bends.

    Bends of the angle of measuring or less do not kink, unless they add up to more than that.
    """
    slight = limit("bend-angle-least")
    bends = [part for part in run if isinstance(part, Bend) and part.angle > 0]
    counted = [bend for bend in bends if bend.angle > slight]
    if sum(bend.angle for bend in bends if bend.angle <= slight) > slight:
        counted = bends
    return min((bend.radius for bend in counted), default=math.inf)


def lead(run: tuple[RunPart, ...]) -> float:
    """Return the shorter straight between a nipple and the first bend from it [mm]."""

    def first(parts: tuple[RunPart, ...]) -> float:
        straight = 0.0
        for part in parts:
            if isinstance(part, Bend) and part.angle != 0:
                break
            straight += length(part)
        return straight

    return min(first(run), first(run[::-1]))


def usual_duty(service: str, field: str) -> tuple[float, float] | None:
    """Return the favourable and the adverse end of what is usual; None where nothing is."""
    row = pairs("service_duty", "service", "field").get((service, field))
    return (float(row["favourable"]), float(row["adverse"])) if row else None
