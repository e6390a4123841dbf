"""The rolls and remnants of a catalogue as stock, and the usual figures of the saw."""

from __future__ import annotations

import math

from hoseselect.catalogue.columns import Catalogue
from hoseselect.knowledge.load import limit
from hoseselect.quantities.exact import MILLIMETRES_PER_METRE
from hoseselect.quantities.read import read_quantity
from hoseselect.rolls.plan import StockRoll

NEARLY_FULL = 0.999


def stock_of(catalogue: Catalogue) -> list[StockRoll]:
    """Return the rolls in stock; a roll as long as it is sold counts as new."""
    rolls, sizes = catalogue.rolls, catalogue.sizes
    return [
        StockRoll(
            roll=str(rolls.roll[k]),
            hose_size=str(rolls.hose_size[k]),
            length=float(rolls.length_m[k]) * MILLIMETRES_PER_METRE,
            place=rolls.place[k],
            new=bool(
                rolls.length_m[k] >= NEARLY_FULL * sizes.roll_length_m[int(rolls.size_index[k])]
            ),
        )
        for k in range(len(rolls))
    ]


def lengths_or_usual(saw: str, keep: str) -> tuple[float, float]:
    """Return saw allowance and least remnant worth keeping [mm]; unknown takes the usual.

    Raises
    ------
    InputError
        when one of them is no length.
    """
    given = (
        read_quantity(saw, "length", "--saw", minimum=0.0),
        read_quantity(keep, "length", "--keep", minimum=0.0),
    )
    usual = (limit("saw-allowance"), limit("remnant-worth-keeping"))
    first, second = (
        one if math.isnan(value) else value for value, one in zip(given, usual, strict=True)
    )
    return first, second
