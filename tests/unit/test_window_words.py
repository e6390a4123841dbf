"""The lengths that work, as told: each end works itself, in millimetres and on the tape."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoseselect.interfaces.wording import window_words


def inches(text: str) -> Fraction:
    """Return a whole number and a fraction, as on a tape, as one figure."""
    return sum((Fraction(part) for part in text.split()), Fraction(0))


@pytest.mark.parametrize(
    ("window", "words"),
    [
        ((324.0, 351.0), "324 mm (12 13/16 in) to 351 mm (13 13/16 in)"),
        ((323.2, 351.9), "324 mm (12 3/4 in) to 351 mm (13 13/16 in)"),
        ((100.0, math.inf), "100 mm (3 15/16 in) to any longer one"),
    ],
)
def test_lengths_that_work(window: tuple[float, float], words: str) -> None:
    """324 mm is 12.756 in, so that 12 3/4 in would be too short."""
    assert window_words(window, "mm") == words


@given(st.floats(60, 900), st.floats(20, 400))
def test_no_end_lies_outside(low: float, wide: float) -> None:
    shortest, longest = window_words((low, low + wide), "in").split(" to ")
    for text, sense in ((shortest, 1), (longest, -1)):
        tape, bracket = text.rstrip(")").split(" in (")
        end = low if sense == 1 else low + wide
        for told in (float(inches(tape)) * 25.4, float(bracket.removesuffix(" mm"))):
            assert sense * (told - end) >= -1e-5
            assert sense * (told - end) <= 25.4 / 16
