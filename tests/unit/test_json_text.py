"""Indented JSON is what the library writes, to the byte."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.json_text import HARMFUL, ascii_only, json_text

PLAIN = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text()
)
VALUES = st.recursive(
    PLAIN,
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner) | st.tuples(inner, inner),
    max_leaves=20,
)


def by_library(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False)


@given(VALUES)
def test_any_value_is_written_as_the_library_writes_it(value: Any) -> None:
    told = json_text([value, value])
    plain = by_library([value, value])
    assert json.loads(told) == json.loads(plain)
    assert HARMFUL.search(told) is None
    if HARMFUL.search(plain) is None:
        assert told == plain
    assert ascii_only(told).isascii()
    assert json.loads(ascii_only(told)) == json.loads(plain)


def test_a_whole_answer_is_written_as_the_library_writes_it() -> None:
    job = read_job({"service": "PCV hose", "nipples": {"outside_diameter": "13 mm"}})
    told = pick_hose(job, read_catalogue(find_catalogue(None, {}))).as_json()
    assert json_text(told) == by_library(told)


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_a_number_that_json_does_not_have_is_refused(number: float) -> None:
    with pytest.raises(ValueError, match="JSON"):
        json_text({"figure": [number]})
