"""Stops: jobs that are no job for bulk hose, by service, ends, place, fluid or pressure."""

from __future__ import annotations

from hoseselect.domain.job import Job as DomainJob

from .fluids import family
from .job import usual_duty
from .tables import by, known, limit, pairs


def stop_of(job: DomainJob) -> set[str]:
    """Return the stops that a job meets; none where it may be judged."""
    met: set[str] = set()
    stops = by("stops", "stop")
    if job.service in stops:
        met.add(job.service)
    features = job.features
    if features.end_fitting in ("quick-connect", "crimped", "flanged"):
        met.add(
            {"quick-connect": "quick-connect-tube", "crimped": "crimped-ends"}.get(
                features.end_fitting, "flanged-pipe"
            )
        )
    if features.insert == "moulded-in":
        met.add("moulded-in-part")
    if features.place in ("boat", "aircraft"):
        met.add(features.place)
    for fluid in job.fluids:
        if fluid == "unknown":
            continue
        row = pairs("service_stop_fluids", "service", "fluid").get((job.service, fluid))
        if row:
            met.add(row["stop"])
        elif family(fluid) == "brake":
            met.add("brake-fluid-reservoir")
        elif family(fluid) == "urea":
            met.add("urea-line")
    group = by("services", "service").get(job.service, {"group": "stopped"})["group"]
    told = [known(value) for value in (job.duty.pressure_max, job.duty.pressure_spike)]
    highest = max((value for value in told if value is not None), default=None)
    if group == "steering" and features.end_fitting == "threaded":
        met.add("steering-pressure")
    if highest is not None:
        if group == "steering" and highest > limit("steering-return-pressure-max"):
            met.add("steering-pressure")
        if group in ("fuel", "diesel") and highest > limit("fuel-hose-pressure-max"):
            met.add("high-pressure-injection")
        if job.service == "injector-leak-off" and highest >= limit("piezo-return-pressure-min"):
            met.add("piezo-injector-return")
    low = usual_duty("fuel-feed-low-pressure", "pressure_max")
    assert low
    if job.service == "fuel-injection-feed" and (highest is None or highest <= low[1]):
        met.add("injection-pressure-unknown")  # no injection feed has so little
    return met
