"""Every column of every table is changed, or only tells; a planted change is seen or told."""

from __future__ import annotations

import random
import re

import pytest

from hoseselect.knowledge.load import TABLES_FOLDER, table
from tests.mutations import tables
from tests.mutations.forked import SEEN, UNSEEN

NAMES = sorted(path.stem for path in TABLES_FOLDER.glob("*.csv"))
OWN = {"source_id", "locator", "status"}
COLUMNS = tables.read_columns()
WAYS = {"number", "word", "key", "list ;", "list |", "pattern", "told"}


def test_every_column_is_named_once_with_its_way_or_a_reason() -> None:
    assert sorted(COLUMNS) == NAMES
    for name, columns in COLUMNS.items():
        beside = OWN if name != "sources" else set()
        assert [column["column"] for column in columns] == [
            heading for heading in table(name).rows[0].cells if heading not in beside
        ]
        for column in columns:
            assert column["how"] in WAYS
            assert bool(column["reason"]) == (column["how"] == "told" or bool(column["rows"]))


def test_a_cell_is_changed_the_way_that_its_column_says() -> None:
    assert list(tables.others("number", "50", [], "")) == ["55", "45"]
    assert list(tables.others("number", "-40", [], "")) == ["-44", "-36"]
    assert list(tables.others("number", "0", [], "")) == ["1", "-1"]
    assert list(tables.others("word", "yes", ["no", "yes"], "")) == ["no"]
    assert list(tables.others("list ;", "a;b", [], "")) == ["b"]
    assert list(tables.others("told", "words", [], "")) == []


@pytest.mark.parametrize("name", NAMES)
def test_the_pinned_cells_see_what_decides(name: str) -> None:
    """A few changes of each table, drawn; the whole run is made by hand."""
    every = list(tables.changes(name, COLUMNS[name]))
    for change in random.Random(name).sample(every, min(4, len(every))):
        assert tables.seen_by_pins(change) or name in tables.read_tests(), str(change)


def test_a_planted_change_is_told_from_one_that_no_test_sees() -> None:
    """A sentence is pinned by nothing; that a print of air-brake hose stops is tried."""
    tests = {"rules": ("tests/unit/test_comparison.py",)}
    sentence = tables.Change("rules", 2, "remedy", "", "Do something else.", "")
    assert tables.tried(sentence, tests) == UNSEEN
    row = table("print_stops").rows[3]
    pattern = tables.Change("print_stops", row.line, "print_pattern", "", "NEVER", "")
    assert tables.tried(pattern, tables.read_tests()) == SEEN


def test_every_named_test_is_there() -> None:
    for name, tests in tables.read_tests().items():
        assert re.fullmatch(r"[a-z_]+", name)
        assert name in COLUMNS
        assert all((tables.ROOT / test).is_file() for test in tests)
