"""SAE J1532 transmission oil-cooler hose, as reported by a secondary summary (second-hand).

Type A (original and replacement lines) 1.7 MPa working, 6.9 MPa burst; type B (auxiliary coolers
only, not for original lines) 1.0 and 4.1 MPa. Classes 1, 2, 3: -40 to 125, 150, 165 degC.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.application.read import read_print
from hoseselect.catalogue.columns import Catalogue
from hoseselect.knowledge.load import table

Judge = Callable[..., Any]
CLASSES = {"1": 125, "2": 150, "3": 165}
PRESSURES = {"j1532-a": (1700, 6900), "j1532-b": (1000, 4100)}


def figure(marking: str, name: str) -> float:
    return table("marking_figures").row(marking=marking, figure=name).number("value")


@pytest.mark.parametrize("marking", PRESSURES)
def test_figures_as_reported(marking: str) -> None:
    found = (figure(marking, "pressure-working"), figure(marking, "pressure-burst"))
    assert found == PRESSURES[marking]
    for number, heat in CLASSES.items():
        assert figure(marking, f"temperature-continuous-class-{number}") == heat
    assert figure(marking, "temperature-continuous") == min(CLASSES.values())
    assert figure(marking, "temperature-cold") == -40


@pytest.mark.parametrize("marking", PRESSURES)
def test_burst_is_about_four_times_the_working_pressure(marking: str) -> None:
    """4.06 and 4.1: worked out from the figures."""
    ratio = figure(marking, "pressure-burst") / figure(marking, "pressure-working")
    assert ratio == pytest.approx(4.08, abs=0.05)


def test_catalogue_keeps_to_class_and_type(catalogue: Catalogue) -> None:
    """Heat at most that of the printed class; pressure at most that of the type."""
    types, sizes = catalogue.types, catalogue.sizes
    seen = set()
    for k, marks in enumerate(types.marking):
        for marking in set(marks) & set(PRESSURES):
            printed = types.print_line[k].split("CLASS ")[1]
            assert types.temperature_continuous[k] <= CLASSES[printed]
            own = sizes.type_index == k
            assert sizes.working_pressure_crimped[own].max() <= PRESSURES[marking][0]
            seen.add(marking)
    assert seen == set(PRESSURES)


def test_type_a_is_accepted_on_the_original_line(judge: Judge) -> None:
    assert judge({"liner": "AEM", "marking": "j1532-a"}, "atf-cooler").word == "accept"


def test_type_b_is_no_plain_accept_on_the_original_line(judge: Judge) -> None:
    """The service is the line from the gearbox to its cooler: type B is for auxiliary coolers."""
    assert judge({"liner": "AEM", "marking": "j1532-b"}, "atf-cooler").word != "accept"


def test_type_that_is_not_printed_counts_as_b() -> None:
    assert [m.marking for m in read_print("SAE J1532").markings] == ["j1532"]
    assert "type B" in table("markings").row(marking="j1532")["meaning"]
