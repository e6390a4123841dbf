"""Pressure rules."""

from __future__ import annotations

from .compare import (
    ACCEPT,
    CONDITIONAL,
    NOTHING,
    REJECT,
    UNKNOWN,
    Said,
    banded,
    estimated,
    plain,
    to_measure,
)
from .job import usual_duty
from .registry import Hose, Job, rule
from .tables import limit


def highest_pressure(job: Job) -> float | None:
    """Return the highest pressure, a spike included [kPa]."""
    told = [job[name] for name in ("pressure_max", "pressure_spike") if job[name] is not None]
    return max(told, default=None)


def boosted(job: Job) -> bool:
    """Return whether a line that may see boost does.

    It is said, or a pressure is told that only boost explains, or the line is made for it.
    """
    at_intake = job["group"] in ("crankcase", "vacuum") or job["row"]["boost_possible"] == "yes"
    told = job["sees_boost"] == "yes" or job["boost_stated"]
    return (at_intake and told) or made_for_boost(job)


def made_for_boost(job: Job) -> bool:
    """Return whether the usual highest pressure of a line is boost."""
    usual = usual_duty(job["service"], "pressure_max")
    return (
        job["group"] == "crankcase"
        and usual is not None
        and usual[0] > limit("crankcase-pressure-highest")
    )


@rule("pressure-working", "pressure_max, pressure_spike")
def pressure_working(job: Job, hose: Hose) -> Said:
    """Highest pressure against the working pressure with clamps."""
    highest = highest_pressure(job)
    if highest is not None and highest <= 0:
        return NOTHING
    return plain(highest, hose["working_pressure"])


@rule(
    "pressure-reinforcement",
    "service, fluid_steady, fluid_peak, pressure_max, pressure_spike, boost_stated, sees_boost",
)
def pressure_reinforcement(job: Job, hose: Hose) -> Said:
    """Reinforced hose on hot coolant, oil and steering lines under pressure, and under boost."""
    heat = [job[name] for name in HEAT if job[name] is not None]
    highest = highest_pressure(job)
    wants = boosted(job)
    if not wants and job["group"] in ("coolant", "oil", "steering"):
        # what is not known is hot, and under pressure
        wants = len(heat) < len(HEAT) or max(heat) > limit("reinforcement-from-temperature")
    if not wants or (highest is not None and highest <= 0):
        return NOTHING
    return Said({"none": REJECT, "unknown": UNKNOWN}.get(hose["reinforcement"], ACCEPT))


HEAT = ("fluid_steady", "fluid_peak")


@rule("pressure-check-valve", "service, boost_stated, sees_boost")
def pressure_check_valve(job: Job, hose: Hose) -> Said:
    """A line that sees boost holds a check valve, which is proved."""
    return Said(CONDITIONAL) if boosted(job) and not job["row"]["proof"] else NOTHING


@rule("pressure-suction", "fluid_steady, fluid_peak, air_steady, air_peak, pressure_min")
def pressure_suction(job: Job, hose: Hose) -> Said:
    """Deepest suction against the limit hot, or cold on a line that never leaves the room."""
    deepest = job["pressure_min"]
    if deepest is not None and deepest >= 0:
        return NOTHING
    heat = [job[name] for name in ("fluid_steady", "fluid_peak", "air_steady", "air_peak")]
    cold = None not in heat and max(heat) <= limit("room-temperature")
    stated = hose["suction_hot"]
    if cold:
        stated = min_known(hose["suction_cold"], stated)
    if stated is None:  # a hot wall holds no more than is stated of it cold
        sure = (
            None
            if hose["collapse_sure"] is None
            else max_known(hose["collapse_sure"], hose["suction_cold"])
        )
        return estimated(
            deepest, sure, max_known(hose["collapse_most"], hose["suction_cold"]), least=True
        )
    believed = stated
    if hose["reinforcement"] == "none":  # a plain wall bears no more than its own stiffness
        believed = max_known(stated, hose["collapse_most"])
    return banded(deepest, believed, stated, least=True)


def min_known(*values: float | None) -> float | None:
    """Return the least of what is known."""
    return min((value for value in values if value is not None), default=None)


def max_known(*values: float | None) -> float | None:
    """Return the greatest of what is known."""
    return max((value for value in values if value is not None), default=None)


@rule("pressure-unsupported", "pressure_min, tip_length, supports")
def pressure_unsupported(job: Job, hose: Hose) -> Said:
    """Textile hose without a wire, sucked, over the longest distance between supports."""
    from_suction, most = limit("suction-unsupported-from"), limit("suction-unsupported-max")
    textile = hose["reinforcement"] in ("textile", "unknown")
    deep = job["pressure_min"] is not None and -job["pressure_min"] >= from_suction
    if not textile or not deep:
        return NOTHING
    known = [job[name] for name in ("tip_length", "supports") if job[name] is not None]
    return to_measure(banded(min(known, default=None), most, float("inf")))


@rule("pressure-boost", "service, boost_stated, turbo, sees_boost")
def pressure_boost(job: Job, hose: Hose) -> Said:
    """On a turbocharged engine: whether a crankcase line sees boost, and how much."""
    if job["row"]["boost_possible"] != "yes" or job["turbo"] == "no":
        return NOTHING
    if job["boost_stated"] or job["sees_boost"] == "no":
        return Said(ACCEPT, 0.0)
    if job["sees_boost"] == "yes" or made_for_boost(job):
        return Said(UNKNOWN)
    return Said(CONDITIONAL)
