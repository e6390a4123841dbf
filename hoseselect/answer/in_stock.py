"""Where a hose of an answer hangs, what is left of it there, and what the piece costs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.finding import number_or_null
from hoseselect.judging.columns import HoseColumns
from hoseselect.quantities.exact import MILLIMETRES_PER_METRE
from hoseselect.rules.stock import roll_to_take

CENT = 2  # decimals of money


@dataclass(frozen=True)
class InStock:
    """The roll to cut a piece from, and its price.

    Parameters
    ----------
    roll, place : id of the roll and where it hangs; empty where the hose must be ordered
    metres_left : on that roll [m]; NaN where it must be ordered
    price_per_m : in the catalogue's money; NaN not stated
    cost : of the piece, the longest that it may come to; NaN where length or price is not known
    """

    roll: str
    place: str
    metres_left: float
    price_per_m: float
    cost: float

    def as_json(self) -> dict[str, Any]:
        """Return it as plain values; unknown figures are null."""
        return {
            "roll": self.roll,
            "place": self.place,
            "metres_left": number_or_null(self.metres_left, 3),
            "price_per_m": number_or_null(self.price_per_m),
            "cost": number_or_null(self.cost),
        }


def in_stock(catalogue: Catalogue, columns: HoseColumns, size: int, cut: float) -> InStock:
    """Return the roll from which a piece of a hose size is cut, and what the piece costs.

    Parameters
    ----------
    catalogue, columns : what the shop sells
    size : position of the size
    cut : the length to cut [mm]; NaN not known, then any roll will do
    """
    price = float(catalogue.sizes.price_per_m[size])
    cost = round(price * cut / MILLIMETRES_PER_METRE, CENT)
    rolls = columns.rolls
    roll = roll_to_take(rolls, size, cut)
    if roll < 0:
        return InStock("", "", math.nan, price, cost)
    left = float(rolls.length[roll]) / MILLIMETRES_PER_METRE
    return InStock(str(rolls.name[roll]), rolls.place[roll], left, price, cost)
