"""Time and proof of roll plans: 200 orders on 40 rolls. Run it as a program."""

from __future__ import annotations

import random
from time import perf_counter

from hoseselect.rolls.plan import (
    Order,
    RollOptions,
    RollPlan,
    StockRoll,
    plan_rolls,
)

OPTIONS = RollOptions(saw_allowance=2.0, worth_keeping=400.0, time_limit=10.0)


def shop(seed: int, hose_sizes: int) -> tuple[list[Order], list[StockRoll]]:
    """200 orders of 1 to 4 pieces of 100 to 1500 mm; 25 remnants and 15 new rolls."""
    chance = random.Random(seed)
    names = [f"H{number:02}" for number in range(hose_sizes)]
    orders = [
        Order(
            names[n % hose_sizes], 5.0 * chance.randint(20, 300), chance.randint(1, 4), f"job {n}"
        )
        for n in range(200)
    ]
    stock = [
        StockRoll(f"R{n}", names[n % hose_sizes], float(chance.randint(300, 12000)))
        for n in range(25)
    ]
    stock += [
        StockRoll(f"N{n}", names[n % hose_sizes], chance.choice([15e3, 20e3, 30e3]), new=True)
        for n in range(15)
    ]
    return orders, stock


def scarce(seed: int) -> tuple[list[Order], list[StockRoll]]:
    """200 orders of one piece on 40 remnants that cannot give them all."""
    chance = random.Random(seed)
    orders = [Order("H00", 5.0 * chance.randint(20, 300), 1, f"job {n}") for n in range(200)]
    stock = [StockRoll(f"R{n}", "H00", float(chance.randint(300, 3000))) for n in range(40)]
    return orders, stock


def few_a_roll(seed: int) -> tuple[list[Order], list[StockRoll]]:
    """70 long pieces on 8 new rolls and 32 remnants: one to six pieces a roll."""
    chance = random.Random(seed)
    orders = [Order("H00", 5.0 * chance.randint(100, 600), 1, f"job {n}") for n in range(70)]
    stock = [StockRoll(f"R{n}", "H00", float(chance.randint(500, 5000))) for n in range(32)]
    stock += [StockRoll(f"N{n}", "H00", 5000.0, new=True) for n in range(8)]
    return orders, stock


def longest_first(orders: list[Order], stock: list[StockRoll]) -> tuple[int, int, float]:
    """Plain rule of thumb to compare with: longest piece into the first roll with room."""
    left = {roll.roll: roll.length for roll in sorted(stock, key=lambda roll: roll.new)}
    of_size = {roll.roll: roll for roll in stock}
    missing = 0
    for order in sorted(orders, key=lambda order: -order.length):
        for _ in range(order.count):
            fits = (
                name
                for name, room in left.items()
                if room >= order.length and of_size[name].hose_size == order.hose_size
            )
            name = next(fits, "")
            if name:
                left[name] -= order.length + OPTIONS.saw_allowance
            else:
                missing += 1
    opened = [name for name, room in left.items() if room != of_size[name].length]
    waste = sum(max(0.0, left[n]) for n in opened if left[n] < OPTIONS.worth_keeping)
    return missing, sum(of_size[name].new for name in opened), waste


def line(title: str, plan: RollPlan, seconds: float, rule: tuple[int, int, float]) -> str:
    """One line of the report; each goal as found/proven least."""
    parts = [f"{title:28}", f"{seconds:6.2f} s", f"{plan.status:10}"]
    for number, goal in enumerate(plan.hoses[0].proofs):
        found = sum(hose.proofs[number].found for hose in plan.hoses)
        least = sum(hose.proofs[number].least for hose in plan.hoses)
        parts.append(f"{goal.goal} {found:g}/{least:g}")
    missing, new, waste = rule
    parts.append(f"| rule of thumb: missing {missing}, new {new}, waste {waste:g}")
    return "  ".join(parts)


def main() -> list[str]:
    """Plan every shop and report."""
    cases = [(f"one hose size, seed {s}", shop(s, 1)) for s in range(3)]
    cases += [(f"eight hose sizes, seed {s}", shop(s, 8)) for s in range(2)]
    cases += [(f"scarce stock, seed {s}", scarce(s)) for s in range(2)]
    cases += [(f"few pieces a roll, seed {s}", few_a_roll(s)) for s in range(2)]
    report = []
    for title, (orders, stock) in cases:
        start = perf_counter()
        plan = plan_rolls(orders, stock, OPTIONS)
        seconds = perf_counter() - start
        report.append(line(title, plan, seconds, longest_first(orders, stock)))
    return report


if __name__ == "__main__":
    print("\n".join(main()))  # noqa: T201
