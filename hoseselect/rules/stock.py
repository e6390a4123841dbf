"""Stock rules: roll long enough, clamp in range."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.registry import rule
from hoseselect.judging.view import JobView
from hoseselect.rules.clamp_bands import clamp_group, narrowest_band


@rule()
def stock_roll(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Roll long enough for the cut.

    What it checks
        The cut length against the length of the roll in which the hose is sold.
    Why it matters
        A joiner in the middle is one more place to leak.
    Example
        A cut of 465 mm from a roll of 20 m: accepted.
    Source
        The catalogue's roll length.
    """
    return Comparison(
        jobs.cut_length,
        hoses.sizes.roll_length[None, :],
        applies=~(np.isnan(jobs.cut_length) | np.isnan(hoses.sizes.roll_length)[None, :]),
    )


def clamped_nipples(jobs: JobView) -> tuple[Array, Array, Array]:
    """Return a number for the group of the service, -1 where no clamp is used, and the nipples."""
    return clamp_group(jobs.service), jobs.nipple_a, jobs.nipple_b


@rule(of=clamped_nipples)
def stock_clamp(ends: tuple[Array, Array, Array], hoses: HoseColumns) -> Comparison:
    """Clamp whose range holds the hose on the nipple.

    What it checks
        Whether the shop's clamps of a family that suits the service close on the outside diameter
        of the hose when it sits on the nipple. It counts where the shop lists its clamps. Whether
        the nipple is long enough for such a clamp is a rule of its own.
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
    widest = narrowest_band(group, nipple_a, hoses)
    apart = np.flatnonzero((nipple_a != nipple_b)[:, 0])  # NaN too
    other = narrowest_band(group[apart], nipple_b[apart], hoses)
    widest[apart] = np.where(
        np.isinf(widest[apart]) | np.isinf(other), np.inf, np.maximum(widest[apart], other)
    )
    figures = np.where(np.isnan(widest), np.nan, np.isfinite(widest))
    at_the_bench = np.isnan(nipple_a) | np.isnan(nipple_b)
    return Comparison(np.ones(group.shape), figures, measurable=at_the_bench, applies=applies)
