"""What a hose states, capped by its markings, and how far its make bears the statement out.

A figure beyond that of the marking is lowered to it; of several markings the best counts, and of a
marking with classes the one in the print. Suction is believed a little beyond its marking. A figure
beyond what is usual for liner and cover is kept, but beyond the usual one it is no more than a
claim: conditional. A pressure that no clamp holds, and a bend radius that a wall of that make
cannot take, are not counted at all. What is not stated is not known.
"""

from __future__ import annotations

import re
from functools import cache

import numpy as np

from hoseselect.catalogue.columns import CatalogueSizes, CatalogueTypes, Words
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit, table

STEADY = ("temperature-continuous", "temperature-maximum")
SHORT = ("temperature-short-time", "temperature-maximum")
COLD = ("temperature-cold",)
SUCTION = ("suction", "suction-hot")
PLAIN = re.compile(r"(?P<figure>.*?)-(?P<print>(?:class|type)-\w)")
"""A figure that holds for one class or type of a marking: the print line says which."""


@cache
def figures_of(marking: str, line: str) -> dict[str, float]:
    """Return the figures of a marking, those of the class that is printed before the plain ones.

    Parameters
    ----------
    marking : one marking
    line : the words printed along the hose
    """
    made: dict[str, float] = {}
    for row in table("marking_figures").where(marking=marking):
        found = PLAIN.fullmatch(row["figure"])
        if found is None:
            made.setdefault(row["figure"], _number(row["value"]))
        elif re.search(rf"\b{found['print'].replace('-', ' ')}\b", line, re.IGNORECASE):
            made[found["figure"]] = _number(row["value"])
    return made


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return float("nan")


def caps(markings: tuple[Words, ...], lines: Words, names: tuple[str, ...], *, low: bool) -> Array:
    """Return per type the furthest figure that its markings allow, NaN where none is published.

    Parameters
    ----------
    markings : of each type
    lines : the words printed along each type
    names : of figures
    low : whether lower figures go further, as cold does
    """
    told = zip(markings, lines, strict=True)
    return np.array([_cap(*own, names, low=low) if own[0] else np.nan for own in told])


@cache
def _cap(markings: Words, line: str, names: tuple[str, ...], *, low: bool) -> float:
    found = [
        value
        for mark in markings
        for name, value in figures_of(mark, line).items()
        if name in names and not np.isnan(value)
    ]
    furthest = min if low else max
    return furthest(found, default=float("nan"))


def at_most(stated: Array, cap: Array) -> Array:
    """Return a statement lowered to its cap; what is not stated stays so."""
    return np.where(np.isnan(cap), stated, np.minimum(stated, cap))


def at_least(stated: Array, cap: Array) -> Array:
    """Return a statement raised to its cap; what is not stated stays so."""
    return np.where(np.isnan(cap), stated, np.maximum(stated, cap))


def usual_hottest(types: CatalogueTypes) -> Array:
    """Return the steady temperature that liner and cover usually stand, (t,) [degC].

    Infinite where no figure is known of either.
    """
    return _usual(types, "temperature-continuous-highest", np.inf, low=False)


def usual_coldest(types: CatalogueTypes) -> Array:
    """Return the cold that liner and cover usually stand, (t,) [degC]; minus infinite not known."""
    return _usual(types, "temperature-cold-lowest", -np.inf, low=True)


def _usual(types: CatalogueTypes, figure: str, nothing: float, *, low: bool) -> Array:
    parts = zip(types.liner, types.cover, strict=True)
    return np.array([_usual_of(own, figure, nothing, low=low) for own in parts], dtype=np.float64)


@cache
def _usual_of(parts: tuple[Words, Words], figure: str, nothing: float, *, low: bool) -> float:
    furthest, nearest = (min, max) if low else (max, min)
    known = [
        furthest(values)  # of two that it may be made of, the one that bears it out
        for symbols in parts
        if not np.isnan(values := [_polymer(symbol, figure) for symbol in symbols]).any()
    ]
    return nearest(known) if known else nothing


@cache
def _polymer(symbol: str, figure: str) -> float:
    rows = table("polymer_figures")
    if not rows.has(symbol=symbol, figure=figure):
        return float("nan")
    return rows.row(symbol=symbol, figure=figure).number("value")


@cache
def highest_clamped() -> float:
    """Return the highest pressure that any marking is published for under clamps [kPa]."""
    rows = table("marking_figures").where(figure="pressure-clamped")
    return max(row.number("value") for row in rows)


def clamped_pressure(markings: tuple[Words, ...], lines: Words) -> Array:
    """Return the pressure under clamps that the markings cover, (t,) [kPa].

    A figure of which the ends are not stated holds for clamps only as far as any marking is
    published for clamps.
    """
    clamped = caps(markings, lines, ("pressure-clamped",), low=False)
    other = caps(markings, lines, ("pressure-working",), low=False)
    return np.fmax(clamped, np.minimum(other, highest_clamped()))


def credible_pressure(sizes: CatalogueSizes) -> Array:
    """Return the stated pressure under clamps, (m,) [kPa]; NaN where no clamp holds so much.

    What is doubted is not lowered to something likelier: it may be another figure altogether.
    """
    stated = sizes.working_pressure_clamped
    return np.where(stated > limit("clamped-pressure-highest"), np.nan, stated)


LEAST_RADIUS_PER_OUTSIDE_DIAMETER = 0.5
"""A bend whose inside would have no radius at all."""


def incredible_radius(sizes: CatalogueSizes, kink_least: Array, helix: Array) -> Array:
    """Return where a stated least bend radius is tighter than its make bears out, (m,).

    Parameters
    ----------
    sizes : m sizes
    kink_least : below this a plain tube of this bore and wall surely kinks, (m,) [mm]
    helix : whether a wire supports the wall, (m,)
    """
    stated = sizes.least_bend_radius
    folded = stated <= LEAST_RADIUS_PER_OUTSIDE_DIAMETER * sizes.outside_diameter
    return folded | ((stated < kink_least) & ~helix)
