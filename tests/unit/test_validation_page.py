"""docs/validation.md lists every check against something outside the program, and no other."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "validation.md"
CHECKS = ROOT / "tests" / "validation"
CELLS = 6  # publication, item, printed value, our value, tolerance, why


def files() -> set[str]:
    """Return the names of the files of checks."""
    return {path.name for path in CHECKS.glob("test_*.py")}


def sections(page: str) -> dict[str, list[list[str]]]:
    """Return the cells of every row of the page, by the file in the heading above."""
    found: dict[str, list[list[str]]] = {}
    name = ""
    for line in page.splitlines():
        heading = re.fullmatch(r"### `(test_\w+\.py)`", line)
        if heading:
            name = heading.group(1)
            found.setdefault(name, [])
        elif line.startswith("#"):
            name = ""
        elif line.startswith("|") and not line.startswith(("| publication ", "|---")):
            found.setdefault(name, []).append([c.strip() for c in line.strip("|").split("|")])
    return found


def faults(page: str, checks: set[str]) -> list[str]:
    """Return what the page leaves out, names in vain, or leaves empty."""
    listed = sections(page)
    named = set(re.findall(r"test_\w+\.py", page))
    found = [f"{name}: not on the page" for name in sorted(checks - set(listed))]
    found += [f"{name}: no such file" for name in sorted((set(listed) | named) - checks)]
    found += [f"{name}: no row" for name, rows in listed.items() if not rows]
    found += [
        f"{name}: row {row[:2]} is not six filled cells"
        for name, rows in listed.items()
        for row in rows
        if len(row) != CELLS or not all(row)
    ]
    return found


def test_every_check_is_listed_and_every_listed_check_exists() -> None:
    assert len(files()) > 20
    assert faults(PAGE.read_text(encoding="utf-8"), files()) == []


ROW = (
    "| publication | item | printed value | our value | tolerance | why |\n"
    "|---|---|---|---|---|---|\n"
)
GOOD = f"### `test_one.py`\n\n{ROW}| a | b | 1 | 1 | exact | look-up |\n"


def test_a_good_page_passes() -> None:
    assert faults(GOOD, {"test_one.py"}) == []


@pytest.mark.parametrize(
    ("page", "checks", "fault"),
    [
        (GOOD, {"test_one.py", "test_two.py"}, "test_two.py: not on the page"),
        (GOOD, set(), "test_one.py: no such file"),
        (GOOD + "\nsee `test_two.py`\n", {"test_one.py"}, "test_two.py: no such file"),
        (f"### `test_one.py`\n\n{ROW}", {"test_one.py"}, "test_one.py: no row"),
        (GOOD.replace("| exact ", "|  "), {"test_one.py"}, "is not six filled cells"),
        (GOOD.replace("| exact ", ""), {"test_one.py"}, "is not six filled cells"),
        (GOOD.replace("###", "##"), {"test_one.py"}, "test_one.py: not on the page"),
    ],
)
def test_planted_faults_are_found(page: str, checks: set[str], fault: str) -> None:
    assert any(fault in found for found in faults(page, checks))
