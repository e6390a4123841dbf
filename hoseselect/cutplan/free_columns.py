"""What a planned free route says of every hose size, as columns for the rules."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.cutplan.free_plan import FreePlan
from hoseselect.cutplan.own_weight import with_weight
from hoseselect.domain.free_route import FreeRoute
from hoseselect.domain.job import Job
from hoseselect.judging.columns import Array, HoseColumns, JobColumns
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.modulus import bending_stiffness, modulus_range
from hoseselect.mechanics.rod import tube_weight, weight_number


def with_free(jobs: JobColumns, plan: FreePlan, job: Job, hoses: HoseColumns) -> JobColumns:
    """Return job columns with what the free route says of every size, columns of shape (1, m)."""
    numbers = _weight_numbers(plan, job, hoses)
    arrays = plan.arrays | _weighed(plan, numbers, hoses)
    columns = {name: values[None, :] for name, values in arrays.items()}
    moved = np.full_like(columns["tip"], 0.0 if _movement_known(job) else np.nan)
    return jobs.change(
        tip_length=columns["tip"],
        tightest_radius=columns["tightest"],
        cut_length=columns["cut"],
        longest_length=columns["longest"],
        movement=moved,
        window_width=columns["width"],
        window_needed=columns["needed"],
        other_radius=columns["other"],
        clearance_left=columns["room"],
        error_stood=columns["stood"],
        error_clear=columns["clear"],
        set_any_side=np.where(np.isnan(columns["stood"]), np.nan, columns["any_side"]),
        error_told=np.full_like(moved, plan.route.tape_error),
        margin_wanted=np.full_like(moved, margin_wanted(plan.route)),
        weight_number=numbers[None, :],
    )


def _movement_known(job: Job) -> bool:
    """Return whether it was told how a free route moves, or both ends sit on the same body."""
    a, b = job.nipple_a.fixed_to, job.nipple_b.fixed_to
    said = job.route.free is not None and job.route.free.movement_said == "yes"
    return said or job.route.movement == 0 or a == b != "unknown"


def margin_wanted(route: FreeRoute) -> float:
    """Return the share by which a bend is wanted wider than the least radius, for what is not
    solved: flattening, and twist where the ends move out of a plane.
    """
    directions = np.array([route.points_a, route.points_b, route.mouth_b])
    size = float(np.linalg.norm(route.mouth_b))
    flat = not route.clips and abs(float(np.linalg.det(directions))) < FLAT * size
    moves = any(route.movement) or route.rocking is not None
    return limit("free-margin") + (limit("free-margin-twist") if moves and not flat else 0.0)


FLAT = 0.02  # of the volume of two unit vectors and the line between the mouths


def _weight_numbers(plan: FreePlan, job: Job, hoses: HoseColumns) -> Array:
    """Return the weight number w L^3 / EI of every size, (m,); NaN without a hardness."""
    sizes = hoses.sizes
    modulus = modulus_range(sizes.hardness_shore_a)
    stiffness = bending_stiffness(modulus.low, sizes.bore, sizes.outside_diameter)
    numbers = np.full(len(plan.sizes), np.nan)
    for size, own in enumerate(plan.sizes):
        if own.lie is not None:
            numbers[size] = weight_number_of(
                job.service,
                float(sizes.bore[size]),
                float(sizes.outside_diameter[size]),
                float(stiffness[size]),
                own.tip,
            )
    return numbers


def _weighed(plan: FreePlan, numbers: Array, hoses: HoseColumns) -> dict[str, Array]:
    """Return tightest radius and room of every size with its weight, where that counts, (m,)."""
    tightest, room = plan.arrays["tightest"].copy(), plan.arrays["room"].copy()
    heavy = np.flatnonzero(numbers > limit("gravity-number-mention"))
    if not plan.route.oriented or plan.solution.rings:
        return {}
    for spans in dict.fromkeys(plan.sizes[size].spans for size in heavy):
        own = np.array([size for size in heavy if plan.sizes[size].spans == spans])
        radius, gap = with_weight(plan.solution, spans, numbers[own])
        tightest[own] = np.minimum(tightest[own], radius)
        left = gap - hoses.sizes.outside_diameter[own] / 2
        room[own] = np.where(np.isfinite(gap), np.minimum(room[own], left), room[own])
    return {"tightest": tightest, "room": room}


def weight_number_of(
    service: str, bore: float, outside: float, stiffness: float, tip: float
) -> float:
    """Return the weight number w L^3 / EI of a filled hose; NaN where its stiffness is not known.

    Parameters
    ----------
    service : decides whether it is full of liquid
    bore, outside : diameters [mm]
    stiffness : of bending, the lower of its range [N mm2]
    tip : length between the mouths [mm]
    """
    if not stiffness > 0:
        return math.nan
    services = service_columns()
    wet = services.group[services.index[service]] in LIQUID
    density = limit("liquid-density") if wet else 0.0
    weight = tube_weight(bore, outside, limit("rubber-density"), density)
    return weight_number(weight, tip, stiffness)


LIQUID = ("coolant", "fuel", "diesel", "oil", "steering", "washer")
