"""Heat rules."""

from __future__ import annotations

import math

from .compare import ACCEPT, CONDITIONAL, NOTHING, REJECT, UNKNOWN, Said, banded, within
from .job import usual_duty
from .registry import Hose, Job, rule
from .tables import by, constant, limit


def usually(stated: float | None, usual: float | None) -> float | None:
    """Return how far a stated limit is believed: no further than its rubber usually goes."""
    return stated if stated is None or usual is None else min(stated, usual)


def continuous(demand: float | None, hose: Hose) -> Said:
    """Hold a steady temperature against the continuous limit."""
    stated = hose["continuous"]
    return banded(demand, usually(stated, hose["usual_hottest"]), stated)


def short_time(demand: float | None, hose: Hose) -> Said:
    """Hold a peak against the short-time limit, or the continuous one where none is stated."""
    both = [hose[name] for name in ("continuous", "short_time") if hose[name] is not None]
    stated = max(both, default=None)
    usual = hose["usual_hottest"]
    if usual is not None:
        usual += limit("short-time-above-usual")
    return banded(demand, usually(stated, usual), stated)


@rule("heat-fluid-steady", "fluid_steady")
def heat_fluid_steady(job: Job, hose: Hose) -> Said:
    """Fluid for hours."""
    return continuous(job["fluid_steady"], hose)


@rule("heat-fluid-peak", "fluid_peak")
def heat_fluid_peak(job: Job, hose: Hose) -> Said:
    """Fluid for minutes."""
    return short_time(job["fluid_peak"], hose)


@rule("heat-air-steady", "air_steady")
def heat_air_steady(job: Job, hose: Hose) -> Said:
    """Air for hours."""
    return continuous(job["air_steady"], hose)


@rule("heat-air-peak", "air_peak")
def heat_air_peak(job: Job, hose: Hose) -> Said:
    """Air for minutes."""
    return short_time(job["air_peak"], hose)


@rule("heat-cold", "coldest_start")
def heat_cold(job: Job, hose: Hose) -> Said:
    """Coldest start against the cold limit."""
    stated, usual = hose["cold"], hose["usual_coldest"]
    believed = stated if stated is None or usual is None else max(stated, usual)
    return banded(job["coldest_start"], believed, stated, least=True)


def distance_is_asked(job: Job) -> bool:
    """Return whether a distance to heat that is not given is a condition."""
    hot = limit("heat-source-asked-from")
    usual = usual_duty(job["service"], "fluid_peak")
    runs_hot = usual is not None and usual[1] > hot
    stated_hot = job["fluid_peak"] is not None and job["fluid_peak"] > hot
    spoken_of = job["heat_source_shielded"] != "unknown"
    return runs_hot or stated_hot or spoken_of or job["heat_aged"]


@rule(
    "heat-source",
    "service, fluid_peak, heat_source_distance, heat_source_shielded, heat_aged",
)
def heat_source(job: Job, hose: Hose) -> Said:
    """Distance to a heat source that has grown and shaken; where only a shield lacks, with one."""
    bare, behind = limit("heat-source-clearance"), limit("heat-source-clearance-shielded")
    if job["heat_source_shielded"] == "yes":
        bare = behind
    if job["heat_source_distance"] is None:
        return (
            Said(CONDITIONAL, None, behind, bare, band=True) if distance_is_asked(job) else NOTHING
        )
    left = max(job["heat_source_distance"] - limit("heat-source-growth"), 0.0)
    return banded(left, bare, behind, least=True)


@rule("heat-life", "fluid_steady, air_steady")
def heat_life(job: Job, hose: Hose) -> Said:
    """How fast the liner ages, as a share of how fast at its continuous limit (Arrhenius)."""
    row = by("limits", "limit").get(f"activation-energy-{(hose['liner'] or ('',))[0].lower()}")
    if row is None:
        return NOTHING
    steady = [job[name] for name in ("fluid_steady", "air_steady") if job[name] is not None]
    if not steady or hose["continuous"] is None:
        return Said(UNKNOWN, None, 1.0)
    per_kelvin = float(row["value"]) * 1000 / constant("gas-constant")
    hot, held = (t - constant("absolute-zero") for t in (max(steady), hose["continuous"]))
    times = math.exp(-per_kelvin * (1 / hot - 1 / held))
    kept = within(times, 1.0)
    return Said(ACCEPT if kept else REJECT, times, 1.0)
