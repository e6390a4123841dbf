"""Clamps of the shop on a hose pushed on a nipple: which close on it, and how wide they are."""

from __future__ import annotations

from functools import cache

import numpy as np

from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import RELATIVE_TOLERANCE
from hoseselect.judging.distinct import both, kinds_of
from hoseselect.judging.services import service_columns
from hoseselect.mechanics.fit import outside_diameter_on_nipple


def narrowest_band(
    group: Array, nipple: Array, hoses: HoseColumns, *, unmeasured: bool = False
) -> Array:
    """Return the width of the narrowest band that closes on each hose, shape (n, m) [mm].

    Infinite where no clamp of the shop does, NaN where it is not known.

    Parameters
    ----------
    group : number for the group of the service, -1 where no clamp is used, shape (n, 1)
    nipple : outside diameter, shape (n, 1) [mm]
    hoses : m sizes, with the clamps of the shop
    unmeasured : whether a nipple that is not known is taken to be as large as the bore
    """
    sizes = hoses.sizes
    of_nipple = kinds_of(nipple)
    diameters = outside_diameter_on_nipple(
        sizes.outside_diameter, sizes.bore, nipple[of_nipple.first]
    )
    if unmeasured:
        not_known = np.isnan(nipple[of_nipple.first])
        diameters = np.where(not_known, sizes.outside_diameter, diameters)
    kinds = both(of_nipple, kinds_of(group))
    widths = np.full((len(kinds), len(sizes)), np.inf)
    groups = group[kinds.first, 0]
    for place in sorted(set(groups.tolist()) - {-1}):
        rows = np.flatnonzero(groups == place)
        diameter = diameters[of_nipple.kind[kinds.first[rows]]]
        narrowest = np.full(diameter.shape, np.inf)
        for low, high, width in _ranges(place, hoses):
            closes = closes_on(diameter, low, high)
            np.minimum(narrowest, np.where(closes, width, np.inf), out=narrowest)
        widths[rows] = np.where(np.isnan(diameter), np.nan, narrowest)
    return widths[kinds.kind]


def narrowest_bands(
    group: Array, ends: tuple[Array, Array], hoses: HoseColumns, *, unmeasured: bool = False
) -> tuple[Array, Array]:
    """Return the width of the narrowest band at nipple A and at nipple B, each (n, m) [mm].

    Nipples that are alike are looked at once.

    Parameters
    ----------
    group, hoses, unmeasured : as for `narrowest_band`
    ends : outside diameters of nipple A and of nipple B, each of shape (n, 1) [mm]
    """
    nipple_a, nipple_b = ends
    at_a = narrowest_band(group, nipple_a, hoses, unmeasured=unmeasured)
    at_b = at_a.copy()
    apart = np.flatnonzero((nipple_a != nipple_b)[:, 0])  # NaN too
    at_b[apart] = narrowest_band(group[apart], nipple_b[apart], hoses, unmeasured=unmeasured)
    return at_a, at_b


def _ranges(place: int, hoses: HoseColumns) -> list[tuple[Array, Array, Array]]:
    """Return ranges and widths of a group's clamps, each as three rows over the sizes [mm]."""
    service = int(np.flatnonzero(group_places() == place)[0])
    firm, soft = hoses.clamp_ranges[service], hoses.clamp_ranges_soft[service]
    nothing = np.array([np.inf, -np.inf, np.inf])
    spans = []
    for number in range(max(len(firm), len(soft))):
        on_firm = firm[number] if number < len(firm) else nothing
        on_soft = soft[number] if number < len(soft) else nothing
        low, high, width = (
            np.where(hoses.sizes.soft_cover, of_soft, of_firm)[None, :]
            for of_firm, of_soft in zip(on_firm, on_soft, strict=True)
        )
        spans.append((low, high, width))
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


def clamp_group(service: Array) -> Array:
    """Return a number for the group of the service, -1 where no clamp is used, shape (n, 1)."""
    return np.where(service_columns().clamped[service], group_places()[service], -1)
