"""What a free route says of every hose size: window, cut, what becomes of it at the ends."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from hoseselect.answer.judged import judged
from hoseselect.cutplan.free_columns import with_free
from hoseselect.cutplan.free_geometry import free_geometry
from hoseselect.cutplan.free_plan import FreePlan, plan_free, plan_free_radius
from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.free_spans import pose_of
from hoseselect.cutplan.lengths import on_tape
from hoseselect.cutplan.plan_cut import job_lengths
from hoseselect.cutplan.size_plan import SizePlan, bend_only
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.intake.read_job import read_job
from hoseselect.judging.job_columns import job_columns
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.tolerances import cut_length_tolerance
from hoseselect.mechanics.rod import Pose, Profile, placements, solve_many

ENGAGED = 25.0
NO_LEAD = {"lead": "0 mm"}
"""Of the pose as it is: nothing of the hose is held straight at the nipples."""

UP_AND_BACK = {"nipple_a_points": "up", "nipple_b_points": "back"}
ELBOW = {"offset": "forward 120 mm; up 80 mm", **UP_AND_BACK, **NO_LEAD}
U_TURN = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "up", **NO_LEAD}
APART = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "down", **NO_LEAD}
CLIP = {"at": "forward 50 mm; up 70 mm", "along": "forward and 45 deg up"}


def positions(pose: Pose, movement: NDArray[np.float64]) -> list[Pose]:
    """The pose at rest and at every corner of a movement."""
    return [pose.moved(one.shift) for one in placements(movement)]


def job_on(free: dict[str, Any]) -> Job:
    nipples = {"outside_diameter": 10, "engagement": ENGAGED}
    return read_job({"service": "washer", "nipples": nipples, "route": {"free": free}})


def size_for(free: dict[str, Any], radius: float) -> SizePlan:
    return plan_free_radius(job_on(free), radius).sizes[0]


@pytest.mark.parametrize("movement", ["", "up 6 mm"])
@pytest.mark.parametrize("radius", [25.0, 40.0, 48.0])
def test_the_cut_lies_inside_the_window_with_room_for_its_tolerance(
    radius: float, movement: str
) -> None:
    free = {**ELBOW, "movement": movement} if movement else ELBOW
    own = size_for(free, radius)
    route = job_on(free).route.free
    assert route is not None
    profile = Profile(positions(pose_of(route), np.array(route.movement)), radius)
    window = profile.window(radius)
    assert own.shortest == pytest.approx(window.shortest, abs=0.05)
    assert own.longest == pytest.approx(window.longest, abs=0.05)
    tolerance = float(cut_length_tolerance(own.cut, "iso-1307"))
    tip = own.cut - 2 * ENGAGED
    assert window.shortest + tolerance <= tip + 0.05
    assert tip <= window.longest - tolerance + 0.05
    for end in (tip - tolerance, tip, tip + tolerance):
        found = solve_many([(pose, end) for pose in profile.poses])
        assert min(s.tightest_radius if s else 0 for s in found) >= radius * (1 - 1e-3)


def test_it_is_solved_again_at_the_rounded_length() -> None:
    own = size_for(ELBOW, 40.0)
    assert own.cut % 5 == pytest.approx(0, abs=1e-9)
    assert own.tip == pytest.approx(own.cut - 2 * ENGAGED)
    assert own.lie is not None
    assert own.lie.length == pytest.approx(own.tip)
    assert own.lie.at_rest[0].length == pytest.approx(own.tip)
    assert own.lie.tightest_radius >= 40


@pytest.mark.parametrize("cut", range(200, 240))
def test_the_cut_in_inches_lies_on_a_mark_of_the_tape(cut: int) -> None:
    """The same length as in millimetres, no further off than half of one."""
    marked = on_tape(float(cut), "in")
    parts = marked / 25.4 * 32
    assert parts == pytest.approx(round(parts), abs=1e-6)
    assert abs(marked - cut) <= 0.5
    assert on_tape(float(cut), "mm") == cut


def test_outside_the_window_it_bends_too_tightly() -> None:
    """Window 1.5394 to 1.7329 W for 0.45 W: half a millimetre outside it fails, at both ends."""
    own = size_for(U_TURN, 90.0)
    profile = Profile([pose_of(job_on(U_TURN).route.free)], 90.0)
    solution = FreeSolution(job_on(U_TURN).route.free, 90.0)
    for inside, outside in ((own.shortest + 0.1, -0.5), (own.longest - 0.1, 0.5)):
        near = 0.1 if outside < 0 else -0.1
        within = solution.lie((inside,))
        beyond = solution.lie((inside - near + outside,))
        assert within is not None
        assert beyond is not None
        assert within.tightest_radius >= 90 * (1 - 1e-4)
        assert beyond.tightest_radius < 90
    assert profile.window(90.0).longest == pytest.approx(own.longest, abs=0.05)


def test_a_window_too_narrow_for_the_tolerance_gives_no_cut() -> None:
    """0.49 W: 5.8 mm wide, 7 mm and more are needed; the best radius of the route is larger."""
    plan = plan_free_radius(job_on(U_TURN), 98.0)
    own = plan.sizes[0]
    assert 0 < own.width < 2 * own.tolerance + 1
    assert (own.lie, own.spans) == (None, ())
    assert math.isnan(own.cut)
    assert plan.best_radius > 98


@pytest.mark.parametrize("radius", [60.0, 90.0, 130.0])
def test_a_big_loop_is_no_cut(radius: float) -> None:
    plan = plan_free_radius(job_on(APART), radius)
    assert plan.sizes[0].lie is None
    assert plan.sizes[0].width == 0
    assert plan.best_radius < radius, "or it would look as if it fitted"


def test_no_window_at_all() -> None:
    plan = plan_free_radius(job_on(U_TURN), 104.0)
    assert math.isnan(plan.sizes[0].shortest)
    assert plan.best_radius == pytest.approx(100, abs=0.01)
    assert plan.best_length == pytest.approx(200 * math.pi / 2, abs=0.5)


def test_a_straight_route_gets_some_slack_but_no_arch() -> None:
    straight = {"wire": ["200 mm"], "nipple_a_points": "forward", "movement": "forward 5 mm"}
    own = size_for(straight, 40.0)
    assert own.shortest >= 205
    assert own.lie is not None
    assert own.tip < 240


@pytest.fixture
def planned(bench: Any) -> tuple[FreePlan, Any, Job]:
    least = (20, 40, 62, 80, "", 300)
    made: list[dict[str, Any]] = [{"least_bend_radius_mm": r} for r in least]
    made.append({"least_bend_radius_mm": "", "bore_mm": 10, "outside_diameter_mm": ""})
    _, columns = bench.shop(*made)
    job = bench.job({"route": {"free": ELBOW}})
    plan = plan_free(job, columns)
    assert plan is not None
    return plan, columns, job


def test_every_size_reads_its_own_window(planned: tuple[FreePlan, Any, Job]) -> None:
    plan, columns, _ = planned
    profile = Profile([plan.solution.pose], 20.0)
    sizes = columns.sizes
    radii = np.where(np.isnan(sizes.least_bend_radius), sizes.kink_sure, sizes.least_bend_radius)
    assert len(plan.sizes) == len(sizes)
    read = 0
    for own, radius in zip(plan.sizes, radii, strict=True):
        if not radius > 0:
            continue
        window = profile.window(float(radius))
        assert own.radius == radius
        if window.shortest <= profile.practical and not window.big_loop_only:
            read += 1
            assert own.shortest == pytest.approx(window.shortest, abs=2e-4 * profile.distance)
            assert own.longest == pytest.approx(window.longest, abs=2e-4 * profile.distance)
        else:
            assert math.isnan(own.shortest)
    assert read >= 3


def test_columns_are_known_for_every_size(planned: tuple[FreePlan, Any, Job]) -> None:
    """What is NaN would count as a route that nobody has described."""
    plan, columns, job = planned
    jobs = with_free(job_columns([job], job_lengths([job])), plan, job, columns)
    for name in ("tip_length", "tightest_radius"):
        found = getattr(jobs, name)
        assert found.shape == (1, len(columns.sizes))
        assert np.isfinite(found).all(), name


def test_a_hose_of_unknown_radius_has_an_unknown_window(
    planned: tuple[FreePlan, Any, Job],
) -> None:
    plan, columns, _ = planned
    assert math.isnan(columns.sizes.kink_sure[-1])
    assert math.isnan(plan.arrays["width"][-1])
    assert math.isnan(plan.arrays["cut"][-1])
    assert math.isnan(plan.arrays["stood"][-1])


def test_without_a_cut_nothing_holds_to_any_side(planned: tuple[FreePlan, Any, Job]) -> None:
    plan, columns, job = planned
    found = with_free(job_columns([job], job_lengths([job])), plan, job, columns).set_any_side[0]
    cut = ~np.isnan(plan.arrays["cut"])
    assert cut.any()
    assert not cut.all()
    assert np.isnan(found).tolist() == (~cut).tolist()


def test_what_does_not_fit_is_looked_at_only_by_name_and_never_passes(bench: Any) -> None:
    """A hose that goes on no nipple is refused whatever its bend, and its bend is not known."""
    wide = {"bore_mm": 40, "bore_min_mm": 39.8, "bore_max_mm": 40.2, "outside_diameter_mm": 48}
    _, columns = bench.shop({"least_bend_radius_mm": 40}, {"least_bend_radius_mm": 40, **wide})
    job = bench.job({"route": {"free": ELBOW}})
    (loose,) = np.flatnonzero(columns.sizes.bore == 40)
    fit = columns.sizes.bore != 40
    plain, named = judged([job], columns), judged([job], columns, named=~fit)
    for said, looked in ((plain, fit), (named, np.ones(len(fit), dtype=bool))):
        assert said.judgement.codes[0, loose] == Verdict.REJECT
        for name in ("window_width", "tightest_radius", "tip_length"):
            assert np.isfinite(getattr(said.jobs, name)[0]).tolist() == looked.tolist(), name
    codes = {own.rule.code: own.size_codes(np.array([0]), columns)[0] for own in plain.results}
    assert codes["bend-window"][loose] == codes["bend-measuring"][loose] == Verdict.UNKNOWN
    assert (codes["bend-window"][fit] == Verdict.ACCEPT).all()


def test_a_route_of_another_kind_is_not_planned(bench: Any) -> None:
    _, columns = bench.shop({})
    assert plan_free(bench.job(), columns) is None


def test_without_an_engagement_nothing_is_cut() -> None:
    job = read_job({"service": "washer", "route": {"free": ELBOW}})
    with pytest.raises(InputError, match="engagement"):
        plan_free_radius(job, 40.0)


def test_every_span_between_clips_stays_in_its_own_window() -> None:
    free = {**ELBOW, "clip": [CLIP]}
    for radius in (25.0, 32.0):
        plan = plan_free_radius(job_on(free), radius)
        own = plan.sizes[0]
        assert own.lie is not None
        assert sum(own.spans) == pytest.approx(own.cut - 2 * ENGAGED)
        share = own.tolerance / 2
        for pose, span in zip(plan.solution.poses, own.spans, strict=True):
            window = Profile([pose], radius).window(radius)
            assert window.shortest + share <= span + 0.02
            assert span <= window.longest - share + 0.02
        assert own.lie.tightest_radius >= radius


def test_the_narrowest_span_counts() -> None:
    free = {**ELBOW, "clip": [CLIP]}
    plan = plan_free_radius(job_on(free), 32.0)
    widths = [Profile([pose], 32.0).window(32.0).width for pose in plan.solution.poses]
    assert plan.sizes[0].width == pytest.approx(2 * min(widths), abs=0.1)


def test_room_is_window_less_tolerance() -> None:
    profile = Profile([pose_of(job_on(U_TURN).route.free)], 80.0)

    def room(radius: float) -> bool:
        own = bend_only([profile.window(radius)], None, 50.0)
        return own.width >= own.needed

    assert room(90.0)
    assert not room(98.0)
    assert not room(104.0)


@pytest.mark.parametrize(("lies", "relative"), [({}, True), ({"nipple_a_points": "up"}, False)])
def test_directions_are_only_relative_where_nobody_said_how_it_lies(
    lies: dict[str, str], relative: bool
) -> None:
    job = job_on({"wire": ["200 mm"], **lies})
    assert free_geometry(job, plan_free_radius(job, 40.0), 0, 16.0).flat == relative
