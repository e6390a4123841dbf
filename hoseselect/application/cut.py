"""A cut length for a route: for one hose, or for a least bend radius."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from hoseselect.answer.answer import NONE, STOPPED, job_json
from hoseselect.answer.cut_advice import cut_advice
from hoseselect.answer.fitting_sizes import thickest_that_fits
from hoseselect.answer.free_reasons import free_reasons
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.answer.job_refusals import job_refusals
from hoseselect.answer.summary import Summary, stop_summary
from hoseselect.answer.way_out import least_credible
from hoseselect.application.pick import check_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.cutplan.free_cut import plan_free_cut
from hoseselect.cutplan.free_geometry import free_geometry
from hoseselect.cutplan.free_plan import FreePlan, plan_free_radius
from hoseselect.cutplan.length_curve import curve_of
from hoseselect.cutplan.lengths import length_words
from hoseselect.cutplan.plan_cut import plan_cut
from hoseselect.cutplan.route_geometry import run_geometry
from hoseselect.domain.cut import CutPlan
from hoseselect.domain.geometry import LengthCurve, RouteGeometry
from hoseselect.domain.job import Job
from hoseselect.intake.hose_name import hose_named
from hoseselect.judging.job_columns import route_figures
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.shown import shown
from hoseselect.rules.stop import Stop, stops


@dataclass(frozen=True)
class CutResult:
    """A cut plan, or the reason why none is given.

    Parameters
    ----------
    job : as understood
    plan : the cut plan, or None where the hose is refused or the job stopped
    stops : why the job is stopped
    reasons : why no length is given
    hose : the hose, where one was named
    free : the plan of a free route
    outside_diameter : of the hose, where none was named [mm]; NaN not known
    units : "mm" or "in"
    """

    job: Job
    plan: CutPlan | None
    stops: tuple[Stop, ...] = ()
    reasons: tuple[str, ...] = ()
    hose: HoseAnswer | None = None
    free: FreePlan | None = None
    outside_diameter: float = math.nan
    units: str = "mm"

    @cached_property
    def summary(self) -> Summary | None:
        """What is told first of the hose or the stop; None where no hose was named."""
        if self.stops:
            return stop_summary(self.job, self.stops, self.units)
        return None if self.hose is None else self.hose.answer.summary

    @cached_property
    def geometry(self) -> RouteGeometry | None:
        """How the hose lies on its route; None where the route has no shape."""
        if self.hose is not None:
            return self.hose.geometry
        outside = self.outside_diameter
        if self.free is not None:
            try:
                return free_geometry(self.job, self.free, 0, outside)
            except ValueError:
                return None
        return run_geometry(self.job, outside) if self.job.route.kind == "run" else None

    @property
    def curve(self) -> LengthCurve | None:
        """Radius and room against the length of the cut; None where they are not worked out."""
        if self.hose is not None:
            return self.hose.curve
        return None if self.free is None else curve_of(self.free, self.free.sizes[0])

    @property
    def in_short(self) -> tuple[str, str, float]:
        """Verdict in a word, the hose that was named, and the length to cut [mm].

        NaN where there is none, or where it rests on a guess.
        """
        if self.stops:
            return STOPPED, "", math.nan
        cut = self.plan.cut if self.plan is not None and self.plan.believed else math.nan
        if self.hose is None:
            return NONE, "", cut
        return self.hose.verdict.word, self.hose.hose, cut

    @property
    def exit_code(self) -> int:
        """0 with a plan, 1 without."""
        return 1 if self.plan is None else 0

    def as_json(self) -> dict[str, Any]:
        """Return the result as plain values."""
        return {
            "job": job_json(self.job),
            "stop": [stop.as_json() for stop in self.stops],
            "hose": None if self.hose is None else self.hose.as_json(),
            "reasons": list(self.reasons),
            "cut": None if self.plan is None else self.plan.as_json(),
        }


def cut_for_hose(hose: str, job: Job, catalogue: Catalogue, units: str = "mm") -> CutResult:
    """Return the cut plan for one hose size; none where the hose does not suit.

    Raises
    ------
    InputError
        when the catalogue does not hold the hose.
    """
    hose = hose_named(hose, catalogue)
    catalogue.sizes.index_of(hose)
    answer = check_hose(hose, job, catalogue, units=units)
    if answer.stops:
        return CutResult(job, None, stops=answer.stops, units=units)
    found = answer.hoses[0]
    if not found.verdict.suits:
        reasons = tuple(f"{f.code}: {f.reason}" for f in found.worst())
        return CutResult(job, None, reasons=reasons, hose=found)
    if found.cut is None:
        plan_cut(job, catalogue, None, units)  # says which part of the length is not known
    return CutResult(job, found.cut, hose=found)


def cut_for_radius(
    least_radius: float,
    job: Job,
    units: str,
    outside_diameter: float = math.nan,
    catalogue: Catalogue | None = None,
) -> CutResult:
    """Return the cut plan for a route that must respect a least bend radius [mm].

    Parameters
    ----------
    least_radius : of the hose, on the centreline [mm]
    job : with the route
    units : "mm" or "in"
    outside_diameter : of the hose [mm]; NaN = that of the thickest hose that fits the nipples
    catalogue : in which that is looked for

    Raises
    ------
    InputError
        when a part of the length, the radius, or what a clearance rests on is not known.
    """
    if math.isnan(least_radius):
        raise InputError("--radius", "unknown", "a least bend radius, or --hose")
    met = stops(job)
    if met:
        return CutResult(job, None, stops=met, units=units)
    refused = job_refusals(job, units)
    if refused:
        return CutResult(job, None, reasons=refused, units=units)
    _, tightest, _ = route_figures(job)
    too_tight = _beyond_any_hose(job, tightest if job.route.free is None else least_radius, units)
    if too_tight:
        return CutResult(job, None, reasons=too_tight)
    outside, said = _outside(job, outside_diameter, catalogue, units)
    if job.route.free is not None:
        return _free_cut(least_radius, job, units, outside, said, catalogue)
    plan = plan_cut(job, units=units)
    if tightest < least_radius or (least_radius > 0 and math.isnan(tightest)):
        found, needed = (shown(radius, "mm", units) for radius in (tightest, least_radius))
        reason = f"bend-radius: tightest bend R {found}, R {needed} needed: it kinks"
        if math.isnan(tightest):
            reason = f"bend-radius: needs R {needed} or wider; bend not measured"
        return CutResult(job, None, reasons=(reason,))
    plan = replace(plan, notes=(NOT_CHECKED, *plan.notes))
    return CutResult(job, plan, outside_diameter=outside)


def _outside(
    job: Job, told: float, catalogue: Catalogue | None, units: str
) -> tuple[float, tuple[str, ...]]:
    """Return the outside diameter of the hose, and in words where it comes from."""
    if not math.isnan(told) or catalogue is None or not len(catalogue.sizes):
        return told, ()
    hoses = hose_columns(catalogue)
    size = thickest_that_fits(job, hoses)
    if size is None:
        return math.nan, ()
    outside = float(hoses.sizes.outside_diameter[size])
    name = catalogue.sizes.hose_size[size]
    return outside, (
        f"Outside diameter {length_words(outside, units)}, that of {name}, the thickest hose of the"
        " catalogue that fits the nipples: say --outside-diameter where it is another.",
    )


def _beyond_any_hose(job: Job, radius: float, units: str) -> tuple[str, ...]:
    """Return why no bulk hose of this bore takes a bend; empty where one may."""
    bore = max(job.nipple_a.outside_diameter, job.nipple_b.outside_diameter)
    credible = least_credible(bore)
    if not 0 < radius < credible:
        return ()
    wanted, least = length_words(radius, units), length_words(credible, units)
    return (
        f"bend-radius: a bend of {wanted} on a nipple of {length_words(bore, units)} is tighter"
        f" than any bulk hose of that bore takes ({least}): a formed part, or an elbow between"
        " two straight pieces; where a hose claims it, name it with --hose",
    )


def _free_cut(
    least_radius: float,
    job: Job,
    units: str,
    outside: float,
    said: tuple[str, ...],
    catalogue: Catalogue | None,
) -> CutResult:
    """Return the cut plan for a free route, a least bend radius and an outside diameter."""
    free = job.route.free
    if not least_radius > 0:
        raise InputError("--radius", "none", "a least bend radius, or --hose, on a free route")
    if free is not None and free.keep_outs and math.isnan(outside):
        raise InputError(
            "--outside-diameter",
            "no outside diameter of the hose, on which its clearance rests",
            "the outside diameter of the hose, or --hose",
        )
    plan = plan_free_radius(job, least_radius, outside)
    reasons = free_reasons(job, plan, units)
    if reasons:
        reasons += cut_advice(job, plan, outside, catalogue, units)
        return CutResult(job, None, reasons=reasons, free=plan, outside_diameter=outside)
    cut = plan_free_cut(job, plan, units=units)
    if cut is not None:
        cut = replace(cut, notes=(NOT_CHECKED, *said, *cut.notes))
    return CutResult(job, cut, free=plan, outside_diameter=outside)


NOT_CHECKED = "No hose was checked: hold one against this job before anything is cut."
