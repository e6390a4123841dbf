"""How old the rolls in stock are, and how long their rubber keeps.

The day of today comes from outside: nothing here looks at a clock.
"""

from __future__ import annotations

import datetime
import re
from functools import cache

import numpy as np

from hoseselect.catalogue.columns import (
    Catalogue,
    CatalogueRolls,
    CatalogueSizes,
    CatalogueTypes,
    FloatArray,
    Words,
)
from hoseselect.judging.columns import RollColumns
from hoseselect.knowledge.load import table
from hoseselect.quantities.exact import MILLIMETRES_PER_METRE

DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
QUARTER = re.compile(r"(\d{4})-Q([1-4])", re.ASCII | re.IGNORECASE)
EXPECTED_DATE = "a date as year-month-day, or the quarter on its label as 2021-Q3"
DAYS_OF_A_YEAR = 365.25
MONTHS_OF_A_QUARTER = 3


@cache
def made_on(text: str) -> datetime.date | None:
    """Return the day on which a roll was made, of a quarter its first; None where it is no date.

    Examples
    --------
    >>> made_on("2021-Q3"), made_on("2025-02-30")
    (datetime.date(2021, 7, 1), None)
    """
    quarter = QUARTER.fullmatch(text)
    try:
        if quarter:
            month = MONTHS_OF_A_QUARTER * (int(quarter[2]) - 1) + 1
            return datetime.date(int(quarter[1]), month, 1)
        return datetime.date.fromisoformat(text) if DAY.fullmatch(text) else None
    except ValueError:
        return None


def ages(dates: Words, today: datetime.date | None) -> FloatArray:
    """Return the ages of rolls [years], below 0 of a day to come; NaN no date or no today."""
    made = [made_on(text) if today else None for text in dates]
    return np.array([_years(day, today) for day in made])


def _years(day: datetime.date | None, today: datetime.date | None) -> float:
    return np.nan if day is None or today is None else (today - day).days / DAYS_OF_A_YEAR


def roll_columns(catalogue: Catalogue) -> RollColumns:
    """Return the rolls in stock as rules see them."""
    rolls = catalogue.rolls
    lives = roll_lives(rolls, catalogue.sizes, catalogue.types)
    age = ages(rolls.date_made, catalogue.today)
    return RollColumns(
        name=rolls.roll,
        place=rolls.place,
        size_index=rolls.size_index,
        length=rolls.length_m * MILLIMETRES_PER_METRE,
        age=np.where(age < 0, np.nan, age),
        keeps=lives[:, 0],
        keeps_at_most=lives.sum(axis=1),
    )


def roll_lives(rolls: CatalogueRolls, sizes: CatalogueSizes, types: CatalogueTypes) -> FloatArray:
    """Return the storage life of each roll and the years after a look, shape (r, 2) [years]."""
    lives = [
        storage_life((*liner, *cover))
        for liner, cover in zip(types.liner, types.cover, strict=True)
    ]
    lives.append(storage_life(()))
    of_type = np.append(sizes.type_index, -1)[rolls.size_index]  # -1: of a size or type not known
    return np.array(lives)[of_type]


@cache
def storage_life(symbols: Words) -> tuple[float, float]:
    """Return years in store and the years after a look at it, of what keeps shortest.

    Parameters
    ----------
    symbols : polymers of liner and cover; of what is not known the shortest life of all is taken

    Examples
    --------
    >>> storage_life(("NBR", "CR")), storage_life(("EPDM", "textile"))
    ((7.0, 3.0), (10.0, 5.0))
    """
    lives = _lives()
    shortest = min(lives.values())
    own = [lives.get(symbol, shortest) for symbol in symbols if symbol != "textile"]
    return min(own, default=shortest)


@cache
def _lives() -> dict[str, tuple[float, float]]:
    """Return the storage life of each polymer, and the years after a look at it."""
    return {
        row["symbol"]: (row.number("years"), row.number("further_years"))
        for row in table("storage_life")
    }
