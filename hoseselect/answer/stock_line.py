"""Where the hose that is offered hangs, and the clamps that hold it, for the first screen."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from hoseselect.cutplan.clamp_choice import clamp_choices
from hoseselect.domain.cut import ClampChoice
from hoseselect.quantities.shown import shown
from hoseselect.rules.stock import roll_to_take

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer
    from hoseselect.answer.hose_answer import HoseAnswer

METRE = 1000.0  # [mm]


@dataclass(frozen=True)
class StockLine:
    """The roll to cut from.

    Parameters
    ----------
    place, roll : where it hangs and its name; empty where no roll is long enough
    metres_left : on it [m]
    """

    place: str = ""
    roll: str = ""
    metres_left: float = math.nan


def stock_line(answer: Answer, hose: HoseAnswer) -> StockLine:
    """Return the roll to cut a hose from: the one that the rule of the stock names."""
    rolls = answer.columns.rolls
    roll = roll_to_take(rolls, hose.place, hose.cut_length)
    if roll < 0:
        return StockLine()
    left = float(rolls.length[roll]) / METRE
    return StockLine(str(rolls.place[roll]), str(rolls.name[roll]), left)


def clamp_lines(answer: Answer, hose: HoseAnswer, units: str) -> tuple[str, ...]:
    """Return the clamps of both ends in words, those alike counted together.

    Parameters
    ----------
    answer, hose : what is offered
    units : "mm" or "in"
    """
    job = answer.job
    found: dict[str, int] = {}
    for nipple in (job.nipple_a, job.nipple_b):
        if math.isnan(nipple.outside_diameter):
            continue
        choices = clamp_choices(answer.catalogue, hose.place, nipple, job.service)
        for choice in choices[:1]:
            words = clamp_words(choice, units)
            found[words] = found.get(words, 0) + choice.number
    return tuple(f"{number} x {words}" for words, number in found.items())


def clamp_words(choice: ClampChoice, units: str) -> str:
    """Return the kind of a clamp and what it closes on."""
    low, high = shown(choice.range_min, "mm", units), shown(choice.range_max, "mm", units)
    return f"{choice.family} clamp, {low.removesuffix(' mm').removesuffix(' in')} to {high}"
