"""Write a cut list as a CSV sheet that a spreadsheet opens without running anything."""

from __future__ import annotations

from collections.abc import Iterator

from hoseselect.files.harmless import harmless
from hoseselect.rolls.plan import PlannedRoll, RollPlan, Shortage

COLUMNS = (
    "hose_size",
    "roll",
    "place",
    "roll_length_mm",
    "step",
    "what",
    "length_mm",
    "starts_at_mm",
    "count",
    "job",
    "reason",
)
"""`what` is cut, remnant, waste or short; remnant and waste are what is left of the roll."""

Cell = str | int | float


def cut_list_text(plan: RollPlan) -> str:
    """Cut list as CSV text: rolls in the order of the plan, cuts in cutting order, then shortages.

    Parameters
    ----------
    plan : plan of all hose sizes

    Returns
    -------
    text with one heading line; lengths in millimetres
    """
    import pandas

    rows = [row for roll in plan.rolls for row in _roll_rows(roll)]
    rows += [_short_row(short) for short in plan.short]
    frame = pandas.DataFrame(rows, columns=list(COLUMNS)).round(3)
    return frame.to_csv(index=False, float_format="%.12g", lineterminator="\r\n")


def _short_row(short: Shortage) -> dict[str, Cell]:
    order = short.order
    row: dict[str, Cell] = {"hose_size": harmless(order.hose_size), "what": "short"}
    row |= {"length_mm": order.length, "count": short.count}
    return row | {"job": harmless(order.job), "reason": harmless(short.reason)}


def _roll_rows(roll: PlannedRoll) -> Iterator[dict[str, Cell]]:
    """Yield the cuts of a roll and what is left of it."""
    stock = roll.stock
    head: dict[str, Cell] = {"hose_size": harmless(stock.hose_size), "roll": harmless(stock.roll)}
    head |= {"place": harmless(stock.place), "roll_length_mm": stock.length}
    for step, cut in enumerate(roll.cuts, start=1):
        place: dict[str, Cell] = {"step": step, "length_mm": cut.length, "starts_at_mm": cut.start}
        yield head | place | {"what": "cut", "count": 1, "job": harmless(cut.job)}
    for what, length in (("remnant", roll.remnant), ("waste", roll.waste)):
        if length:
            yield head | {"what": what, "length_mm": length}
