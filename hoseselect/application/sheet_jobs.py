"""Lines of a sheet as the columns that rules see, without a job in between for each line.

It gives what `read_job` and `job_columns` give for each line. Lines of which anything is unusual
are only marked; they go through `read_job` one by one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from hoseselect.application.sheet_lengths import Lengths, lengths
from hoseselect.application.sheet_nipples import nipple_columns, nipples
from hoseselect.domain.job import Job
from hoseselect.intake.job_form import RouteForm
from hoseselect.intake.read_job import read_job
from hoseselect.intake.sheet_lines import Lines
from hoseselect.judging.columns import NO, UNKNOWN, YES, Array, JobColumns
from hoseselect.judging.job_columns import CODES, INSERTS, family, job_columns, route_figures
from hoseselect.judging.services import fluid_mask, service_columns
from hoseselect.knowledge.load import limit, table
from hoseselect.rules.stop import (
    END_FITTINGS,
    FLUIDS,
    FUEL_GROUPS,
    PLACES,
    STEERING,
    STOP_FLUID,
    is_stop,
)

ORDERED = (
    ("duty.fluid_steady", "duty.fluid_peak"),
    ("duty.air_steady", "duty.air_peak"),
    ("duty.pressure_min", "duty.pressure_max"),
    ("duty.pressure_max", "duty.pressure_spike"),
)


@dataclass(frozen=True, eq=False)
class SheetJobs:
    """Lines as columns.

    Parameters
    ----------
    columns : of all lines; what stands there for a line that is odd means nothing
    odd : lines that must go through `read_job`, shape (n,)
    """

    columns: JobColumns
    odd: Array


def sheet_jobs(lines: Lines, units: str) -> SheetJobs:
    """Return lines as columns, lengths included, and which of them are odd.

    Parameters
    ----------
    lines : with their cells read
    units : "mm" or "in": the workshop step of the cut
    """
    shared, own_a, own_b = (nipples(lines, name) for name in ("nipples", "nipple_a", "nipple_b"))
    a, b = own_a.below(shared), own_b.below(shared)
    odd = lines.faulty() | _odd_lines(lines)
    for nipple in (shared, own_a, own_b, a, b):
        odd |= nipple.odd()
    tip, tightest, lead = _routes(lines)
    moved = lines.figures("route.movement")
    same_body = (a.words["fixed_to"] == b.words["fixed_to"]) & (a.words["fixed_to"] != UNKNOWN)
    moved = np.where(np.isnan(moved) & same_body, 0.0, moved)
    long = lengths(tip, a.figures, b.figures, moved, units)
    places = service_columns().index
    services = lines.mapped("service", lambda name: places.get(name, 0), 0)
    columns = {
        **_blank(lines.number),
        "service": services,
        **_fluids(lines, services),
        **_duty(lines),
        **nipple_columns(a, b),
        "tip_length": tip,
        "tightest_radius": tightest,
        "lead": lead,
        "movement": moved,
        **_length_columns(lines, long),
        "supports": lines.figures("route.supports"),
        "heat_source_distance": lines.figures("route.heat_source.distance"),
        "heat_source_shielded": lines.words("route.heat_source.shielded", CODES),
        "low_spot": lines.words("route.low_spot", CODES),
        "fall": lines.words("route.fall", CODES),
        "turbo": lines.words("features.turbo", CODES),
        "sees_boost": lines.words("features.sees_boost", CODES),
        "submerged": lines.words("features.submerged", CODES),
        "insert": lines.mapped("features.insert", lambda word: INSERTS.get(word, YES), UNKNOWN),
        "threaded": lines.mapped(
            "features.end_fitting", lambda word: YES if word == "threaded" else NO, NO
        ),
    }
    upright = {name: column.reshape(lines.number, -1) for name, column in columns.items()}
    return SheetJobs(JobColumns(**upright), odd)


def _blank(number: int) -> dict[str, Array]:
    """Return the columns of a job of which nothing is known, for that many lines."""
    return {name: np.repeat(column, number, axis=0) for name, column in _nothing_known().items()}


@cache
def _nothing_known() -> dict[str, Array]:
    service = service_columns().names[0]
    return dict(vars(job_columns(read_job({"service": service}))))


DUTY = (
    *("fluid_steady", "fluid_peak", "air_steady", "air_peak", "coldest_start"),
    *("pressure_min", "pressure_max", "pressure_spike"),
)


def _duty(lines: Lines) -> dict[str, Array]:
    found = {name: lines.figures(f"duty.{name}") for name in DUTY}
    boosted = found["pressure_max"] > limit("crankcase-pressure-highest")
    return {**found, "boost_stated": np.where(boosted, YES, NO)}


def _length_columns(lines: Lines, long: Lengths) -> dict[str, Array]:
    return {
        "original_bore": lines.figures("original_bore"),
        "given_length": lines.figures("cut_length"),
        "bare_length": long.bare,
        "cut_length": long.cut,
        "longest_length": long.longest,
    }


def _routes(lines: Lines) -> tuple[Array, Array, Array]:
    """Return tip length, tightest radius and straight lead of each line [mm], NaN unknown."""
    nothing = (np.nan, np.nan, np.nan)
    runs = lines.mapped("route.run", _run_figures, nothing)
    measured = lines.figures("route.measured")
    by_string = ~np.isnan(measured)
    tightest = np.where(by_string, lines.figures("route.tightest_radius"), runs[:, 1])
    return np.where(by_string, measured, runs[:, 0]), tightest, runs[:, 2]


def _run_figures(route: RouteForm) -> tuple[float, float, float]:
    return route_figures(Job(service="", route=route.to_domain()))


def _fluids(lines: Lines, services: Array) -> dict[str, Array]:
    known = service_columns()
    nothing = fluid_mask(())
    named = lines.mapped("fluids", _mask, nothing)
    no_fuel = lines.mapped("fluids", _mask_without_fuel, nothing)
    crankcase = np.array([group == "crankcase" for group in known.group])[services]
    in_line = np.where(crankcase[:, None], no_fuel, named)
    families = lines.mapped("fluids", _families, 0)
    unsure = lines.mapped("fluids", lambda fluids: "unknown" in fluids, False)
    told = ((_families_needed()[services] & ~families) == 0) & ~unsure
    dripping = lines.mapped("drips", lambda fluids: "unknown" in fluids, True)
    return {
        "fluids": in_line | known.fluids_always[services],
        "drips": lines.mapped("drips", _mask, nothing),
        "fluids_known": np.where(told, YES, UNKNOWN),
        "drips_known": np.where(dripping, UNKNOWN, YES),
    }


def _named(fluids: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(fluid for fluid in fluids if fluid != "unknown" and not _stops(fluid))


def _stops(fluid: str) -> bool:
    return fluid in FLUIDS or fluid.startswith(STOP_FLUID)


def _any_stops(fluids: tuple[str, ...]) -> bool:
    return any(map(_stops, fluids))


def _is_stop(service: str) -> bool:
    return is_stop(service)


def _mask(fluids: tuple[str, ...]) -> Array:
    return fluid_mask(tuple(fluid for fluid in fluids if _known_fluid(fluid)))


def _known_fluid(fluid: str) -> bool:
    return fluid != "unknown" and not fluid.startswith(STOP_FLUID)


def _mask_without_fuel(fluids: tuple[str, ...]) -> Array:
    return fluid_mask(tuple(fluid for fluid in _named(fluids) if family(fluid) != "fuel"))


def _families(fluids: tuple[str, ...]) -> int:
    return _bits({family(fluid) for fluid in _named(fluids)})


def _bits(families: set[str]) -> int:
    return sum(1 << place for place, name in enumerate(_all_families()) if name in families)


@cache
def _all_families() -> tuple[str, ...]:
    return tuple(dict.fromkeys(table("fluids").column("family")))


@cache
def _families_needed() -> Array:
    """Return per service the families of fluid that are else assumed, as bits, (services,)."""
    defaults = table("service_fluids")
    return np.array(
        [
            _bits({family(row["fluid"]) for row in defaults.where(service=name, role="default")})
            for name in service_columns().names
        ]
    )


def _odd_lines(lines: Lines) -> Array:
    """Return where a job as a whole may be refused or stopped, shape (n,)."""
    odd = ~lines.given("service")
    odd |= lines.mapped("service", _is_stop, False)
    odd |= lines.mapped("features.end_fitting", lambda word: word in END_FITTINGS, False)
    odd |= lines.mapped("features.place", lambda word: word in PLACES, False)
    odd |= lines.mapped("fluids", _any_stops, False)
    odd |= lines.mapped(
        "drips", lambda fluids: any(fluid.startswith(STOP_FLUID) for fluid in fluids), False
    )
    odd |= _pressure_stops(lines) | (lines.figures("duty.pressure_min") > 0)
    for low, high in ORDERED:
        odd |= lines.figures(low) > lines.figures(high)
    odd |= lines.figures("old_hose.bore") >= lines.figures("old_hose.outside_diameter")
    both = lines.mapped("route.run", lambda route: bool(route.run), False)
    return odd | (both & ~np.isnan(lines.figures("route.measured")))


def _pressure_stops(lines: Lines) -> Array:
    known = service_columns()
    fuel = {
        name for name, group in zip(known.names, known.group, strict=True) if group in FUEL_GROUPS
    }
    steering = lines.mapped("service", lambda name: name in STEERING, False)
    fuelled = lines.mapped("service", lambda name: name in fuel, False)
    threaded = lines.mapped("features.end_fitting", lambda word: word == "threaded", False)
    highest = np.fmax(lines.figures("duty.pressure_max"), lines.figures("duty.pressure_spike"))
    steering_stop = threaded | (highest > limit("steering-return-pressure-max"))
    return (steering & steering_stop) | (fuelled & (highest > limit("fuel-hose-pressure-max")))
