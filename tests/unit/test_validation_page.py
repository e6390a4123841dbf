"""tests/validation/record.csv tells every check against something outside the program.

The page of checks is written from this record and from what stands on top of each check.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Collection, Mapping
from pathlib import Path

import pytest

CHECKS = Path(__file__).parents[1] / "validation"
RECORD = CHECKS / "record.csv"
NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?:e[-+]?\d+)?")
WORKED_OUT = {
    ("test_oil_tables", "90"): "the lowest of a column",
    ("test_arrhenius_iso11346", "75.8"): "a slope times the gas constant",
    ("test_sae_j189", "0.401"): "0.69 over 1.72",
    ("test_cfr49_571_106", "2413"): "350 psi",
    ("test_cfr49_571_106", "1207"): "175 psi",
    ("test_cutting_stock_published", "41524"): "the sum of the lengths",
    ("test_cutting_stock_published", "3776"): "what is left of 453 pieces",
}
"""Printed figures that a check works out of others, and how."""
BY_LIBRARY = "scipy"
"""What a publication names whose figures are the constants of a library."""

Rows = list[dict[str, str]]


def record() -> Rows:
    """Return the rows of the record."""
    with RECORD.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def texts() -> dict[str, str]:
    """Return what each check says, with the tables that it reads."""
    tables = {path.stem: path.read_text(encoding="utf-8") for path in CHECKS.glob("tables/*")}
    found = {}
    for path in CHECKS.glob("test_*.py"):
        text = path.read_text(encoding="utf-8")
        found[path.stem] = "\n".join((text, *(t for name, t in tables.items() if name in text)))
    return found


def faults(rows: Rows, checks: Collection[str]) -> list[str]:
    """Return what the record leaves out, names in vain, or leaves empty."""
    listed = {row["check"] for row in rows}
    found = [f"{name}: not in the record" for name in sorted(set(checks) - listed)]
    found += [f"{name}: no such check" for name in sorted(listed - set(checks))]
    return found + [
        f"{row['check']}: an empty cell" for row in rows if not all(filled(row).values())
    ]


def filled(row: Mapping[str, str]) -> dict[str, bool]:
    """Return whether each cell of a row is filled."""
    return {str(name): bool(cell and cell.strip()) for name, cell in row.items()}


def figures(text: str) -> set[float]:
    """Return the figures of a text without their powers of ten: a unit may shift the point."""
    digits = (float(number) for number in NUMBER.findall(text.replace("_", "").replace(",", "")))
    return {round(digit / 10 ** math.floor(math.log10(digit)), 9) for digit in digits if digit}


def unsupported(rows: Rows, told: Mapping[str, str]) -> list[str]:
    """Return the printed figures that stand nowhere in the check that is said to hold them."""
    own = {check: figures(re.sub(r"(?<=\d),(?=\d\d)", " ", text)) for check, text in told.items()}
    return [
        f"{row['check']}: {number}"
        for row in rows
        if BY_LIBRARY not in row["publication"]
        for number in NUMBER.findall(row["printed_value"].replace(",", ""))
        if (row["check"], number) not in WORKED_OUT and not figures(number) <= own[row["check"]]
    ]


def test_every_check_is_in_the_record_and_every_recorded_check_exists() -> None:
    assert len(texts()) > 20
    assert faults(record(), texts()) == []


def test_every_printed_figure_stands_in_its_check() -> None:
    assert unsupported(record(), texts()) == []


def test_every_check_says_on_top_where_its_figures_come_from() -> None:
    assert [name for name, text in texts().items() if not text.startswith('"""')] == []


GOOD = {
    "part": "Sizes",
    "check": "test_one",
    "publication": "a",
    "item": "b",
    "printed_value": "0.69 MPa, 1,500",
    "our_value": "690",
    "tolerance": "exact",
    "why": "look-up",
}
CHECK = {"test_one": '"""A book."""\nassert limit == 690\nassert other == 1_500'}


def test_a_good_record_passes() -> None:
    assert faults([GOOD], CHECK) == []
    assert unsupported([GOOD], CHECK) == []


@pytest.mark.parametrize(
    ("rows", "checks", "fault"),
    [
        ([GOOD], {"test_one", "test_two"}, "test_two: not in the record"),
        ([GOOD], set(), "test_one: no such check"),
        ([{**GOOD, "why": " "}], {"test_one"}, "test_one: an empty cell"),
        ([], {"test_one"}, "test_one: not in the record"),
    ],
)
def test_planted_faults_are_found(rows: Rows, checks: set[str], fault: str) -> None:
    assert faults(rows, checks) == [fault]


@pytest.mark.parametrize("printed", ["0.70 MPa", "690, 1501 kPa"])
def test_a_planted_figure_is_found(printed: str) -> None:
    assert len(unsupported([{**GOOD, "printed_value": printed}], CHECK)) == 1
