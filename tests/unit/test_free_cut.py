"""The cut plan of a free route: its parts, what to mind, marks, loads, errors of measuring."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from hoseselect.cutplan.free_cut import plan_free_cut
from hoseselect.cutplan.free_plan import plan_free, plan_free_radius
from hoseselect.domain.cut import CutPlan
from hoseselect.intake.read_job import read_job
from hoseselect.mechanics.modulus import bending_stiffness, modulus_range
from hoseselect.mechanics.rod import nipple_loads, solve

ENGAGED = 25.0
ELBOW = {"offset": "forward 120 mm; up 80 mm", "nipple_a_points": "up", "nipple_b_points": "back"}
U_TURN = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "up"}
S_BEND = {"offset": "forward 200 mm; left 60 mm", "nipple_a_points": "forward",
          "nipple_b_points": "back"}  # fmt: skip
STRAIGHT = {"offset": "forward 300 mm", "nipple_a_points": "forward", "nipple_b_points": "back"}
CLIP = {"at": "forward 50 mm; up 70 mm", "along": "forward and 45 deg up"}


NO_LEAD = {"lead": "0 mm"}
ERRORS = (
    r"Errors of \+/-([\d.]+) mm and \+/-([\d.]+) deg in measuring"
    r" leave cuts from (\d+) mm to (\d+) mm"
)


def cut_for(free: dict[str, Any], radius: float) -> CutPlan:
    nipples = {"outside_diameter": 10, "engagement": ENGAGED}
    job = read_job({"service": "washer", "nipples": nipples, "route": {"free": free}})
    cut = plan_free_cut(job, plan_free_radius(job, radius))
    assert cut is not None
    return cut


def note(cut: CutPlan, pattern: str) -> re.Match[str]:
    found = [match for text in cut.notes if (match := re.search(pattern, text))]
    assert len(found) == 1, cut.notes
    return found[0]


def test_the_parts_make_the_cut() -> None:
    cut = cut_for(ELBOW, 40.0)
    assert [part.name for part in cut.parts][:3] == ["tip to tip", "engagement A", "engagement B"]
    assert sum(part.length for part in cut.parts) == pytest.approx(cut.cut)
    assert cut.bare == pytest.approx(cut.tip + 2 * ENGAGED)
    assert all(part.source for part in cut.parts)


def test_the_window_is_that_of_the_cut_ends_included() -> None:
    cut = cut_for({**U_TURN, **NO_LEAD}, 90.0)
    low, high = cut.window
    assert low == pytest.approx(1.5394 * 200 + 50, abs=0.1)
    assert low + cut.tolerance <= cut.cut <= high - cut.tolerance
    assert note(cut, r"Shorter than (\d+) mm")[1] == f"{low:.0f}"
    assert note(cut, r"Longer than (\d+) mm")[1] == f"{high:.0f}"


def test_an_open_window_ends_at_the_practical_length() -> None:
    """Three times the distance: beyond it a hose hangs or touches itself."""
    cut = cut_for({**U_TURN, **NO_LEAD}, 60.0)
    assert cut.window[1] == pytest.approx(3 * 200 + 2 * ENGAGED)
    assert note(cut, r"Longer than (\d+) mm it may hang or touch itself")[1] == "650"
    assert cut.cut <= float(note(cut, ERRORS)[4]) <= 650
    assert "any longer" not in " ".join(cut.notes)


@pytest.mark.parametrize(
    ("free", "radius", "said"),
    [
        (ELBOW, 40.0, "it bends tighter than 40 mm at a nipple."),
        (STRAIGHT, 50.0, "it does not reach."),
        ({**ELBOW, "clip": [CLIP]}, 25.0, "it bends tighter than 25 mm, or does not reach."),
    ],
)
def test_what_a_shorter_hose_does_is_said_where_it_is_true(
    free: dict[str, Any], radius: float, said: str
) -> None:
    assert note(cut_for(free, radius), r"Shorter than \d+ mm (.*)")[1] == said


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({}, ""),
        ({"nipple_a_points": "down"}, "A"),
        ({"nipple_b_points": "forward"}, "B"),
    ],
)
def test_a_nipple_that_points_away_is_named(change: dict[str, str], named: str) -> None:
    told = [text for text in cut_for({**ELBOW, **change}, 35.0).notes if "points away" in text]
    assert [text.split()[1] for text in told] == list(named)
    assert all("times the distance" in text for text in told)


def test_a_u_turn_points_away_from_nothing() -> None:
    assert "points away" not in " ".join(cut_for(U_TURN, 90.0).notes)


def test_the_tightest_bend_and_where_it_is() -> None:
    cut = cut_for({**U_TURN, **NO_LEAD}, 60.0)
    job = read_job({"service": "washer", "route": {"free": {**U_TURN, **NO_LEAD}}})
    pose = plan_free_radius(
        replace(job, nipple_a=replace(job.nipple_a, engagement=1.0),
                nipple_b=replace(job.nipple_b, engagement=1.0)), 60.0,
    ).solution.pose  # fmt: skip
    shape = solve(pose, cut.tip)
    assert cut.tightest_radius == pytest.approx(shape.tightest_radius, rel=1e-6)
    assert cut.tightest_at == pytest.approx(shape.tightest_at, abs=0.5)
    assert cut.end_angles == pytest.approx((90, 90), abs=0.1)


def test_movement_is_solved_and_told() -> None:
    cut = cut_for({**ELBOW, "movement": "up 6 mm"}, 40.0)
    told = note(cut, r"Tightest bend (\d+) mm at rest, (\d+) mm at the worst")
    assert int(told[1]) > int(told[2]) == round(cut.tightest_radius)
    assert next(part for part in cut.parts if part.name == "movement").length == 0
    assert not [text for text in cut_for(ELBOW, 40.0).notes if "extreme of movement" in text]


def test_another_way_to_lie_is_told() -> None:
    assert "can also lie another way" in note(cut_for(S_BEND, 40.0), r"It can also lie.*")[0]
    assert not [text for text in cut_for(U_TURN, 60.0).notes if "another way" in text]


@pytest.mark.parametrize(("free", "radius", "ends"), [(ELBOW, 40.0, 0), (U_TURN, 93.0, 0)])
def test_a_bend_right_at_a_nipple_is_told(free: dict[str, Any], radius: float, ends: int) -> None:
    cut = cut_for(free, radius)
    told = [text for text in cut.notes if "right at nipple" in text]
    job = read_job({"service": "washer", "nipples": {"outside_diameter": 10, "engagement": ENGAGED},
                    "route": {"free": free}})  # fmt: skip
    lie = plan_free_radius(job, radius).sizes[0].lie
    assert lie is not None
    expected = sum(radius < 1.05 * cut.tightest_radius for radius in lie.end_radii)
    assert len(told) == expected


def test_marks_for_clips_from_the_end_at_nipple_a() -> None:
    cut = cut_for({**ELBOW, "clip": [CLIP]}, 25.0)
    job = read_job({"service": "washer", "nipples": {"outside_diameter": 10, "engagement": ENGAGED},
                    "route": {"free": {**ELBOW, "clip": [CLIP]}}})  # fmt: skip
    spans = plan_free_radius(job, 25.0).sizes[0].spans
    mark = int(note(cut, r"clip 1 at (\d+) mm from its end at nipple A")[1])
    assert mark == round(ENGAGED + spans[0])
    assert ENGAGED + math.dist((0, 0, 0), (50, 0, 70)) < mark < cut.cut - ENGAGED
    assert cut.supports == 1
    assert note(cut, "share the error among all spans")


@pytest.fixture
def loaded(bench: Any) -> Any:
    """Return the plan for a made hose and a job with nipples of given materials."""

    def make(material_a: str, material_b: str, **cells: Any) -> Any:
        catalogue, columns = bench.shop({"least_bend_radius_mm": 40, **cells})
        job = bench.job({"route": {"free": ELBOW}})
        job = replace(
            job,
            nipple_a=replace(job.nipple_a, material=material_a),
            nipple_b=replace(job.nipple_b, material=material_b),
        )
        plan = plan_free(job, columns)
        assert plan is not None
        cut = plan_free_cut(job, plan, catalogue, 0)
        assert cut is not None
        return cut, plan.sizes[0].lie

    return make


def test_side_load_on_plastic_nipples_is_a_range(loaded: Any) -> None:
    cut, lie = loaded("plastic", "plastic")
    modulus = modulus_range(np.array([70.0]))
    stiffness = tuple(
        float(bending_stiffness(one, 10.0, 18.0)[0]) for one in (modulus.low, modulus.high)
    )
    ends = nipple_loads(lie.at_rest[0], stiffness)  # type: ignore[arg-type]
    for name, load in zip("AB", ends, strict=True):
        told = note(cut, rf"plastic nipple {name}: ([\d.]+) to ([\d.]+) N")
        low, high = float(told[1]), float(told[2])
        assert 0 < low < high
        assert (low, high) == pytest.approx(load.side, abs=0.051)


def test_only_plastic_nipples_are_named(loaded: Any) -> None:
    cut, _ = loaded("metal", "plastic")
    told = [text for text in cut.notes if "Side load" in text]
    assert len(told) == 1
    assert "nipple B" in told[0]
    cut, _ = loaded("metal", "metal")
    assert not [text for text in cut.notes if "Side load" in text]


def test_a_side_load_of_unknown_hardness_is_not_known(loaded: Any) -> None:
    cut, _ = loaded("plastic", "metal", hardness_shore_a="")
    assert note(cut, "Side load on plastic nipple A is not known")


@pytest.mark.parametrize(("width", "told"), [(150, 0), (600, 1)])
def test_a_long_hose_sags(bench: Any, width: int, told: int) -> None:
    catalogue, columns = bench.shop({"least_bend_radius_mm": 0.3 * width})
    job = bench.job({"route": {"free": {**U_TURN, "offset": f"forward {width} mm"}}})
    plan = plan_free(job, columns)
    assert plan is not None
    cut = plan_free_cut(job, plan, catalogue, 0)
    assert cut is not None
    assert len([text for text in cut.notes if "Its own weight" in text]) == told


def test_which_cuts_stand_the_errors_of_measuring() -> None:
    """The chosen one among them, and all of them inside the lengths that work as measured."""
    cut = cut_for({**U_TURN, "tape_error": "2 mm", "angle_error": "2 deg"}, 80.0)
    told = note(cut, ERRORS)
    assert (told[1], told[2]) == ("2", "2")
    low, high = float(told[3]), float(told[4])
    assert cut.window[0] < low <= cut.cut <= high <= cut.window[1]


@pytest.mark.parametrize(("tape", "angle"), [("0 mm", "5 deg"), ("2 mm", "0 deg")])
def test_who_says_that_the_tape_is_exact_is_told_what_is_counted(tape: str, angle: str) -> None:
    exact = cut_for({**U_TURN, "tape_error": tape, "angle_error": angle}, 60.0)
    assert note(exact, r"no smaller errors are counted")[0]
    usual = cut_for({**U_TURN, "tape_error": "2 mm"}, 60.0)
    assert not [text for text in usual.notes if "no smaller" in text]


def test_larger_errors_leave_less() -> None:
    def least(error: float) -> float:
        free = {**U_TURN, "tape_error": error, "angle_error": error}
        return float(note(cut_for(free, 80.0), ERRORS)[3])

    assert least(1.0) < least(4.0)


def test_a_cut_that_an_error_may_spoil_says_so() -> None:
    """Errors of 7 mm and deg leave nothing at 92 mm, those of a careful second measuring do."""
    cut = cut_for({**U_TURN, "tape_error": "7 mm", "angle_error": "7 deg"}, 92.0)
    again = note(cut, r"Measure places and directions again, and cut, to \+/-2 mm and \+/-2 deg")[0]
    assert again
    told = note(cut, ERRORS)
    assert (told[1], told[2]) == ("2", "2")
    assert float(told[3]) <= cut.cut <= float(told[4])


def test_a_cut_that_stands_the_errors_is_not_measured_again() -> None:
    assert not [text for text in cut_for(U_TURN, 60.0).notes if "again" in text]


@pytest.mark.parametrize(("free", "told"), [(U_TURN, True), (STRAIGHT, True)])
def test_the_set_of_the_roll_is_laid_into_the_bend(free: dict[str, Any], told: bool) -> None:
    assert any("set of its roll" in text for text in cut_for(free, 40.0).notes) is told


def test_no_length_no_plan() -> None:
    job = read_job({"service": "washer", "nipples": {"outside_diameter": 10, "engagement": ENGAGED},
                    "route": {"free": U_TURN}})  # fmt: skip
    assert plan_free_cut(job, plan_free_radius(job, 110.0)) is None
