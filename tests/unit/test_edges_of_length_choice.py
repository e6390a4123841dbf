"""The choice of a length among made margins: which one, what it stands, and just when not."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from hoseselect.cutplan import size_plans as plans_of_sizes
from hoseselect.cutplan.length_choice import (
    LengthChoice,
    _around,
    _first_best,
    _shared,
    _steps,
)
from hoseselect.cutplan.size_plan import SizePlan, bend_only
from hoseselect.cutplan.size_plans import cut_exists, size_plans
from hoseselect.knowledge.load import limit
from hoseselect.knowledge.tolerances import cut_length_tolerance
from hoseselect.mechanics.rod import Window

Array = NDArray[np.float64]
Figure = Callable[[Array], Any]
ENDS, RADIUS, STEP = 50.0, 40.0, 5.0
ENOUGH = limit("margin-enough")
TOLERANCE = float(cut_length_tolerance(200.0 + ENDS, "iso-1307"))


@dataclass
class Scan:
    """A span whose margins and room are told by length."""

    bend: Figure = lambda length: np.full(length.shape, 1.0)
    apart: Figure = lambda length: np.full(length.shape, 1.0)
    room: Figure = lambda length: np.full(length.shape, math.inf)
    asked: list[tuple[float, float, float]] = field(default_factory=list)

    def at(self, lengths: Array) -> tuple[Array, Array]:
        return np.full(lengths.shape, 100.0), self.room(lengths) * np.ones(lengths.shape)

    def margins(
        self, lengths: Array, radius: float, half: float, chance: float
    ) -> tuple[Array, Array, Array]:
        self.asked.append((radius, half, chance))
        bend, room = (one(lengths) * np.ones(lengths.shape) for one in (self.bend, self.apart))
        return np.minimum(bend, room), bend, room


def window(shortest: float = 200.0, longest: float = 300.0, bound: float = 180.0) -> Window:
    return Window(RADIUS, shortest, longest, bound, math.nan, False, 60.0, 250.0)


def peak(at: float, top: float = 0.2, slope: float = 0.01) -> Figure:
    return lambda length: top - slope * np.abs(length - at)


def chosen(
    *spans: Scan,
    windows: list[Window] | None = None,
    crowded: bool = False,
    outside: float | None = None,
    tape: float = 5.0,
    careful: float = 2.0,
    laid: list[Scan] | None = None,
    again: list[Scan] | None = None,
    practical: float = 1000.0,
    leads: float = 0.0,
    rings: bool = False,
    ways: list[Any] | None = None,
    engagements: float = ENDS,
    step: float = STEP,
) -> LengthChoice:
    """The choice for spans as told; with their set laid and measured again they are alike."""
    number = len(spans)
    solution: Any = SimpleNamespace(
        route=SimpleNamespace(tape_error=tape, keep_outs=(1,) if crowded else ()),
        profiles=[SimpleNamespace(practical=practical)] * number,
        spans=[SimpleNamespace(leads=leads)] * number,
        rings=[1] if rings else [],
    )
    scan: Any = SimpleNamespace(
        told=list(spans), set_laid=laid or list(spans), measured_again=again or list(spans),
        careful=(careful, 3.0), other_ways=ways,
    )  # fmt: skip
    own = windows or [window()] * number
    return LengthChoice(solution, scan, own, outside, engagements, step)


def test_the_first_length_next_to_the_best_one_is_taken() -> None:
    assert _first_best(np.array([-0.1, -0.002, 0.0, -0.3])) == 1
    assert _first_best(np.array([-0.1, -0.0021, 0.0, 0.0])) == 2
    assert _first_best(np.array([0.1, 0.2])) == 1


@pytest.mark.parametrize(
    ("length", "ends"),
    [(5.4, (5, 6)), (9.1, (9, 10)), (1.0, (1, 2)), (14.0, (13, 14)), (2.0, (1, 2)), (5.0, (5, 6))],
)
def test_the_unbroken_lengths_round_one(length: float, ends: tuple[float, float]) -> None:
    lengths = np.array([1.0, 2.0, 5.0, 6.0, 9.0, 10.0, 13.0, 14.0])
    assert _around(lengths, length) == ends


def test_one_and_a_half_of_the_least_step_is_no_gap() -> None:
    assert _around(np.array([1.0, 2.0, 3.5]), 1.0) == (1.0, 3.5)
    assert _around(np.array([1.0, 2.0, 3.6]), 1.0) == (1.0, 2.0)
    assert _around(np.array([7.0]), 1.0) == (7.0, 7.0)
    assert _around(np.array([2.0, 4.0, 7.0]), 2.0) == (2.0, 7.0)
    assert _around(np.array([2.0, 4.0, 7.1]), 2.0) == (2.0, 4.0)


def test_steps_stay_within_a_hair_of_the_ends() -> None:
    assert _steps(255.00005, 259.99995, 5.0).tolist() == [255, 260]
    assert _steps(255.0002, 264.9998, 5.0).tolist() == [260]
    assert _steps(251.0, 254.0, 5.0).tolist() == []
    assert _steps(251.2, 254.0, 1.0).tolist() == [252, 253, 254]


@pytest.mark.parametrize(
    ("missing", "spans"),
    [
        (1, [100, 51]),
        (2.5, [100.5, 52]),
        (5, [101, 54]),  # more than there is room for: the last one takes it
        (-3, [100, 47]),
        (-8, [97, 45]),
        (-30, [90, 30]),
        (0, [100, 50]),
    ],
)
def test_what_is_missing_is_taken_up_from_the_last_span_back(
    missing: float, spans: list[float]
) -> None:
    asked = [100.0, 50.0]
    assert _shared(missing, asked, [(90.0, 101.0), (45.0, 52.0)]) == pytest.approx(spans)
    assert asked == [100.0, 50.0]


def test_little_that_is_missing_is_shared_as_well() -> None:
    assert _shared(0.5, [100.0, 50.0], [(90.0, 101.0), (45.0, 50.2)]) == pytest.approx(
        [100.3, 50.2]
    )
    assert _shared(-0.5, [100.0, 50.0], [(90.0, 101.0), (49.8, 52.0)]) == pytest.approx(
        [99.7, 49.8]
    )


def test_spans_share_tolerance_and_chance() -> None:
    one, two = chosen(Scan(), outside=18.0), chosen(Scan(), Scan(), outside=18.0)
    bare = bend_only([window()] * 2, None, ENDS).tolerance
    assert (one.half, chosen(Scan()).half) == (9.0, 0.0)
    assert (one.share, two.share) == (TOLERANCE, bare / 2)
    assert (one.chance, two.chance) == (limit("error-chance"), limit("error-chance") / 2)


@pytest.mark.parametrize(
    ("practical", "leads", "longest", "end"),
    [
        (250.0, 10.0, 300.0, 260.0 - TOLERANCE),
        (250.0, 10.0, 230.0, 230.0 - TOLERANCE),
        (150.0, 0.0, 300.0, 200.0 + 2 * TOLERANCE),
        (250.0, 0.0, 200.0, 200.0 + TOLERANCE),  # nothing but the shortest one
    ],
)
def test_lengths_lie_in_the_window_by_the_tolerance(
    practical: float, leads: float, longest: float, end: float
) -> None:
    choice = chosen(Scan(), windows=[window(200, longest)], practical=practical, leads=leads)
    lengths = choice._lengths(0)
    assert len(lengths) == 241
    assert (lengths[0], lengths[-1]) == pytest.approx((200 + TOLERANCE, end))


def test_room_is_the_least_within_the_tolerance_of_the_cut() -> None:
    choice = chosen(Scan(room=lambda length: np.abs(length - 250.0)), outside=18.0, crowded=True)
    found = choice._room(0, np.array([250.0, 250.0 + TOLERANCE, 260.0, 240.0]))
    assert found == pytest.approx([-9, -9, 1 - TOLERANCE, 1 - TOLERANCE])


def test_without_a_scan_or_a_window_wide_enough_nothing_is_chosen() -> None:
    needed = 2 * TOLERANCE + 1
    wide, narrow = (chosen(Scan(), windows=[window(200, 200 + w)], practical=199.0)
                    for w in (needed + 1e-9, needed - 1e-6))  # fmt: skip
    assert wide.plan().spans
    assert narrow.plan() is narrow.bare
    exact = chosen(Scan(), windows=[window(200, 200 + needed)])
    object.__setattr__(exact.bare, "width", needed)
    assert exact.plan().spans
    wide.scan = None
    assert wide.plan() is wide.bare
    assert wide.elsewhere(wide.bare) is wide.bare


def test_the_best_length_is_cut_on_the_step_of_the_workshop() -> None:
    plan = chosen(Scan(bend=peak(241.0))).plan()
    assert plan.cut == 290.0
    assert plan.spans == (240.0,)
    assert (plan.shortest, plan.longest) == (200.0, 300.0)
    assert (plan.stood, plan.clear, plan.any_side) == (5.0, 5.0, True)
    assert math.isnan(plan.room)


def test_a_margin_beyond_enough_counts_no_more() -> None:
    """From 225 mm on there is enough, so that the shorter hose is the better one."""
    plan = chosen(Scan(bend=lambda length: ENOUGH + 0.01 * (length - 225.0))).plan()
    assert plan.cut == 275.0


def test_no_margin_is_just_enough() -> None:
    plan = chosen(Scan(bend=lambda length: 0.0, apart=lambda length: 0.0)).plan()
    assert (plan.stood, plan.clear) == (5.0, 5.0)
    plan = chosen(Scan(bend=lambda length: -1e-9, apart=lambda length: 0.0)).plan()
    assert (plan.stood, plan.clear) == (0.0, 5.0)
    plan = chosen(Scan(bend=lambda length: 0.0, apart=lambda length: -1e-9)).plan()
    assert (plan.stood, plan.clear) == (5.0, 0.0)


def test_the_margins_are_those_of_this_hose() -> None:
    scan = Scan()
    chosen(scan, outside=18.0).plan()
    assert set(scan.asked) == {(RADIUS, 9.0, limit("error-chance"))}


def test_off_the_step_where_that_is_worth_while() -> None:
    """Steep to both sides: on the step the margin falls from 0.02 at 242.5 mm below 0."""
    steep = chosen(Scan(bend=peak(242.5, 0.02, 0.02))).plan()
    assert steep.cut in (292.0, 293.0)
    flat = chosen(Scan(bend=peak(242.5, 0.1, 0.02))).plan()
    assert flat.cut == 290.0


@pytest.mark.parametrize(("gain", "cut"), [(0.028, 255.0), (0.032, 292.0)])
def test_where_nothing_stands_the_errors_a_little_is_not_worth_an_odd_cut(
    gain: float, cut: float
) -> None:
    """On the step a margin of -0.1 everywhere, at 242 mm some hundredths more."""

    def bend(length: Array) -> Array:
        return np.where(np.abs(length - 242.0) < 0.3, -0.1 + gain, -0.1) - 1e-6 * length

    assert chosen(Scan(bend=bend)).plan().cut == cut


def test_where_the_window_holds_no_step_the_cut_is_in_whole_millimetres() -> None:
    share = TOLERANCE
    windows = [window(201.3 - share, 204.6 + share)]
    plan = chosen(Scan(bend=lambda length: 0.1), windows=windows).plan()
    assert plan.cut == 252.0
    none = [window(201.3 - share, 201.3 + share)]
    choice = chosen(Scan(bend=lambda length: 0.1), windows=none)
    free = [np.array([201.3, 201.6])]
    assert choice._on_step(choice.scan.told, free, [201.3], near=False) is None
    assert choice._chosen(choice.scan.told, free, 5.0, near=False) is choice.bare


@pytest.mark.parametrize(
    ("best", "step", "cut"),
    [
        (0.0, -0.01, 292.0),  # nothing on the step stands the errors, and 242 mm just does
        (-0.5, -0.5 - 0.03, 255.0),  # just not better by enough
        (0.1, 0.0, 255.0),  # the step stands them as well
    ],
)
def test_an_odd_cut_is_worth_while_just_where_it_stands_more(
    best: float, step: float, cut: float
) -> None:
    def bend(length: Array) -> Array:
        return np.where(np.abs(length - 242.0) < 0.3, best, step)

    assert chosen(Scan(bend=bend)).plan().cut == cut


def test_a_cut_in_whole_millimetres_is_the_last_word() -> None:
    """Only between two millimetres there is a margin."""
    own = Scan(bend=lambda length: np.where(np.abs(length - 242.5) < 0.3, 0.1, -0.1))
    plan = chosen(own).plan()
    assert plan.spans
    assert plan.stood == 0.0


def test_a_step_up_to_the_longest_line_may_be_the_best_one() -> None:
    """Best at 233 mm; of those on the step 250 mm, still below 252 mm."""

    def bend(length: Array) -> Array:
        near = np.where(np.abs(length - 250.0) < 0.1, 0.19, 0.1)
        return np.where(np.abs(length - 233.0) < 0.4, 0.2, near)

    assert chosen(Scan(bend=bend)).plan().cut == 300.0


def test_among_loops_any_step_may_be_the_best_one() -> None:
    def bend(length: Array) -> Array:
        there = np.where(np.abs(length - 290.0) < 0.1, 0.09, -0.1)
        return np.where(np.abs(length - 272.0) < 0.3, 0.1, there)

    assert chosen(Scan(bend=bend)).plan().cut == 340.0


def test_of_a_window_beyond_all_lines_the_shortest_length_alone_is_looked_at() -> None:
    """203 mm keeps nothing, 203.4 mm would: an odd cut is not worth while for what is no line."""
    own = Scan(bend=lambda length: np.where(np.abs(length - 203.39) < 0.2, 0.1, -0.1))
    assert chosen(own, windows=[window(200, 300, 100)]).plan().cut == 255.0


def test_engagements_are_in_the_cut_and_not_in_the_spans() -> None:
    plan = chosen(Scan(bend=peak(241.0)), engagements=60.0).plan()
    assert (plan.cut, plan.spans) == (300.0, (240.0,))


def test_a_line_comes_before_a_loop() -> None:
    """1.4 times the shortest possible 180 mm is still a line: 252 mm, and 255 mm on the step."""
    bend = peak(290.0, 0.24, 0.001)
    assert chosen(Scan(bend=bend), windows=[window(200, 300, 180)]).plan().cut == 305.0
    assert chosen(Scan(bend=bend), windows=[window(200, 300, 300)]).plan().cut == 340.0


def test_a_loop_is_looked_at_where_no_line_stands_the_errors() -> None:
    def bend(length: Array) -> Array:
        return np.where(length > 265.0, 0.1, -0.1)

    plan = chosen(Scan(bend=bend)).plan()
    assert plan.stood == 5.0
    assert plan.cut == 320.0
    clear = Scan(bend=lambda length: 0.1, apart=bend)
    plan = chosen(clear).plan()
    assert (plan.cut, plan.stood, plan.clear) == (320.0, 5.0, 5.0)


def test_a_bound_beyond_all_lengths_leaves_the_first() -> None:
    """The shortest that keeps clear may lie beyond 1.4 times the bound: then it is looked at."""
    plan = chosen(Scan(bend=lambda length: 0.1), windows=[window(200, 300, 100)]).plan()
    assert plan.cut == 255.0


@pytest.mark.parametrize(
    ("told", "laid", "again", "stood", "side"),
    [
        (0.1, 0.1, 0.1, 5.0, True),
        (-0.1, 0.1, 0.1, 5.0, False),
        (-0.1, -0.1, 0.1, 2.0, False),
        (-0.1, -0.1, -0.1, 0.0, True),
    ],
)
def test_what_does_not_stand_as_told_is_laid_and_then_measured_with_care(
    told: float, laid: float, again: float, stood: float, side: bool
) -> None:
    spans = [Scan(bend=lambda length, one=one: one) for one in (told, laid, again)]  # type: ignore[misc]
    plan = chosen(spans[0], laid=[spans[1]], again=[spans[2]]).plan()
    assert (plan.stood, plan.any_side) == (stood, side)


def test_careful_measuring_that_is_no_better_is_not_asked_for() -> None:
    bad, good = Scan(bend=lambda length: -0.1), Scan(bend=lambda length: 0.1)
    assert chosen(bad, laid=[bad], again=[good], tape=2.0, careful=2.0).plan().stood == 0.0
    assert chosen(bad, laid=[good], again=[good], tape=2.0, careful=2.0).plan().stood == 2.0
    assert chosen(bad, laid=[bad], again=[good], tape=2.1, careful=2.0).plan().stood == 2.0


def test_the_gap_stands_the_errors_as_told_although_the_bend_wants_care() -> None:
    bad, good = Scan(bend=lambda length: -0.1), Scan(bend=lambda length: 0.1)
    plan = chosen(bad, laid=[bad], again=[good]).plan()
    assert (plan.stood, plan.clear) == (2.0, 5.0)
    near = Scan(bend=lambda length: -0.1, apart=lambda length: -0.01)
    plan = chosen(near, laid=[near], again=[good]).plan()
    assert (plan.stood, plan.clear) == (2.0, 2.0)
    just = Scan(apart=lambda length: 0.0)
    assert chosen(near, laid=[near], again=[just]).plan().clear == 2.0
    touching = Scan(bend=lambda length: -0.1, apart=lambda length: 0.0)
    assert chosen(touching, laid=[near], again=[good]).plan().clear == 5.0


def test_where_the_gap_stands_no_errors_the_bend_decides_the_length() -> None:
    both = Scan(bend=peak(241.0), apart=lambda length: -0.1 + 0.0005 * (length - 300.0))
    plan = chosen(both).plan()
    assert plan.cut == 290.0
    assert (plan.stood, plan.clear) == (5.0, 0.0)
    just = Scan(
        bend=peak(241.0, 0.2, 0.001), apart=lambda length: np.where(length > 270, 0.0, -0.1)
    )
    plan = chosen(just, windows=[window(200, 300, 300)]).plan()
    assert plan.clear == 5.0
    assert plan.cut == 325.0


def test_of_choices_that_stand_less_the_one_that_stands_something_is_kept() -> None:
    """The bend stands the errors as told, the gap none: no other level is better."""
    own = Scan(apart=lambda length: -0.1)
    plan = chosen(own).plan()
    assert (plan.stood, plan.clear, plan.any_side) == (5.0, 0.0, True)
    other = Scan(bend=lambda length: -0.1, apart=lambda length: -0.1)
    plan = chosen(other, laid=[own], again=[own]).plan()
    assert (plan.stood, plan.any_side) == (5.0, False)
    plan = chosen(other, laid=[own], tape=1.0, careful=1.0).plan()
    assert (plan.stood, plan.any_side) == (1.0, False)


def test_where_no_cut_lies_in_the_lengths_there_is_none() -> None:
    choice = chosen(Scan())
    assert choice.scan is not None
    assert choice._of(choice.scan, [np.array([201.3, 201.6])]) == choice.bare


def test_some_length_works_where_errors_of_care_leave_one() -> None:
    bad = Scan(bend=lambda length: -0.1)
    assert chosen(Scan()).exists()
    assert chosen(Scan(), tape=1.0).exists()
    assert not chosen(bad).exists()
    assert chosen(bad, tape=0.0, careful=0.0).exists()
    assert not chosen(Scan(), windows=[window(200, 201)]).exists()
    choice = chosen(Scan(), crowded=True)
    solution: Any = choice.solution
    assert cut_exists(solution, choice.scan, [window()], 18.0, ENDS)
    assert not cut_exists(solution, None, [window()], 18.0, ENDS)


def test_a_gap_just_as_wide_as_wanted_is_clear() -> None:
    plan = chosen(Scan(room=lambda length: 9.0), outside=18.0, crowded=True).plan()
    assert (plan.room, bool(plan.spans)) == (0.0, True)
    assert not chosen(Scan(room=lambda length: 8.99), outside=18.0, crowded=True).plan().spans


def test_only_lengths_that_keep_clear_are_chosen() -> None:
    """Clear from 251 mm on, so that the best bend at 230 mm is out of reach."""
    own = Scan(bend=peak(230.0, 0.2, 0.002), room=lambda length: length - 251.0 + TOLERANCE)
    plan = chosen(own, crowded=True).plan()
    assert plan.cut == 305.0
    assert plan.spans == (255.0,)
    assert plan.room == pytest.approx(4.0)
    assert plan.shortest == pytest.approx(251.0 - TOLERANCE, abs=0.5)
    assert plan.longest == 300.0
    short = chosen(own, crowded=True, practical=280.0).plan()
    assert (short.cut, short.longest) == (305.0, 300.0)
    below = Scan(bend=peak(290.0, 0.2, 0.002), room=lambda length: 250.0 + TOLERANCE - length)
    plan = chosen(below, crowded=True).plan()
    assert plan.shortest == 200.0
    assert plan.longest == pytest.approx(250.0 + TOLERANCE, abs=0.5)


def test_where_nothing_keeps_clear_the_roomiest_length_is_told() -> None:
    own = Scan(room=lambda length: -3.0 - 0.1 * np.abs(length - 260.0))
    plan = chosen(own, crowded=True).plan()
    assert (plan.spans, math.isnan(plan.cut)) == ((), True)
    assert plan.roomiest == pytest.approx((260.0,), abs=0.5)
    assert plan.room == pytest.approx(-3.0 - 0.1 * TOLERANCE, abs=0.05)
    wide = Scan(room=lambda length: 5.0)
    two = chosen(own, wide, crowded=True).plan()
    assert two.room == pytest.approx(-3.0 - 0.1 * two.tolerance / 2, abs=0.05)
    assert len(two.roomiest) == 2


def test_the_cut_of_two_spans_is_the_step_nearest_to_what_both_want() -> None:
    plan = chosen(Scan(bend=peak(241.0)), Scan(bend=peak(232.0))).plan()
    assert plan.cut == 525.0
    assert plan.spans == pytest.approx((241.0, 234.0), abs=0.3)
    assert sum(plan.spans) == pytest.approx(475.0)
    assert (plan.shortest, plan.longest) == (400.0, 600.0)


def test_where_the_gap_stands_no_errors_the_bend_decides_both_spans() -> None:
    near = [Scan(bend=peak(at), apart=lambda length: -0.1 + 0.0005 * (length - 300.0))
            for at in (241.0, 234.0)]  # fmt: skip
    plan = chosen(*near).plan()
    assert plan.cut == 525.0
    assert plan.spans == pytest.approx((241.0, 234.0), abs=0.4)


def test_the_worst_span_decides_what_stands() -> None:
    good, bad = Scan(bend=lambda length: 0.1), Scan(bend=lambda length: -0.1)
    assert chosen(good, good).plan().stood == 5.0
    for spans in ((good, bad), (bad, good)):
        assert chosen(*spans).plan().stood == 0.0
    near = Scan(apart=lambda length: -0.1)
    for spans in ((good, near), (near, good)):
        plan = chosen(*spans).plan()
        assert (plan.stood, plan.clear) == (5.0, 0.0)
    rooms = [Scan(room=lambda length, one=one: one) for one in (5.0, 3.0)]  # type: ignore[misc]
    assert chosen(*rooms, crowded=True).plan().room == 3.0


@dataclass
class Ways:
    """Other ways to lie: radius and room at a length."""

    radius: Figure = lambda length: np.full(length.shape, 100.0)
    room: Figure = lambda length: np.full(length.shape, 100.0)

    def at(self, lengths: Array) -> tuple[Array, Array]:
        return self.radius(lengths), self.room(lengths)


def test_lengths_are_looked_for_at_which_other_ways_to_lie_do_as_well() -> None:
    """Another way is wide enough from 250 mm less the tolerance on."""
    ways = Ways(radius=lambda length: np.where(length >= 250.0, RADIUS, RADIUS - 0.1))
    choice = chosen(Scan(bend=peak(230.0, 0.2, 0.002)), ways=[ways])
    plan = choice.elsewhere(choice.plan())
    assert plan.cut == 305.0
    assert plan.shortest == pytest.approx(250.0, abs=0.5)
    up_to = Ways(radius=lambda length: np.where(length <= 250.0, RADIUS, RADIUS - 0.1))
    choice = chosen(Scan(bend=peak(290.0, 0.2, 0.002)), ways=[up_to])
    plan = choice.elsewhere(choice.plan())
    assert plan.longest == pytest.approx(250.0, abs=0.5)
    none = Ways(radius=lambda length: np.full(length.shape, RADIUS - 0.1))
    choice = chosen(Scan(), ways=[none])
    assert choice.elsewhere(choice.plan()) is choice.bare


def test_other_ways_to_lie_keep_clear_as_well() -> None:
    ways = Ways(room=lambda length: np.where(length >= 250.0, 9.0, 8.9))
    choice = chosen(Scan(bend=peak(230.0, 0.2, 0.002)), ways=[ways], outside=18.0, crowded=True)
    plan = choice.elsewhere(choice.plan())
    assert plan.cut == 305.0
    assert plan.shortest == pytest.approx(250.0, abs=0.5)


def test_rings_leave_no_other_lengths() -> None:
    choice = chosen(Scan(), ways=[Ways()], rings=True)
    assert choice.elsewhere(choice.plan()) is choice.bare
    assert chosen(Scan(), ways=[Ways()]).elsewhere(choice.bare).spans


@pytest.mark.parametrize(("room", "found"), [(0.5, True), (0.49, False)])
def test_a_shape_that_came_too_near_wants_half_a_millimetre_more(room: float, found: bool) -> None:
    own = Scan(room=lambda length: room)
    choice = chosen(own, ways=[Ways()], crowded=True)
    for before in (2.0, 0.0):
        assert bool(choice.elsewhere(replace(choice.bare, room=before)).spans) is found
    farther = chosen(Scan(room=lambda length: room + 3.0), ways=[Ways()], crowded=True)
    assert bool(farther.elsewhere(replace(farther.bare, room=-3.0)).spans) is found


def lie(radius: float, other: float = math.inf) -> Any:
    shape = SimpleNamespace(
        tightest_radius=radius, diagnostics=SimpleNamespace(smallest_eigenvalue=100.0)
    )
    return SimpleNamespace(other_radius=other, others=(), positions=((shape,),))


def test_a_plan_without_a_shape_has_no_cut() -> None:
    choice = chosen(Scan(bend=peak(241.0)), rings=True)
    solution: Any = choice.solution
    solution.lies = lambda many: [None] * len(many)
    (plan,) = size_plans(solution, choice.scan, [(RADIUS, 18.0, [window()])], ENDS, STEP)
    assert (plan.spans, plan.lie, plan.width) == ((), None, 0.0)
    assert math.isnan(plan.cut)
    assert plan.roomiest == (240.0,)
    solution.rings, found = [], iter(([None], [lie(50.0)]))
    solution.lies = lambda many: next(found) if many else []
    choice.scan.other_ways = [Ways()]
    (plan,) = size_plans(solution, choice.scan, [(RADIUS, 18.0, [window()])], ENDS, STEP)
    assert plan.lie is None


@pytest.mark.parametrize(
    ("outside", "apart", "room"),
    [(18.0, 25.0, 4.0), (18.0, 20.0, -1.0), (math.nan, 20.0, math.nan), (18.0, 90.0, 7.5)],
)
def test_room_is_told_for_the_shape_as_solved(
    monkeypatch: pytest.MonkeyPatch, outside: float, apart: float, room: float
) -> None:
    """The centreline 25 mm from what wants 12 mm leaves 4 mm to a hose of 18 mm."""
    monkeypatch.setattr(plans_of_sizes, "least_distance", lambda *_: apart)
    solution: Any = SimpleNamespace(
        route=SimpleNamespace(keep_outs=(SimpleNamespace(wanted=12.0),))
    )
    plan = replace(bend_only([window()], outside, ENDS), spans=(240.0,), room=7.5)
    found = plans_of_sizes._with_lie(plan, lie(50.0), solution)
    assert found.room == pytest.approx(room, nan_ok=True)
    assert found.tip == 240.0
    solution.route.keep_outs = ()
    assert math.isnan(plans_of_sizes._with_lie(plan, lie(50.0), solution).room)


def test_what_is_made_without_a_word_was_looked_at() -> None:
    plan = bend_only([window()], None, ENDS)
    assert plan.looked
    assert math.isnan(plan.tip)


def test_a_poor_plan_is_replaced_by_a_sound_one_alone() -> None:
    ways = Ways(radius=lambda length: np.where(length >= 250.0, RADIUS, RADIUS - 0.1))
    choice = chosen(Scan(bend=peak(230.0, 0.2, 0.002)), ways=[ways])
    solution: Any = choice.solution
    sizes: list[Any] = [(RADIUS, None, [window()])]
    for other_later, cut in ((math.inf, 305.0), (RADIUS - 1.0, 280.0)):
        solution.lies = lambda many, later=other_later: [
            lie(50.0, RADIUS - 1.0 if spans[0] < 250.0 else later) for spans in many
        ]
        solution.rings = []
        solution.spans[0].poses = ()
        plans = size_plans(solution, choice.scan, sizes * 2, ENDS, STEP)
        assert [plan.cut for plan in plans] == [cut, cut]


def test_a_sound_plan_is_left_as_it_is() -> None:
    ways = Ways(radius=lambda length: np.where(length >= 250.0, RADIUS, RADIUS - 0.1))
    choice = chosen(Scan(bend=peak(230.0, 0.2, 0.002)), ways=[ways])
    solution: Any = choice.solution
    solution.lies = lambda many: [lie(50.0) for _ in many]
    (plan,) = size_plans(solution, choice.scan, [(RADIUS, None, [window()])], ENDS, STEP)
    assert plan.cut == 280.0


def test_a_plan_is_sound_up_to_its_limits() -> None:
    def sound(room: float, other: float) -> bool:
        nothing = math.nan
        made = SizePlan(RADIUS, 18.0, nothing, nothing, 0.0, 0.0, lie=lie(50.0, other), room=room)
        return made.sound

    assert sound(0.0, RADIUS)
    assert sound(0.4, RADIUS)
    assert sound(math.nan, math.inf)
    assert not sound(-0.1, RADIUS)
    assert not sound(0.0, RADIUS - 0.1)
    assert SizePlan(RADIUS, 18.0, 0.0, 0.0, 0.0, 0.0).sound


def test_the_bare_plan_is_that_of_the_bend() -> None:
    plan = bend_only([window(200, 300), window(100, 130)], 18.0, ENDS)
    assert (plan.radius, plan.outside) == (RADIUS, 18.0)
    assert (plan.shortest, plan.longest) == (300.0, 430.0)
    assert plan.width == 60.0
    tolerance = float(cut_length_tolerance(300.0 + ENDS, "iso-1307"))
    assert plan.tolerance == tolerance
    assert plan.needed == 2 * tolerance + 1
    assert plan.any_side
    assert math.isnan(bend_only([window()], None, ENDS).outside)
    later = replace(window(), radius=70.0)
    assert bend_only([window(), later, later], None, ENDS).radius == RADIUS


@pytest.mark.parametrize(
    ("shortest", "more", "differ"), [(290.0, 50.0, True), (200.0, 20.0, False)]
)
def test_the_tolerance_is_that_of_the_whole_hose(
    shortest: float, more: float, differ: bool
) -> None:
    whole = float(cut_length_tolerance(shortest + more, "iso-1307"))
    assert (whole != float(cut_length_tolerance(shortest, "iso-1307"))) is differ
    assert bend_only([window(shortest, 400.0)], None, more).tolerance == whole


def test_a_loop_is_no_window() -> None:
    for odd in (replace(window(), big_loop_only=True), window(math.nan, math.nan)):
        plan = bend_only([window(), odd], 18.0, ENDS)
        assert math.isnan(plan.shortest)
        assert (plan.width, plan.tolerance) == (0.0, 0.0)
