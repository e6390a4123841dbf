"""Plan how ordered lengths are cut from the rolls and remnants in stock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from time import monotonic
from typing import TYPE_CHECKING, Literal

from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.rolls.cutting_stock import CuttingPlan

Status = Literal["optimal", "best-found"]
Reason = Literal["no roll of this hose size", "longer than any roll", "stock used up"]
Goal = Literal["pieces missing", "new rolls", "waste", "rolls opened"]


@dataclass(frozen=True)
class Order:
    """Pieces to cut.

    Parameters
    ----------
    hose_size : id of the hose size
    length : cut length of a piece [mm]
    count : pieces [-]
    job : name of the job, for the label
    """

    hose_size: str
    length: float
    count: int
    job: str = ""


@dataclass(frozen=True)
class StockRoll:
    """A roll or a remnant in stock.

    Parameters
    ----------
    roll : id of the roll
    hose_size : id of the hose size
    length : length on the roll [mm]
    place : where it is kept
    new : whether it is a roll not yet cut from; remnants are used up first
    """

    roll: str
    hose_size: str
    length: float
    place: str = ""
    new: bool = False


@dataclass(frozen=True)
class RollOptions:
    """How the shop cuts.

    Parameters
    ----------
    saw_allowance : length lost in a cut [mm]
    worth_keeping : least remnant worth keeping; what is left over below it is waste [mm]
    cut_tolerance : how much longer a piece may turn out than it was ordered [mm]
    time_limit : when to stop looking for a better plan or a better proof [s]
    """

    saw_allowance: float
    worth_keeping: float
    cut_tolerance: float = 0.0
    time_limit: float = 10.0


@dataclass(frozen=True)
class Cut:
    """One piece, in cutting order.

    Parameters
    ----------
    job : name of the job
    length : cut length [mm]
    start : where the piece starts, measured from the end of the roll at which cutting starts [mm]
    """

    job: str
    length: float
    start: float


@dataclass(frozen=True)
class PlannedRoll:
    """A roll to open: its pieces from the longest to the shortest, and what becomes of the rest.

    Parameters
    ----------
    stock : the roll
    cuts : pieces in cutting order
    lost : length lost in cuts, or kept free for pieces that turn out longer [mm]
    remnant : length worth keeping that is left over, at least; 0 for none [mm]
    waste : length left over that is too short to keep [mm]
    """

    stock: StockRoll
    cuts: tuple[Cut, ...]
    lost: float
    remnant: float
    waste: float


@dataclass(frozen=True)
class Shortage:
    """Pieces of an order that cannot be cut.

    Parameters
    ----------
    order : the order
    count : pieces that are missing [-]
    reason : why they are missing
    """

    order: Order
    count: int
    reason: Reason


@dataclass(frozen=True)
class Proof:
    """How good a plan is in one goal.

    Parameters
    ----------
    goal : what is to be as little as possible
    found : value of this plan [- or mm]
    least : value that no plan can be below which is as good in the goals before it [- or mm]
    """

    goal: Goal
    found: float
    least: float

    @property
    def gap(self) -> float:
        """What a better plan could save at most [- or mm]."""
        return self.found - self.least


@dataclass(frozen=True)
class HosePlan:
    """Plan for one hose size.

    Parameters
    ----------
    hose_size : id of the hose size
    rolls : rolls to open, in the order of the stock list
    short : what cannot be cut, in the order of the orders
    length_short : roll length that the missing pieces need, allowances included [mm]
    proofs : the goals in the order in which they decide
    """

    hose_size: str
    rolls: tuple[PlannedRoll, ...]
    short: tuple[Shortage, ...]
    length_short: float
    proofs: tuple[Proof, ...]

    @property
    def status(self) -> Status:
        """Whether the plan is proven to be the best one."""
        return "best-found" if any(proof.gap for proof in self.proofs) else "optimal"


@dataclass(frozen=True)
class RollPlan:
    """Plan for all orders, hose size by hose size in the order of the orders.

    Parameters
    ----------
    hoses : plans of the hose sizes
    options : how the shop cuts
    """

    hoses: tuple[HosePlan, ...]
    options: RollOptions

    @property
    def status(self) -> Status:
        """Whether the plans of all hose sizes are proven to be the best ones."""
        proven = all(hose.status == "optimal" for hose in self.hoses)
        return "optimal" if proven else "best-found"

    @property
    def rolls(self) -> tuple[PlannedRoll, ...]:
        """Rolls to open."""
        return tuple(roll for hose in self.hoses for roll in hose.rolls)

    @property
    def short(self) -> tuple[Shortage, ...]:
        """What cannot be cut."""
        return tuple(shortage for hose in self.hoses for shortage in hose.short)

    @property
    def waste(self) -> float:
        """Length left over that is too short to keep [mm]."""
        return sum(roll.waste for roll in self.rolls)


def plan_rolls(
    orders: Sequence[Order], stock: Sequence[StockRoll], options: RollOptions
) -> RollPlan:
    """Plan the cuts: all orders if the stock allows, remnants before new rolls, least waste.

    When the stock is short, as many pieces as possible are cut, and the rest is named. Orders
    that stand further up are served first among pieces of one length.

    Parameters
    ----------
    orders : pieces to cut; lines that are alike are added up
    stock : rolls and remnants
    options : how the shop cuts

    Returns
    -------
    plan; the best one found when the time is up, with what it could still be off

    Raises
    ------
    InputError : a length, count or option is out of range, or a roll is listed twice
    """
    _check(orders, stock)
    if not options.time_limit >= 0:
        raise InputError("time limit", f"{options.time_limit:g} s", "0 or more")
    sizes = list(dict.fromkeys(order.hose_size for order in orders))
    until = monotonic() + options.time_limit
    hoses = []
    for done, hose_size in enumerate(sizes):
        seconds = max(0.0, (until - monotonic()) / (len(sizes) - done))
        hoses.append(_plan_hose(hose_size, orders, stock, options, seconds))
    return RollPlan(tuple(hoses), options)


def _check(orders: Sequence[Order], stock: Sequence[StockRoll]) -> None:
    """Complain about orders and rolls that make no plan."""
    for number, order in enumerate(orders, start=1):
        if not order.count >= 1:
            raise InputError(f"order {number}, count", f"{order.count}", "1 or more")
        if not 0 < order.length < float("inf"):
            raise InputError(f"order {number}, length", f"{order.length:g} mm", "above 0 mm")
    for roll, times in Counter(roll.roll for roll in stock).items():
        if times > 1:
            raise InputError("roll", f"{roll} {times} times", "each roll once")
    for one in stock:
        if not 0 < one.length < float("inf"):
            raise InputError(f"roll {one.roll}", f"{one.length:g} mm", "a length above 0 mm")


def _plan_hose(
    hose_size: str,
    orders: Sequence[Order],
    stock: Sequence[StockRoll],
    options: RollOptions,
    seconds: float,
) -> HosePlan:
    """Plan the cuts of one hose size."""
    from hoseselect.rolls.cutting_stock import plan_cuts

    wanted = [order for order in orders if order.hose_size == hose_size]
    rolls = [roll for roll in stock if roll.hose_size == hose_size]
    plan = plan_cuts(
        [order.length for order in wanted],
        [order.count for order in wanted],
        [roll.length for roll in rolls],
        [roll.new for roll in rolls],
        saw=options.saw_allowance,
        tolerance=options.cut_tolerance,
        worth_keeping=options.worth_keeping,
        time_limit=seconds,
    )
    opened = [
        _planned(roll, wanted, row.tolist(), float(left), options)
        for roll, row, left in zip(rolls, plan.pieces, plan.left_over, strict=True)
        if row.any()
    ]
    short = [
        Shortage(order, int(count), _reason(order, rolls, options))
        for order, count in zip(wanted, plan.missing, strict=True)
        if count
    ]
    allowance = options.saw_allowance + options.cut_tolerance
    needed = sum(one.count * (one.order.length + allowance) for one in short)
    return HosePlan(hose_size, tuple(opened), tuple(short), needed, _proofs(plan))


def _planned(
    roll: StockRoll,
    wanted: Sequence[Order],
    counts: Sequence[int],
    left_over: float,
    options: RollOptions,
) -> PlannedRoll:
    """Put the pieces of a roll into cutting order, the longest first: a fault costs least then."""
    pieces = [
        order
        for order, count in sorted(zip(wanted, counts, strict=True), key=lambda one: -one[0].length)
        for _ in range(count)
    ]
    cuts, start = [], 0.0
    for order in pieces:
        cuts.append(Cut(order.job, order.length, start))
        start += order.length + options.saw_allowance
    lost = roll.length - sum(order.length for order in pieces) - left_over
    keep = left_over >= options.worth_keeping
    return PlannedRoll(
        stock=roll,
        cuts=tuple(cuts),
        lost=lost,
        remnant=left_over if keep else 0.0,
        waste=0.0 if keep else left_over,
    )


def _reason(order: Order, rolls: Sequence[StockRoll], options: RollOptions) -> Reason:
    """Why pieces of an order are missing."""
    if not rolls:
        return "no roll of this hose size"
    if order.length + options.cut_tolerance > max(roll.length for roll in rolls):
        return "longer than any roll"
    return "stock used up"


def _proofs(plan: CuttingPlan) -> tuple[Proof, ...]:
    """Goals with what was found and what is proven."""
    return (
        Proof("pieces missing", float(plan.missing.sum()), plan.missing_least),
        Proof("new rolls", plan.new_rolls, plan.new_rolls_least),
        Proof("waste", plan.waste, plan.waste_least),
        Proof("rolls opened", plan.rolls, plan.rolls_least),
    )
