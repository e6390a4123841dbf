"""Stock rules: roll long enough, clamp in range."""

from __future__ import annotations

import numpy as np

from hoseselect.mechanics.fit import outside_diameter_on_nipple
from hoseselect.rules.columns import Array, HoseColumns, JobColumns
from hoseselect.rules.comparison import Comparison
from hoseselect.rules.registry import rule
from hoseselect.rules.services import service_columns


@rule("cut_length")
def stock_roll(jobs: JobColumns, hoses: HoseColumns) -> Comparison:
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


@rule("service", "nipple_a", "nipple_b")
def stock_clamp(jobs: JobColumns, hoses: HoseColumns) -> Comparison:
    """Clamp whose range holds the hose on the nipple.

    What it checks
        Whether the shop's clamps of a family that suits the service close on the outside diameter
        of the hose when it sits on the nipple. It counts where the shop lists its clamps.
    Why it matters
        A clamp outside its range bottoms out before it seals, or its worm leaves the band.
    Example
        16.5 mm hose on a 10 mm nipple measures 16.8 mm there: a 12 to 20 mm clamp holds it.
    Source
        The catalogue's clamp ranges.
    """
    sizes = hoses.sizes
    held = np.ones((len(jobs), len(sizes)))
    if hoses.clamp_ranges:
        for nipple in (jobs.nipple_a, jobs.nipple_b):
            diameter = outside_diameter_on_nipple(sizes.outside_diameter, sizes.bore, nipple)
            held = np.minimum(held, _held(diameter, jobs, hoses))
    applies = service_columns().clamped[jobs.service] & bool(hoses.clamp_ranges)
    return Comparison(np.ones(jobs.service.shape), held, applies=applies)


def _held(diameter: Array, jobs: JobColumns, hoses: HoseColumns) -> Array:
    """Return 1 where a clamp closes on the diameter, 0 where none does, NaN where not known."""
    held = np.zeros(diameter.shape)
    soft = hoses.sizes.soft_cover
    for service in sorted(set(jobs.service[:, 0].tolist())):
        rows = np.flatnonzero(jobs.service[:, 0] == service)
        for cover, ranges in ((~soft, hoses.clamp_ranges), (soft, hoses.clamp_ranges_soft)):
            part = np.ix_(rows, np.flatnonzero(cover))
            for low, high in ranges[service]:
                held[part] = np.maximum(
                    held[part], (diameter[part] >= low) & (diameter[part] <= high)
                )
    return np.where(np.isnan(diameter), np.nan, held)
