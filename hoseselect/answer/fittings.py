"""Reducers and elbows of a catalogue that fit the nipples of a job."""

from __future__ import annotations

import math

from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job
from hoseselect.judging.services import service_columns


def reducer_words(job: Job, catalogue: Catalogue) -> tuple[str, ...]:
    """Return the word on reducers where the two nipples are known to differ."""
    return (_reducers(job, catalogue),) if own_ends_differ(job) else ()


def own_ends_differ(job: Job) -> bool:
    """Return whether the two nipples are known to differ."""
    a, b = job.nipple_a.outside_diameter, job.nipple_b.outside_diameter
    return not math.isnan(a) and not math.isnan(b) and abs(a - b) > NOTICEABLE


NOTICEABLE = 0.5


def reducers_for(job: Job, catalogue: Catalogue) -> list[int]:
    """Return the places of the reducers that fit both nipples and suit the line."""
    a, b = sorted((job.nipple_a.outside_diameter, job.nipple_b.outside_diameter))
    fit = catalogue.fittings
    group = service_columns().group[service_columns().index[job.service]]
    return [
        k
        for k in range(len(fit))
        if fit.kind[k] == "reducer"
        and group in fit.suits[k]
        and abs(min(fit.nipple_a[k], fit.nipple_b[k]) - a) <= NOTICEABLE
        and abs(max(fit.nipple_a[k], fit.nipple_b[k]) - b) <= NOTICEABLE
    ]


def _reducers(job: Job, catalogue: Catalogue) -> str:
    a, b = sorted((job.nipple_a.outside_diameter, job.nipple_b.outside_diameter))
    found = [str(catalogue.fittings.fitting[k]) for k in reducers_for(job, catalogue)]
    which = f" On the shelf: {', '.join(sorted(found))}." if found else ""
    return f"The nipples differ ({a:g} and {b:g} mm): two sizes of hose and a reducer.{which}"


def elbows_for(job: Job, catalogue: Catalogue) -> list[int]:
    """Return the places of the elbows that fit nipple A and suit the line."""
    group = service_columns().group[service_columns().index[job.service]]
    fit, nipple = catalogue.fittings, job.nipple_a.outside_diameter
    return [
        k
        for k in range(len(fit))
        if fit.kind[k] == "elbow"
        and group in fit.suits[k]
        and abs(fit.nipple_a[k] - nipple) <= NOTICEABLE
    ]


def elbow_angles(job: Job, catalogue: Catalogue) -> list[float]:
    """Return the angles of the elbows that fit both nipples and suit the line [deg]."""
    if own_ends_differ(job):
        return []
    return [float(catalogue.fittings.angle_deg[k]) for k in elbows_for(job, catalogue)]


def elbow_words(job: Job, catalogue: Catalogue) -> list[str]:
    """Return the word on elbows, where there are any."""
    fit = catalogue.fittings
    found = [
        f"{fit.fitting[k]} ({fit.angle_deg[k]:g} deg, {fit.material[k]})"
        for k in elbows_for(job, catalogue)
    ]
    return [f"Elbows on the shelf for this nipple: {', '.join(sorted(found))}."] if found else []
