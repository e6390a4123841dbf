"""What a hose states, as far as it is believed, and what is estimated where it states nothing.

A figure beyond that of its marking is lowered to it. One beyond what is usual for its rubber is
kept, and is no more than a claim above that. One that cannot be is not counted.
"""

from __future__ import annotations

import math
import re
from functools import cache

from .tables import constant, limit, number, pairs, rows, where

POISSON = 0.5
KPA_OF_MPA = 1000.0


@cache
def published(markings: tuple[str, ...], line: str, names: tuple[str, ...]) -> list[float]:
    """Return the figures of some names that the markings of a hose are published for.

    Of a figure for one class or type of the marking, that of the class in its print counts, in
    place of the plain one.
    """
    found = []
    for mark in markings:
        plain: dict[str, float | None] = {}
        of_class: dict[str, float | None] = {}
        for row in where("marking_figures", "marking", mark):
            name, _, kind = row["figure"].partition("-class-")
            word = "class"
            if not kind:
                name, _, kind = row["figure"].partition("-type-")
                word = "type"
            try:
                value = number(row["value"])
            except ValueError:
                value = None  # a word and no figure
            if not kind:
                plain.setdefault(name, value)
            elif re.search(rf"\b{word} {kind}\b", line, re.IGNORECASE):
                of_class[name] = value
        for name, value in (plain | of_class).items():
            if name in names and value is not None:
                found.append(value)
    return found


def at_most(stated: float | None, caps: list[float]) -> float | None:
    """Return a statement lowered to the best of its markings."""
    return min(stated, max(caps)) if stated is not None and caps else stated


def at_least(stated: float | None, caps: list[float]) -> float | None:
    """Return a statement raised to the best of its markings, as of cold."""
    return max(stated, min(caps)) if stated is not None and caps else stated


@cache
def usual(parts: tuple[tuple[str, ...], ...], figure: str) -> list[float]:
    """Return what liner and cover usually stand, each where it is known of all it may be."""
    best = min if figure == "temperature-cold-lowest" else max
    table = pairs("polymer_figures", "symbol", "figure")
    found = []
    for polymers in parts:
        rows_of = [table.get((polymer, figure)) for polymer in polymers]
        if rows_of and None not in rows_of:
            found.append(best(float(row["value"]) for row in rows_of if row))
    return found


@cache
def clamped_pressure(markings: tuple[str, ...], line: str) -> float | None:
    """Return the pressure with clamps that the markings cover [kPa].

    A figure whose ends are not stated counts as far as any marking goes with clamps.
    """
    clamped = published(markings, line, ("pressure-clamped",))
    working = published(markings, line, ("pressure-working",))
    highest = max(
        float(row["value"])
        for row in rows("marking_figures")
        if row["figure"] == "pressure-clamped"
    )
    return max([*clamped, *(min(highest, value) for value in working)], default=None)


def kink(bore: float, outside: float | None) -> tuple[float | None, float | None]:
    """Return the radius that a plain tube surely takes, and that below which it kinks [mm]."""
    if outside is None or outside <= bore:
        return None, None
    mean, wall = (bore + outside) / 4, (outside - bore) / 2
    brazier = 3 / math.sqrt(2) * mean**2 * math.sqrt(1 - POISSON**2) / wall
    thumb = limit("inside-radius-per-bore") * bore + outside / 2
    return max(thumb, brazier), brazier


def modulus(hardness: float | None) -> tuple[float, float] | None:
    """Return Young's modulus by the two relations, the lower first, where both hold [MPa]."""
    if hardness is None or not (
        constant("base-ten-hardness-over") < hardness < constant("base-ten-hardness-under")
    ):
        return None
    rise = constant("gent-offset") + constant("gent-slope") * hardness
    fall = constant("gent-fall-start") - constant("gent-fall-slope") * hardness
    gent = constant("gent-kgf-per-square-centimetre") * rise / (constant("gent-divisor") * fall)
    ten = 10 ** (constant("base-ten-slope") * hardness + constant("base-ten-offset"))
    return min(gent, ten), max(gent, ten)


def collapse(
    bore: float, outside: float | None, hardness: float | None
) -> tuple[float | None, float | None]:
    """Return the suction that a plain wall surely bears, and the most it may bear [kPa]."""
    young = modulus(hardness)
    if young is None or outside is None or outside <= bore:
        return None, None
    slender = ((outside - bore) / 2) / ((bore + outside) / 4)
    ring = KPA_OF_MPA / (4 * (1 - POISSON**2)) * slender**3
    hot = limit("hot-modulus-share")
    return young[0] * hot * ring / limit("collapse-factor"), young[1] * ring


def credible_radius(
    stated: float | None, outside: float | None, brazier: float | None, *, helix: bool
) -> float | None:
    """Return a stated least radius; None where no hose of its make bends so tight."""
    if stated is None or (outside is not None and stated <= outside / 2):
        return None
    if not helix and brazier is not None and stated < brazier:
        return None
    return stated


def credible_pressure(stated: float | None) -> float | None:
    """Return a stated pressure with clamps; None where no clamp holds so much [kPa]."""
    too_much = stated is not None and stated > limit("clamped-pressure-highest")
    return None if too_much else stated
