"""Bend rules: tightest radius on the route, straight lead at the nipples."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import HoseColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.registry import rule
from hoseselect.judging.view import JobView
from hoseselect.knowledge.load import limit, limit_source


@rule()
def bend_radius(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Tightest bend of the route against the least bend radius.

    What it checks
        The centreline radius of the tightest bend against the hose's least bend radius at that
        bore. Where none is stated, or one that its make does not bear out, the kink radius of a
        thin tube and the usual rule of thumb give a range: above it conditional, below it refused,
        between unknown. Where the bend is not known, it is looked at before the hose is fitted; a
        run without a bend is not asked about, and slight bends of it are none.
    Why it matters
        A kinked hose is a closed hose, and it kinks hot, under suction, where nobody looks.
    Example
        Bend of 70 mm with hose for 80 mm: refused, formed part or elbow.
    Source
        The hose's stated radius, else Brazier, Proc. R. Soc. A 116 (1927), from memory, and
        common practice.
    """
    sizes = hoses.sizes
    stated = sizes.least_bend_radius
    estimated = np.isnan(stated)
    wanted = np.where(estimated, sizes.kink_sure, stated)
    return Comparison(
        jobs.tightest_radius,
        np.where(estimated, sizes.kink_least, sizes.least_bend_radius)[None, :],
        sense="at_least",
        caution=wanted[None, :],
        estimated=estimated[None, :],
        measurable=np.isnan(jobs.tightest_radius) & ~np.isnan(wanted)[None, :],
        applies=~np.isposinf(jobs.tightest_radius),
        source=lambda row, column: (
            f"Brazier 1927, from memory, and {limit_source('inside-radius-per-bore')}"
            if estimated[column]
            else ""
        ),
    )


@rule()
def bend_lead(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Straight lead between the nipple and the first bend.

    What it checks
        The shorter straight at the two ends of a run against a multiple of the outside diameter.
        It counts where the route is given as straights and bends.
    Why it matters
        A bend that begins at the nipple levers the hose open on one side and weeps there.
    Example
        Bend 20 mm from the nipple with hose of 21 mm outside diameter: conditional.
    Source
        DIN 20066 and ISO/TR 17165-2, from memory.
    """
    need = limit("lead-per-outside-diameter") * hoses.sizes.outside_diameter[None, :]
    return Comparison(
        jobs.lead,
        np.full_like(need, -np.inf),
        sense="at_least",
        caution=need,
        applies=~np.isnan(jobs.lead),
    )


@rule()
def bend_window(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Window of lengths against the tolerance of the cut.

    What it checks
        On a free route, the lengths at which the hose bends no tighter than it may, at rest and at
        all extremes of movement, form a window. A cut with its tolerance must fit inside. On a
        short measured route the published share of slack leaves a window as well; where it is
        narrower than the tolerance, the hose is cut to the millimetre and tried before it is
        clamped.
    Why it matters
        Too long is as bad as too short: both bend the hose tighter.
    Example
        Free route, window 8 mm wide, cut within 4.5 mm either way: refused. Two nipples 40 mm
        apart, window 3.5 mm wide, cut within 3 mm either way: conditional.
    Source
        The solved shape; NAVEDTRA 14105, p. 5-11, for slack; tolerance of ISO 1307, from memory.
    """
    free = ~np.isnan(jobs.window_needed)
    needed = np.where(free, jobs.window_needed, jobs.narrow_needed)
    across = np.zeros((1, len(hoses.sizes)))
    return Comparison(
        np.where(free, jobs.window_width, jobs.narrow_window),
        np.where(free, needed, -np.inf) + across,
        sense="at_least",
        caution=needed + across,
        applies=~np.isnan(needed),
    )


@rule()
def bend_margin(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Margin of the tightest bend of a free route over the least bend radius.

    What it checks
        A hose flattens in a bend, and movement locks twist into it: both make its tightest bend
        tighter than the solved one. The solved bend is wanted wider by the share for that.
    Why it matters
        A bend that is just wide enough on paper is too tight on the vehicle.
    Example
        Bend of 82 mm with hose for 80 mm: conditional, look at it when it is hot.
    Source
        Computed from solved shapes; the table of limits.
    """
    sizes = hoses.sizes
    least = np.where(np.isnan(sizes.least_bend_radius), sizes.kink_sure, sizes.least_bend_radius)
    return Comparison(
        jobs.tightest_radius,
        np.full((1, len(sizes)), -np.inf),
        sense="at_least",
        caution=least[None, :] * (1.0 + jobs.margin_wanted),
        applies=~np.isnan(jobs.margin_wanted),
    )


@rule()
def bend_measuring(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Errors of measuring that the cut of a free route stands.

    What it checks
        Tape, angles and cut are never exact, and a hose keeps a set from its roll. The cut is
        drawn with such errors many times: bend and clearance hold in all but a few of them.
        Where they hold only when measured again with care, that is the condition.
    Why it matters
        A window that 5 mm of the tape close is no window on the vehicle.
    Example
        Holds with errors of 2 mm but not of 5 mm: conditional, measure again.
    Source
        Drawn from the solved shape; errors of the tape as told, or common practice, no source.
    """
    careful = np.minimum(limit("careful-tape-error"), jobs.error_told)
    across = np.zeros((1, len(hoses.sizes)))
    return Comparison(
        jobs.error_stood,
        careful + across,
        sense="at_least",
        caution=jobs.error_told + across,
        applies=~np.isnan(jobs.error_told),
    )


@rule()
def bend_set(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Set of the roll in a hose on a free route.

    What it checks
        Hose from a roll keeps a curve. Laid in the bend it does no harm; to a side left to chance
        it makes some bends tighter. Where the cut holds only with the set in the bend, that is the
        condition.
    Why it matters
        A long hose whose set lies across the bend is pushed out of its plane and kinks there.
    Example
        Line of a metre with a bend of 300 mm radius: conditional, turn the set into the bend.
    Source
        Drawn from the solved shape; the arc of hose from a roll, common practice, no source.
    """
    across = np.zeros((1, len(hoses.sizes)))
    return Comparison(
        jobs.set_any_side,
        across - np.inf,
        sense="at_least",
        caution=across + 1.0,
        applies=~np.isnan(jobs.error_told),
    )


@rule()
def bend_second_shape(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Another way in which the hose can lie.

    What it checks
        On a free route a second stable shape may exist. Where the one is wide enough for the hose
        and the other is not, the hose is refused.
    Why it matters
        Nobody can tell which way it jumps when the bonnet is closed.
    Example
        One way 60 mm, the other 35 mm, hose for 50 mm: refused, add a clip.
    Source
        The solved shapes.
    """
    sizes = hoses.sizes
    least = np.where(np.isnan(sizes.least_bend_radius), sizes.kink_sure, sizes.least_bend_radius)
    return Comparison(
        jobs.other_radius,
        least[None, :],
        sense="at_least",
        applies=np.isfinite(jobs.other_radius),
    )


@rule()
def bend_weight(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Own weight of a long soft hose on a free route.

    What it checks
        Weight against bending stiffness, with the liquid that fills the hose. Above the number at
        which weight bends the shape noticeably, the hose wants a clip.
    Why it matters
        A heavy soft hose sags: its tightest bend and its clearance are no longer those solved.
    Example
        Weight number 14: conditional, clip it.
    Source
        Computed from solved shapes with and without weight; the table of limits.
    """
    across = np.zeros((1, len(hoses.sizes)))
    return Comparison(
        jobs.weight_number,
        across + np.inf,
        caution=across + limit("gravity-number-count"),
        applies=~np.isnan(jobs.weight_number),
    )
