"""What contradicts itself or looks odd in clamps, fittings and rolls."""

from __future__ import annotations

from datetime import date

import numpy as np

from hoseselect.catalogue.columns import (
    CatalogueClamps,
    CatalogueFittings,
    CatalogueRolls,
    CatalogueSizes,
    CatalogueTypes,
)
from hoseselect.catalogue.doubt import Doubt, above
from hoseselect.catalogue.roll_age import ages, roll_lives


def clamp_doubts(clamps: CatalogueClamps) -> list[Doubt]:
    """Return what is contradictory in the clamps."""
    return [
        above(
            clamps.range_min, clamps.range_max, "range_min_mm", "mm", "end of the range", same=False
        ),
    ]


def fitting_doubts(fittings: CatalogueFittings) -> list[Doubt]:
    """Return what is odd in the fittings."""
    equal = fittings.nipple_a == fittings.nipple_b
    return [
        Doubt(
            (fittings.kind == "reducer") & equal,
            "warning",
            "nipple_b_mm",
            lambda row: f"{fittings.nipple_b[row]:g} mm at both ends",
            lambda _: "two different nipples on a reducer",
        ),
        Doubt(
            (fittings.kind == "elbow") & ~(fittings.angle_deg > 0.0),
            "warning",
            "angle_deg",
            lambda row: "an empty cell" if np.isnan(fittings.angle_deg[row]) else "0 deg",
            lambda _: "the angle of the elbow",
        ),
    ]


def roll_doubts(
    rolls: CatalogueRolls,
    sizes: CatalogueSizes,
    types: CatalogueTypes,
    today: date | None = None,
) -> list[Doubt]:
    """Return what is odd in the rolls; without a day of today nothing is said of their age."""
    full = np.append(sizes.roll_length_m, np.nan)[rolls.size_index]
    age, keeps = ages(rolls.date_made, today), roll_lives(rolls, sizes, types)[:, 0]
    return [
        Doubt(
            rolls.length_m > full,
            "warning",
            "length_m",
            lambda row: f"{rolls.length_m[row]:g} m",
            lambda row: f"at most a full roll, {full[row]:g} m",
        ),
        Doubt(
            age < 0,
            "warning",
            "date_made",
            lambda row: f"'{rolls.date_made[row]}', a day to come",
            lambda _: "the day or quarter in which it was made",
        ),
        Doubt(
            age > keeps,
            "warning",
            "date_made",
            lambda row: f"a roll {age[row]:.0f} years old",
            lambda row: f"at most {keeps[row]:g} years in store (from memory): look at it",
        ),
    ]
