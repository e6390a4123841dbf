"""Spans over their lengths, as measured and with errors, against plain statements of each."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from hoseselect.cutplan import free_solution, length_scan, other_ways, own_weight, span_scan
from hoseselect.cutplan.free_spans import Span, placements_of, pose_of, spans_of, turned
from hoseselect.cutplan.length_curve import _around, _changes, curve_of
from hoseselect.cutplan.length_scan import LengthScan, scan_of
from hoseselect.cutplan.near import Near
from hoseselect.cutplan.other_ways import OtherWays
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.cutplan.span_scan import PlainScan, SpanScan, all_but, kept
from hoseselect.cutplan.span_windows import longer, practical_windows
from hoseselect.domain.free_route import Clip, FreeRoute, KeepOut, Rocking
from hoseselect.knowledge.load import limit
from hoseselect.knowledge.tolerances import cut_length_tolerance
from hoseselect.mechanics.rod import ClampClip, Errors, Placement, Pose, Window, place_draws

Array = NDArray[np.float64]
NONE = math.nan
DRAWS = 128
UP, FORWARD, BACK = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0)
RADIUS = 40.0


def window(shortest: float, longest: float, *, loop: bool = False, radius: float = 40.0) -> Window:
    return Window(radius, shortest, longest, 150.0, 400.0, loop, 60.0, 250.0)


# The curve of a hose over its lengths


class Scan:
    """A span: radius and room rise with the length, each draw a millimetre wider than the last."""

    def __init__(self, low: float, high: float, radius: Any = None, room: Any = None) -> None:
        self.length = np.linspace(low, high, 9)
        self.radius, self.room = radius or (lambda x: x / 5), room or (lambda x: x / 10 + 20)

    def at(self, lengths: Array) -> tuple[Array, Array]:
        return self.radius(lengths), self.room(lengths)

    def with_errors(self, lengths: Array) -> tuple[Array, Array, Array]:
        draws = np.arange(DRAWS)
        radii, rooms = self.at(self.length)
        return self.length, radii[:, None] + draws - 10, rooms[:, None] + draws[::-1] - 20


def own_plan(**more: Any) -> SizePlan:
    made: dict[str, Any] = {
        "radius": RADIUS, "outside": 18.0, "shortest": 200.0, "longest": 300.0, "width": 100.0,
        "tolerance": 3.0, "spans": (240.0,), "cut": 290.0, "stood": 5.0, "clear": 5.0,
    }  # fmt: skip
    return SizePlan(**{**made, **more})


def plan_of(*scans: Scan, crowded: bool = True, **levels: list[Scan]) -> Any:
    route = SimpleNamespace(tape_error=5.0, angle_error=6.0, keep_outs=(1,) if crowded else ())
    told = list(scans)
    scan = SimpleNamespace(
        **{"told": told, "set_laid": told, "measured_again": told, "careful": (2.0, 3.0), **levels}
    )
    return SimpleNamespace(scan=scan, route=route, engagements=(20.0, 30.0))


def test_the_curve_tells_radius_and_room_with_errors_and_without() -> None:
    """Of 128 draws three may be worse, and those of the room less half the hose are left."""
    curve = curve_of(plan_of(Scan(100, 500)), own_plan())
    assert curve is not None
    tip = curve.cut - 50.0
    assert curve.radius == pytest.approx(tip / 5)
    assert curve.radius_low == pytest.approx(tip / 5 - 10 + 3)
    assert curve.room == pytest.approx(tip / 10 + 20 - 9)
    assert curve.room_low == pytest.approx(tip / 10 + 20 - 20 + 3 - 9)
    assert (curve.least_radius, curve.chosen, curve.tolerance) == (40.0, 290.0, 3.0)
    assert (curve.tape_error, curve.angle_error) == (5.0, 6.0)
    assert curve.cut[[0, -1]] == pytest.approx((290 - 75, 290 + 95))
    steps = np.diff(curve.cut).max()
    assert curve.window[0] == pytest.approx(250.0, abs=steps)
    assert curve.window[0] >= 250.0
    assert curve.stood[0] == pytest.approx(5 * (40 + 7) + 50, abs=steps)
    assert curve.window[1] == curve.stood[1] == curve.cut[-1]


def test_the_narrowest_of_all_spans_is_told_and_each_has_its_share() -> None:
    """With two spans only one of 128 draws of each may be worse."""
    wide, tight = Scan(60, 500, lambda x: x), Scan(60, 500, lambda x: x / 2, lambda x: x / 8)
    own = own_plan(spans=(140.0, 100.0))
    for scans, spans in (((wide, tight), (140.0, 100.0)), ((tight, wide), (100.0, 140.0))):
        curve = curve_of(plan_of(*scans), replace(own, spans=spans))
        assert curve is not None
        change = (curve.cut - 290.0) / 2
        assert curve.radius == pytest.approx((100 + change) / 2)
        assert curve.radius_low == pytest.approx((100 + change) / 2 - 10 + 1)
        assert curve.room == pytest.approx((100 + change) / 8 - 9)
        assert curve.room_low == pytest.approx((100 + change) / 8 - 20 + 1 - 9)


def test_no_room_is_told_where_nothing_is_near() -> None:
    curve = curve_of(plan_of(Scan(100, 500), crowded=False), own_plan())
    assert curve is not None
    assert np.isnan(curve.room).all()
    assert np.isnan(curve.room_low).all()
    assert curve.window[1] == curve.cut[-1]


def test_what_comes_too_near_is_no_length_that_works() -> None:
    """Room falls below half the hose above 280 mm, with errors above 246 mm; the bend from 200."""
    own = Scan(100, 500, lambda x: x - 160.0, lambda x: 9.0 + (280.0 - x) / 2)
    curve = curve_of(plan_of(own), own_plan())
    assert curve is not None
    steps = np.diff(curve.cut).max()
    assert 330.0 - steps < curve.window[1] <= 330.0
    assert 296.0 - steps < curve.stood[1] <= 296.0
    just = Scan(100, 500, lambda x: np.full(x.shape, RADIUS), lambda x: np.full(x.shape, 9.0))
    curve = curve_of(plan_of(just), own_plan())
    assert curve is not None
    assert curve.window == (curve.cut[0], curve.cut[-1])
    assert math.isnan(curve.stood[0])
    level = Scan(100, 500, lambda x: np.full(x.shape, RADIUS + 7.0), lambda x: np.full(x.shape, 26))
    curve = curve_of(plan_of(level), own_plan())
    assert curve is not None
    assert curve.stood == (curve.cut[0], curve.cut[-1])


@pytest.mark.parametrize(
    ("stood", "side", "which", "tape", "tolerance"),
    [
        (5.0, True, 0, 5.0, 3.0),
        (5.0, False, 1, 5.0, 3.0),
        (2.0, True, 2, 2.0, 2.0),
        (0.1, True, 2, 2.0, 2.0),
        (0.0, True, 0, 5.0, 3.0),
    ],
)
def test_the_curve_is_that_of_the_errors_that_the_cut_stands(
    stood: float, side: bool, which: int, tape: float, tolerance: float
) -> None:
    told, laid, again = (Scan(100, 500, lambda x, k=k: x + k) for k in (0, 1, 2))  # type: ignore[misc]
    plan = plan_of(told, set_laid=[laid], measured_again=[again])
    curve = curve_of(plan, own_plan(stood=stood, any_side=side))
    assert curve is not None
    assert curve.radius == pytest.approx(curve.cut - 50.0 + which)
    assert (curve.tape_error, curve.tolerance) == (tape, tolerance)
    assert curve.angle_error == (3.0 if which == 2 else 6.0)
    finer = curve_of(plan, own_plan(stood=2.0, tolerance=1.5))
    assert finer is not None
    assert finer.tolerance == 1.5


def test_a_hose_without_a_cut_is_shown_about_its_roomiest_length() -> None:
    none = own_plan(spans=(), cut=NONE, stood=NONE, roomiest=(240.0,))
    curve = curve_of(plan_of(Scan(100, 500)), none)
    assert curve is not None
    assert 290.0 in curve.cut
    assert math.isnan(curve.window[0])
    again = own_plan(spans=(), cut=NONE, stood=2.0, roomiest=(240.0,))
    curve = curve_of(plan_of(Scan(100, 500)), again)
    assert curve is not None
    assert curve.tape_error == 5.0
    assert curve_of(plan_of(Scan(100, 500)), replace(none, roomiest=())) is None
    plan = plan_of(Scan(100, 500))
    plan.scan = None
    assert curve_of(plan, own_plan()) is None


@pytest.mark.parametrize(
    ("ranges", "spans", "shortest", "longest", "ends"),
    [
        # a third of the window, and a bit, beyond each end of it
        ([(100, 500)], (240,), 200, 300, (-75, 95)),
        # at least 0.35 of four tolerances beyond
        ([(100, 500)], (240,), 235, 245, (-9.2, 9.2)),
        # no further than the span was looked at
        ([(230, 252)], (240,), 200, 300, (-10, 12)),
        ([(230, 250), (95, 103)], (240, 100), 300, 400, (-10, 6)),
        # at most half of the length either way
        ([(50, 900)], (240,), 100, math.inf, (-120, 120)),
        # without a window: from the length itself up to one and a half of it
        ([(50, 900)], (240,), NONE, math.inf, (-42, 120)),
        ([(250, 900)], (240,), 200, 300, (0, 95)),
        ([(50, 230)], (240,), 200, 300, (-75, 0)),
    ],
)
def test_how_far_the_curve_goes(
    ranges: list[Any], spans: Any, shortest: float, longest: float, ends: tuple[float, float]
) -> None:
    scans: list[Any] = [Scan(*one) for one in ranges]
    changes = _changes(scans, spans, own_plan(shortest=shortest, longest=longest))
    assert changes[[0, -1]] == pytest.approx(ends)
    assert 0.0 in changes
    assert len(changes) == 121 + (0.0 not in np.linspace(*ends, 121))


@pytest.mark.parametrize(
    ("good", "chosen", "ends"),
    [
        ("...xx.x", 1.2, (0, 2)),
        ("x..x..x", 4.0, (4, 5)),
        ("xx.x...", 5.0, (4, 6)),
        ("x.x.x.x", 3.0, (3, 3)),
        ("x.x.x.x", 2.0, (NONE, NONE)),
        (".......", NONE, (NONE, NONE)),
        (".......", 3.0, (0, 6)),
    ],
)
def test_the_good_lengths_round_the_chosen_one(
    good: str, chosen: float, ends: tuple[float, float]
) -> None:
    marks = np.array([mark == "." for mark in good])
    assert _around(np.arange(7.0), marks, chosen) == pytest.approx(ends, nan_ok=True)


# Spans as measured


def straight(distance: float) -> Pose:
    return Pose(np.zeros(3), np.array(FORWARD), np.array([distance, 0.0, 0.0]), np.array(FORWARD))


def shift(*parts: float) -> Placement:
    return Placement(np.eye(3), np.array(parts))


class HeightOf:
    """Something near: its room is the least height of a line, less ten for every position."""

    def __init__(self, part: Any, solution: Any) -> None:
        self.part = part

    def room(self, points: Array, position: int) -> Array:
        return points[..., 2].min(axis=-1) - 10.0 * position - self.part


@pytest.fixture
def stacks(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """Shapes are lines as high as their number, their radii that number less 1.

    Returns the stacks that were made.
    """
    made: list[Any] = []

    def stack(cases: list[tuple[Pose, float]]) -> Any:
        line = np.zeros((len(cases), 4, 3))
        line[:, :, 2] = np.arange(len(cases))[:, None] + np.array([3.0, 2.0, 5.0, 4.0])
        radius = np.arange(len(cases)) - 1.0
        radius[:2] = (np.nan, np.inf)
        made.append(SimpleNamespace(cases=cases, line=line, radius=radius))
        return made[-1]

    monkeypatch.setattr(span_scan, "Stack", stack)
    monkeypatch.setattr(span_scan, "Near", HeightOf)
    return made


def solution_with(*parts: float) -> Any:
    return SimpleNamespace(route=SimpleNamespace(keep_outs=parts))


def plainly(low: float, high: float, close: list[float], *parts: float) -> PlainScan:
    span = Span((straight(90.0), straight(100.0)), ((0, None), (1, None)), 4.0, 6.0)
    return PlainScan(span, low, high, np.array(close), solution_with(*parts))


@pytest.mark.parametrize(
    ("low", "high", "first", "last"),
    [
        (130.0, 210.0, 120.0, 200.0),
        (50.0, 210.0, 100.0001, 200.0),  # none shorter than the distance reaches
        (130.0, 120.0, 120.0, 120.12),
    ],
)
def test_lengths_rise_in_even_ratios_of_slack(
    stacks: list[Any], low: float, high: float, first: float, last: float
) -> None:
    """Slack over 0.98 of the largest distance, 100 mm; what is nearer than 0.2 mm is one length."""
    plain = plainly(low, high, [])
    own = 98.0 + np.array([
        (first - 98.0) * ((last - 98.0) / (first - 98.0)) ** (k / 15) for k in range(16)
    ])  # fmt: skip
    wanted = [own[0]] + [b for a, b in itertools.pairwise(own) if b - a > 0.2]
    assert plain.inner == pytest.approx(np.array(wanted))
    assert len(wanted) == (1 if high < low else 16)


def test_lengths_to_be_looked_at_closely_are_among_them(stacks: list[Any]) -> None:
    plain, alone = plainly(130.0, 210.0, [150.0, 150.15, 180.4]), plainly(130.0, 210.0, [])
    more = sorted(set(plain.inner) - set(alone.inner))
    assert more == pytest.approx([140.0, 170.4])
    assert (np.diff(plain.inner) > 0).all()


def test_every_pose_is_solved_at_every_length(stacks: list[Any]) -> None:
    plain = plainly(130.0, 210.0, [])
    (stack,) = stacks
    assert [pose.distance for pose, _ in stack.cases] == [90.0, 100.0] * 16
    assert [length for _, length in stack.cases] == pytest.approx(np.repeat(plain.inner, 2))
    assert plain.radius.shape == (16, 2)
    assert plain.radius[:2].tolist() == [[0.0, 1e6], [1.0, 2.0]]


def test_room_is_that_of_the_nearest_part_at_each_position(stacks: list[Any]) -> None:
    """Lowest points of the lines: 2 mm above their number; the second part asks for 7 mm more."""
    span = Span((straight(90.0), straight(100.0)), ((0, None), (1, shift(0, 0, 4.0))), 4.0, 6.0)
    plain = PlainScan(span, 130.0, 210.0, np.array([]), solution_with(0.0, 7.0))
    numbers = np.arange(16)
    assert plain.room[:, 0] == pytest.approx(2 * numbers + 2 - 7.0)
    assert plain.room[:, 1] == pytest.approx(2 * numbers + 1 + 2 + 4 - 10 - 7.0)
    alone = plainly(130.0, 210.0, [])
    assert np.isinf(alone.room).all()
    turned_round = PlainScan(span, 130.0, 210.0, np.array([]), solution_with(7.0, 0.0))
    assert (turned_round.room == plain.room).all()


# Spans with errors


ERRORS = Errors(5.0, 4.0, 3.0, 0.0)


def scan_with(monkeypatch: pytest.MonkeyPatch, count: int = 5) -> tuple[SpanScan, list[Any]]:
    """A scan of lengths 110, 120 ... leads counted; its draws are told by row."""
    asked: list[Any] = []

    def draws(plain: Any, rows: Array, errors: Errors, measured: bool) -> tuple[Array, Array]:
        asked.append((rows.tolist(), errors, measured))
        each = rows[:, None] * 10.0 + np.arange(4.0)
        return each + 30.0, each - 3.0

    monkeypatch.setattr(span_scan, "_draws", draws)
    inner = 100.0 + 10.0 * np.arange(count)
    high = np.arange(float(count))[:, None]
    plain: Any = SimpleNamespace(
        inner=inner, span=SimpleNamespace(leads=10.0),
        radius=high + np.array([50.0, 40.0]), room=high * 2 + np.array([6.0, 7.0]),
    )  # fmt: skip
    return SpanScan(plain, ERRORS, start_is_measured=True), asked


def test_the_worst_position_is_read_between_lengths(monkeypatch: pytest.MonkeyPatch) -> None:
    scan, _ = scan_with(monkeypatch)
    assert scan.length.tolist() == [110, 120, 130, 140, 150]
    radius, room = scan.at(np.array([[110.0, 125.0], [90.0, 170.0]]))
    assert radius.tolist() == [[40.0, 41.5], [40.0, 44.0]]
    assert room.tolist() == [[6.0, 9.0], [6.0, 14.0]]


@pytest.mark.parametrize(
    ("lengths", "rows"),
    [
        ([125.0], [1, 2]),
        ([120.0], [0, 1]),
        ([90.0], [0, 1]),
        ([170.0], [3, 4]),
        ([125.0, 127.0, 145.0], [1, 2, 3, 4]),
    ],
)
def test_draws_are_made_next_to_the_lengths_asked_for(
    monkeypatch: pytest.MonkeyPatch, lengths: list[float], rows: list[int]
) -> None:
    scan, asked = scan_with(monkeypatch)
    own, radii, rooms = scan.with_errors(np.array(lengths))
    assert asked == [(rows, ERRORS, True)]
    assert own.tolist() == [110.0 + 10.0 * row for row in rows]
    assert radii.tolist() == [[30.0 + 10 * row + k for k in range(4)] for row in rows]
    assert rooms.tolist() == [[10.0 * row + k - 3.0 for k in range(4)] for row in rows]


def test_draws_are_kept_and_only_new_ones_made(monkeypatch: pytest.MonkeyPatch) -> None:
    scan, asked = scan_with(monkeypatch)
    for lengths in ([125.0], [125.0], [135.0]):
        scan.with_errors(np.array(lengths))
    assert [rows for rows, *_ in asked] == [[1, 2], [3]]
    one, asked = scan_with(monkeypatch, 1)
    own, radii, _ = one.with_errors(np.array([105.0, 115.0]))
    assert (own.tolist(), radii.shape) == ([110.0], (1, 4))


def test_margins_are_read_between_lengths(monkeypatch: pytest.MonkeyPatch) -> None:
    """One of four draws may be worse: bend (31 + 10 row) / 40 - 1, room (-2 + 10 row - 1) / 50."""
    scan, _ = scan_with(monkeypatch)
    both, bend, room = scan.margins(np.array([125.0]), 40.0, 1.0, 0.25)
    assert limit("room-per-margin") == 50
    assert bend == pytest.approx([46.0 / 40 - 1])
    assert room == pytest.approx([(15 - 3.0) / 50])
    assert both == pytest.approx([min(46.0 / 40 - 1, 12.0 / 50)])


def test_what_all_but_some_draws_keep() -> None:
    values = np.array([[5.0, 1.0, 4.0, 2.0], [3.0, 9.0, 7.0, 8.0]])
    for chance, wanted in ((0.0, [1, 3]), (0.24, [1, 3]), (0.25, [2, 7]), (0.5, [4, 8])):
        assert all_but(values, chance).tolist() == wanted
    radii, rooms = np.array([[30.0, 50.0, 60.0, 45.0]]), np.array([[34.0, 14.0, 9.0, 19.0]])
    both, bend, room = kept(radii, rooms, 40.0, 9.0, 0.25)
    assert bend == pytest.approx([45 / 40 - 1])
    assert room == pytest.approx([5.0 / 50])
    assert both == pytest.approx([0.0])


def drawn_plain(parts: list[Any], moved: list[Placement | None]) -> Any:
    """A span of three lengths and eight positions, each a pose of its own but for the last two."""
    generator = np.random.default_rng(7)
    which = [0, 1, 2, 3, 4, 5, 6, 6]
    poses = 7
    asked: list[Any] = []
    lines = generator.normal(size=(3 * poses, 33, 3, DRAWS)) * 20.0
    radii = generator.uniform(20.0, 90.0, (3 * poses, DRAWS))
    radii[1, :2] = (np.nan, np.inf)

    def drawn(rows: Array, errors: Errors, measured: bool, *, lines: bool) -> Any:
        asked.append((errors, measured, lines))
        made.rows = rows.tolist()
        return radii[rows], made.every[rows]

    made = SimpleNamespace(
        span=SimpleNamespace(poses=[None] * poses, positions=list(zip(which, moved, strict=True))),
        radius=generator.uniform(20.0, 90.0, (3, poses)),
        room=generator.uniform(1.0, 30.0, (3, 8)),
        near=[HeightOf(part, None) for part in parts],
        stack=SimpleNamespace(drawn=drawn, line=generator.normal(size=(3 * poses, 97, 3)) * 20.0),
        every=lines, radii=radii, which=which, asked=asked,
    )  # fmt: skip
    return made


def test_draws_of_the_tightest_and_of_the_nearest_positions_decide() -> None:
    """Six poses with the tightest bend, two positions with the least room, one by one."""
    moved: list[Placement | None] = [shift(0, 0, 3.0 * k) if k % 3 == 2 else None for k in range(8)]
    plain = drawn_plain([0.0, 4.0], moved)
    lengths = np.array([0, 2])
    radii, rooms = span_scan._draws(plain, lengths, ERRORS, True)
    assert plain.asked == [(ERRORS, True, True)]
    slips = 5.0 * place_draws(2)
    for k, length in enumerate(lengths.tolist()):
        first = 7 * length
        worst = np.argsort(plain.radius[length])[:6]
        each = [plain.radii[first + pose] for pose in worst]
        tight = [np.where(np.isnan(one), 0.0, np.where(np.isinf(one), 1e6, one)) for one in each]
        assert radii[k] == pytest.approx(np.min(tight, axis=0))
        found = []
        for position in np.argsort(plain.room[length])[:2].tolist():
            row = first + plain.which[position]
            lift = 3.0 * position if position % 3 == 2 else 0.0
            fine = plain.stack.line[row][:, 2]
            finer = fine.min() - fine[::3].min()
            for near, slip in zip((0.0, 4.0), slips, strict=True):
                low = plain.every[row][:, 2].min(axis=0) + lift - 10.0 * position - near
                found.append(low + finer + slip)
        assert rooms[k] == pytest.approx(np.min(found, axis=0))


def test_without_anything_near_no_lines_are_drawn() -> None:
    plain = drawn_plain([], [None] * 8)
    _, rooms = span_scan._draws(plain, np.array([1]), ERRORS, False)
    assert plain.rows == sorted(7 + np.argsort(plain.radius[1])[:6])
    assert plain.asked == [(ERRORS, False, False)]
    assert rooms.shape == (1, DRAWS)
    assert np.isinf(rooms).all()


# A route over its lengths


def solution_of(*spans: tuple[float, float], parts: Any = (), tape: float = 5.0) -> Any:
    """A solution whose spans have a practical length and leads."""
    return SimpleNamespace(
        profiles=[SimpleNamespace(practical=practical) for practical, _ in spans],
        spans=[SimpleNamespace(leads=leads) for _, leads in spans],
        route=SimpleNamespace(tape_error=tape, angle_error=tape, keep_outs=parts),
    )


def test_a_scan_goes_over_all_windows_by_the_tolerance_and_a_bit() -> None:
    windows = [[window(200, 300)], [window(180, math.inf)], [window(150, 900, loop=True)],
               [window(NONE, NONE)]]  # fmt: skip
    scan = scan_of(solution_of((400.0, 20.0)), windows, 50.0)
    assert scan is not None
    tolerance = float(cut_length_tolerance(180.0 + 50.0, "iso-1307"))
    assert scan.tolerance == tolerance
    assert scan.ranges == [(180.0 - 2 * tolerance, pytest.approx(420.0 * 1.06))]
    assert scan.close[0].tolist() == [200, 225, 250, 275, 300]
    assert scan_of(solution_of((400.0, 20.0)), windows[2:], 50.0) is None


def test_a_scan_of_two_spans_halves_the_tolerance() -> None:
    """Longest windows of 230 and 150 mm; the second begins beyond what is practical."""
    windows = [[window(200, 230), window(140, 150)], [window(210, 220), window(NONE, NONE)],
               [window(220, 225), window(135, 140)]]  # fmt: skip
    scan = scan_of(solution_of((400.0, 0.0), (100.0, 10.0)), windows, 150.0)
    assert scan is not None
    tolerance = float(cut_length_tolerance(200.0 + 135.0 + 150.0, "iso-1307"))
    assert tolerance != float(cut_length_tolerance(200.0, "iso-1307"))
    assert scan.tolerance == tolerance
    assert scan.ranges == [
        (200.0 - tolerance, pytest.approx(230.0 * 1.06)),
        (135.0 - tolerance, pytest.approx(135.0 * 1.06)),
    ]


def test_the_three_narrowest_windows_are_looked_at_closely() -> None:
    windows = [[window(low, high)] for low, high in
               ((100, 140), (100, 120), (100, math.inf), (100, 108), (100, 104))]  # fmt: skip
    close = length_scan._closely(windows, 0)
    assert close.tolist() == [
        *(100, 101, 102, 103, 104), *(100, 102, 104, 106, 108), *(100, 105, 110, 115, 120),
    ]  # fmt: skip
    assert length_scan._closely([[window(100, math.inf)]], 0).tolist() == []


def test_which_errors_are_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each span has its share of the error of the cut; the set counts where it is not laid."""
    made: list[tuple[Any, ...]] = []
    monkeypatch.setattr(length_scan, "PlainScan", lambda *parts: parts)
    monkeypatch.setattr(
        length_scan, "SpanScan",
        lambda plain, errors, *, start_is_measured: made.append((errors, start_is_measured)),
    )  # fmt: skip
    solution = solution_of((400.0, 0.0), (300.0, 0.0))
    solution.route.angle_error = 6.0
    scan = LengthScan(solution, [(1.0, 2.0), (3.0, 4.0)], 3.0, [np.zeros(1), np.ones(1)])
    assert scan.careful == (2.0, 2.0)
    assert (len(scan.told), len(scan.set_laid), len(scan.measured_again)) == (2, 2, 2)
    assert [measured for _, measured in made] == [False, True] * 3
    told, _, laid, _, again, _ = (errors for errors, _ in made)
    assert told == Errors(5.0, 6.0, 1.5, 1 / 400)
    assert laid == Errors(5.0, 6.0, 1.5, 0.0)
    assert again == Errors(2.0, 2.0, 1.0, 0.0)
    (first, low, high, close, whole), second = scan._plain  # type: ignore[misc]
    assert (first, low, high, close, whole) == (solution.spans[0], 1.0, 2.0, 0.0, solution)
    assert second[1:3] == (3.0, 4.0)  # type: ignore[index]
    solution.route.tape_error, solution.route.angle_error, scan.tolerance = 1.0, 1.5, 0.6
    assert scan.careful == (1.0, 1.5)
    del scan.__dict__["measured_again"]
    assert scan.measured_again
    assert made[-1][0] == Errors(1.0, 1.5, 0.3, 0.0)


def test_leads_make_every_length_of_a_window_longer() -> None:
    plain = window(200, 300)
    assert longer(plain, 0.0) is plain
    assert longer(plain, 20.0) == Window(40.0, 220, 320, 170.0, 420.0, False, 60.0, 270.0)


def test_beyond_the_practical_length_windows_are_loops_and_beyond_the_best_there_is_none() -> None:
    found = {30.0: window(200, 300), 50.0: window(310, 400), 60.0: window(309.9, 400, loop=True)}
    profile: Any = SimpleNamespace(
        best_radius=lambda: (60.0, 350.0), practical=309.9, bound=lambda radii: radii * 3,
        windows=lambda radii: [found[radius] for radius in radii.tolist()],
    )  # fmt: skip
    windows = practical_windows(profile, np.array([30.0, 50.0, 60.0, 60.1]))
    assert [one.big_loop_only for one in windows] == [False, True, True, False]
    assert not windows[3].exists
    assert (windows[3].radius, windows[3].bound, windows[3].best_radius) == (
        60.1, pytest.approx(180.3), 60.0,
    )  # fmt: skip
    assert windows[3].best_length == 350.0
    found[30.0] = window(309.9, 400)
    assert not practical_windows(profile, np.array([30.0]))[0].big_loop_only


# What is near, what holds, what else


def part(x: float, moves: bool | None) -> KeepOut:
    return KeepOut("part", "ball", ((x, 0.0, 0.0),), (20.0, 0.0, 0.0), 4.0, growth=2.0, moves=moves)


@pytest.mark.parametrize(
    ("moves", "rooms"), [(False, (24, 24)), (True, (24, 14)), (None, (24, 14))]
)
def test_room_to_a_part_that_may_have_moved(moves: bool | None, rooms: tuple[float, float]) -> None:
    """A ball of 10 mm radius 40 mm away that wants 6 mm; moved it is 10 mm nearer."""
    solution: Any = SimpleNamespace(placements=(shift(0, 0, 0), shift(-10, 0, 0)))
    near = Near(part(40.0, moves), solution)
    points = np.zeros((2, 3, 4, 3))
    points[0, :, 1:, 1] = 500.0
    points[1, ..., 0] = -5.0
    points[1, 2, ..., 0] = -8.0
    for position, room in enumerate(rooms):
        found = near.room(points, position)
        assert found.shape == (2, 3)
        assert found[0] == pytest.approx([room] * 3)
        assert found[1] == pytest.approx([room + 5, room + 5, room + 8])
    away: Any = SimpleNamespace(placements=(shift(0, 0, 0), shift(10, 0, 0)))
    assert Near(part(40.0, moves), away).room(np.zeros((1, 3)), 1) == (34 if moves else 24)


ROUTE = FreeRoute((120.0, 0.0, 80.0), UP, BACK, movement=(2.0, 0.0, 0.0), lead=10.0)
HELD = (ClampClip(np.array([50.0, 0.0, 70.0]), np.array(FORWARD)),)


def ends_of(pose: Pose) -> list[list[float]]:
    return [
        one.tolist() for one in (pose.start, pose.start_direction, pose.end, pose.end_direction)
    ]


def test_a_whole_route_is_one_span_between_its_leads() -> None:
    assert ends_of(pose_of(ROUTE)) == [[0, 0, 0], [0, 0, 1], [120, 0, 80], [1, 0, 0]]
    held = placements_of(ROUTE)
    assert [one.shift.tolist() for one in held] == [[0, 0, 0], [-2, 0, 0], [2, 0, 0]]
    (span,) = spans_of(ROUTE, (), held)
    assert (span.lead_start, span.lead_end, span.leads) == (10.0, 10.0, 20.0)
    assert span.positions == ((0, None), (1, None), (2, None))
    assert [ends_of(pose) for pose in span.poses] == [
        [[0, 0, 10], [0, 0, 1], [110 + x, 0, 80], [1, 0, 0]] for x in (0, -2, 2)
    ]
    assert span.figures[:12] == (0, 0, 10, 0, 0, 1, 110, 0, 80, 1, 0, 0)
    assert len(span.figures) == 36
    (still,) = spans_of(replace(ROUTE, mouth_moves=False, lead=0.0), (), held)
    assert still.positions == ((0, None), (0, None), (0, None))
    assert [ends_of(pose) for pose in still.poses] == [
        [[0, 0, 0], [0, 0, 1], [120, 0, 80], [1, 0, 0]]
    ]


@pytest.mark.parametrize("moves", [False, True])
def test_of_two_spans_one_changes_and_one_stays_or_goes_along(moves: bool) -> None:
    route = replace(ROUTE, clips=(Clip((50.0, 0.0, 70.0), FORWARD, moves=moves),))
    first, last = spans_of(route, HELD, placements_of(route))
    assert (first.lead_start, first.lead_end) == (10.0, 0.0)
    assert (last.lead_start, last.lead_end) == (0.0, 10.0)
    if moves:
        assert first.positions == ((0, None), (1, None), (2, None))
        assert [pose.end.tolist() for pose in first.poses] == [[50 + x, 0, 70] for x in (0, -2, 2)]
        assert [pose.start.tolist() for pose in first.poses] == [[0, 0, 10]] * 3
        assert len(last.poses) == 1
        assert [None if one is None else one.shift.tolist() for _, one in last.positions] == [
            None, [-2, 0, 0], [2, 0, 0],
        ]  # fmt: skip
    else:
        assert first.positions == ((0, None), (0, None), (0, None))
        assert [pose.start.tolist() for pose in last.poses] == [[50, 0, 70]] * 3
        assert [pose.end.tolist() for pose in last.poses] == [[110 + x, 0, 80] for x in (0, -2, 2)]


def test_a_span_from_a_clip_that_rocks_to_a_nipple_that_stays() -> None:
    rocks = Rocking((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 90.0)
    route = replace(
        ROUTE, movement=(0.0, 0.0, 0.0), rocking=rocks, mouth_moves=False,
        clips=(Clip((50.0, 0.0, 70.0), FORWARD, moves=True),),
    )  # fmt: skip
    first, last = spans_of(route, HELD, placements_of(route))
    assert [pose.start for pose in last.poses][1] == pytest.approx((70, 0, -50))
    assert [pose.start_direction for pose in last.poses][1] == pytest.approx((0, 0, -1))
    assert [pose.end for pose in last.poses][1] == pytest.approx((110, 0, 80))
    assert [pose.end for pose in first.poses][1] == pytest.approx((70, 0, -50))
    assert [pose.end_direction for pose in first.poses][1] == pytest.approx((0, 0, -1))
    assert [pose.start for pose in first.poses][1] == pytest.approx((0, 0, 10))


def test_shapes_go_where_the_span_goes() -> None:
    goes = shift(1, 2, 3)
    span = Span((straight(1.0),), ((0, None), (1, goes)), 0.0, 0.0)
    solved: Any = [SimpleNamespace(name="a"), SimpleNamespace(placed=lambda where: ("b", where))]
    assert span.shapes(solved) == [solved[0], ("b", goes)]


def test_a_direction_is_turned_by_an_angle_and_stays_a_unit_vector() -> None:
    way = turned(UP, np.array([0.6, 0.0, 0.8]), math.radians(20))
    assert way == pytest.approx((math.sin(math.radians(20)), 0.0, math.cos(math.radians(20))))
    beyond = turned(UP, np.array([0.6, 0.0, 0.8]), 1.0)
    assert beyond == pytest.approx((0.6, 0.0, 0.8))
    assert turned(UP, np.array([0.0, 0.0, -1.0]), 1.0) == pytest.approx(UP)
    far = np.array([0.6, 0.0, -0.8])
    assert turned(UP, far, math.radians(100)) == pytest.approx(
        (math.sin(math.radians(100)), 0.0, math.cos(math.radians(100)))
    )


def test_a_ring_takes_the_direction_of_the_natural_shape(monkeypatch: pytest.MonkeyPatch) -> None:
    """It ends its first span as the hose comes there, and begins the next one so."""
    asked: list[Any] = []

    def through(pose: Pose, rings: Any, length: float) -> Any:
        asked.append(length)
        ends = {1: [UP], 2: [UP, (0.0, 1.0, 0.0)], 3: [UP, (0.0, 1.0, 0.0), FORWARD]}
        return SimpleNamespace(shapes=[SimpleNamespace(tangents_at=lambda n: np.array(ends[n]))])

    monkeypatch.setattr(free_solution, "through_rings", through)
    monkeypatch.setattr(free_solution, "Profile", lambda poses, least: (len(poses), least))
    route = replace(ROUTE, clips=(Clip((0.0, 0.0, 80.0), None),), movement=(0.0, 0.0, 0.0))
    solution = free_solution.FreeSolution(route, 30.0)
    first, last = solution.poses
    assert first.end_direction.tolist() == last.start_direction.tolist() == [0, 1, 0]
    assert asked == [pytest.approx(1.08 * (70.0 + 110.0))]
    assert solution.distance == 80.0 + 120.0
    assert [least for _, least in solution.profiles] == pytest.approx([7.0, 11.0])
    small = free_solution.FreeSolution(route, 8.0)
    assert [least for _, least in small.profiles] == pytest.approx([7.0, 8.0])


@pytest.fixture
def solved(monkeypatch: pytest.MonkeyPatch) -> Any:
    """What was asked of the solver; every shape is the length between its leads."""
    told = SimpleNamespace(cases=[], others=[], rings=[], in_rings=[], missing=None)

    def many(cases: Any) -> Any:
        told.cases.append(cases)
        return [None if length == told.missing else (pose, length) for pose, length in cases]

    def others(cases: Any, shapes: Any) -> Any:
        told.others.append((cases, shapes))
        return [[f"other of {length:g}"] for _, length in cases]

    def rings(cases: Any) -> Any:
        told.rings.append(cases)
        return [None if length == told.missing else SimpleNamespace(shapes=(length, number))
                for number, (_, _, length) in enumerate(cases)]  # fmt: skip

    monkeypatch.setattr(free_solution, "Profile", lambda poses, least: least)
    monkeypatch.setattr(free_solution, "solve_many", many)
    monkeypatch.setattr(free_solution, "others_many", others)

    def others_in_rings(cases: Any, first: Any) -> Any:
        told.in_rings.append((cases, first))
        return [(SimpleNamespace(shapes=[f"other of {length:g}"]),) for *_, length in cases]

    monkeypatch.setattr(free_solution, "through_rings_many", rings)
    monkeypatch.setattr(free_solution, "others_through_rings", others_in_rings)
    return told


def test_all_positions_of_all_lengths_are_solved_in_one_stack(solved: Any) -> None:
    solution = free_solution.FreeSolution(ROUTE, 2.0)
    assert solution.profiles == [2.0]
    poses = solution.spans[0].poses
    assert solution.pose is not poses[0]
    assert ends_of(solution.pose) == ends_of(poses[0])
    assert solution.poses == [poses[0]]
    first, second = solution.lies([(170.0,), (190.0,)])
    assert solved.cases == [[(pose, length) for length in (150.0, 170.0) for pose in poses]]
    assert solved.others == [([(poses[0], 150.0), (poses[0], 170.0)],
                              [(poses[0], 150.0), (poses[0], 170.0)])]  # fmt: skip
    assert first is not None
    assert second is not None
    assert (first.length, second.length, first.lead) == (170.0, 190.0, 10.0)
    assert first.at_rest == ((poses[0], 150.0),)
    assert first.moved == (((poses[1], 150.0),), ((poses[2], 150.0),))
    assert (first.others, second.others) == (("other of 150",), ("other of 170",))
    assert first.placements == solution.placements
    assert solution.lie((190.0,)) is second


def test_the_least_radius_of_a_profile_is_that_of_its_span_at_rest(solved: Any) -> None:
    moving = replace(ROUTE, movement=(60.0, 0.0, 0.0))
    (profile,) = free_solution.FreeSolution(moving, 50.0).profiles
    assert profile == pytest.approx(0.1 * math.hypot(110.0, 70.0))


def test_a_length_is_solved_once_to_a_millionth_of_a_millimetre(solved: Any) -> None:
    solution = free_solution.FreeSolution(ROUTE, 30.0)
    one, same, other = solution.lies([(170.0,), (170.0000004,), (170.000002,)])
    assert one is same
    assert one is not other
    assert len(solved.cases[0]) == 6


def test_what_is_not_solved_at_one_position_does_not_lie(solved: Any) -> None:
    solved.missing = 150.0
    solution = free_solution.FreeSolution(ROUTE, 30.0)
    none, there = solution.lies([(170.0,), (190.0,)])
    assert none is None
    assert there is not None
    assert there.at_rest[0][1] == 170.0  # type: ignore[index]
    assert there.others == ("other of 170",)


@pytest.mark.parametrize("moves", [False, True])
def test_rings_move_with_their_body(
    solved: Any, monkeypatch: pytest.MonkeyPatch, moves: bool
) -> None:
    ways = np.array([UP, FORWARD])
    monkeypatch.setattr(
        free_solution, "through_rings",
        lambda *_: SimpleNamespace(shapes=[SimpleNamespace(tangents_at=lambda n: ways)]),
    )  # fmt: skip
    route = replace(ROUTE, clips=(Clip((50.0, 0.0, 70.0), None, moves=moves),))
    solution = free_solution.FreeSolution(route, 30.0)
    (lie,) = solution.lies([(90.0, 100.0)])
    (cases,) = solved.rings
    assert [length for _, _, length in cases] == [170.0] * 3
    shifts = (0, -2, 2) if moves else (0, 0, 0)
    assert [rings[0].tolist() for _, rings, _ in cases] == [[50 + x, 0, 70] for x in shifts]
    assert [pose.end.tolist() for pose, _, _ in cases] == [[110 + x, 0, 80] for x in (0, -2, 2)]
    assert lie is not None
    assert (lie.at_rest, lie.moved) == ((170.0, 0), ((170.0, 1), (170.0, 2)))
    assert (lie.length, lie.lead, lie.others) == (190.0, 10.0, ("other of 170",))
    ((at_rest, (first,)),) = solved.in_rings  # as everywhere other ways are looked for at rest
    assert at_rest == cases[:1]
    assert first.shapes == (170.0, 0)
    solved.missing = 180.0
    assert solution.lies([(100.0, 100.0), (90.0, 90.0)])[0] is None
    assert [length for *_, length in solved.in_rings[-1][0]] == [160.0]


def test_profiles_are_kept_for_spans_that_are_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[Any] = []
    monkeypatch.setattr(
        free_solution, "Profile", lambda poses, least: made.append(least) or SimpleNamespace(
            practical=300.0, poses=poses,
        ),
    )  # fmt: skip
    kept: dict[Any, Any] = {}
    one = free_solution.FreeSolution(ROUTE, 5.0, kept)
    two = free_solution.FreeSolution(ROUTE, 5.0, kept)
    assert one.profiles[0] is two.profiles[0]
    assert made == [5.0]
    free_solution.FreeSolution(ROUTE, 6.0, kept)
    assert made == [5.0, 6.0]
    assert one.practical == 320.0
    monkeypatch.setattr(free_solution, "roomiest", lambda profile: (70.0, 150.0))
    assert one.best() == (70.0, 170.0)
    assert one.best_spans == (170.0,)


def test_other_ways_are_the_worse_of_both_neighbours() -> None:
    ways = OtherWays(
        np.array([10.0, 20.0, 30.0]), np.array([5.0, 7.0, 6.0]), np.array([3.0, 1.0, 2.0])
    )
    radius, room = ways.at(np.array([5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0]))
    assert radius.tolist() == [5, 5, 5, 5, 6, 6, 6]
    assert room.tolist() == [1, 1, 1, 1, 1, 1, 1]


def test_the_tightest_and_the_nearest_of_all_other_ways(monkeypatch: pytest.MonkeyPatch) -> None:
    """Not solved at the first length, alone at the second, two others at the third."""
    first, second, at_rest = "alone", "one of three", straight(1.0)
    two = [SimpleNamespace(tightest_radius=30.0), SimpleNamespace(tightest_radius=20.0)]
    monkeypatch.setattr(other_ways, "solve_many", lambda cases: [None, first, second])

    def others(cases: Any, shapes: Any) -> Any:
        assert [length for _, length in cases] == [110.0, 120.0]
        assert all(pose is at_rest for pose, _ in cases)
        assert shapes == [first, second]
        return [[], two]

    gaps = iter([25.0, 40.0])
    monkeypatch.setattr(other_ways, "others_many", others)
    monkeypatch.setattr(other_ways, "least_gap", lambda shapes, body: next(gaps))
    span: Any = SimpleNamespace(poses=(at_rest, straight(2.0)), leads=8.0)
    parts = [part(1.0, False), replace(part(2.0, False), clearance=30.0)]
    found = other_ways.other_ways(span, np.array([100.0, 110.0, 120.0]), parts)
    assert found.length.tolist() == [108, 118, 128]
    assert found.radius.tolist() == [0, math.inf, 20]
    assert found.room.tolist() == [-math.inf, math.inf, 8.0]


def test_weight_counts_by_the_cube_of_the_share_of_the_length(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Spans of 100 and 300 mm, 20 mm of the first held straight: w (80 / 400)^3."""
    asked: list[Any] = []

    def sagged(cases: Any, numbers: Array, down: Array) -> Any:
        asked.append(([length for _, length in cases], numbers.tolist(), down.tolist()))
        lines = np.zeros((len(cases), 2, 5, 3))
        lines[..., 2] = 50.0 - 10.0 * len(asked)
        return 10.0 * len(asked) + np.arange(2.0 * len(cases)).reshape(len(cases), 2), lines

    monkeypatch.setattr(own_weight, "sagged", sagged)
    monkeypatch.setattr(own_weight, "Near", HeightOf)
    spans = (Span((straight(1.0), straight(2.0)), ((0, None), (1, None)), 20.0, 0.0),
             Span((straight(1.0),), ((0, None), (0, shift(0, 0, -3.0))), 0.0, 0.0))  # fmt: skip
    solution: Any = SimpleNamespace(spans=spans, route=SimpleNamespace(keep_outs=(2.0,)))
    radius, room = own_weight.with_weight(solution, (100.0, 300.0), np.array([8.0, 16.0]))
    assert asked[0][0] == [80.0, 80.0]
    assert asked[0][1] == pytest.approx([8 * 0.2**3, 16 * 0.2**3])
    assert asked[1][1] == pytest.approx([8 * 0.75**3, 16 * 0.75**3])
    assert asked[0][2] == [0, 0, -1]
    assert radius.tolist() == [10, 11]
    assert room.tolist() == [30 - 3 - 10 - 2] * 2


def test_what_sags_far_is_solved_anew_where_it_reaches(monkeypatch: pytest.MonkeyPatch) -> None:
    radii = np.array([[1.0, np.nan], [np.nan, np.nan], [np.nan, 2.0]])
    lines = np.zeros((3, 2, 5, 3))

    def anew(cases: Any, numbers: Array, down: Array, points: int) -> Any:
        assert [length for _, length in cases] == [120.0, 110.0]
        assert numbers.tolist() == [7.0, 6.0]
        assert points == 5
        return np.array([8.0, 9.0]), np.ones((2, 5, 3))

    monkeypatch.setattr(own_weight, "sagged", lambda *_: (radii, lines))
    monkeypatch.setattr(own_weight, "solved_with_weight", anew)
    cases = [(straight(100.0), length) for length in (120.0, 100.0, 110.0)]
    found, shapes = own_weight._sagged(cases, np.array([6.0, 7.0]))
    assert found[0].tolist() == [1, 8]
    assert np.isnan(found[1]).all()
    assert found[2].tolist() == [9, 2]
    assert shapes[0, 1].all()
    assert shapes[2, 0].all()
    assert not shapes[1].any()
    cases = [(straight(100.0), 100.0)] * 3
    radii[:] = np.nan
    assert np.isnan(own_weight._sagged(cases, np.array([6.0, 7.0]))[0]).all()
