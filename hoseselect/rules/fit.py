"""Fit rules: bore on nipple, bead, engagement."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import NO, YES, Array, HoseColumns, SizeColumns
from hoseselect.judging.comparison import RELATIVE_TOLERANCE, Comparison, eased
from hoseselect.judging.registry import rule
from hoseselect.judging.services import service_columns
from hoseselect.judging.view import JobView
from hoseselect.knowledge.load import limit
from hoseselect.knowledge.tolerances import PERCENT, loose_fit_limit
from hoseselect.mechanics.fit import stretch
from hoseselect.rules.boost import boosted
from hoseselect.rules.clamp_bands import clamp_group, narrowest_bands


def end_note(a_less_b: float) -> str:
    """Return which end the figure belongs to, by the sign of A less B."""
    if a_less_b == 0:
        return "both ends"
    return "end A" if a_less_b > 0 else "end B"


@rule()
def fit_ends(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Nipples, not threads, at the ends.

    What it checks
        Bulk hose is pushed on nipples. Threaded ends have none.
    Why it matters
        Hose clamped on a thread is cut by it and leaks.
    Example
        Line with threaded ends: refused until hose tails are fitted.
    Source
        Common practice, no source.
    """
    across = np.zeros((1, len(hoses.sizes)))
    return Comparison(jobs.threaded.yes.astype(float), across)


@rule()
def fit_clamps(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Hose made for clamps.

    What it checks
        Where the line is held by clamps, the hose must be made for them.
    Why it matters
        Hose for push-on nipples or crimped ends is cut or crushed by a clamp and blows off.
    Example
        Push-on hydraulic hose under a worm clamp: refused.
    Source
        33 CFR 183.560(a) for boats; good practice on road vehicles.
    """
    made_for_it = hoses.types.made_for_clamps[None, :]
    limit_there = (made_for_it != NO).astype(float)
    sure = (made_for_it == YES).astype(float)
    return Comparison(
        np.ones(jobs.service.shape),
        limit_there,
        caution=sure,
        applies=service_columns().clamped[jobs.service],
    )


def barbed(jobs: JobView) -> Array:
    """Return where the hose is pushed on barbs that hold it, without clamp or bead."""
    return jobs.service == service_columns().index["injector-leak-off"]


def a_less_b(jobs: JobView, unknown: float) -> Array:
    """Return the sign of nipple A less nipple B; one that is not known is taken for `unknown`."""
    a, b = (np.where(np.isnan(n), unknown, n) for n in (jobs.nipple_a, jobs.nipple_b))
    return np.greater(a, b).astype(float) - np.less(a, b)


def beyond_at_one(of_both: Array, of_one: Array, most: Array) -> Array:
    """Return the figures of both ends; where one end is not known and the other beyond, of that.

    Parameters
    ----------
    of_both : NaN where one of them is not known
    of_one : of the end that is known, or of the worse
    most : the limit
    """
    beyond = of_one > eased(most, at_most=True)
    return np.where(np.isnan(of_both) & beyond, of_one, of_both)


def larger_nipple(jobs: JobView) -> tuple[Array, ...]:
    """Return the larger nipple [mm], the one that is known [mm], which end, whether it is a barb.

    Last stands a hint for nipples that nobody has measured: the one that was, else the bore of the
    hose that came off [mm].
    """
    larger = np.maximum(jobs.nipple_a, jobs.nipple_b)
    one = np.fmax(jobs.nipple_a, jobs.nipple_b)
    hint = np.where(np.isnan(one), jobs.old_bore, one)
    return larger, one, a_less_b(jobs, -np.inf), barbed(jobs), hint


def stretch_limit(end: str, part: str, on_barb: Array, sizes: SizeColumns) -> Array:
    """Return how far each hose may be stretched, shape (n, m) [%].

    Parameters
    ----------
    end : "accept" or "reject"
    part : of the nipple, "nipple" or "bead"
    on_barb : where the nipple is a barb, shape (n, 1)
    sizes : m sizes
    """
    plain, held = STRETCH[part, end]
    most = np.where(sizes.unreinforced, limit(plain), limit(held))[None, :]
    most = np.where(on_barb & ~sizes.unreinforced, limit(f"stretch-barb-{end}"), most)
    return np.where(sizes.helix, limit(HELIX_STRETCH[part, end]), most)


HELIX_STRETCH = {
    ("nipple", "accept"): "stretch-helix-accept",
    ("nipple", "reject"): "stretch-helix-reject",
    ("bead", "accept"): "stretch-helix-reject",
    ("bead", "reject"): "stretch-helix-bead-reject",
}
"""The same of hose with a wire helix."""
STRETCH = {
    ("nipple", "accept"): ("stretch-unreinforced-accept", "stretch-textile-accept"),
    ("nipple", "reject"): ("stretch-unreinforced-reject", "stretch-textile-reject"),
    ("bead", "accept"): ("stretch-bead-unreinforced-accept", "stretch-bead-reinforced"),
    ("bead", "reject"): ("stretch-bead-unreinforced-reject", "stretch-bead-reinforced"),
}
"""Limits of stretch of plain rubber and of reinforced hose, by part of the nipple and by end."""
HELIX = ", a wire helix does not stretch: the wire is drawn back from the end"


def smaller_nipple(jobs: JobView) -> tuple[Array, Array, Array]:
    """Return the smaller nipple [mm], the one that is known [mm], and which end it is."""
    nipples = jobs.nipple_a, jobs.nipple_b
    return np.minimum(*nipples), np.fmin(*nipples), a_less_b(jobs, np.inf)


@rule(of=larger_nipple)
def fit_stretch(nipple: tuple[Array, ...], hoses: HoseColumns) -> Comparison:
    """Stretch of the bore on the plain part of the nipple.

    What it checks
        How far the nominal bore is stretched by the larger nipple. Textile holds the wall, so a
        plain rubber tube may be stretched further than reinforced hose. A wire helix does not
        stretch. A barb that holds the hose without a clamp, as of an injector, wants more. Where a
        nipple is not measured, hose of the bore that came off, or of the other nipple, may be taken
        along: the nipple is measured before it is fitted.
    Why it matters
        Over-stretched hose splits at the end, and the force to push it on cracks plastic nipples.
    Example
        12.7 mm hose on a 14.2 mm pipe: stretch 11.8 %, refused; 7.9 mm on 8.0 mm: 1.3 %, accepted.
    Source
        Common practice, no source: no standard recommends a percentage.
    """
    sizes = hoses.sizes
    larger, one, end, on_barb, hint = nipple
    most, good = (stretch_limit(e, "nipple", on_barb, sizes) for e in ("reject", "accept"))

    def note(row: int, column: int) -> str:
        return f"{end_note(end[row, 0])}{HELIX if sizes.helix[column] else ''}"

    apart = eased(np.array(limit("old-bore-apart")), at_most=True)
    along = np.abs(sizes.bore[None, :] / hint - 1) <= apart
    return Comparison(
        beyond_at_one(stretch(larger, sizes.bore), stretch(one, sizes.bore), most),
        most,
        caution=good,
        measurable=np.isnan(larger) & along,
        note=note,
    )


@rule(of=smaller_nipple)
def fit_loose(nipple: tuple[Array, ...], hoses: HoseColumns) -> Comparison:
    """Looseness of the nominal bore on the nipple.

    What it checks
        How much larger than the smaller nipple the nominal bore is, in per cent of the bore.
    Why it matters
        A clamp that has to fold the wall down to the nipple leaks cold and comes off hot.
    Example
        15.9 mm hose on a 14.2 mm pipe: 10.7 % loose, refused.
    Source
        Common practice, no source.
    """
    smaller, one, end = nipple
    bore = hoses.sizes.bore
    across = np.zeros((1, len(bore)))
    most = across - limit("stretch-textile-loose-reject")

    def note(row: int, column: int) -> str:
        return end_note(-end[row, 0])

    return Comparison(
        beyond_at_one(0.0 - stretch(smaller, bore), 0.0 - stretch(one, bore), most),
        most,
        caution=across - limit("stretch-textile-loose-accept"),
        measurable=np.isnan(smaller),
        note=note,
    )


@rule(of=smaller_nipple)
def fit_largest_bore(nipple: tuple[Array, ...], hoses: HoseColumns) -> Comparison:
    """Largest bore within tolerance on the nipple.

    What it checks
        The largest bore that the hose's tolerance allows, less the smaller nipple, against the
        excess that is allowed for boats' fuel hose. It is good practice on road vehicles, so above
        it the hose is conditional: measure the roll in hand. Where the nipple is not measured, the
        smallest one on which the bore is not loose stands in.
    Why it matters
        The roll on the shelf may lie at the loose end of its tolerance.
    Example
        Bore at most 8.5 mm on an 8.0 mm nipple: 0.5 mm, within 0.51 mm.
    Source
        33 CFR 183.558(d), Table 8.
    """
    smaller, *_ = nipple
    snug = hoses.sizes.bore[None, :] * (1 + limit("stretch-textile-loose-accept") / PERCENT)
    excess = loose_fit_limit(np.where(np.isnan(smaller), snug, smaller))
    return Comparison(
        hoses.sizes.bore_max[None, :] - smaller,
        np.full((1, len(hoses.sizes)), np.inf),
        caution=excess,
        measurable=np.isnan(hoses.sizes.bore_max)[None, :] | np.isnan(smaller),
    )


def larger_bead(jobs: JobView) -> tuple[Array, ...]:
    """Return the larger diameter pushed over [mm], that of what is known, and whether it is a barb.

    It is the bead, or else the plain nipple; a barb has no bead. Where a bead is demanded, a line
    without one is refused for that, so that the bead counts until it is known that there is none.
    """
    on_barb = barbed(jobs)
    demanded = service_columns().bead_required[jobs.service]
    ends = (
        (jobs.has_bead_a, jobs.bead_a, jobs.nipple_a),
        (jobs.has_bead_b, jobs.bead_b, jobs.nipple_b),
    )
    over_a, over_b = (
        np.where((has.yes | (demanded & ~np.isnan(bead))) & ~on_barb, bead, nipple)
        for has, bead, nipple in ends
    )
    return np.maximum(over_a, over_b), np.fmax(over_a, over_b), on_barb


@rule(of=larger_bead)
def fit_bead_stretch(over: tuple[Array, ...], hoses: HoseColumns) -> Comparison:
    """Stretch of the bore over the bead.

    What it checks
        How far the bore is stretched while it is pushed over the larger bead. A wire helix does not
        stretch: over a bead it goes only with the wire drawn back from the end, and over a large
        one not at all. A bead that is not measured, nor taken as usual, is looked at; where a bead
        is demanded it counts until it is known that there is none.
    Why it matters
        Stretch over the bead splits the end of the hose or tears the liner as it goes on.
    Example
        9.5 mm hose over a 12.0 mm bead: 26.3 %, too much for textile hose.
    Source
        Common practice, no source.
    """
    sizes = hoses.sizes
    larger, one, on_barb = over
    most, good = (stretch_limit(e, "bead", on_barb, sizes) for e in ("reject", "accept"))

    def note(row: int, column: int) -> str:
        return HELIX if sizes.helix[column] else ""

    return Comparison(
        beyond_at_one(stretch(larger, sizes.bore), stretch(one, sizes.bore), most),
        most,
        caution=good,
        measurable=np.isnan(larger),
        note=note,
    )


@rule()
def fit_measured(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Nipple measured on its plain part.

    What it checks
        Where a nipple has a bead of unknown diameter and it is not told where the caliper sat, the
        figure is taken for that of the plain part, on the condition that somebody looks.
    Why it matters
        Over the bead a nipple measures a size more: the hose bought for it is loose behind it.
    Example
        Nipple of 13 mm with a bead, "I don't know where I measured": conditional.
    Source
        Common practice, no source.
    """
    asked = (jobs.measured_on_a.unknown & jobs.has_bead_a.yes) | (
        jobs.measured_on_b.unknown & jobs.has_bead_b.yes
    )
    across = np.zeros((1, len(hoses.sizes)))
    demand = np.where(asked, np.nan, 0.0)
    return Comparison(demand, across, measurable=asked, applies=~barbed(jobs))


def bead_worth_the_name(has_bead: Array, bead: Array, nipple: Array) -> Array:
    """Return 1 for a bead, 0 for none or one of a hair's height, NaN where it is not known.

    Parameters
    ----------
    has_bead : 1, 0 or NaN
    bead, nipple : diameters, NaN not known [mm]
    """
    least = (nipple + limit("bead-over-nipple-least")) * (1 - RELATIVE_TOLERANCE)
    return np.where(bead < least, 0.0, has_bead)


@rule()
def fit_bead(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Bead on both nipples where the service demands it.

    What it checks
        Lines under pressure, fuel lines, hot oil lines and lines that see boost need a bead or
        flare at both ends, and one that stands above the plain part by more than a hair.
    Why it matters
        Two clamps do not replace a bead: the hose creeps off a plain tube as it takes a set.
    Example
        Oil cooler tube cut off plain: refused until a bead is formed.
    Source
        33 CFR 183.560(c) for boats; good practice on road vehicles.
    """
    needed = service_columns().bead_required[jobs.service] | boosted(jobs)
    at_a = bead_worth_the_name(jobs.has_bead_a.as_float, jobs.bead_a, jobs.nipple_a)
    at_b = bead_worth_the_name(jobs.has_bead_b.as_float, jobs.bead_b, jobs.nipple_b)
    found = np.where((at_a == 0) | (at_b == 0), 0.0, np.minimum(at_a, at_b))
    across = np.ones((1, len(hoses.sizes)))
    return Comparison(found, across, sense="at_least", applies=needed)


@rule()
def fit_engagement(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Length of nipple for hose and clamp.

    What it checks
        Each nipple must hold the band of the narrowest clamp of the shop that suits the service and
        closes on the hose there, with a tail of hose beyond it. Where the shop lists none, the
        narrowest usual band counts; a clamp whose width is not stated counts as the widest of the
        shop. A line that is pushed on without a clamp needs less.
    Why it matters
        A clamp half off the nipple cuts the hose and holds nothing.
    Example
        8 mm of nipple for a 7.9 mm band and 6 mm of tail: refused.
    Source
        Common practice, no source.
    """
    need_a, need_b = _room_needed(jobs, hoses)
    at_b = ~(jobs.usable_a - need_a <= jobs.usable_b - need_b)  # NaN at B too
    at_b &= ~np.isnan(jobs.usable_a)
    return Comparison(
        np.where(at_b, jobs.usable_b, jobs.usable_a),
        np.where(at_b, need_b, need_a),
        sense="at_least",
    )


def _room_needed(jobs: JobView, hoses: HoseColumns) -> tuple[Array, Array]:
    """Return the length that hose and clamp need of nipple A and of B, each (n, m) [mm]."""
    group, ends = clamp_group(jobs.service), (jobs.nipple_a, jobs.nipple_b)
    nothing = np.full((len(group), len(hoses.sizes)), np.nan)
    bands = (nothing, nothing)
    if hoses.clamp_ranges:
        bands = narrowest_bands(group, ends, hoses, unmeasured=True)
    at_a, at_b = (
        np.where(np.isfinite(width), width, limit("band-width-least")) + limit("tail-beyond-band")
        for width in bands
    )
    unclamped = limit("engagement-least-unclamped")
    return np.where(group >= 0, at_a, unclamped), np.where(group >= 0, at_b, unclamped)
