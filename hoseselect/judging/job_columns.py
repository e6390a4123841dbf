"""From jobs to the columns that rules see; unknown stays unknown."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import cache, lru_cache

import numpy as np

from hoseselect.domain.job import Job, Nipple
from hoseselect.domain.run_parts import RunPart
from hoseselect.judging.columns import NO, NOT_NAMED, UNKNOWN, YES, Array, JobColumns
from hoseselect.judging.services import constituents, family, fluid_mask, in_tank, service_columns
from hoseselect.judging.usual import cap_pressure, usual_fuels
from hoseselect.knowledge.load import limit, table
from hoseselect.mechanics.run import Run

CODES = {"yes": YES, "no": NO, "unknown": UNKNOWN}
RUNS_KEPT = 4096


def job_columns(jobs: Sequence[Job], lengths: Sequence[Array] | None = None) -> JobColumns:
    """Return jobs as columns.

    Parameters
    ----------
    jobs : n jobs that no stop has met
    lengths : tip to tip with engagements, to cut, longest, and of a window that is narrower than
        the tolerance its width and what is needed, where they are known, each (n,) [mm]
    """
    a, b = [job.nipple_a for job in jobs], [job.nipple_b for job in jobs]
    duty, routes = [job.duty for job in jobs], [job.route for job in jobs]
    features = [job.features for job in jobs]
    heat = [route.heat_source for route in routes]
    unknown = np.full((len(jobs), 1), np.nan)
    told = (unknown,) * 5 if lengths is None else tuple(own[:, None] for own in lengths[:5])
    bare, cut, longest, narrow, narrow_needed = told
    tip, tightest, lead = np.array([route_figures(job) for job in jobs]).reshape(-1, 3).T
    service = _whole(service_columns().index[job.service] for job in jobs)
    pressure_max = _numbers(own.pressure_max for own in duty)
    pressure_spike = _numbers(own.pressure_spike for own in duty)
    highest = np.fmax(pressure_max, pressure_spike)
    drips = [job.drips for job in jobs]
    fluids = _masks(fluids_in_line(job) for job in jobs)
    fluids = fluids | service_columns().fluids_always[service[:, 0]]
    return JobColumns(
        service=service,
        fluids=fluids,
        bath=fluids & in_tank(service),
        drips=_masks(tuple(f for f in own if f != "unknown") for own in drips),
        fluids_known=_whole(YES if fluids_known(job) else UNKNOWN for job in jobs),
        drips_known=_whole(YES if drips_known(job) else UNKNOWN for job in jobs),
        fluid_steady=_numbers(own.fluid_steady for own in duty),
        fluid_peak=_numbers(own.fluid_peak for own in duty),
        air_steady=_numbers(own.air_steady for own in duty),
        air_peak=_numbers(own.air_peak for own in duty),
        coldest_start=_numbers(own.coldest_start for own in duty),
        pressure_min=_numbers(own.pressure_min for own in duty),
        pressure_max=pressure_max,
        pressure_spike=pressure_spike,
        flow=_numbers(own.flow for own in duty),
        usual_coldest_start=_numbers(job.usual.coldest_start for job in jobs),
        usual_cap_pressure=_numbers(cap_pressure(job) for job in jobs),
        usual_fluids=_masks(usual_fuels(job.service, job.usual.fuels) for job in jobs),
        boost_stated=np.where(highest > limit("crankcase-pressure-highest"), YES, NO),
        threaded=_whole(YES if own.end_fitting == "threaded" else NO for own in features),
        nipple_a=_numbers(own.outside_diameter for own in a),
        nipple_b=_numbers(own.outside_diameter for own in b),
        has_bead_a=_answers(own.bead for own in a),
        has_bead_b=_answers(own.bead for own in b),
        bead_a=_numbers(own.bead_diameter for own in a),
        bead_b=_numbers(own.bead_diameter for own in b),
        measured_on_a=_whole(map(measured_on, a)),
        measured_on_b=_whole(map(measured_on, b)),
        usable_a=_usable(a),
        usable_b=_usable(b),
        tip_length=tip[:, None],
        tightest_radius=tightest[:, None],
        lead=lead[:, None],
        movement=_numbers(movement(job) for job in jobs),
        supports=_numbers(route.supports for route in routes),
        heat_source_distance=_numbers(own.distance for own in heat),
        heat_source_shielded=_answers(own.shielded for own in heat),
        window_width=unknown,
        window_needed=unknown,
        narrow_window=narrow,
        narrow_needed=narrow_needed,
        other_radius=unknown,
        keep_outs=_whole(YES if r.free and r.free.keep_outs else NO for r in routes),
        clearance_left=unknown,
        weight_number=unknown,
        error_stood=unknown,
        error_clear=unknown,
        error_told=unknown,
        set_any_side=unknown,
        margin_wanted=unknown,
        original_bore=_numbers(job.original_bore for job in jobs),
        old_bore=_numbers(old_bore(job) for job in jobs),
        piece=_numbers(job.piece for job in jobs),
        bare_length=bare,
        cut_length=cut,
        longest_length=longest,
        low_spot=_answers(route.low_spot for route in routes),
        fall=_answers(route.fall for route in routes),
        insert=_whole(INSERTS.get(own.insert, YES) for own in features),
        turbo=_answers(own.turbo for own in features),
        sees_boost=_answers(own.sees_boost for own in features),
        submerged=_answers(map(submerged, jobs)),
        print_lost=_answers(own.print_lost for own in features),
        sucked_flat=_failed(jobs, "suction"),
        heat_aged=_failed(jobs, "heat"),
        attacked=_failed(jobs, "attack"),
    )


MEASURED_ON = {"plain": YES, "bead": NO, "unknown": UNKNOWN}
INSERTS = {"unknown": UNKNOWN, "none": NO, "something": NOT_NAMED}


def measured_on(nipple: Nipple) -> int:
    """Return where the caliper sat: 1 on the plain part, 0 on the bead, -1 unknown.

    Without a bead, or with a diameter of its own over the bead, there is nothing else to measure.
    """
    if nipple.bead == "no" or not math.isnan(nipple.bead_diameter):
        return YES
    return MEASURED_ON[nipple.measured_on]


def fluids_in_line(job: Job) -> tuple[str, ...]:
    """Return the named fluids that flow in the line itself.

    On a crankcase line a named fuel tells what the engine burns, and no liquid fuel flows there:
    vapour of ordinary fuel is in the crankcase gas already, any other fuel counts as fuel vapour.
    """
    columns = service_columns()
    named = tuple(fluid for fluid in job.fluids if fluid != "unknown")
    if columns.group[columns.index[job.service]] != "crankcase":
        return named
    fuels = {fluid for fluid in named if family(fluid) == "fuel"}
    unusual = {part for fluid in fuels for part in constituents(fluid)} - _usual_fuels()
    vapour = ("fuel-vapour",) if unusual else ()
    return (*(fluid for fluid in named if fluid not in fuels), *vapour)


@cache
def _usual_fuels() -> frozenset[str]:
    """Return what the fuels hold that are assumed where none is named."""
    defaults = {row["fluid"] for row in table("service_fluids").where(role="default")}
    fuels = {fluid for fluid in defaults if family(fluid) == "fuel"}
    return frozenset(part for fluid in fuels for part in constituents(fluid))


def fluids_known(job: Job) -> bool:
    """Return whether the job names a fluid of every family that is else assumed, and no other.

    A fluid of another family leaves open what else flows: named beside the usual one it takes no
    doubt away that it raises alone. Where none is assumed, what always flows is all there is,
    unless something is named and there may be more.
    """
    assumed = _families_assumed(job.service)
    if "unknown" in job.fluids:
        return not assumed and set(job.fluids) == {"unknown"}
    return not assumed or {family(fluid) for fluid in job.fluids} == assumed


def drips_known(job: Job) -> bool:
    """Return whether it is known what drips on the hose.

    Where the old hose swelled from something that dripped on it, "nothing drips" is not known.
    """
    if "unknown" in job.drips:
        return False
    return bool(job.drips) or failure_acts(job.old_hose.condition) != "drip"


@cache
def failure_acts(condition: str) -> str:
    """Return what the rules make of how an old hose failed; an empty text where nothing."""
    failures = table("failures")
    return failures.row(failure=condition)["acts"] if failures.has(failure=condition) else ""


def _failed(jobs: Sequence[Job], acts: str) -> Array:
    return _whole(YES if failure_acts(job.old_hose.condition) == acts else NO for job in jobs)


@cache
def _families_assumed(service: str) -> frozenset[str]:
    """Return the families of fluid that are assumed in a service where none is named."""
    defaults = table("service_fluids").where(service=service, role="default")
    return frozenset(family(row["fluid"]) for row in defaults)


def submerged(job: Job) -> str:
    """Return whether a part of the hose lies in fuel; where no fuel flows, only if it is said."""
    columns = service_columns()
    told, fuel = job.features.submerged, columns.fuel[columns.index[job.service]]
    return "no" if told == "unknown" and not fuel else told


def movement(job: Job) -> float:
    """Return the relative movement of the ends [mm]; none where both sit on the same body."""
    if not math.isnan(job.route.movement):
        return job.route.movement
    a, b = job.nipple_a.fixed_to, job.nipple_b.fixed_to
    return 0.0 if a == b != "unknown" else math.nan


def old_bore(job: Job) -> float:
    """Return the bore of the hose that came off, as it was new, else as measured on it [mm]."""
    known = not math.isnan(job.original_bore)
    return job.original_bore if known else job.old_hose.bore


def usable(nipple: Nipple) -> float:
    """Return the length that hose and clamp make use of [mm]: engagement where it is stated."""
    return float(np.fmin(nipple.usable_length, nipple.engagement))


def route_figures(job: Job) -> tuple[float, float, float]:
    """Return tip length, tightest radius and shorter straight lead of a route [mm], NaN unknown."""
    route = job.route
    if route.kind == "run":
        return _run_figures(route.run)
    if route.kind == "measured":
        return route.measured, route.tightest_radius, math.nan
    return math.nan, math.nan, math.nan


@lru_cache(maxsize=RUNS_KEPT)
def _run_figures(parts: tuple[RunPart, ...]) -> tuple[float, float, float]:
    run = Run(parts, limit("bend-angle-least"))
    lead = min(run.lead_start, run.lead_end) if run.bends else math.nan
    return run.length, run.tightest_radius, lead


def _numbers(values: Iterable[float]) -> Array:
    return np.array(list(values), dtype=np.float64)[:, None]


def _whole(values: Iterable[int]) -> Array:
    return np.array(list(values), dtype=np.int64)[:, None]


def _answers(words: Iterable[str]) -> Array:
    return _whole(map(CODES.__getitem__, words))


def _usable(nipples: Sequence[Nipple]) -> Array:
    usable = _numbers(own.usable_length for own in nipples)
    return np.fmin(usable, _numbers(own.engagement for own in nipples))


def _masks(fluids: Iterable[tuple[str, ...]]) -> Array:
    """Return which constituents stand in each set of fluids, shape (n, fluids)."""
    known: dict[tuple[str, ...], Array] = {}
    return np.array(
        [known[own] if own in known else known.setdefault(own, fluid_mask(own)) for own in fluids]
    ).reshape(-1, len(service_columns().fluids))
