"""From jobs to the columns that rules see; unknown stays unknown."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.domain.job import Job, Nipple
from hoseselect.judging.columns import NO, NOT_NAMED, UNKNOWN, YES, Array, JobColumns
from hoseselect.judging.services import fluid_mask, service_columns
from hoseselect.knowledge.load import limit, table
from hoseselect.mechanics.run import Run

CODES = {"yes": YES, "no": NO, "unknown": UNKNOWN}
INSERTS = {"unknown": UNKNOWN, "none": NO, "something": NOT_NAMED}


def job_columns(
    job: Job,
    bare_length: float = math.nan,
    cut_length: float = math.nan,
    longest_length: float = math.nan,
) -> JobColumns:
    """Return one job as columns of one row.

    Parameters
    ----------
    job : a job that no stop has met
    bare_length, cut_length, longest_length : tip to tip with both engagements, the length to cut
        and the longest that works, where they are known before the hose is [mm]
    """
    a, b = job.nipple_a, job.nipple_b
    tip, tightest, lead = route_figures(job)
    named = fluids_in_line(job)
    drips = tuple(fluid for fluid in job.drips if fluid != "unknown")
    features = job.features
    return JobColumns(
        service=_whole(service_columns().index[job.service]),
        fluids=fluid_mask(named)[None, :] | services_always(job.service)[None, :],
        drips=fluid_mask(drips)[None, :],
        fluids_known=_whole(YES if fluids_known(job) else UNKNOWN),
        drips_known=_whole(UNKNOWN if "unknown" in job.drips else YES),
        fluid_steady=_number(job.duty.fluid_steady),
        fluid_peak=_number(job.duty.fluid_peak),
        air_steady=_number(job.duty.air_steady),
        air_peak=_number(job.duty.air_peak),
        coldest_start=_number(job.duty.coldest_start),
        pressure_min=_number(job.duty.pressure_min),
        pressure_max=_number(job.duty.pressure_max),
        pressure_spike=_number(job.duty.pressure_spike),
        boost_stated=_whole(
            YES if job.duty.pressure_max > limit("crankcase-pressure-highest") else NO
        ),
        threaded=_whole(YES if job.features.end_fitting == "threaded" else NO),
        nipple_a=_number(a.outside_diameter),
        nipple_b=_number(b.outside_diameter),
        has_bead_a=_whole(CODES[a.bead]),
        has_bead_b=_whole(CODES[b.bead]),
        bead_a=_number(a.bead_diameter),
        bead_b=_number(b.bead_diameter),
        measured_on_a=_whole(_measured_on(a)),
        measured_on_b=_whole(_measured_on(b)),
        usable_a=_number(usable(a)),
        usable_b=_number(usable(b)),
        tip_length=_number(tip),
        tightest_radius=_number(tightest),
        lead=_number(lead),
        movement=_number(movement(job)),
        supports=_number(job.route.supports),
        heat_source_distance=_number(job.route.heat_source.distance),
        heat_source_shielded=_whole(CODES[job.route.heat_source.shielded]),
        window_width=_number(math.nan),
        window_needed=_number(math.nan),
        other_radius=_number(math.nan),
        keep_outs=_whole(YES if job.route.free and job.route.free.keep_outs else NO),
        clearance_left=_number(math.nan),
        weight_number=_number(math.nan),
        original_bore=_number(job.original_bore),
        given_length=_number(job.cut_length),
        bare_length=_number(bare_length),
        cut_length=_number(cut_length),
        longest_length=_number(longest_length),
        low_spot=_whole(CODES[job.route.low_spot]),
        fall=_whole(CODES[job.route.fall]),
        insert=_whole(
            INSERTS.get(features.insert, YES),
        ),
        turbo=_whole(CODES[features.turbo]),
        sees_boost=_whole(CODES[features.sees_boost]),
        submerged=_whole(CODES[features.submerged]),
        plastic=_whole(_plastic(a, b)),
    )


def services_always(service: str) -> Array:
    """Return the constituents that flow in a service in any case, shape (fluids,)."""
    columns = service_columns()
    mask: Array = columns.fluids_always[columns.index[service]]
    return mask


def fluids_in_line(job: Job) -> tuple[str, ...]:
    """Return the named fluids that flow in the line itself.

    On a crankcase line a named fuel tells what the engine burns: its vapour is in the crankcase
    gas already, and no liquid fuel flows there.
    """
    columns = service_columns()
    named = tuple(fluid for fluid in job.fluids if fluid != "unknown")
    if columns.group[columns.index[job.service]] != "crankcase":
        return named
    return tuple(fluid for fluid in named if family(fluid) != "fuel")


def fluids_known(job: Job) -> bool:
    """Return whether the job names a fluid of every family that is else assumed."""
    defaults = table("service_fluids").where(service=job.service, role="default")
    named = {family(fluid) for fluid in job.fluids if fluid != "unknown"}
    return "unknown" not in job.fluids and {family(row["fluid"]) for row in defaults} <= named


def family(fluid: str) -> str:
    """Return the family of a fluid: oil, fuel, vapour, water, brake, air or urea."""
    return table("fluids").row(fluid=fluid)["family"]


def movement(job: Job) -> float:
    """Return the relative movement of the ends [mm]; none where both sit on the same body."""
    if not math.isnan(job.route.movement):
        return job.route.movement
    a, b = job.nipple_a.fixed_to, job.nipple_b.fixed_to
    return 0.0 if a == b != "unknown" else math.nan


def usable(nipple: Nipple) -> float:
    """Return the length that hose and clamp make use of [mm]: engagement where it is stated."""
    return float(np.fmin(nipple.usable_length, nipple.engagement))


def route_figures(job: Job) -> tuple[float, float, float]:
    """Return tip length, tightest radius and shorter straight lead of a route [mm], NaN unknown."""
    route = job.route
    if route.kind == "run":
        run = Run(route.pieces)
        lead = min(run.lead_start, run.lead_end) if run.bends else math.nan
        return run.length, run.tightest_radius, lead
    if route.kind == "measured":
        return route.measured, route.tightest_radius, math.nan
    return math.nan, math.nan, math.nan


def _measured_on(nipple: Nipple) -> int:
    return {"plain": YES, "bead": NO, "unknown": UNKNOWN}[nipple.measured_on]


def _plastic(a: Nipple, b: Nipple) -> int:
    materials = {a.material, b.material}
    if "plastic" in materials:
        return YES
    return UNKNOWN if "unknown" in materials else NO


def _number(value: float) -> Array:
    return np.array([[value]], dtype=np.float64)


def _whole(value: int) -> Array:
    return np.array([[value]], dtype=np.int64)
