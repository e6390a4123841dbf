"""The way out where nothing on the shelf suits: what to order, or what to do instead."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from hoseselect.answer.report import figure
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import Assumed
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.engine import RuleResult
from hoseselect.judging.services import rating_of, service_columns
from hoseselect.knowledge.load import table

if TYPE_CHECKING:
    from hoseselect.cutplan.free_columns import FreePlan

MATERIAL_GROUPS = ("fluid", "marking", "heat", "pressure")


def way_out(
    job: Job,
    filled: Assumed,
    hoses: HoseColumns,
    results: tuple[RuleResult, ...],
    catalogue: Catalogue,
    free: FreePlan | None = None,
) -> tuple[str, ...]:
    """Return what to order or to do, from what stands in the way of the nearest hoses.

    Parameters
    ----------
    job : as asked
    filled : the job with what was assumed
    hoses, results : what the rules said
    catalogue : for reducers and elbows
    free : the plan of a free route
    """
    material = _refused(results, hoses, lambda group: group in MATERIAL_GROUPS)
    alone = []
    for rule in ADVICE:
        others = _refused(results, hoses, lambda _group: True, leave_out=rule)
        own = _refused(results, hoses, lambda _group: True, only=rule)
        if (own & ~others).any():
            alone.append(rule)
    bend = np.zeros(len(hoses.sizes), dtype=bool)
    for rule in BENT:
        bend |= _refused(results, hoses, lambda _group: True, only=rule)
    bent = bool((bend & ~material).any())
    words = _free_words(free, hoses, material) if bent and free is not None else []
    return way_out_words(job, filled, catalogue, alone, words, bent=bent)


BENT = ("bend-radius", "bend-window")


def way_out_words(
    job: Job,
    filled: Assumed,
    catalogue: Catalogue,
    alone: Iterable[str],
    free_words: Sequence[str] = (),
    *,
    bent: bool,
) -> tuple[str, ...]:
    """Return what to order or to do, in words.

    Parameters
    ----------
    job : as asked
    filled : the job with what was assumed
    catalogue : for reducers and elbows
    alone : rules that refuse a hose which nothing else refuses
    free_words : what is to be said of a free route
    bent : whether the bend refuses a hose that would stand the rest
    """
    said = [_order(job, filled)]
    said += [advice for rule, advice in ADVICE.items() if rule in alone]
    if own_ends_differ(job):
        said.append(_reducers(job, catalogue))
    if bent:
        said += free_words
        said.append(BEND)
        said += _elbows(job, catalogue)
    return tuple(dict.fromkeys(text for text in said if text))


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


def _free_words(free: FreePlan, hoses: HoseColumns, material: Array) -> list[str]:
    """Return the best that a free route allows, and how far a nipple must be turned."""
    open_to = ~material & np.isfinite(hoses.sizes.least_bend_radius)
    words = [
        f"No length works on this route for the hoses that would stand the rest: at best it allows"
        f" a radius of {free.best_radius:.0f} mm, at {free.best_length:.0f} mm from mouth to mouth."
    ]
    if open_to.any():
        wanted = float(hoses.sizes.least_bend_radius[open_to].min())
        from hoseselect.cutplan.nipple_turn import least_turn

        turn = least_turn(free.route, wanted) if wanted > free.best_radius else None
        if turn is not None:
            words.append(
                f"Turn nipple {turn[0]} by about {turn[1]:.0f} deg towards the other one: then a"
                f" hose of {wanted:.0f} mm least radius fits."
            )
    return words


def _refused(
    results: tuple[RuleResult, ...],
    hoses: HoseColumns,
    groups: Callable[[str], bool],
    leave_out: str = "",
    only: str = "",
) -> Array:
    """Return which sizes the rules refuse, of some groups, all but one rule, or one rule alone."""
    refused = np.zeros(len(hoses.sizes), dtype=bool)
    for result in results:
        if not groups(result.rule.group) or result.rule.code == leave_out:
            continue
        if only and result.rule.code != only:
            continue
        codes = result.codes[0]
        if result.rule.axis == "type":
            codes = codes[hoses.sizes.type_index]
        refused |= codes == Verdict.REJECT
    return refused


def _order(job: Job, filled: Assumed) -> str:
    """Return the hose to order in words: liners, marking, bore, temperatures, pressures, radius."""
    jobs = filled.adverse
    liners = suitable_liners(jobs.fluids[0])
    words = []
    if liners:
        words.append("liner of " + ", ".join(liners))
    markings = [
        table("markings").row(marking=row["marking"])["title"]
        for row in table("service_markings").where(service=job.service, answer="yes")
    ]
    required = service_columns().marking_required[int(jobs.service[0, 0])]
    if required and markings:
        words.append("marked " + " or ".join(markings))
    nipple = float(jobs.nipple_a[0, 0])
    if not math.isnan(nipple):
        words.append(f"bore for a {figure(nipple)} mm nipple")
    hottest = np.fmax(jobs.fluid_steady, jobs.air_steady)[0, 0]
    if not math.isnan(hottest):
        words.append(f"at least {figure(float(hottest))} degC continuous")
    if jobs.pressure_max[0, 0] > 0:
        words.append(f"at least {figure(float(jobs.pressure_max[0, 0]))} kPa with clamps")
    if jobs.pressure_min[0, 0] < 0:
        words.append(f"suction to {figure(float(jobs.pressure_min[0, 0]))} kPa hot")
    radius = float(np.min(jobs.tightest_radius[0]))
    if math.isfinite(radius):
        words.append(f"least bend radius at most {figure(radius)} mm on the centreline")
    return "Order hose with " + "; ".join(words) + "." if words else ""


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


def _reducers(job: Job, catalogue: Catalogue) -> str:
    a, b = sorted((job.nipple_a.outside_diameter, job.nipple_b.outside_diameter))
    fit = catalogue.fittings
    found = [
        str(fit.fitting[k])
        for k in range(len(fit))
        if fit.kind[k] == "reducer"
        and abs(min(fit.nipple_a[k], fit.nipple_b[k]) - a) <= NOTICEABLE
        and abs(max(fit.nipple_a[k], fit.nipple_b[k]) - b) <= NOTICEABLE
    ]
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
