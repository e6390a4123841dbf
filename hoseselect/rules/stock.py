"""Stock rules: roll long enough, clamp in range."""

from __future__ import annotations

from functools import cache

import numpy as np

from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import RELATIVE_TOLERANCE, Comparison
from hoseselect.judging.distinct import both, kinds_of
from hoseselect.judging.registry import rule
from hoseselect.judging.services import service_columns
from hoseselect.judging.view import JobView
from hoseselect.mechanics.fit import outside_diameter_on_nipple


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
    clamped = service_columns().clamped[jobs.service]
    return np.where(clamped, group_places()[jobs.service], -1), jobs.nipple_a, jobs.nipple_b


@rule(of=clamped_nipples)
def stock_clamp(ends: tuple[Array, Array, Array], hoses: HoseColumns) -> Comparison:
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
    group, nipple_a, nipple_b = ends
    held = np.ones((1, len(hoses.sizes)), dtype=np.int8)
    if hoses.clamp_ranges:
        held = _held(group, nipple_a, hoses)
        apart = np.flatnonzero((nipple_a != nipple_b)[:, 0])  # NaN too
        held[apart] = np.minimum(held[apart], _held(group[apart], nipple_b[apart], hoses))
    applies = (group >= 0) & bool(hoses.clamp_ranges)
    figures = held.astype(np.float64)
    if held.min(initial=0) < 0:
        figures[held < 0] = np.nan
    return Comparison(np.ones(group.shape), figures, applies=applies)


def _held(group: Array, nipple: Array, hoses: HoseColumns) -> Array:
    """Return 1 where a clamp closes on the hose on a nipple, 0 where none does, -1 not known."""
    sizes = hoses.sizes
    of_nipple = kinds_of(nipple)
    diameters = outside_diameter_on_nipple(
        sizes.outside_diameter, sizes.bore, nipple[of_nipple.first]
    )
    kinds = both(of_nipple, kinds_of(group))
    held = np.zeros((len(kinds), len(sizes)), dtype=np.int8)
    groups = group[kinds.first, 0]
    for place in sorted(set(groups.tolist()) - {-1}):
        rows = np.flatnonzero(groups == place)
        diameter = diameters[of_nipple.kind[kinds.first[rows]]]
        closes = np.zeros(diameter.shape, dtype=bool)
        for low, high in _ranges(place, hoses):
            closes |= closes_on(diameter, low, high)
        held[rows] = closes.view(np.int8) - np.isnan(diameter).view(np.int8)
    return held[kinds.kind]


def _ranges(place: int, hoses: HoseColumns) -> list[tuple[Array, Array]]:
    """Return the merged ranges of a group's clamps, each as two rows over the sizes [mm]."""
    service = int(np.flatnonzero(group_places() == place)[0])
    firm, soft = hoses.clamp_ranges[service], hoses.clamp_ranges_soft[service]
    nothing = np.array([np.inf, -np.inf])
    spans = []
    for number in range(max(len(firm), len(soft))):
        on_firm = firm[number] if number < len(firm) else nothing
        on_soft = soft[number] if number < len(soft) else nothing
        low, high = (
            np.where(hoses.sizes.soft_cover, on_soft[end], on_firm[end])[None, :] for end in (0, 1)
        )
        spans.append((low, high))
    return spans


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
