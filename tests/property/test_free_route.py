"""A free route turned, mirrored, reversed or scaled: nothing changes but what must."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoseselect.cutplan.free_lie import least_distance
from hoseselect.cutplan.free_plan import plan_free_radius
from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.size_plan import FINE_STEP, SizePlan
from hoseselect.domain.free_route import FreeRoute, KeepOut, Vector
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import SolveError

NIPPLES = {"outside_diameter": 16, "engagement": 25}
PLAIN = read_job({
    "service": "washer", "nipples": NIPPLES,
    "route": {"free": {"wire": ["100 mm"]}},
})  # fmt: skip


def vector(values: Any) -> Vector:
    x, y, z = (float(value) for value in values)
    return (x, y, z)


@st.composite
def routes(draw: st.DrawFn) -> FreeRoute:
    """Nipples within 75 deg of the line between them, as a workshop has them."""
    chord = np.array([draw(st.floats(-200, 200)) for _ in range(3)])
    size = float(np.linalg.norm(chord))
    chord = np.array([200.0, 30.0, 10.0]) if size < 60 else chord
    along = chord / np.linalg.norm(chord)
    side = np.cross(along, [0.3, 0.5, 0.8])
    side /= np.linalg.norm(side)
    points = []
    for towards in (along, -along):
        tilt, turn = draw(st.floats(0.2, 1.3)), draw(st.floats(0, 6.28))
        out = math.cos(turn) * side + math.sin(turn) * np.cross(towards, side)
        points.append(vector(math.cos(tilt) * towards + math.sin(tilt) * out))
    return FreeRoute(vector(chord), points[0], points[1])


def job_on(route: FreeRoute) -> Job:
    return replace(PLAIN, route=replace(PLAIN.route, free=route))


def plan(route: FreeRoute, share: float) -> tuple[SizePlan, float]:
    """The plan for a radius that is a share of the distance, and the best radius."""
    found = plan_free_radius(job_on(route), share * math.hypot(*route.mouth_b))
    return found.sizes[0], found.best_radius


def alike(one: tuple[SizePlan, float], other: tuple[SizePlan, float], scale: float = 1.0) -> None:
    """Assert one answer; the cut may part by its step, a window by what a pick rounds."""
    (a, best_a), (b, best_b) = one, other
    near = 3e-3 * a.radius * scale + 0.05
    assert best_b == pytest.approx(scale * best_a, rel=2e-3)
    for name in ("shortest", "longest"):
        first, second = getattr(a, name), getattr(b, name)
        if math.isfinite(first) or math.isfinite(second):
            assert second == pytest.approx(scale * first, abs=near)
        else:
            assert math.isnan(first) == math.isnan(second)
    at_the_edge = abs(a.width - a.needed) < 2 * near
    if scale == 1.0 and not at_the_edge:
        assert (a.lie is None) == (b.lie is None)
        if a.lie is not None and b.lie is not None:
            assert abs(a.cut - b.cut) <= 5 + FINE_STEP


SHARES = st.floats(0.08, 0.5)
TRIES = settings(max_examples=7, deadline=None, derandomize=True)


@TRIES
@given(routes(), SHARES, st.floats(0.1, 6.2))
def test_turned_about_the_vertical(route: FreeRoute, share: float, angle: float) -> None:
    c, s = math.cos(angle), math.sin(angle)
    about = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    turned = changed(route, about)
    before, after = plan(route, share), plan(turned, share)
    alike(before, after)
    same_fall(before[0], after[0])


@TRIES
@given(routes(), SHARES)
def test_left_for_right(route: FreeRoute, share: float) -> None:
    mirrored = changed(route, np.diag([1.0, -1.0, 1.0]))
    before, after = plan(route, share), plan(mirrored, share)
    alike(before, after)
    same_fall(before[0], after[0])


@TRIES
@given(routes(), SHARES)
def test_a_for_b(route: FreeRoute, share: float) -> None:
    chord = np.array(route.mouth_b)
    swapped = FreeRoute(vector(-chord), route.points_b, route.points_a)
    before, after = plan(route, share), plan(swapped, share)
    alike(before, after)
    same_fall(before[0], after[0])


@TRIES
@given(routes(), SHARES, st.floats(0.5, 3.0))
def test_scaled_with_the_hose(route: FreeRoute, share: float, scale: float) -> None:
    larger = replace(route, mouth_b=vector(scale * np.array(route.mouth_b)))
    alike(plan(route, share), plan(larger, share), scale)


@TRIES
@given(routes(), st.floats(0.08, 0.3), st.floats(1.02, 1.4))
def test_a_smaller_radius_never_has_less_room(route: FreeRoute, share: float, ratio: float) -> None:
    wide, _ = plan(route, share)
    narrow, _ = plan(route, share * ratio)
    near = 3e-3 * wide.radius + 0.05
    if not math.isnan(narrow.shortest):
        assert wide.shortest <= narrow.shortest + near
        assert wide.longest >= narrow.longest - near


@TRIES
@given(routes(), SHARES, st.floats(1.0, 8.0))
def test_movement_never_widens_a_window(route: FreeRoute, share: float, most: float) -> None:
    still, _ = plan(route, share)
    moved, _ = plan(replace(route, movement=(0.0, most, 0.0)), share)
    near = 3e-3 * still.radius + 0.1
    if not math.isnan(moved.shortest):
        assert moved.shortest >= still.shortest - near
        assert moved.longest <= still.longest + near


@TRIES
@given(routes(), st.floats(1.05, 1.6))
def test_clearance_moves_with_the_vehicle(route: FreeRoute, ratio: float) -> None:
    """Nipples and part turned together, or seen in a mirror: the same gap."""
    length = ratio * math.hypot(*route.mouth_b)
    middle = np.array(route.mouth_b) / 2 + np.array([10.0, 25.0, 30.0])
    part = KeepOut("part", "ball", (vector(middle),), (20.0, 0.0, 0.0), 10.0)
    before = gap(route, part, length)
    for change in (np.diag([1.0, -1.0, 1.0]), np.array([[0.0, -1, 0], [1, 0, 0], [0, 0, 1.0]])):
        there = replace(part, places=(vector(change @ middle),))
        assert gap(changed(route, change), there, length) == pytest.approx(before, abs=0.1)


def gap(route: FreeRoute, part: KeepOut, length: float) -> float:
    lie = FreeSolution(route, 20.0).lie((length,))
    if lie is None:
        raise SolveError("route", "no shape", "one")
    return least_distance(lie, part)


def changed(route: FreeRoute, change: Any) -> FreeRoute:
    """The route after a turn or a mirror."""
    return FreeRoute(
        vector(change @ np.array(route.mouth_b)),
        vector(change @ np.array(route.points_a)),
        vector(change @ np.array(route.points_b)),
    )


def same_fall(one: SizePlan, other: SizePlan) -> None:
    """Assert the same low spots and fall where the same length is cut."""
    if one.lie is not None and other.lie is not None and one.cut == other.cut:
        assert one.lie.tightest_radius == pytest.approx(other.lie.tightest_radius, rel=1e-3)
        assert one.lie.low_spot == other.lie.low_spot
