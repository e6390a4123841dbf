"""Verdicts and margins of demand against limit, by table of cases and by property."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoseselect.judging.comparison import Comparison, relative_margin, verdicts

NAN = math.nan
ACCEPT, CONDITIONAL, UNKNOWN, REJECT = 0, 1, 2, 3


def cell(value: Any) -> Any:
    return None if value is None else np.array([[value]])


def code(demand: float, limit: float, **more: Any) -> int:
    sense = more.pop("sense", "at_most")
    arrays = {name: cell(value) for name, value in more.items()}
    return int(verdicts(Comparison(cell(demand), cell(limit), sense=sense, **arrays))[0, 0])


@pytest.mark.parametrize(
    ("demand", "limit", "expected"),
    [
        (9.0, 10.0, ACCEPT),
        (10.0, 10.0, ACCEPT),
        (10.0 + 1e-9, 10.0, ACCEPT),
        (10.0 + 1e-7, 10.0, REJECT),
        (11.0, 10.0, REJECT),
        (NAN, 10.0, UNKNOWN),
        (9.0, NAN, UNKNOWN),
        (NAN, NAN, UNKNOWN),
        (0.1 + 0.2, 0.3, ACCEPT),
        (5.0, math.inf, ACCEPT),
        (NAN, math.inf, UNKNOWN),
    ],
)
def test_at_most(demand: float, limit: float, expected: int) -> None:
    assert code(demand, limit) == expected
    assert code(-demand, -limit, sense="at_least") == expected


@pytest.mark.parametrize(
    ("demand", "caution", "limit", "expected"),
    [
        (4.0, 5.0, 10.0, ACCEPT),
        (5.0, 5.0, 10.0, ACCEPT),
        (5.1, 5.0, 10.0, CONDITIONAL),
        (10.0, 5.0, 10.0, CONDITIONAL),
        (10.1, 5.0, 10.0, REJECT),
        (5.1, NAN, 10.0, UNKNOWN),
        (10.1, NAN, 10.0, REJECT),
        (6.0, 5.0, NAN, UNKNOWN),
        (6.0, 5.0, math.inf, CONDITIONAL),
        (NAN, 5.0, 10.0, UNKNOWN),
    ],
)
def test_band_of_caution(demand: float, caution: float, limit: float, expected: int) -> None:
    assert code(demand, limit, caution=caution) == expected
    assert code(-demand, -limit, caution=-caution, sense="at_least") == expected


@pytest.mark.parametrize(
    ("demand", "expected"),
    [(4.0, CONDITIONAL), (5.0, CONDITIONAL), (7.0, UNKNOWN), (10.0, UNKNOWN), (10.1, REJECT)],
)
def test_an_estimate_is_never_a_plain_accept(demand: float, expected: int) -> None:
    assert code(demand, 10.0, caution=5.0, estimated=True) == expected


@pytest.mark.parametrize("demand", [1.0, 11.0, NAN])
def test_a_rule_that_does_not_apply_accepts(demand: float) -> None:
    assert code(demand, 10.0, applies=False) == ACCEPT


def test_columns_and_rows_broadcast() -> None:
    found = verdicts(Comparison(np.array([[1.0], [NAN], [3.0]]), np.array([[0.5, 2.0, NAN]])))
    assert found.tolist() == [[3, 0, 2], [2, 2, 2], [3, 3, 2]]


FIGURE = st.one_of(st.just(NAN), st.sampled_from([0.0, 1.0, 1.5, 2.0, -3.0]), st.floats(-5, 5))


@settings(max_examples=60, deadline=None)
@given(
    st.lists(FIGURE, min_size=1, max_size=5),
    st.lists(FIGURE, min_size=1, max_size=5),
    st.sampled_from(["at_most", "at_least"]),
    st.floats(0, 2),
)
def test_many_jobs_are_judged_as_each_alone(
    demands: list[float], limits: list[float], sense: Any, band: float
) -> None:
    column, row = np.array(demands)[:, None], np.array(limits)[None, :]
    caution = row - band if sense == "at_most" else row + band
    for more in ({}, {"caution": caution}):
        together = np.broadcast_to(
            verdicts(Comparison(column, row, sense=sense, **more)), (len(demands), len(limits))
        )
        for i, demand in enumerate(demands):
            for k, limit in enumerate(limits):
                own = {name: float(value[0, k]) for name, value in more.items()}
                assert together[i, k] == code(demand, limit, sense=sense, **own)


@settings(max_examples=60, deadline=None)
@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6), st.floats(0, 1e6))
def test_asking_more_is_never_judged_better(demand: float, limit: float, more: float) -> None:
    assert code(demand + more, limit) >= code(demand, limit)
    assert code(demand - more, limit, sense="at_least") >= code(demand, limit, sense="at_least")


@pytest.mark.parametrize(
    ("demand", "limit", "at_most", "scale", "expected"),
    [
        (8.0, 10.0, True, 10.0, 0.2),
        (12.0, 10.0, True, 10.0, -0.2),
        (12.0, 10.0, False, 10.0, 0.2),
        (8.0, 10.0, False, 10.0, -0.2),
        (8.0, 10.0, True, 0.0, NAN),
        (NAN, 10.0, True, 10.0, NAN),
        (8.0, math.inf, True, math.inf, NAN),
        (-25.0, -40.0, False, 63.0, 15 / 63),
    ],
)
def test_relative_margin(
    demand: float, limit: float, at_most: bool, scale: float, expected: float
) -> None:
    found = relative_margin(cell(demand), cell(limit), at_most=at_most, scale=cell(scale))
    assert float(found[0, 0]) == pytest.approx(expected, nan_ok=True)
