"""The list of changes of the code cannot rot: each can still be made, and names tests that are."""

from __future__ import annotations

import re
import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
NAME = "run_changes"
_spec = spec_from_file_location(NAME, Path(__file__).with_name(f"{NAME}.py"))
assert _spec is not None
assert _spec.loader is not None
run_changes = module_from_spec(_spec)
sys.modules[NAME] = run_changes
_spec.loader.exec_module(run_changes)

CHANGES = run_changes.read_changes()
LEAST = 92
KINDS = {
    "unknown as pass",
    "second end",
    "edge",
    "adverse end",
    "applies too narrow",
    "limit swapped",
    "unsafe side",
    "something lost",
}


def test_there_are_enough_and_none_twice() -> None:
    made = {(change.file, change.was, change.became) for change in CHANGES}
    assert len(made) == len(CHANGES) >= LEAST
    assert {change.kind for change in CHANGES} == KINDS


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: f"{change.file}:{change.was}")
def test_a_change_can_be_made_and_names_its_tests(change: run_changes.Change) -> None:  # type: ignore[name-defined]
    text = (ROOT / "hoseselect" / change.file).read_text(encoding="utf-8")
    assert text.count(change.was) == 1
    assert change.became != change.was
    assert change.seen_by
    for test in change.seen_by:
        file, _, name = test.partition("::")
        found = (ROOT / "tests" / file).read_text(encoding="utf-8")
        assert re.search(rf"^def {name}\(" if name else "^def test_", found, re.MULTILINE), test


def test_a_planted_change_is_told_from_one_that_nothing_sees() -> None:
    """A comment is seen by nothing; that a size beyond all classes falls in the first one is."""
    own, file = ("unit/test_tolerances.py",), "knowledge/tolerances.py"
    line, bent = "np.full(numbers.shape, len(rows), dtype", "np.full(numbers.shape, 0, dtype"
    planted = [
        run_changes.Change(file, "PERCENT = 100.0", "PERCENT = 100.0  # parts", "edge", own),
        run_changes.Change(file, line, bent, "edge", own),
    ]
    assert run_changes.run_changes(planted, 1) == [run_changes.UNSEEN, run_changes.SEEN]
