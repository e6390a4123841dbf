"""The way out where nothing on the shelf suits: what to order, or what to do instead."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from hoseselect.answer.asked_job import Asked
from hoseselect.answer.fitting_sizes import FIT
from hoseselect.answer.fittings import elbow_words, reducer_words
from hoseselect.answer.judged import Judged
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array, HoseColumns, JobColumns
from hoseselect.judging.services import rating_of, service_columns
from hoseselect.knowledge.load import limit, table
from hoseselect.quantities.shown import AT_LEAST, AT_MOST, shown

if TYPE_CHECKING:
    from hoseselect.cutplan.free_plan import FreePlan

MATERIAL_GROUPS = ("fluid", "marking", "heat", "pressure")


def ways_out(
    jobs: Sequence[Job],
    said: Judged,
    suits: Array,
    catalogue: Catalogue,
    wanted: Array | None = None,
    units: str = "mm",
) -> list[tuple[str, ...]]:
    """Return for each job what to order or to do, from what stands in the way of the nearest hoses.

    Parameters
    ----------
    jobs : as asked
    said : of the same jobs
    suits : which jobs a hose suits; they are told of a reducer alone, shape (n,)
    catalogue : for reducers and elbows
    wanted : the sizes that were looked at, shape (m,); None = all
    units : "mm" or "in"
    """
    looked = np.ones(len(said.hoses.sizes), dtype=bool) if wanted is None else wanted
    stuck = np.flatnonzero(~suits)
    told = {
        row: _words(Asked(jobs[row], said, row, catalogue, looked, units), found)
        for row, found in _obstacles(said, stuck)
    }
    return [
        told[row] if row in told else reducer_words(job, catalogue) for row, job in enumerate(jobs)
    ]


BENT = ("bend-radius", "bend-window")
SHAPED = (*BENT, "bend-measuring", "bend-second-shape", "route-clearance")
"""Rules of how a hose lies on a free route."""


@dataclass(frozen=True, eq=False)
class _Obstacles:
    """What stands in the way of the nearest hoses of one job.

    Parameters
    ----------
    alone : rules of which there is advice, and which refuse a hose that nothing else refuses
    bent : whether the bend, or on a free route its shape, refuses a hose that would stand the rest
    material : sizes that what flows, heat or pressure refuse, shape (m,)
    fit : sizes that no rule of fit refuses, shape (m,)
    """

    alone: tuple[str, ...]
    bent: bool
    material: Array
    fit: Array


def _obstacles(said: Judged, rows: Array) -> Iterator[tuple[int, _Obstacles]]:
    """Yield some jobs with what stands in their way."""
    if not len(rows):
        return
    refused = np.zeros((len(rows), len(said.hoses.sizes)), dtype=np.int16)
    material, bend, unfit = (np.zeros_like(refused, dtype=bool) for _ in range(3))
    advised: dict[str, Array] = {}
    shapes = BENT if said.free is None else SHAPED
    for result in said.results:
        refuses = result.size_codes(rows, said.hoses) == Verdict.REJECT
        refused += refuses
        if result.rule.group in MATERIAL_GROUPS:
            material |= refuses
        if result.rule.group == FIT:
            unfit |= refuses
        if result.rule.code in shapes:
            bend |= refuses
        if result.rule.code in ADVICE:
            advised[result.rule.code] = refuses
    alone = {code: (own & (refused == 1)).any(axis=1) for code, own in advised.items()}
    bent = (bend & ~material).any(axis=1)
    for place, row in enumerate(rows.tolist()):
        codes = tuple(code for code, told in alone.items() if told[place])
        yield row, _Obstacles(codes, bool(bent[place]), material[place], ~unfit[place])


def _words(asked: Asked, obstacles: _Obstacles) -> tuple[str, ...]:
    """Return what to order or to do, in words."""
    job, said, catalogue = asked.job, asked.said, asked.catalogue
    words = [ADVICE[rule] for rule in NO_OTHER_HOSE if rule in obstacles.alone]
    bore_first = _only_fit(asked, obstacles)
    words.append(_order(asked, _thickest(said.hoses, obstacles.fit), bore_first=bore_first))
    words += [advice for rule, advice in ADVICE.items() if rule in obstacles.alone]
    words += reducer_words(job, catalogue)
    if obstacles.bent and said.free is not None:
        from hoseselect.answer.free_way_out import free_words

        words += free_words(asked, said.free, ~obstacles.material & obstacles.fit)
        words.append(FORMED)
    elif obstacles.bent:
        words.append(BEND)
        words += elbow_words(job, catalogue)
    return tuple(dict.fromkeys(text for text in words if text))


def _only_fit(asked: Asked, obstacles: _Obstacles) -> bool:
    """Return whether every hose that stands the rest is refused for its fit."""
    stands = ~obstacles.material & asked.wanted
    return bool(stands.any()) and not bool((stands & obstacles.fit).any())


def _thickest(hoses: HoseColumns, fit: Array) -> float:
    """Return the largest outside diameter of the sizes that fit; NaN none [mm]."""
    outside = hoses.sizes.outside_diameter[fit]
    return float(np.nanmax(outside)) if np.isfinite(outside).any() else math.nan


NO_OTHER_HOSE = ("fit-bead", "stock-clamp")
"""Rules by which a hose on the shelf is refused for what no other hose mends."""
ADVICE = {
    "fit-bead": "Form a bead or flare on the plain tube and deburr it, then ask again.",
    "heat-air-steady": "Move the line away from the heat or shield it, and measure the air again.",
    "heat-source": "Re-route first, else shield: a sleeve comes last.",
    "route-length": "Cut a new piece to the length needed, look for contact at both extremes of the"
    " movement, and look at the engine mounts: stronger clamps are no cure.",
    "route-fall": "Lay the line with a steady fall, or fit the original part.",
    "stock-clamp": "Order a clamp for the outside diameter on the nipple.",
}
BEND = (
    "A formed hose for this route, or two short straight pieces with a rigid elbow that stands what"
    " flows in it, if there is room."
)


FORMED = "A formed hose for this route."


def _order(asked: Asked, outside: float, *, bore_first: bool) -> str:
    """Return the hose to order in words: liners, marking, bore, temperatures, pressures, radius.

    What stands first is read first: the bore, where it is what fails.
    """
    job, jobs, row, free = asked.job, asked.said.filled.adverse, asked.row, asked.said.free
    units = asked.units

    def value(name: str) -> float:
        return float(getattr(jobs, name)[row, 0])

    liners = suitable_liners(jobs.fluids[row])
    words = []
    if liners:
        words.append("liner of " + ", ".join(liners))
    markings = _markings(job.service)
    if service_columns().marking_required[int(jobs.service[row, 0])] and markings:
        words.append("marked " + " or ".join(markings))
    if not math.isnan(value("nipple_a")):
        bore = f"bore for a {shown(value('nipple_a'), 'mm', units)} nipple"
        words.insert(0 if bore_first else len(words), bore)
    hottest = float(np.fmax(value("fluid_steady"), value("air_steady")))
    if not math.isnan(hottest):
        words.append(f"at least {shown(hottest, 'degC', units, AT_LEAST)} for hours")
    if value("pressure_max") > 0:
        highest = shown(value("pressure_max"), "kPa", units, AT_LEAST)
        words.append(f"at least {highest} with clamps")
    if value("pressure_min") < 0:
        deepest = shown(-value("pressure_min"), "kPa", units, AT_LEAST)
        words.append(f"good for {deepest} of suction, hot")
    radius = _radius(jobs, row, free, outside)
    if math.isfinite(radius):
        words.append(f"least bend radius at most R {shown(radius, 'mm', units, AT_MOST)}")
    return "Order hose with " + "; ".join(words) + "." if words else ""


def least_credible(nipple: float) -> float:
    """Return the least bend radius at which hose for a nipple may be ordered [mm]; 0 not known."""
    least = limit("bend-radius-per-bore-least") * nipple
    return 0.0 if math.isnan(least) else least


def _radius(jobs: JobColumns, row: int, free: FreePlan | None, outside: float) -> float:
    """Return the largest least radius that the route takes, whole on a free one [mm].

    NaN where it is less than any hose for the nipple is believed to have.
    """
    least = least_credible(float(jobs.nipple_a[row, 0]))
    radius = float(np.min(jobs.tightest_radius[row])) if free is None else free.best_radius
    if free is not None and radius >= least:
        from hoseselect.cutplan.best_on_route import largest_radius_with_room

        radius = largest_radius_with_room(free, outside)
        radius = math.floor(radius) if math.isfinite(radius) else radius
    return radius if radius >= least else math.nan


@cache
def _markings(service: str) -> tuple[str, ...]:
    """Return the titles of the markings that suit a service."""
    return tuple(
        table("markings").row(marking=row["marking"])["title"]
        for row in table("service_markings").where(service=service, answer="yes")
    )


def suitable_liners(demanded: Array) -> tuple[str, ...]:
    """Return the polymers that suit every demanded fluid, shape (fluids,), as liner."""
    return _suitable_liners(tuple(np.flatnonzero(demanded).tolist()))


@cache
def _suitable_liners(demanded: tuple[int, ...]) -> tuple[str, ...]:
    names = []
    for row in table("polymers"):
        ratings = rating_of((row["symbol"],))[list(demanded)]
        if len(ratings) and (ratings == 2).all():
            names.append(row["symbol"])
    return tuple(names)
