"""Plans of cuts against every plan there is, on small stocks."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoseselect.rolls import cutting_stock
from hoseselect.rolls.cutting_stock import CuttingPlan, plan_cuts

Value = tuple[int, int, float, int]
Case = tuple[list[int], list[int], list[int], list[bool], int, int, int]


def every_share(count: int, rolls: int) -> Iterator[tuple[int, ...]]:
    """Yield every way to take up to `count` pieces from so many rolls."""
    return (share for share in product(range(count + 1), repeat=rolls) if sum(share) <= count)


def value_of(case: Case, pieces: np.ndarray) -> Value | None:
    """What a plan is worth, worked out from its lengths; nothing when it cannot be cut."""
    lengths, counts, rolls, new, saw, tolerance, keep = case
    waste, opened, new_rolls = 0.0, 0, 0
    for row, roll, is_new in zip(pieces, rolls, new, strict=True):
        cuts = [n for n, times in zip(lengths, row, strict=True) for _ in range(times)]
        if not cuts:
            continue
        between = (len(cuts) - 1) * saw
        if sum(cuts) + len(cuts) * tolerance + between > roll:
            return None
        left = max(0, roll - sum(cuts) - len(cuts) * tolerance - len(cuts) * saw)
        waste += left if left < keep else 0
        opened += 1
        new_rolls += is_new
    return sum(counts) - int(pieces.sum()), new_rolls, waste, opened


def best_value(case: Case) -> Value:
    """Look at every plan."""
    _, counts, rolls, *_ = case
    shares = [list(every_share(count, len(rolls))) for count in counts]
    values = (value_of(case, np.array(plan).T.reshape(len(rolls), -1)) for plan in product(*shares))
    return min(value for value in values if value is not None)


@st.composite
def small_cases(draw: st.DrawFn) -> Case:
    """Draw up to three lengths and up to three rolls."""
    lengths = draw(st.lists(st.integers(2, 12), min_size=1, max_size=3))
    counts = [draw(st.integers(0, 3 if len(lengths) < 3 else 2)) for _ in lengths]
    rolls = draw(st.lists(st.integers(1, 25), min_size=1, max_size=3))
    new = [draw(st.booleans()) for _ in rolls]
    saw, tolerance = draw(st.integers(0, 2)), draw(st.integers(0, 1))
    return lengths, counts, rolls, new, saw, tolerance, draw(st.sampled_from([0, 3, 6, 99]))


def planned(case: Case, seconds: float = 10.0) -> CuttingPlan:
    lengths, counts, rolls, new, saw, tolerance, keep = case
    return plan_cuts(
        lengths,
        counts,
        rolls,
        new,
        saw=saw,
        tolerance=tolerance,
        worth_keeping=keep,
        time_limit=seconds,
    )


def found(plan: CuttingPlan) -> Value:
    return int(plan.missing.sum()), plan.new_rolls, plan.waste, plan.rolls


def least(plan: CuttingPlan) -> Value:
    return plan.missing_least, plan.new_rolls_least, plan.waste_least, plan.rolls_least


@settings(max_examples=120, deadline=None, derandomize=True)
@given(small_cases())
def test_small_stocks_are_cut_as_well_as_any_plan(case: Case) -> None:
    plan = planned(case)
    assert plan.status == "optimal"
    assert value_of(case, plan.pieces) == pytest.approx(found(plan))
    assert found(plan) == pytest.approx(best_value(case))
    assert least(plan) == pytest.approx(best_value(case))


def test_pieces_of_no_price_fill_a_roll_in_a_proof() -> None:
    """Two of 4 and two of 8 with a tolerance of 1 leave 1 of rolls of 5 and 24; 2.5 was proven."""
    case: Case = ([4, 8], [2, 2], [5, 9, 24], [False, False, False], 0, 1, 99)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(cutting_stock, "MOST_PATTERNS", 0)
        plan = planned(case)
    assert found(plan) == best_value(case) == (0, 0, 1, 2)
    assert plan.waste_least <= 1


@settings(max_examples=80, deadline=None, derandomize=True)
@given(small_cases())
def test_generated_patterns_never_prove_too_much(case: Case) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(cutting_stock, "MOST_PATTERNS", 0)
        plan = planned(case)
    best = best_value(case)
    assert value_of(case, plan.pieces) == pytest.approx(found(plan))
    assert found(plan) >= best or found(plan) == pytest.approx(best)
    for ours, theirs, proven in zip(found(plan), best, least(plan), strict=True):
        assert proven <= theirs + 1e-9  # a bound holds for the best plan as well
        if ours != pytest.approx(theirs):
            break  # later goals are asked with another value of this one


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    st.lists(st.integers(50, 900), min_size=1, max_size=25),
    st.lists(st.integers(300, 4000), min_size=1, max_size=8),
    st.sampled_from([0.0, 1.5, 3.0]),
    st.sampled_from([0.0, 200.0]),
    st.sampled_from([0.0, 0.3]),
)
def test_every_plan_can_be_cut_and_adds_up(
    lengths: list[int], rolls: list[int], saw: float, keep: float, seconds: float
) -> None:
    counts = [1 + length % 3 for length in lengths]
    new = [roll % 2 == 0 for roll in rolls]
    case = (lengths, counts, rolls, new, saw, 0, keep)
    plan = planned(case, seconds)  # type: ignore[arg-type]
    assert value_of(case, plan.pieces) == pytest.approx(found(plan))  # type: ignore[arg-type]
    assert (plan.missing >= 0).all()
    assert (plan.pieces.sum(axis=0) + plan.missing == counts).all()
    assert all(proven <= ours + 1e-9 for proven, ours in zip(least(plan), found(plan), strict=True))
