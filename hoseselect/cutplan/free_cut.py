"""The cut plan of a free route for one hose size."""

from __future__ import annotations

import math
from typing import Any

from hoseselect.catalogue.columns import Catalogue
from hoseselect.cutplan.clamp_choice import clamp_choices, clamps_refused
from hoseselect.cutplan.free_columns import weight_number_of
from hoseselect.cutplan.free_fall import fall_notes
from hoseselect.cutplan.free_lie import Lie
from hoseselect.cutplan.free_plan import FreePlan
from hoseselect.cutplan.free_window import longest_length, window_notes
from hoseselect.cutplan.length_curve import curve_of
from hoseselect.cutplan.length_scan import TOLERANCE_TABLE
from hoseselect.cutplan.lengths import engagement, least_engagement, on_tape
from hoseselect.cutplan.open_length import to_measure
from hoseselect.cutplan.plan_cut import WIRE_NOTES, plastic_notes, wire_helix
from hoseselect.cutplan.pointing_away import away_notes
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.domain.cut import CutPlan, Part, believed
from hoseselect.domain.job import Job
from hoseselect.knowledge.load import limit
from hoseselect.knowledge.tolerances import cut_length_tolerance, squareness
from hoseselect.mechanics.modulus import bending_stiffness, modulus_range
from hoseselect.mechanics.rod import nipple_ends, nipple_loads

SOLVED = "solved natural bend, with room for the tolerance on both sides"


def plan_free_cut(
    job: Job,
    plan: FreePlan,
    catalogue: Catalogue | None = None,
    size: int = 0,
    units: str = "mm",
) -> CutPlan | None:
    """Return the cut plan of one size on a free route; None where no length works.

    Parameters
    ----------
    job : with the free route
    plan : of the route for every size
    catalogue, size : the hose; without a catalogue the plan's own radius, no clamps and loads
    units : "mm" or "in": on which tape the cut is marked
    """
    own = plan.sizes[size]
    if own.lie is None:
        return None
    a, b = engagement(job.nipple_a), engagement(job.nipple_b)
    cut = on_tape(own.cut, units)
    tip = own.tip + cut - own.cut
    bare = tip + a[0] + b[0]
    parts = (
        Part("tip to tip", tip, SOLVED),
        Part("engagement A", a[0], a[1]),
        Part("engagement B", b[0], b[1]),
        Part("movement", 0.0, "solved at every extreme, so nothing is added"),
        Part("trim (rounding up)", cut - bare, "the solved length lies on the workshop step"),
    )
    tolerance = float(cut_length_tolerance(own.cut, TOLERANCE_TABLE))
    notes = ["Dry-fit before the final trim."]
    if not believed(cut - free_spread(job), cut, tolerance):
        on = f"{a[0]:.0f} mm of hose on nipple A and {b[0]:.0f} mm on nipple B"
        notes.append(f"Lengths to cut that are told below hold only with {on}: measure that first.")
    notes += [*window_notes(own, plan), *_shape_notes(own.lie)]
    notes += [*fall_notes(job, plan.route, own.lie), *_span_notes(own.lie, a[0])]
    notes += [*away_notes(plan.route, own.tip), *_round_notes(plan, own), *plastic_notes(job)]
    bore = job.nipple_a.outside_diameter
    clamps: dict[str, Any] = {}
    if catalogue is not None:
        notes += _load_notes(job, own.lie, catalogue, size)
        notes += WIRE_NOTES if wire_helix(catalogue, size) else ()
        bore = float(catalogue.sizes.bore[size])
        clamps = {
            "clamps_a": clamp_choices(catalogue, size, job.nipple_a, job.service),
            "clamps_b": clamp_choices(catalogue, size, job.nipple_b, job.service),
            "clamps_refused": clamps_refused(catalogue, size, job.service),
        }
    notes += _measuring_notes(plan, own)
    ends = sum(plan.engagements)
    return CutPlan(
        tip=tip,
        bare=bare,
        cut=cut,
        parts=parts,
        least=cut - free_spread(job),
        measure=to_measure(job),
        tolerance=tolerance,
        tolerance_source="ISO 1307, cut length, from memory",
        squareness=math.nan if wire_helix(catalogue, size) else float(squareness(bore)),
        window=(own.shortest + ends, longest_length(own, plan) + ends),
        tightest_radius=own.lie.tightest_radius,
        tightest_at=own.lie.tightest_at,
        supports=len(plan.route.clips),
        end_angles=_angles(own.lie),
        notes=tuple(notes),
        **clamps,
    )


def free_spread(job: Job) -> float:
    """Return by how much the cut of a free route may be shorter, by what is not known [mm].

    It holds for every movement up to the one that is counted, so that movement shortens nothing.
    """
    ends = (job.nipple_a, job.nipple_b)
    return sum(engagement(own)[0] - least_engagement(own) for own in ends)


def _angles(lie: Lie) -> tuple[float, float]:
    """Return the angle between each nipple and the line between the mouths [deg]."""
    return (
        round(nipple_ends(lie.at_rest[0])[0].angle, 1),
        round(nipple_ends(lie.at_rest[-1])[1].angle, 1),
    )


def _round_notes(plan: FreePlan, own: SizePlan) -> list[str]:
    """Return a word on a hose that keeps clear only by a long way round."""
    if not plan.route.keep_outs or own.tip < limit("loop-share") * plan.solution.distance:
        return []
    return ["It keeps clear by a long way round: see on the drawing on which side it passes."]


def _shape_notes(lie: Lie) -> list[str]:
    notes = []
    if lie.moved:
        at_rest = min(shape.tightest_radius for shape in lie.at_rest)
        notes.append(
            f"Tightest bend {at_rest:.0f} mm at rest, {lie.tightest_radius:.0f} mm at the worst"
            " extreme of movement."
        )
    if lie.others:
        notes.append(
            f"It can also lie another way, with a tightest bend of {lie.other_radius:.0f} mm:"
            " look which way it lies, and clip it so."
        )
    for name, radius in zip("AB", lie.end_radii, strict=True):
        if radius < TELLING * lie.tightest_radius:
            notes.append(
                f"It bends right at nipple {name}: look for a gap under the hose end there."
            )
    return notes


TELLING = 1.05


def _span_notes(lie: Lie, start: float) -> list[str]:
    """Return where the clips sit along the hose, from the cut end at nipple A."""
    notes = []
    along = start + lie.lead
    for number, shape in enumerate(lie.at_rest[:-1], start=1):
        along += shape.length
        notes.append(f"Mark the hose for clip {number} at {along:.0f} mm from its end at nipple A.")
    if notes:
        notes.append("If the piece comes out longer or shorter, share the error among all spans.")
    return notes


def _load_notes(job: Job, lie: Lie, catalogue: Catalogue, size: int) -> list[str]:
    """Return what weight and stiffness do: sag, and the side load on plastic nipples as a range."""
    sizes, types = catalogue.sizes, catalogue.types
    hardness = types.hardness_shore_a[int(sizes.type_index[size])]
    modulus = modulus_range(hardness)
    low = float(bending_stiffness(modulus.low, sizes.bore[size], sizes.outside_diameter[size]))
    high = float(bending_stiffness(modulus.high, sizes.bore[size], sizes.outside_diameter[size]))
    notes = []
    weight = weight_number_of(
        job.service,
        float(sizes.bore[size]),
        float(sizes.outside_diameter[size]),
        low,
        lie.length,
    )
    if weight >= limit("gravity-number-mention"):
        notes.append("Its own weight bends it a little: support it where it sags.")
    for name, nipple, shape, end in (
        ("A", job.nipple_a, lie.at_rest[0], 0),
        ("B", job.nipple_b, lie.at_rest[-1], 1),
    ):
        if nipple.material != "plastic":
            continue
        if not low > 0:
            notes.append(f"Side load on plastic nipple {name} is not known: hardness not stated.")
            continue
        load = nipple_loads(shape, (low, high))[end]
        notes.append(
            f"Side load on plastic nipple {name}: {load.side[0]:.1f} to {load.side[1]:.1f} N cold,"
            " textile left out."
        )
    return notes


def _measuring_notes(plan: FreePlan, own: SizePlan) -> list[str]:
    """Return which cuts stand errors of measuring, and how the hose is laid."""
    route, curve = plan.route, curve_of(plan, own)
    notes = [ROLL_SET] if math.isfinite(own.lie.tightest_radius if own.lie else math.inf) else []
    tape, angle = limit("tape-reading-step"), limit("angle-reading-step")
    if route.tape_error == tape or route.angle_error == angle:
        notes.append(
            f"A tape is read to +/-{tape:g} mm and an angle to +/-{angle:g} deg at best: no smaller"
            " errors are counted, whatever was told."
        )
    if curve is None:
        return notes
    low, high = curve.stood
    said = f"Errors of +/-{curve.tape_error:g} mm and +/-{curve.angle_error:g} deg in measuring"
    if own.stood < route.tape_error:
        notes.append(
            "Measure places and directions again, and cut, to"
            f" +/-{limit('careful-tape-error'):g} mm and +/-{limit('careful-angle-error'):g} deg:"
            f" errors of {route.tape_error:g} mm leave no length that is sure to work."
        )
    if math.isfinite(low):
        notes.append(f"{said} leave cuts from {low:.0f} mm to {high:.0f} mm.")
    return notes


ROLL_SET = (
    "Turn the hose about itself until the set of its roll lies in the bend, before a clamp is"
    " closed."
)
