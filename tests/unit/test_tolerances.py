"""Looking up classes: ends, shapes and values that no class holds."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoseselect.knowledge.tolerances import (
    cut_length_tables,
    cut_length_tolerance,
    loose_fit_limit,
    squareness,
)

SHAPES = np.array([[10.0, math.nan], [20.0, 40.0], [5.0, 30.0]])


@pytest.mark.parametrize("name", cut_length_tables())
def test_every_length_has_a_tolerance_and_longer_is_never_closer(name: str) -> None:
    lengths = np.linspace(1.0, 6000.0, 5000)
    tolerances = cut_length_tolerance(lengths, name)
    assert not np.isnan(tolerances).any()
    assert (np.diff(tolerances) >= 0).all()
    assert (tolerances > 0).all()


@pytest.mark.parametrize("look_up", [squareness, loose_fit_limit])
def test_shape_is_kept_and_unknown_stays_unknown(look_up: object) -> None:
    assert callable(look_up)
    found = look_up(SHAPES)
    assert found.shape == SHAPES.shape
    assert np.isnan(found[0, 1])


def test_single_numbers_are_answered_too() -> None:
    assert squareness(12.7).shape == ()


@given(st.floats(0.1, 150))
def test_limits_never_fall_with_size(size: float) -> None:
    assert loose_fit_limit(size) <= loose_fit_limit(size * 1.5)
    assert squareness(size * 0.5) <= squareness(size)
