"""Write a cut list as a CSV sheet that a spreadsheet opens without running anything."""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Iterator
from pathlib import Path

from hoseselect.rolls.plan import PlannedRoll, RollPlan

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

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""A cell that starts like this is taken for a formula by spreadsheets."""

Cell = str | int | float


def safe_cell(text: str) -> str:
    """Put an apostrophe before text that a spreadsheet would run as a formula."""
    risky = text.startswith(FORMULA_STARTS) or text.lstrip().startswith(FORMULA_STARTS)
    return f"'{text}" if risky else text


def cut_list_text(plan: RollPlan) -> str:
    """Cut list as CSV text: rolls in the order of the plan, cuts in cutting order, then shortages.

    Parameters
    ----------
    plan : plan of all hose sizes

    Returns
    -------
    text with one heading line; lengths in millimetres
    """
    lines = io.StringIO(newline="")
    writer = csv.writer(lines, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for roll in plan.rolls:
        writer.writerows(_written(row) for row in _roll_rows(roll))
    for short in plan.short:
        order = short.order
        row: dict[str, Cell] = {
            "hose_size": order.hose_size,
            "what": "short",
            "length_mm": order.length,
        }
        row |= {"count": short.count, "job": order.job, "reason": short.reason}
        writer.writerow(_written(row))
    return lines.getvalue()


def write_cut_list(plan: RollPlan, path: Path) -> None:
    """Write the cut list, the whole of it or nothing.

    Parameters
    ----------
    plan : plan of all hose sizes
    path : file to write, UTF-8 with a byte order mark for spreadsheets

    Raises
    ------
    OSError : the file cannot be written; an older one is left as it was
    """
    new = path.with_name(f".{path.name}.{os.getpid()}.new")
    try:
        new.write_bytes(cut_list_text(plan).encode("utf-8-sig"))
        new.replace(path)
    except BaseException:
        new.unlink(missing_ok=True)
        raise


def _roll_rows(roll: PlannedRoll) -> Iterator[dict[str, Cell]]:
    """Yield the cuts of a roll and what is left of it."""
    stock = roll.stock
    head: dict[str, Cell] = {"hose_size": stock.hose_size, "roll": stock.roll}
    head |= {"place": stock.place, "roll_length_mm": stock.length}
    for step, cut in enumerate(roll.cuts, start=1):
        place: dict[str, Cell] = {"step": step, "length_mm": cut.length, "starts_at_mm": cut.start}
        yield head | place | {"what": "cut", "count": 1, "job": cut.job}
    for what, length in (("remnant", roll.remnant), ("waste", roll.waste)):
        if length:
            yield head | {"what": what, "length_mm": length}


def _written(row: dict[str, Cell]) -> list[str]:
    """Cells in the order of the columns."""
    return [_text(row.get(column, "")) for column in COLUMNS]


def _text(cell: Cell) -> str:
    """Safe text, or a number with no more than three decimals."""
    return safe_cell(cell) if isinstance(cell, str) else f"{round(cell, 3):.12g}"
