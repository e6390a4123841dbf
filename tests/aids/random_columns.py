"""Random jobs as columns, from a generator of random numbers: nothing of them is unknown."""

from __future__ import annotations

from functools import cache

import numpy as np

from hoseselect.intake.read_job import read_job
from hoseselect.judging.columns import NO, YES, Array, JobColumns
from hoseselect.judging.job_columns import job_columns
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import limit, table
from hoseselect.rules.stop import stops

BORES = np.array([3.2, 4.0, 6.3, 7.9, 8.0, 9.5, 12.7, 14.2, 15.9, 19.0, 25.4])
Random = np.random.Generator


@cache
def every_service() -> JobColumns:
    """Return a job for every service that is none but of which everything else is unknown."""
    fluids = {"fuel-injection-feed": {"duty": {"pressure_max": "350 kPa"}}}
    jobs = [
        read_job({"service": row["service"], **fluids.get(row["service"], {})})
        for row in table("services")
    ]
    return job_columns([job for job in jobs if not stops(job)])


def column(values: Array) -> Array:
    return values[:, None]


def jobs_at_random(random: Random, count: int) -> JobColumns:
    """Return jobs with nothing unknown, of which many suit some hose."""
    own = every_service()
    made = own.take(random.integers(len(own), size=count))
    services, kinds = service_columns(), service_columns().fluids_default[made.service[:, 0]]
    milder = services.fluids_mildest[made.service[:, 0]]
    fluid, air = (random.uniform(20, 130, count) for _ in range(2))
    pressure = random.choice([0.0, 2.0, 30.0, 120.0, 300.0], count)
    spike = pressure + random.uniform(0, 40, count)
    bore = random.choice(BORES, count)

    def answers(good: int, bad: int, share: float = 0.9) -> Array:
        return column(np.where(random.random(count) < share, good, bad))

    nipples = [np.round(bore + random.uniform(0, 0.3, count), 1) for _ in range(2)]
    beads = [answers(YES, NO) for _ in range(2)]
    over = [np.round(nipple * random.uniform(1.05, 1.2, count), 1) for nipple in nipples]
    return made.change(
        fluids=made.fluids | np.where(column(random.random(count) < 0.6), milder, kinds),
        drips=made.drips & False,
        fluids_known=answers(YES, YES),
        drips_known=answers(YES, YES),
        fluid_steady=column(fluid),
        fluid_peak=column(fluid + random.uniform(0, 20, count)),
        air_steady=column(air),
        air_peak=column(air + random.uniform(0, 20, count)),
        coldest_start=column(random.uniform(-40, 5, count)),
        pressure_min=column(random.choice([0.0, 0.0, -5.0, -20.0, -40.0, -65.0], count)),
        pressure_max=column(pressure),
        pressure_spike=column(spike),
        boost_stated=column(np.where(spike > limit("crankcase-pressure-highest"), YES, NO)),
        nipple_a=column(nipples[0]),
        nipple_b=column(nipples[1]),
        has_bead_a=beads[0],
        has_bead_b=beads[1],
        bead_a=np.where(beads[0] == YES, column(over[0]), np.nan),
        bead_b=np.where(beads[1] == YES, column(over[1]), np.nan),
        measured_on_a=answers(YES, YES),
        measured_on_b=answers(YES, YES),
        usable_a=column(random.uniform(10, 40, count)),
        usable_b=column(random.uniform(10, 40, count)),
        tip_length=column(random.uniform(60, 900, count)),
        tightest_radius=column(random.uniform(20, 400, count)),
        lead=column(random.uniform(5, 100, count)),
        movement=column(random.uniform(0, 20, count)),
        supports=column(random.uniform(50, 800, count)),
        heat_source_distance=column(random.uniform(40, 300, count)),
        heat_source_shielded=answers(YES, NO, 0.5),
        low_spot=answers(NO, YES),
        fall=answers(YES, NO),
        insert=answers(NO, YES),
        turbo=answers(NO, YES),
        sees_boost=answers(NO, YES),
        submerged=answers(NO, YES),
    )
