"""Fit rules: bore on nipple, bead, engagement."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import NO, YES, Array, HoseColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.registry import rule
from hoseselect.judging.services import service_columns
from hoseselect.judging.view import JobView
from hoseselect.knowledge.load import limit
from hoseselect.knowledge.tolerances import loose_fit_limit
from hoseselect.mechanics.fit import stretch


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


def larger_nipple(jobs: JobView) -> tuple[Array, Array]:
    """Return the larger nipple [mm], and which end it is."""
    return np.maximum(jobs.nipple_a, jobs.nipple_b), np.sign(jobs.nipple_a - jobs.nipple_b)


def smaller_nipple(jobs: JobView) -> tuple[Array, Array]:
    """Return the smaller nipple [mm], and which end it is."""
    return np.minimum(jobs.nipple_a, jobs.nipple_b), np.sign(jobs.nipple_a - jobs.nipple_b)


@rule(of=larger_nipple)
def fit_stretch(nipple: tuple[Array, Array], hoses: HoseColumns) -> Comparison:
    """Stretch of the bore on the plain part of the nipple.

    What it checks
        How far the nominal bore is stretched by the larger nipple. Textile holds the wall, so a
        plain rubber tube may be stretched further than reinforced hose.
    Why it matters
        Over-stretched hose splits at the end, and the force to push it on cracks plastic nipples.
    Example
        12.7 mm hose on a 14.2 mm pipe: stretch 11.8 %, refused; 7.9 mm on 8.0 mm: 1.3 %, accepted.
    Source
        Common practice, no source: no standard recommends a percentage.
    """
    sizes = hoses.sizes
    larger, end = nipple
    plain = sizes.unreinforced
    most = np.where(plain, limit("stretch-unreinforced-reject"), limit("stretch-textile-reject"))
    good = np.where(plain, limit("stretch-unreinforced-accept"), limit("stretch-textile-accept"))

    def note(row: int, column: int) -> str:
        return end_note(end[row, 0])

    return Comparison(stretch(larger, sizes.bore), most[None, :], caution=good[None, :], note=note)


@rule(of=smaller_nipple)
def fit_loose(nipple: tuple[Array, Array], hoses: HoseColumns) -> Comparison:
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
    smaller, end = nipple
    across = np.zeros((1, len(hoses.sizes)))

    def note(row: int, column: int) -> str:
        return end_note(-end[row, 0])

    return Comparison(
        0.0 - stretch(smaller, hoses.sizes.bore),
        across - limit("stretch-textile-loose-reject"),
        caution=across - limit("stretch-textile-loose-accept"),
        note=note,
    )


@rule(of=smaller_nipple)
def fit_largest_bore(nipple: tuple[Array, Array], hoses: HoseColumns) -> Comparison:
    """Largest bore within tolerance on the nipple.

    What it checks
        The largest bore that the hose's tolerance allows, less the smaller nipple, against the
        excess that is allowed for boats' fuel hose. It is good practice on road vehicles, so above
        it the hose is conditional: measure the roll in hand.
    Why it matters
        The roll on the shelf may lie at the loose end of its tolerance.
    Example
        Bore at most 8.5 mm on an 8.0 mm nipple: 0.5 mm, within 0.51 mm.
    Source
        33 CFR 183.558(d), Table 8.
    """
    smaller, _ = nipple
    excess = loose_fit_limit(np.where(np.isnan(smaller), 1.0, smaller))
    return Comparison(
        hoses.sizes.bore_max[None, :] - smaller,
        np.full((1, len(hoses.sizes)), np.inf),
        caution=excess,
        measurable=np.isnan(hoses.sizes.bore_max)[None, :] & ~np.isnan(smaller),
    )


def larger_bead(jobs: JobView) -> tuple[Array, ...]:
    """Return the larger diameter that the hose is pushed over, bead or plain nipple [mm]."""
    over_a = np.where(jobs.has_bead_a.yes, jobs.bead_a, jobs.nipple_a)
    over_b = np.where(jobs.has_bead_b.yes, jobs.bead_b, jobs.nipple_b)
    return (np.maximum(over_a, over_b),)


@rule(of=larger_bead)
def fit_bead_stretch(over: tuple[Array, ...], hoses: HoseColumns) -> Comparison:
    """Stretch of the bore over the bead.

    What it checks
        How far the bore is stretched while it is pushed over the larger bead.
    Why it matters
        Stretch over the bead splits the end of the hose or tears the liner as it goes on.
    Example
        9.5 mm hose over a 12.0 mm bead: 26.3 %, too much for textile hose.
    Source
        Common practice, no source.
    """
    sizes = hoses.sizes
    (larger,) = over
    plain = sizes.unreinforced
    most = np.where(
        plain, limit("stretch-bead-unreinforced-reject"), limit("stretch-bead-reinforced")
    )
    good = np.where(
        plain, limit("stretch-bead-unreinforced-accept"), limit("stretch-bead-reinforced")
    )
    return Comparison(stretch(larger, sizes.bore), most[None, :], caution=good[None, :])


@rule()
def fit_bead(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Bead on both nipples where the service demands it.

    What it checks
        Lines under pressure, fuel lines and hot oil lines need a bead or flare at both ends.
    Why it matters
        Two clamps do not replace a bead: the hose creeps off a plain tube as it takes a set.
    Example
        Oil cooler tube cut off plain: refused until a bead is formed.
    Source
        33 CFR 183.560(c) for boats; good practice on road vehicles.
    """
    needed = service_columns().bead_required[jobs.service]

    both = np.minimum(jobs.has_bead_a.as_float, jobs.has_bead_b.as_float)
    none = jobs.has_bead_a.no | jobs.has_bead_b.no
    found = np.where(none, 0.0, both)
    across = np.ones((1, len(hoses.sizes)))
    return Comparison(found, across, sense="at_least", applies=needed)


@rule()
def fit_engagement(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Length of nipple for hose and clamp.

    What it checks
        The shorter nipple must hold the narrowest clamp band with a tail of hose beyond it; a
        control line that is pushed on without a clamp needs less.
    Why it matters
        A clamp half off the nipple cuts the hose and holds nothing.
    Example
        8 mm of nipple for a 7.9 mm band and 6 mm of tail: refused.
    Source
        Common practice, no source.
    """
    clamped = service_columns().clamped[jobs.service]
    need = np.where(
        clamped,
        limit("band-width-least") + limit("tail-beyond-band"),
        limit("engagement-least-unclamped"),
    )
    shorter = np.minimum(jobs.usable_a, jobs.usable_b)
    return Comparison(shorter, need, sense="at_least")
