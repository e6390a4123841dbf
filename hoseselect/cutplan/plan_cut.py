"""The cut plan: tip to tip, engagement, movement, trim; tolerance, window, clamps, clips.

tip  = path along the centreline from nipple mouth to nipple mouth
bare = tip + engagement A + engagement B
cut  = bare + relative movement of the ends, rounded up to the workshop step
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from hoseselect.catalogue.columns import Catalogue
from hoseselect.cutplan.clamp_choice import clamp_choices, clamps_refused
from hoseselect.cutplan.lengths import (
    HAIR,
    STATED,
    cut_to,
    engagement,
    least_engagement,
    longest_length,
    workshop_step,
)
from hoseselect.cutplan.open_length import other_lengths, to_measure
from hoseselect.domain.cut import ClampChoice, CutPlan, Part, believed
from hoseselect.domain.job import Job, Nipple
from hoseselect.judging.assume import duty_range
from hoseselect.judging.columns import Array
from hoseselect.judging.job_columns import movement, route_figures
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit, limit_source
from hoseselect.knowledge.tolerances import cut_length_tolerance, squareness
from hoseselect.mechanics.bends import with_slack
from hoseselect.mechanics.run import Run
from hoseselect.rules.stop import stops

TOLERANCE_TABLE = "iso-1307"


def cut_parts(job: Job) -> tuple[Part, ...]:
    """Return the parts of the cut length before trim; unknown parts are NaN."""
    tip, _, _ = route_figures(job)
    a, b = engagement(job.nipple_a), engagement(job.nipple_b)
    moved = movement(job)
    moved_source = STATED
    if math.isnan(moved):
        moved, moved_source = limit("movement-unknown"), limit_source("movement-unknown")
    elif math.isnan(job.route.movement):
        moved_source = f"both ends on the {job.nipple_a.fixed_to}"
    return (
        Part("tip to tip", tip, "centreline of the route"),
        Part("engagement A", a[0], a[1]),
        Part("engagement B", b[0], b[1]),
        Part("movement", moved, moved_source),
    )


def plan_cut(
    job: Job, catalogue: Catalogue | None = None, size: int | None = None, units: str = "mm"
) -> CutPlan:
    """Return the cut plan of a job, with clamps where a hose is named.

    Parameters
    ----------
    job : with a route of straights and bends, or a measured length
    catalogue, size : the hose, for its clamps
    units : "mm" or "in": the workshop step

    Raises
    ------
    InputError
        when the job is stopped, or a part of the length is not known.
    """
    met = stops(job)
    if met:
        raise InputError("job", f"a stopped service ({met[0].name})", met[0].who)
    parts = cut_parts(job)
    for part in parts:
        if math.isnan(part.length):
            raise InputError(part.name, "not known", MEASURE.get(part.name, "a measured length"))
    tip, tightest, _ = route_figures(job)
    total = sum(part.length for part in parts)
    longest = float(longest_length(*(np.array(part.length) for part in parts)))
    step = workshop_step(units)
    cut = float(cut_to(np.array(total), np.array(longest), step))
    parts += (Part("trim (rounding up)", cut - total, f"workshop step of {step:g} mm"),)
    spacing, clips = supports(job, tip)
    wired = wire_helix(catalogue, size)
    return CutPlan(
        tip=tip,
        bare=sum(part.length for part in parts[:3]),
        cut=cut,
        parts=parts,
        tolerance=float(cut_length_tolerance(cut, TOLERANCE_TABLE)),
        tolerance_source="ISO 1307, cut length, from memory",
        squareness=math.nan if wired else float(squareness(_bore(job, catalogue, size))),
        window=(total, max(cut, longest)),
        tightest_radius=tightest,
        tightest_at=_tightest_at(job),
        clamps_a=_clamps(job.nipple_a, job, catalogue, size),
        clamps_b=_clamps(job.nipple_b, job, catalogue, size),
        clamps_refused=() if catalogue is None else clamps_refused(catalogue, size, job.service),
        supports=clips,
        support_spacing=spacing,
        notes=(*_notes(parts), *plastic_notes(job), *(WIRE_NOTES if wired else ())),
        least=float(job_lengths([job], units).least[0]),
        others=other_lengths(job, units),
        measure=to_measure(job),
    )


def wire_helix(catalogue: Catalogue | None, size: int | None) -> bool:
    """Return whether a hose is held open by a wire; published squareness is not for such hose."""
    if catalogue is None or size is None:
        return False
    return str(catalogue.types.reinforcement[catalogue.sizes.type_index[size]]) in WIRED


WIRED = ("wire", "textile-and-wire")
# common practice, no source
WIRE_NOTES = (
    "Wire in the wall: nip the wire back behind the cut, so that no sharp end reaches hand, liner"
    " or clamp; the band sits where the hose is free of wire, or between two turns.",
)


MEASURE = {
    "tip to tip": "a route: run = [...] or measured = a length by string",
    "engagement A": "outside diameter or engagement of nipple A",
    "engagement B": "outside diameter or engagement of nipple B",
}


def _bore(job: Job, catalogue: Catalogue | None, size: int | None) -> float:
    if catalogue is None or size is None:
        return job.nipple_a.outside_diameter
    return float(catalogue.sizes.bore[size])


def cut_is_believed(least: float, most: float) -> bool:
    """Return whether a cut is known, and no guess in it may shift it by more than its tolerance.

    Parameters
    ----------
    least, most : shortest and longest length that it may come to [mm]; NaN not known
    """
    tolerance = float(cut_length_tolerance(most, TOLERANCE_TABLE))
    return not math.isnan(most) and believed(least, most, tolerance)


class Lengths(NamedTuple):
    """Lengths of jobs that are known before the hose is, each of shape (n,), NaN not known.

    Parameters
    ----------
    bare : tip to tip with both engagements [mm]
    judged : the longest cut of those on the steps of all workshops, for the rules [mm]
    longest : the longest that works if the ends stand still [mm]
    narrow : width of the window of lengths, where it is narrower than the tolerance [mm]
    needed : the width that the tolerance needs, likewise [mm]
    cut : the length to cut in this workshop [mm]
    least : the shortest that it may come to, by what is not known [mm]
    """

    bare: Array
    judged: Array
    longest: Array
    narrow: Array
    needed: Array
    cut: Array
    least: Array


def job_lengths(jobs: Sequence[Job], units: str = "mm") -> Lengths:
    """Return the lengths of jobs.

    Parameters
    ----------
    jobs : n jobs
    units : "mm" or "in": the workshop step of the cut
    """
    tip = np.array([route_figures(job)[0] for job in jobs])
    over_a = np.array([engagement(job.nipple_a)[0] for job in jobs])
    over_b = np.array([engagement(job.nipple_b)[0] for job in jobs])
    told = np.array([movement(job) for job in jobs])
    moved = np.where(np.isnan(told), limit("movement-unknown"), told)
    bare = tip + over_a + over_b
    longest = longest_length(tip, over_a, over_b, moved)
    cuts = {name: cut_to(bare + moved, longest, workshop_step(name)) for name in WORKSHOPS}
    judged = np.maximum(*cuts.values())
    still = longest_length(tip, over_a, over_b, np.zeros_like(tip))
    width, needed = _window(bare, moved, longest, judged)
    cut_still = np.maximum(*(cut_to(bare, still, workshop_step(name)) for name in WORKSHOPS))
    at_rest = _window(bare, np.zeros_like(tip), still, cut_still)
    # Ends of which nobody knows how far they move may as well stand still.
    worse = np.isnan(told) & (at_rest[0] - at_rest[1] < width - needed)
    width, needed = np.where(worse, at_rest[0], width), np.where(worse, at_rest[1], needed)
    narrow = width < needed
    return Lengths(
        bare,
        judged,
        np.maximum(judged - with_slack(moved, limit("slack-max-share")), still),
        np.where(narrow, width, np.nan),
        np.where(narrow, needed, np.nan),
        cuts[units],
        _least(jobs, tip, np.where(np.isnan(told), 0.0, told), units),
    )


def _window(bare: Array, moved: Array, longest: Array, cut: Array) -> tuple[Array, Array]:
    """Return the width of the window of lengths and what the tolerance of the cut needs [mm]."""
    return longest - bare - moved, 2 * cut_length_tolerance(cut, TOLERANCE_TABLE)


WORKSHOPS = ("mm", "in")


def _least(jobs: Sequence[Job], tip: Array, moved: Array, units: str) -> Array:
    """Return the shortest lengths that the cuts may come to, (n,) [mm]."""
    over_a = np.array([least_engagement(job.nipple_a) for job in jobs])
    over_b = np.array([least_engagement(job.nipple_b) for job in jobs])
    longest = longest_length(tip, over_a, over_b, moved)
    return cut_to(tip + over_a + over_b + moved, longest, workshop_step(units))


def _tightest_at(job: Job) -> float:
    return (
        Run(job.route.run, limit("bend-angle-least")).tightest_at
        if job.route.kind == "run"
        else math.nan
    )


def _clamps(
    nipple: Nipple, job: Job, catalogue: Catalogue | None, size: int | None
) -> tuple[ClampChoice, ...]:
    if catalogue is None or size is None or math.isnan(nipple.outside_diameter):
        return ()
    return clamp_choices(catalogue, size, nipple, job.service)


def supports(job: Job, tip: float) -> tuple[float, int]:
    """Return the largest distance between clips [mm] and how many the run needs."""
    spacing = limit("support-spacing-max")
    columns = service_columns()
    place = columns.index[job.service]
    lowest = job.duty.pressure_min
    if math.isnan(lowest):
        lowest = float(duty_range("pressure_min")[1][place])
    if -lowest >= limit("suction-unsupported-from") and columns.group[place] != "vacuum":
        spacing = min(spacing, limit("suction-unsupported-max"))
    return spacing, max(int(np.ceil(tip / spacing - HAIR)) - 1, 0)


def _notes(parts: tuple[Part, ...]) -> tuple[str, ...]:
    notes = [
        "Dry-fit before the final trim.",
        "Cut square with a hose cutter; the print runs straight.",
    ]
    if parts[3].source == limit_source("movement-unknown"):
        notes.append("Movement of the ends is not known: the conservative allowance is in the cut.")
    if parts[3].length > 0:
        notes.append("Check for contact and kinks at both extremes of the engine's movement.")
    return tuple(notes)


def plastic_notes(job: Job) -> tuple[str, ...]:
    """Return what to mind at a plastic nipple; common practice, no source."""
    ends = (("A", job.nipple_a), ("B", job.nipple_b))
    plastic = [f"nipple {name}" for name, nipple in ends if nipple.material == "plastic"]
    if not plastic:
        return ()
    return (
        f"Plastic {' and '.join(plastic)}: warm the hose end in hot water, never force or twist it"
        " on; hold the nipple while you push, and look for cracks.",
    )
