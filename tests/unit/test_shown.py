"""Figures for people: no more digits than the measure, no -0, the safe side, the shop's units."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoseselect.answer.sentences import filled
from hoseselect.quantities.shown import AT_LEAST, AT_MOST, NEAREST, metres, shown


@pytest.mark.parametrize(
    ("value", "unit", "units", "text"),
    [
        (-0.0, "%", "mm", "0 %"),
        (-0.04, "mm", "mm", "0 mm"),
        (-9.483, "%", "mm", "-9.5 %"),
        (27.33864, "mm", "mm", "27.3 mm"),
        (127.33864, "mm", "mm", "127 mm"),
        (150.0, "mm", "in", "5 7/8 in"),
        (12.7, "mm", "in", "1/2 in"),
        (13.0, "mm", "in", "0.51 in"),
        (104.444, "degC", "in", "220 degF"),
        (103.421, "kPa", "in", "15 psi"),
        (-67.73, "kPa", "mm", "-68 kPa"),
        (4.0, "kPa", "in", "0.6 psi"),
        (math.nan, "kPa", "mm", "not known"),
        (math.inf, "mm", "mm", "no limit"),
        (0.25, "", "mm", "0.25"),
    ],
)
def test_a_figure_as_people_write_it(value: float, unit: str, units: str, text: str) -> None:
    assert shown(value, unit, units) == text


@pytest.mark.parametrize(("length", "units", "text"), [(7.0, "mm", "7 m"), (7.0, "in", "22.9 ft")])
def test_what_is_left_on_a_roll(length: float, units: str, text: str) -> None:
    assert metres(length, units) == text


def figure_in(text: str) -> float:
    """Return a shown length in mm."""
    from hoseselect.quantities.read import read_quantity

    return float(read_quantity(text, "length", "figure"))


@settings(max_examples=200, deadline=None)
@given(st.floats(0.2, 2000.0), st.sampled_from(["mm", "in"]))
def test_what_must_be_kept_is_rounded_to_its_safe_side(value: float, units: str) -> None:
    least = figure_in(shown(value, "mm", units, AT_LEAST))
    most = figure_in(shown(value, "mm", units, AT_MOST))
    hair = 1e-4
    assert most <= value + hair
    assert least >= value - hair
    step = 25.4 / 16 if units == "in" else 1.0
    assert least - most <= step + 2 * hair
    nearest = figure_in(shown(value, "mm", units, NEAREST))
    assert most - hair <= nearest <= least + hair


@pytest.mark.parametrize("units", ["mm", "in"])
def test_sixty_is_never_below_sixty(units: str) -> None:
    told = filled("{demand} is below {limit}", 59.6, 60.0, "mm", units)
    demand, _, limit = told.partition(" is below ")
    assert demand != limit
    assert filled("{demand} and {limit}", 60.0, 60.0, "mm", "mm") == "60 mm and 60 mm"


def test_a_share_is_told_in_whole_words_of_the_trade() -> None:
    assert filled("{demand} of it", 0.05754, 0.1, "share", "mm") == "5.8 % of it"
    assert filled("{suction} of {stands}", -67.73, -88.0, "kPa", "mm") == "68 kPa of 88 kPa"
