"""Stock rules: roll long enough and not too old, clamp in range."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import Array, HoseColumns, RollColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.registry import rule
from hoseselect.judging.view import JobView
from hoseselect.knowledge.load import limit as limit_of
from hoseselect.quantities.exact import MILLIMETRES_PER_METRE
from hoseselect.rules.clamp_bands import clamp_group, narrowest_bands


@rule()
def stock_roll(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Roll long enough for the cut.

    What it checks
        The cut length against the length of the roll in which the hose is sold, and against what
        is left on the rolls in stock. A cut longer than any of those is conditional: a new roll
        must be ordered. A piece that is cut already needs none.
    Why it matters
        A joiner in the middle is one more place to leak.
    Example
        A cut of 465 mm from a roll of 20 m: accepted. A cut of 2400 mm with 1800 mm left on the
        only roll: order.
    Source
        The catalogue's roll length and its rolls in stock.
    """
    sold, left = hoses.sizes.roll_length[None, :], longest_left(hoses)[None, :]
    limit = np.where(np.isnan(sold), np.inf, np.fmax(sold, left))
    applies = np.isnan(jobs.piece) & ~np.isnan(jobs.cut_length) & ~(np.isnan(sold) & np.isnan(left))

    def note(row: int, column: int) -> str:
        cut = jobs.cut_length[row, min(column, jobs.cut_length.shape[1] - 1)]
        roll = roll_to_take(hoses.rolls, column, float(cut))
        return "" if roll < 0 else f", {roll_words(hoses.rolls, roll)}"

    return Comparison(
        jobs.cut_length,
        limit,
        caution=np.where(np.isnan(left), limit, left),
        applies=applies,
        note=note,
    )


def longest_left(hoses: HoseColumns) -> Array:
    """Return what is left on the longest roll of each size, shape (m,) [mm]; NaN none in stock."""
    left = np.full(len(hoses.sizes), np.nan)
    np.fmax.at(left, hoses.rolls.size_index, hoses.rolls.length)
    return left


def roll_to_take(rolls: RollColumns, size: int, cut: float) -> int:
    """Return the roll to cut from: the shortest long enough of those not too old; -1 none.

    Of rolls that are alike it is the first by name.

    Parameters
    ----------
    rolls : in stock
    size : position of the size
    cut : length to cut [mm]; NaN not known
    """
    fit = np.flatnonzero((rolls.size_index == size) & ~(rolls.length < cut))
    if not len(fit):
        return -1
    old = (rolls.age > rolls.keeps).astype(int) + (rolls.age > rolls.keeps_at_most)
    return int(fit[np.lexsort((rolls.name[fit], rolls.length[fit], old[fit]))[0]])


def roll_words(rolls: RollColumns, roll: int) -> str:
    """Return which roll it is, where it hangs and what is left on it."""
    place = f", {rolls.place[roll]}" if rolls.place[roll] else ""
    return f"roll {rolls.name[roll]}{place}, {rolls.length[roll] / MILLIMETRES_PER_METRE:g} m left"


@rule()
def stock_age(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Age of the roll in stock.

    What it checks
        The age of the youngest roll that is long enough for the cut and bears a date (of all, where
        the cut is not known), against the years that liner and cover keep in store, the shorter of
        both. Beyond them the roll must be looked at; beyond the further years that such a look
        allows, a fresh roll is wanted. A roll without a date is not judged, and rolls are not
        judged where nobody tells the day.
    Why it matters
        Rubber ages on the shelf as well: it hardens, and cracks where it is bent on the nipple.
    Example
        Nitrile fuel hose of 8 years, which keeps 7: conditional, bend a piece and look for cracks.
    Source
        ISO 2230, groups of rubbers (from memory: it never refuses a hose).
    """
    rolls = hoses.rolls
    dated = np.flatnonzero(~np.isnan(rolls.age))
    cut = jobs.cut_length
    age = np.full((len(cut), len(hoses.sizes)), np.nan)
    keeps = np.full((1, len(hoses.sizes)), np.nan)
    sizes = rolls.size_index[dated]
    of_size = cut[:, sizes] if cut.shape[1] > 1 else cut
    fits = np.where(rolls.length[dated] < of_size, np.nan, rolls.age[dated])
    np.fmin.at(age.T, sizes, fits.T)
    keeps[0, sizes] = rolls.keeps[dated]

    def note(row: int, column: int) -> str:
        own = np.flatnonzero((rolls.size_index == column) & (rolls.age == age[row, column]))
        if not len(own):
            return "no dated roll is long enough"
        roll = int(own[0])
        words = f"roll {rolls.name[roll]} is {rolls.age[roll]:.0f} years old"
        longest = rolls.keeps_at_most[roll]
        if rolls.age[roll] > longest:
            return f"{words}, more than the {longest:g} years it keeps at most: take a fresh roll"
        kept = f"kept dark and below {limit_of('storage-temperature-max'):g} degC"
        return f"{words}, its rubber keeps {rolls.keeps[roll]:g}, {kept}: suits if it passes a look"

    return Comparison(
        age, np.full((1, 1), np.inf), caution=keeps, applies=~np.isnan(age), note=note
    )


def clamped_nipples(jobs: JobView) -> tuple[Array, Array, Array]:
    """Return a number for the group of the service, -1 where no clamp is used, and the nipples."""
    return clamp_group(jobs.service), jobs.nipple_a, jobs.nipple_b


@rule(of=clamped_nipples)
def stock_clamp(ends: tuple[Array, Array, Array], hoses: HoseColumns) -> Comparison:
    """Clamp whose range holds the hose on the nipple.

    What it checks
        Whether the shop's clamps of a family that suits the service close on the outside diameter
        of the hose when it sits on the nipple, at both ends. It counts where the shop lists its
        clamps. Whether the nipple is long enough for such a clamp is a rule of its own.
    Why it matters
        A clamp outside its range bottoms out before it seals, or its worm leaves the band.
    Example
        16.5 mm hose on a 10 mm nipple measures 16.8 mm there: a 12 to 20 mm clamp holds it.
    Source
        The catalogue's clamp ranges.
    """
    group, nipple_a, nipple_b = ends
    applies = (group >= 0) & bool(hoses.clamp_ranges)
    if not hoses.clamp_ranges:
        return Comparison(np.ones(group.shape), np.ones((1, len(hoses.sizes))), applies=applies)
    at_a, at_b = narrowest_bands(group, (nipple_a, nipple_b), hoses)
    refused = np.isinf(at_a) | np.isinf(at_b)  # at one end is enough, whatever the other may be
    figures = np.where(np.isnan(at_a) | np.isnan(at_b), np.nan, 1.0)
    figures = np.where(refused, 0.0, figures)
    at_the_bench = np.isnan(nipple_a) | np.isnan(nipple_b)
    return Comparison(np.ones(group.shape), figures, measurable=at_the_bench, applies=applies)
