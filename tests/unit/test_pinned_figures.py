"""Cells that decide something, pinned, so that a changed figure, word or row is seen.

`pinned_figures.csv` pins figures one by one, each with its source: where there is a publication,
from that and not from the table of the package. `pinned_groups.csv` says which rows of a table
share the same deciding cells, all of them and no other: what is refused for a service, what a word
means, which lines get a range. It was read over when it was written, and says on what its rows
rest; most of it is common practice, for which there is nothing but the table: a change of it is a
decision, and is made in both places.
"""

from __future__ import annotations

import csv
from collections import Counter
from pathlib import Path

import pytest

from hoseselect.knowledge.load import Row, table


def read(name: str) -> list[dict[str, str]]:
    with (Path(__file__).parent / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


PINNED = read("pinned_figures.csv")
GROUPS = read("pinned_groups.csv")


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


def unlike_in(name: str) -> list[str]:
    """Return what is pinned of one table and does not stand in it."""
    figures = unlike([row for row in PINNED if row["table"] == name])
    return figures + other_groups([row for row in GROUPS if row["table"] == name])


def other_groups(pinned: list[dict[str, str]]) -> list[str]:
    """Return the pinned groups that a table does not hold just so, and groups without a source."""
    found = []
    for row in pinned:
        keys = dict(part.split("=", 1) for part in row["where"].split(" & ") if part)
        held = [cells[row["lists"]] for cells in rows_with(row["table"], keys)]
        group = sorted(row["values"].split(" | "))
        if sorted(held) != group or not row["source"]:
            other = Counter(held)
            other.subtract(group)
            wrong = {value: count for value, count in other.items() if count}
            found.append(f"{row['table']} {row['where']} {row['lists']}: {wrong}")
    return found


def rows_with(name: str, keys: dict[str, str]) -> list[Row]:
    return table(name).where(**keys) if keys else list(table(name))


@pytest.mark.parametrize("name", sorted({row["table"] for row in PINNED + GROUPS}))
def test_figures_are_as_pinned(name: str) -> None:
    assert unlike_in(name) == []


def test_many_figures_are_pinned_once_each() -> None:
    assert len(PINNED) > 600
    assert len({(row["table"], row["row"], row["field"]) for row in PINNED}) == len(PINNED)
    assert len(GROUPS) > 1000
    assert len({(row["table"], row["where"], row["lists"]) for row in GROUPS}) == len(GROUPS)


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


@pytest.mark.parametrize("place", range(0, len(GROUPS), 100))
def test_a_row_too_few_or_too_many_is_seen(place: int) -> None:
    own = GROUPS[place]
    assert len(other_groups([own | {"values": f"{own['values']} | 77777"}])) == 1
    assert len(other_groups([own | {"values": "77777"}])) == 1
    assert len(other_groups([own | {"source": ""}])) == 1
