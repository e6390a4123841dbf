"""Figures that decide something, pinned one by one, so that a changed figure is seen.

The table beside this file was written from the standards and reports themselves, each row with
its source; it is never made from the tables of the package.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from hoseselect.knowledge.load import table

with (Path(__file__).parent / "pinned_figures.csv").open(encoding="utf-8") as stream:
    PINNED = list(csv.DictReader(stream))


def same(found: str, pinned: str) -> bool:
    """Return whether two cells say the same, as numbers where both are numbers."""
    try:
        return float(found) == float(pinned)
    except ValueError:
        return found == pinned


def unlike(pinned: list[dict[str, str]]) -> list[str]:
    """Return the pinned figures that the tables do not hold, and rows without a source."""
    found = []
    for row in pinned:
        keys = dict(part.split("=", 1) for part in row["row"].split(";"))
        cells = table(row["table"]).where(**keys)
        if len(cells) != 1 or not same(cells[0][row["field"]], row["value"]) or not row["source"]:
            held = [cell[row["field"]] for cell in cells]
            found.append(f"{row['table']} {row['row']} {row['field']}: {held}, not {row['value']}")
    return found


@pytest.mark.parametrize("name", sorted({row["table"] for row in PINNED}))
def test_figures_are_as_pinned(name: str) -> None:
    assert unlike([row for row in PINNED if row["table"] == name]) == []


def test_many_figures_are_pinned_once_each() -> None:
    assert len(PINNED) > 600
    assert len({(row["table"], row["row"], row["field"]) for row in PINNED}) == len(PINNED)


def test_every_torque_and_every_figure_of_a_marking_that_caps_a_hose_is_pinned() -> None:
    pinned = {row["row"] for row in PINNED}
    for row in table("marking_figures"):
        caps = row["figure"] in {"temperature-continuous", "pressure-clamped", "suction"}
        own = f"marking={row['marking']};figure={row['figure']}"
        assert not caps or own in pinned or row["status"] == "from-memory", own
    torques = [row for row in PINNED if row["field"] == "torque_new_nm"]
    assert len(torques) == len(table("clamp_torques"))


@pytest.mark.parametrize("place", range(0, len(PINNED), 40))
def test_a_changed_figure_is_seen(place: int) -> None:
    assert len(unlike([PINNED[place] | {"value": "77777"}])) == 1
