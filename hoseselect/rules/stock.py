"""Stock rules: roll long enough, clamp in range."""

from __future__ import annotations

import numpy as np

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


def diameter_on_nipple(nipple: Array, hoses: HoseColumns) -> Array:
    """Return the outside diameter of the hose when on the nipple, shape (n, m) [mm].

    Rubber keeps its volume and the end does not shorten: the wall's cross-section is kept.
    """
    sizes = hoses.sizes
    return np.sqrt(np.maximum(sizes.outside_diameter**2 + nipple**2 - sizes.bore**2, 0.0))


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
    services = service_columns()
    held = np.ones((len(jobs), len(hoses.sizes)), dtype=bool)
    if hoses.clamp_ranges:
        for nipple in (jobs.nipple_a, jobs.nipple_b):
            diameter = diameter_on_nipple(nipple, hoses)
            held &= _in_ranges(diameter, jobs, hoses)
    shape = services.clamped[jobs.service] & bool(hoses.clamp_ranges)
    return Comparison(np.ones(jobs.service.shape), held.astype(float), applies=shape)


def _in_ranges(diameter: Array, jobs: JobColumns, hoses: HoseColumns) -> Array:
    held = np.zeros(diameter.shape, dtype=bool)
    for service in np.unique(jobs.service):
        rows = jobs.service[:, 0] == service
        for low, high in hoses.clamp_ranges[service]:
            held[rows] |= (diameter[rows] >= low) & (diameter[rows] <= high)
    return held
