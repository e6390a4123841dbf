"""SAE J20 (FEB2022): cold bend (5.1.2) and ozone (5.1.3) mandrels, coolant only (scope).

Bores up to 25.4 mm: cold, bent round a diameter of 10 times the largest outside diameter; ozone,
round a mandrel of 8 times.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.application.read import read_print
from hoseselect.knowledge.load import table

Judge = Callable[..., Any]
SMOOTH_TYPES = ("j20-r1", "j20-r2", "j20-r3", "j20-r4")


@pytest.mark.parametrize("marking", SMOOTH_TYPES)
def test_mandrels_of_21_mm_hose(marking: str) -> None:
    """210 mm and 168 mm (worked by hand)."""
    row = table("marking_figures").row
    cold = row(marking=marking, figure="cold-bend-diameter-per-outside-diameter").number("value")
    ozone = row(marking=marking, figure="ozone-mandrel-diameter-per-outside-diameter").number(
        "value"
    )
    assert (cold * 21, ozone * 21) == (210, 168)


def test_no_mandrel_for_convoluted_hose() -> None:
    """R5 is convoluted, wire supported: the mandrels are not carried over to it."""
    rows = table("marking_figures").where(marking="j20-r5")
    assert [row["figure"] for row in rows if "per-outside-diameter" in row["figure"]] == []


@pytest.mark.parametrize("marking", [*SMOOTH_TYPES, "j20-r5", "j20-silicone", "j20"])
def test_scope_is_coolant(judge: Judge, marking: str) -> None:
    """Accepted on a heater line; refused by its marking on a crankcase line, whatever the liner."""
    assert judge({"marking": marking}, "coolant-heater").word == "accept"
    refused = judge({"marking": marking}, "crankcase-suction").refused_by
    assert refused == {"marking-required", "marking-family"}


def test_designation_pattern() -> None:
    """14.1: type, designators, class, e.g. 20R3 FR class D-3."""
    found = [m.marking for m in read_print("SAE 20R3 FR CLASS D-3").markings]
    assert found == ["j20-r3", "j20-class-d3"]
