"""The use case: orders and stock in, a plan for each hose size out."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import FrozenInstanceError

import pytest

from hoseselect.knowledge.errors import InputError
from hoseselect.rolls.plan import (
    Order,
    RollOptions,
    RollPlan,
    StockRoll,
    plan_rolls,
)

A, B = "H01-15.9", "H02-9.5"
PLAIN = RollOptions(saw_allowance=0.0, worth_keeping=300.0)


def planned(orders: list[Order], stock: list[StockRoll], options: RollOptions = PLAIN) -> RollPlan:
    return plan_rolls(orders, stock, options)


def lengths_of(plan: RollPlan) -> list[tuple[str, list[float]]]:
    return [(roll.stock.roll, [cut.length for cut in roll.cuts]) for roll in plan.rolls]


def test_no_orders_open_no_roll() -> None:
    plan = planned([], [StockRoll("R1", A, 5000.0)])
    assert (plan.hoses, plan.rolls, plan.short, plan.waste) == ((), (), (), 0.0)
    assert plan.status == "optimal"


def test_longest_piece_is_cut_first_and_places_count_the_saw() -> None:
    orders = [Order(A, 200.0, 2, "short"), Order(A, 500.0, 1, "long")]
    options = RollOptions(saw_allowance=3.0, worth_keeping=50.0)
    (roll,) = planned(orders, [StockRoll("R1", A, 1000.0)], options).rolls
    assert [(c.job, c.start) for c in roll.cuts] == [("long", 0), ("short", 503), ("short", 706)]
    assert roll.remnant == 91.0
    assert roll.lost == 9.0


def test_saw_allowance_decides_whether_the_last_piece_fits() -> None:
    orders, stock = [Order(A, 250.0, 4)], [StockRoll("R1", A, 1000.0)]
    assert planned(orders, stock).short == ()
    (short,) = planned(orders, stock, RollOptions(1.0, 300.0)).short
    assert short.count == 1


def test_last_piece_may_end_at_the_end_of_the_roll() -> None:
    options = RollOptions(saw_allowance=2.0, worth_keeping=300.0)
    plan = planned([Order(A, 499.0, 2)], [StockRoll("R1", A, 1000.0)], options)
    assert plan.short == ()
    assert (plan.rolls[0].lost, plan.rolls[0].waste, plan.rolls[0].remnant) == (2.0, 0.0, 0.0)


def test_cut_tolerance_is_kept_free_for_every_piece() -> None:
    orders, stock = [Order(A, 250.0, 4)], [StockRoll("R1", A, 1011.0)]
    assert planned(orders, stock, RollOptions(0.0, 300.0, cut_tolerance=2.0)).short == ()
    (short,) = planned(orders, stock, RollOptions(0.0, 300.0, cut_tolerance=3.0)).short
    assert (short.count, short.reason) == (1, "stock used up")


def test_remnant_is_cut_before_a_new_roll() -> None:
    stock = [StockRoll("N", A, 15000.0, new=True), StockRoll("R", A, 1200.0)]
    plan = planned([Order(A, 600.0, 2)], stock)
    assert lengths_of(plan) == [("R", [600.0, 600.0])]


def test_as_few_new_rolls_as_can_be_even_when_remnants_leave_waste() -> None:
    stock = [StockRoll("N", A, 15000.0, new=True), StockRoll("R", A, 1100.0)]
    plan = planned([Order(A, 900.0, 1)], stock)
    assert lengths_of(plan) == [("R", [900.0])]
    assert plan.waste == 200.0


@pytest.mark.parametrize(("keep", "remnant", "waste"), [(400.0, 400.0, 0.0), (401.0, 0.0, 400.0)])
def test_remnant_worth_keeping_is_no_waste(keep: float, remnant: float, waste: float) -> None:
    options = RollOptions(saw_allowance=0.0, worth_keeping=keep)
    (roll,) = planned([Order(A, 600.0, 1)], [StockRoll("R", A, 1000.0)], options).rolls
    assert (roll.remnant, roll.waste) == (remnant, waste)


def test_piece_goes_where_it_leaves_least_waste() -> None:
    stock = [StockRoll("R1", A, 800.0), StockRoll("R2", A, 700.0), StockRoll("R3", A, 850.0)]
    plan = planned([Order(A, 700.0, 1)], stock)
    assert lengths_of(plan) == [("R2", [700.0])]


def test_hose_sizes_are_never_mixed() -> None:
    stock = [StockRoll("R1", A, 1000.0), StockRoll("R2", B, 1000.0)]
    plan = planned([Order(B, 900.0, 2, "b"), Order(A, 900.0, 1, "a")], stock)
    assert [hose.hose_size for hose in plan.hoses] == [B, A]
    assert [(s.order.hose_size, s.count) for s in plan.short] == [(B, 1)]
    assert all(roll.stock.hose_size == h.hose_size for h in plan.hoses for roll in h.rolls)


def test_hose_size_without_a_roll_is_named() -> None:
    (short,) = planned([Order(B, 100.0, 3, "job")], [StockRoll("R1", A, 1000.0)]).short
    assert (short.order.job, short.count, short.reason) == ("job", 3, "no roll of this hose size")


def test_length_longer_than_any_roll_is_named_and_the_rest_is_cut() -> None:
    orders = [Order(A, 2000.0, 1, "long"), Order(A, 400.0, 2, "short")]
    plan = planned(orders, [StockRoll("R1", A, 1000.0)])
    assert [(s.order.job, s.count, s.reason) for s in plan.short] == [
        ("long", 1, "longer than any roll")
    ]
    assert lengths_of(plan) == [("R1", [400.0, 400.0])]
    assert plan.status == "optimal"


def test_short_stock_cuts_as_many_pieces_as_can_be() -> None:
    orders = [Order(A, 900.0, 1, "long"), Order(A, 300.0, 3, "short")]
    options = RollOptions(saw_allowance=2.0, worth_keeping=300.0)
    plan = planned(orders, [StockRoll("R1", A, 1000.0)], options)
    assert [(s.order.job, s.count, s.reason) for s in plan.short] == [("long", 1, "stock used up")]
    assert plan.hoses[0].length_short == 902.0
    assert plan.hoses[0].proofs[0].found == plan.hoses[0].proofs[0].least == 1


def test_orders_alike_are_added_up_and_the_first_is_served_first() -> None:
    orders = [Order(A, 400.0, 2, "first"), Order(A, 400.0, 2, "second")]
    plan = planned(orders, [StockRoll("R1", A, 1300.0)])
    assert [cut.job for cut in plan.rolls[0].cuts] == ["first", "first", "second"]
    assert [(s.order.job, s.count) for s in plan.short] == [("second", 1)]


def test_length_that_is_no_whole_tenth_is_never_cut_short() -> None:
    plan = planned([Order(A, 333.34, 3)], [StockRoll("R1", A, 1000.0)])
    assert plan.short[0].count == 1  # 3 x 333.34 mm is more than the roll
    assert plan.rolls[0].cuts[0].length == 333.34


def test_lengths_of_a_roll_add_up() -> None:
    orders = [Order(A, 22.225, 7), Order(A, 314.0, 3)]
    plan = planned(orders, [StockRoll("R1", A, 2000.0)], RollOptions(1.5, 250.0))
    (roll,) = plan.rolls
    parts = sum(cut.length for cut in roll.cuts) + roll.lost + roll.remnant + roll.waste
    assert parts == pytest.approx(2000.0)
    assert 10 * 1.5 <= roll.lost < 10 * 1.6


def test_no_time_still_gives_a_plan_that_can_be_cut() -> None:
    orders = [Order(A, 100.0 + 7 * n, 3) for n in range(40)]
    stock = [StockRoll(f"R{n}", A, 900.0 + 130 * n) for n in range(30)]
    plan = planned(orders, stock, RollOptions(2.0, 300.0, time_limit=0.0))
    for roll in plan.rolls:
        assert sum(c.length for c in roll.cuts) + 2 * (len(roll.cuts) - 1) <= roll.stock.length
    cut = sum(len(roll.cuts) for roll in plan.rolls)
    assert cut + sum(short.count for short in plan.short) == 120
    assert all(proof.gap >= 0 for hose in plan.hoses for proof in hose.proofs)


@pytest.mark.parametrize(
    ("order", "place"),
    [
        (Order(A, 100.0, 0), "order 2, count"),
        (Order(A, 100.0, -1), "order 2, count"),
        (Order(A, 0.0, 1), "order 2, length"),
        (Order(A, float("nan"), 1), "order 2, length"),
        (Order(A, float("inf"), 1), "order 2, length"),
    ],
)
def test_order_out_of_range_is_refused(order: Order, place: str) -> None:
    with pytest.raises(InputError) as caught:
        planned([Order(A, 100.0, 1), order], [StockRoll("R1", A, 1000.0)])
    assert caught.value.place == place


def test_roll_listed_twice_is_refused() -> None:
    stock = [StockRoll("R1", A, 1000.0), StockRoll("R1", B, 500.0)]
    with pytest.raises(InputError, match="R1 2 times"):
        planned([Order(A, 100.0, 1)], stock)


@pytest.mark.parametrize("length", [0.0, -1.0, float("nan")])
def test_roll_without_length_is_refused(length: float) -> None:
    with pytest.raises(InputError, match="roll R1"):
        planned([Order(A, 100.0, 1)], [StockRoll("R1", A, length)])


@pytest.mark.parametrize(
    "options",
    [
        RollOptions(-1.0, 300.0),
        RollOptions(float("nan"), 300.0),
        RollOptions(float("inf"), 300.0),
        RollOptions(0.0, -1.0),
        RollOptions(0.0, 300.0, cut_tolerance=-1.0),
        RollOptions(0.0, 300.0, time_limit=-1.0),
    ],
)
def test_option_out_of_range_is_refused(options: RollOptions) -> None:
    with pytest.raises(InputError):
        planned([Order(A, 100.0, 1)], [StockRoll("R1", A, 1000.0)], options)


def test_plan_cannot_be_changed() -> None:
    plan = planned([Order(A, 100.0, 1)], [StockRoll("R1", A, 1000.0)])
    with pytest.raises(FrozenInstanceError):
        plan.rolls[0].waste = 1.0  # type: ignore[misc]


def test_solver_writes_nothing_and_is_loaded_only_for_a_plan() -> None:
    program = (
        "import sys\n"
        "from hoseselect.rolls.plan import *\n"
        "assert 'highspy' not in sys.modules\n"
        "orders = [Order('A', 45, 9), Order('A', 36, 61), Order('A', 31, 39), Order('A', 14, 21)]\n"
        "stock = [StockRoll(str(n), 'A', 100, new=True) for n in range(60)]\n"
        "plan_rolls(orders, stock, RollOptions(0, 999))\n"
        "assert 'highspy' in sys.modules\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert (done.stdout, done.stderr) == (b"", b"")
