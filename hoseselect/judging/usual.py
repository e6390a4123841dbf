"""What is usual in a shop, in place of what is usual in the trade: for an adverse end only."""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from hoseselect.domain.job import Job
from hoseselect.judging.columns import Array, JobColumns
from hoseselect.judging.services import constituents, family, mildest, service_columns
from hoseselect.knowledge.load import limit, table


def cap_pressure(job: Job) -> float:
    """Return the cap pressure that the shop has set [kPa]; NaN on a line without coolant."""
    columns = service_columns()
    under_cap = columns.group[columns.index[job.service]] == "coolant"
    return job.usual.cap_pressure if under_cap else math.nan


@cache
def usual_fuels(service: str, fuels: tuple[str, ...]) -> tuple[str, ...]:
    """Return which of the worst fuels that a shop sells may flow in a service.

    They are those of the kind that is else assumed there: petrol for petrol, diesel for diesel.
    """
    rows = table("service_fluids").where(service=service, role="default")
    assumed = [row["fluid"] for row in rows]
    if [family(fluid) for fluid in assumed] != ["fuel"]:
        return ()
    kind = mildest(assumed[0])
    return tuple(fuel for fuel in fuels if kind <= set(constituents(fuel)))


def ends_in_shop(
    field: str, jobs: JobColumns, favourable: Array, adverse: Array
) -> tuple[Array, Array]:
    """Return favourable and adverse end of a duty, with what the shop has set in their place.

    That is the coldest start, and the share of the cap in the pressure of a coolant line, to which
    the water pump adds its own. What the shop has set stays an assumption: its other end is milder.

    Parameters
    ----------
    field : of the duty
    jobs : n jobs
    favourable, adverse : what is usual in the trade, each (n, 1); NaN none
    """
    if field == "coldest_start":
        told = jobs.usual_coldest_start
        adverse = np.where(np.isnan(told), adverse, told + 0.0 * adverse)
        return np.where(np.isnan(told), favourable, np.fmax(favourable, adverse + MILDER)), adverse
    if field == "pressure_max":
        told = jobs.usual_cap_pressure
        pump = adverse - limit("cap-pressure-usual")
        adverse = np.where(np.isnan(told), adverse, told + pump)
        return np.where(np.isnan(told), favourable, np.fmin(favourable, adverse - MILDER)), adverse
    return favourable, adverse


MILDER = 1.0
"""By what the other end is milder at least than what the shop has set [degC or kPa]; our own
choice: where both ends were the same, what nobody told would count as told."""
