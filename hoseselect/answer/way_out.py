"""The way out where nothing on the shelf suits: what to order, or what to do instead."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from hoseselect.answer.fitting_sizes import fits
from hoseselect.answer.judged import Judged
from hoseselect.answer.report import figure
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array, JobColumns
from hoseselect.judging.services import rating_of, service_columns
from hoseselect.knowledge.load import limit, table

if TYPE_CHECKING:
    from hoseselect.cutplan.free_columns import FreePlan

MATERIAL_GROUPS = ("fluid", "marking", "heat", "pressure")


def ways_out(
    jobs: Sequence[Job], said: Judged, suits: Array, catalogue: Catalogue
) -> list[tuple[str, ...]]:
    """Return for each job what to order or to do, from what stands in the way of the nearest hoses.

    Parameters
    ----------
    jobs : as asked
    said : of the same jobs
    suits : which jobs a hose suits; they are told of a reducer alone, shape (n,)
    catalogue : for reducers and elbows
    """
    stuck = np.flatnonzero(~suits)
    told = {row: _words(jobs[row], said, row, catalogue, o) for row, o in _obstacles(said, stuck)}
    return [
        told[row] if row in told else reducer_words(job, catalogue) for row, job in enumerate(jobs)
    ]


BENT = ("bend-radius", "bend-window")


@dataclass(frozen=True, eq=False)
class _Obstacles:
    """What stands in the way of the nearest hoses of one job.

    Parameters
    ----------
    alone : rules of which there is advice, and which refuse a hose that nothing else refuses
    bent : whether the bend refuses a hose that would stand the rest
    material : sizes that what flows, heat or pressure refuse, shape (m,)
    """

    alone: tuple[str, ...]
    bent: bool
    material: Array


def _obstacles(said: Judged, rows: Array) -> Iterator[tuple[int, _Obstacles]]:
    """Yield some jobs with what stands in their way."""
    if not len(rows):
        return
    refused = np.zeros((len(rows), len(said.hoses.sizes)), dtype=np.int16)
    material, bend = np.zeros_like(refused, dtype=bool), np.zeros_like(refused, dtype=bool)
    advised: dict[str, Array] = {}
    for result in said.results:
        refuses = result.size_codes(rows, said.hoses) == Verdict.REJECT
        refused += refuses
        if result.rule.group in MATERIAL_GROUPS:
            material |= refuses
        if result.rule.code in BENT:
            bend |= refuses
        if result.rule.code in ADVICE:
            advised[result.rule.code] = refuses
    alone = {code: (own & (refused == 1)).any(axis=1) for code, own in advised.items()}
    bent = (bend & ~material).any(axis=1)
    for place, row in enumerate(rows.tolist()):
        codes = tuple(code for code, told in alone.items() if told[place])
        yield row, _Obstacles(codes, bool(bent[place]), material[place])


def _words(
    job: Job, said: Judged, row: int, catalogue: Catalogue, obstacles: _Obstacles
) -> tuple[str, ...]:
    """Return what to order or to do, in words."""
    words = [_order(job, said.filled.adverse, row, said.free)]
    words += [advice for rule, advice in ADVICE.items() if rule in obstacles.alone]
    words += reducer_words(job, catalogue)
    if obstacles.bent:
        if said.free is not None:
            would_stand = ~obstacles.material & fits(said.results, row, said.hoses)
            words += _free_words(said.free, would_stand)
        words.append(BEND)
        words += _elbows(job, catalogue)
    return tuple(dict.fromkeys(text for text in words if text))


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


def _free_words(free: FreePlan, would_stand: Array) -> list[str]:
    """Return the best that a free route allows, and how far a nipple must be turned.

    Parameters
    ----------
    free : the plan of the route
    would_stand : sizes that fit both nipples and stand what flows, heat and pressure, shape (m,)
    """
    from hoseselect.cutplan.best_on_route import best_words
    from hoseselect.cutplan.nipple_turn import least_turn
    from hoseselect.cutplan.pointing_away import away_notes

    words = away_notes(free.route, free.best_length)
    radii = [
        one.radius
        for one, stands in zip(free.sizes, would_stand.tolist(), strict=True)
        if stands and one.lie is None and not math.isnan(one.radius)
    ]
    if not radii:
        return words
    words.append(
        "No length works on this route for the hoses that fit and would stand the rest:"
        f" {best_words(free)}."
    )
    wanted = min(radii)
    turn = least_turn(free.route, wanted, sum(free.engagements))
    if turn is not None:
        words.append(
            f"Turn nipple {turn[0]} by about {turn[1]:.0f} deg towards the other one: then a"
            f" hose of {wanted:.0f} mm least radius fits."
        )
    return words


def _order(job: Job, jobs: JobColumns, row: int, free: FreePlan | None) -> str:
    """Return the hose to order in words: liners, marking, bore, temperatures, pressures, radius."""

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
        words.append(f"bore for a {figure(value('nipple_a'))} mm nipple")
    hottest = float(np.fmax(value("fluid_steady"), value("air_steady")))
    if not math.isnan(hottest):
        words.append(f"at least {figure(hottest)} degC continuous")
    if value("pressure_max") > 0:
        words.append(f"at least {figure(value('pressure_max'))} kPa with clamps")
    if value("pressure_min") < 0:
        words.append(f"suction to {figure(value('pressure_min'))} kPa hot")
    radius = _radius(jobs, row, free)
    if math.isfinite(radius) and radius >= least_credible(value("nipple_a")):
        words.append(f"least bend radius at most {figure(radius)} mm on the centreline")
    return "Order hose with " + "; ".join(words) + "." if words else ""


def least_credible(nipple: float) -> float:
    """Return the least bend radius at which hose for a nipple may be ordered [mm]; 0 not known."""
    least = limit("bend-radius-per-bore-least") * nipple
    return 0.0 if math.isnan(least) else least


def _radius(jobs: JobColumns, row: int, free: FreePlan | None) -> float:
    """Return the largest least bend radius that the route takes, whole on a free one [mm]."""
    if free is None:
        return float(np.min(jobs.tightest_radius[row]))
    from hoseselect.cutplan.best_on_route import largest_radius_with_room

    radius = largest_radius_with_room(free)
    return math.floor(radius) if math.isfinite(radius) else radius


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
    which = f" In the list: {', '.join(sorted(found))}." if found else ""
    return f"The nipples differ ({a:g} and {b:g} mm): two sizes of hose and a reducer.{which}"


def _elbows(job: Job, catalogue: Catalogue) -> list[str]:
    group = service_columns().group[service_columns().index[job.service]]
    fit = catalogue.fittings
    nipple = job.nipple_a.outside_diameter
    found = [
        f"{fit.fitting[k]} ({fit.angle_deg[k]:g} deg, {fit.material[k]})"
        for k in range(len(fit))
        if fit.kind[k] == "elbow"
        and group in fit.suits[k]
        and abs(fit.nipple_a[k] - nipple) <= NOTICEABLE
    ]
    return [f"Elbows in the list for this nipple: {', '.join(sorted(found))}."] if found else []
