"""Stock rules: roll long enough, clamp in range."""

from __future__ import annotations

from functools import cache

import numpy as np

from hoseselect.mechanics.fit import outside_diameter_on_nipple
from hoseselect.rules.columns import Array, HoseColumns, JobColumns
from hoseselect.rules.comparison import RELATIVE_TOLERANCE, Comparison
from hoseselect.rules.distinct import both, kinds_of
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


@rule("service", "nipple_a", "nipple_b", "measured_on_a", "measured_on_b")
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
    held = np.ones((len(jobs), len(hoses.sizes)))
    if hoses.clamp_ranges:
        held = _held(jobs.nipple_a, jobs, hoses)
        if not np.array_equal(jobs.nipple_a, jobs.nipple_b, equal_nan=True):
            held = np.minimum(held, _held(jobs.nipple_b, jobs, hoses))
    applies = service_columns().clamped[jobs.service] & bool(hoses.clamp_ranges)
    return Comparison(np.ones(jobs.service.shape), held, applies=applies)


def _held(nipple: Array, jobs: JobColumns, hoses: HoseColumns) -> Array:
    """Return 1 where a clamp closes on the hose on a nipple, 0 where none does, NaN not known."""
    sizes, soft = hoses.sizes, hoses.sizes.soft_cover
    place = group_places()[jobs.service]
    kinds = both(kinds_of(nipple), kinds_of(place))
    diameter = outside_diameter_on_nipple(sizes.outside_diameter, sizes.bore, nipple[kinds.first])
    held = np.zeros(diameter.shape, dtype=bool)
    groups = place[kinds.first, 0]
    for group in sorted(set(groups.tolist())):
        rows = np.flatnonzero(groups == group)
        service = int(np.flatnonzero(group_places() == group)[0])
        of_group = diameter[rows]
        closes = np.zeros(of_group.shape, dtype=bool)
        for cover, ranges in ((~soft, hoses.clamp_ranges), (soft, hoses.clamp_ranges_soft)):
            for low, high in ranges[service]:
                closes |= closes_on(of_group, low, high) & cover
        held[rows] = closes
    found = held.astype(np.float64)
    found[np.isnan(diameter)] = np.nan
    return found[kinds.kind]


def closes_on(diameter: Array, low: Array, high: Array) -> Array:
    """Return where a clamp's range holds a diameter, up to the rounding of decimal figures [mm].

    Parameters
    ----------
    diameter : outside diameter of the hose on its nipple
    low, high : ends of the range
    """
    return (diameter >= low * (1 - RELATIVE_TOLERANCE)) & (
        diameter <= high * (1 + RELATIVE_TOLERANCE)
    )


@cache
def group_places() -> Array:
    """Return a number for the group of each service, shape (services,)."""
    groups = service_columns().group
    return np.array([groups.index(group) for group in groups])
