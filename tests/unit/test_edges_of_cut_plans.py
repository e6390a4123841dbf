"""The cut plan of a run and of a made free route: every part, every note, up to each limit."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from bench_parts import clamp

from hoseselect.cutplan import free_columns, free_cut, free_lie, free_plan
from hoseselect.cutplan import plan_cut as of_runs
from hoseselect.cutplan.clamp_choice import clamp_choices, clamps_refused
from hoseselect.cutplan.free_columns import margin_wanted, weight_number_of, with_free
from hoseselect.cutplan.free_cut import free_spread, plan_free_cut
from hoseselect.cutplan.free_plan import FreePlan, plan_free, plan_free_radius
from hoseselect.cutplan.lengths import (
    engagement,
    least_engagement,
    length_words,
    on_tape,
    workshop_step,
)
from hoseselect.cutplan.open_length import other_lengths, to_measure
from hoseselect.cutplan.plan_cut import cut_parts, job_lengths, plan_cut, plastic_notes
from hoseselect.cutplan.route_geometry import run_geometry
from hoseselect.cutplan.size_plan import SizePlan
from hoseselect.domain.free_route import Clip, FreeRoute, Rocking
from hoseselect.domain.job import Nipple
from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit, table
from hoseselect.knowledge.tolerances import cut_length_tolerance, squareness
from hoseselect.mechanics.run import Run

NONE = math.nan
LEFT_OUT = "left out"
UP, FORWARD, BACK = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0)
ROUTE = FreeRoute((200.0, 0.0, 0.0), UP, UP)
SHORT_NIPPLES = {"nipples.engagement": LEFT_OUT, "nipples.usable_length": LEFT_OUT}


# Lengths of a workshop


def test_engagement_at_the_usual_length_is_the_usual_one() -> None:
    assert engagement(Nipple(outside_diameter=10, usable_length=25))[1] != "usable length as stated"
    assert engagement(Nipple(outside_diameter=10, usable_length=24.9)) == (
        24.9, "usable length as stated",
    )  # fmt: skip


def test_a_nipple_of_unknown_length_may_be_as_short_as_the_rules_take_it() -> None:
    adverse = table("questions").row(input="nipple_a.usable_length").number("adverse")
    assert adverse < 25
    assert least_engagement(Nipple(outside_diameter=10)) == adverse
    assert least_engagement(Nipple(outside_diameter=10, usable_length=40)) == 25
    assert least_engagement(Nipple(outside_diameter=10, engagement=22)) == 22


def test_a_tape_of_inches_is_read_to_the_coarsest_mark_that_is_near_enough() -> None:
    assert on_tape(127.0, "in") == pytest.approx(127.0)
    assert on_tape(290.0, "in") == pytest.approx(11.40625 * 25.4)
    assert on_tape(63.0, "in") == on_tape(64.0, "in") == 63.5  # just half a millimetre off
    assert on_tape(203.0, "in") == pytest.approx(8 * 25.4)
    assert on_tape(317.0, "in") == pytest.approx(12.5 * 25.4)
    assert on_tape(311.0, "in") == pytest.approx(12.25 * 25.4)
    assert on_tape(300.0, "in") == pytest.approx(11.8125 * 25.4)
    assert on_tape(290.3, "mm") == 290.3
    assert math.isnan(on_tape(NONE, "in"))


def test_lengths_in_words() -> None:
    assert (length_words(120.4, "mm"), length_words(127.0, "in")) == ("120 mm", "5 in")
    assert (workshop_step("mm"), workshop_step("in")) == (5.0, 6.35)


# What is not known of a cut


def test_the_length_for_ends_on_one_part_is_told_where_movement_is_not_known(bench: Any) -> None:
    """150 mm of run and 20 and 30 mm of nipple: 200 mm, or 203.2 mm on a quarter of an inch."""
    told = {"route.run": [150], "route.movement": "unknown",
            "nipple_a.engagement": 20, "nipple_b.engagement": 30}  # fmt: skip
    (other,) = other_lengths(bench.job(told), "mm")
    assert (other.length, other.circumstance) == (200.0, "if both ends sit on the engine")
    assert other_lengths(bench.job(told), "in")[0].length == pytest.approx(203.2)
    body = bench.job({**told, "nipple_a.fixed_to": "body"})
    assert other_lengths(body, "mm")[0].circumstance == "if both ends sit on the body"
    apart = {**told, "nipple_a.fixed_to": "body", "nipple_b.fixed_to": "engine"}
    assert other_lengths(bench.job(apart), "mm") == ()
    assert other_lengths(bench.job({**told, "route.movement": 5}), "mm") == ()
    narrow = {**told, "route.run": [11], "nipple_a.engagement": 20.0, "nipple_b.engagement": 20.0}
    assert other_lengths(bench.job(narrow), "mm")[0].length == 51.0  # 8 % of slack hold no 55 mm
    wide = {**narrow, "route.run": [32.5]}
    assert other_lengths(bench.job(wide), "mm")[0].length == 75.0  # and just hold 75.3 mm
    less = {**narrow, "route.run": [31.5]}
    assert other_lengths(bench.job(less), "mm")[0].length == 72.0  # but not 74.2 mm


def test_what_to_find_out_comes_in_the_order_of_an_interview(bench: Any) -> None:
    asked = table("questions")
    moves = asked.row(input="route.movement")["question"]
    each = {end: asked.row(input=f"nipple_{end}.usable_length") for end in "ab"}
    assert to_measure(bench.job({})) == ()
    assert to_measure(bench.job({"route.movement": "unknown"})) == (moves,)
    assert to_measure(bench.job({"route.movement": "unknown", **SHORT_NIPPLES})) == (
        moves, each["a"]["question_both"],
    )  # fmt: skip
    for own, other in (("a", "b"), ("b", "a")):
        told = {**SHORT_NIPPLES, f"nipple_{other}.engagement": 20}
        assert to_measure(bench.job(told)) == (each[own]["question"],)
    free = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "up"}
    on_free = bench.job({"route": {"free": free}, "nipples.engagement": 20})
    assert to_measure(on_free) == ()
    assert other_lengths(on_free, "mm") == ()


# The plan of a run


def test_every_part_of_a_plan_has_its_figure_and_its_source(bench: Any) -> None:
    job = bench.job({"nipple_a.engagement": 20, "nipple_b.engagement": 31, "route.movement": 7})
    parts = cut_parts(job)
    assert [(part.name, part.length) for part in parts[1:]] == [
        ("engagement A", 20), ("engagement B", 31), ("movement", 7),
    ]  # fmt: skip
    assert [part.source for part in parts[1:]] == ["as stated"] * 3
    plan = plan_cut(job)
    assert plan.tolerance == float(cut_length_tolerance(plan.cut, "iso-1307"))
    assert plan.squareness == float(squareness(10.0))
    assert plan.tightest_at == pytest.approx(100 + math.radians(60) * 200 / 2)
    assert plan.least == plan.cut
    assert [name for name in plan.notes if "movement" in name] == [
        "Check for contact and kinks at both extremes of the engine's movement."
    ]
    assert len(plan.notes) == 3
    assert len(plan_cut(bench.job({"route.movement": 0.5})).notes) == 3
    assert len(plan_cut(bench.job({})).notes) == 2


def test_a_measured_route_has_no_place_of_a_bend(bench: Any) -> None:
    job = bench.job({"route.run": LEFT_OUT, "route.measured": "300 mm"})
    plan = plan_cut(job)
    assert math.isnan(plan.tightest_at)
    assert plan.tip == 300


def test_the_cut_may_be_a_rounding_beyond_the_slack(bench: Any) -> None:
    job = bench.job({"route.run": [1.3], "nipples.engagement": 20.4, "route.movement": 0.2})
    plan = plan_cut(job)
    longest = 1.5 / (1 - limit("slack-max-share")) + 40.8
    assert plan.window == (pytest.approx(1.3 + 40.8 + 0.2), max(plan.cut, longest))
    assert plan.cut == 43.0


def test_a_wire_in_the_wall_is_nipped_back_and_has_no_published_squareness(bench: Any) -> None:
    for number, (made, wired) in enumerate(
        (("wire", True), ("textile-and-wire", True), ("textile", False))
    ):
        catalogue, _ = bench.shop({"reinforcement": made})
        plan = plan_cut(bench.job({}), catalogue, 0)
        assert math.isnan(plan.squareness) is wired, number
        assert any("Wire in the wall" in note for note in plan.notes) is wired
        assert of_runs.wire_helix(catalogue, 0) is wired
    assert not of_runs.wire_helix(catalogue, None)
    assert not of_runs.wire_helix(None, 0)
    wide, _ = bench.shop({"bore_mm": 20, "bore_min_mm": 19.8, "bore_max_mm": 20.2,
                          "outside_diameter_mm": 28})  # fmt: skip
    assert plan_cut(bench.job({}), wide, 0).squareness == float(squareness(20.0))
    assert plan_cut(bench.job({}), wide).squareness == float(squareness(10.0))
    assert plan_cut(bench.job({}), None, 0).squareness == float(squareness(10.0))


def test_plastic_nipples_are_named() -> None:
    def notes(a: str, b: str) -> tuple[str, ...]:
        job: Any = SimpleNamespace(
            nipple_a=SimpleNamespace(material=a), nipple_b=SimpleNamespace(material=b)
        )
        return plastic_notes(job)

    assert notes("metal", "metal") == ()
    assert notes("plastic", "metal")[0].startswith("Plastic nipple A: warm")
    assert notes("metal", "plastic")[0].startswith("Plastic nipple B: warm")
    assert notes("plastic", "plastic")[0].startswith("Plastic nipple A and nipple B: warm")


def test_lengths_of_a_job_before_the_hose_is_known(bench: Any) -> None:
    """Of 300 mm, 20 and 30 mm on the nipples, 12 mm of movement: 362 mm, 365 mm on the step."""
    changes = {"route.run": [300], "nipple_a.engagement": 20, "nipple_b.engagement": 30}
    known, still, unknown = (
        bench.job({**changes, "route.movement": moved}) for moved in (12, 0, "unknown")
    )
    slack = 1 - limit("slack-max-share")
    found = job_lengths([known, still, unknown])
    assert found.bare.tolist() == [350, 350, 350]
    assert found.cut.tolist() == [365, 350, 390]
    inches = [6.35 * math.ceil(one / 6.35) for one in (362, 350, 388)]
    assert job_lengths([known, still, unknown], "in").cut == pytest.approx(inches)
    assert found.judged == pytest.approx([max(365, inches[0]), max(350, inches[1]),
                                          max(390, inches[2])])  # fmt: skip
    assert found.longest == pytest.approx([
        max(found.judged[0] - 12 / slack, 300 / slack + 50), 300 / slack + 50,
        max(found.judged[2] - 38 / slack, 300 / slack + 50),
    ])  # fmt: skip
    assert found.least.tolist() == [365, 350, 350]
    longer = bench.job({**changes, "route.run": [301], "route.movement": "unknown"})
    assert job_lengths([longer]).least[0] == 355
    assert np.isnan(found.narrow).all()


@pytest.mark.parametrize(
    ("tip", "moved", "narrow"),
    [(69.0, 0.0, False), (68.9, 0.0, True), (34.5, 34.5, False), (34.4, 34.4, True)],
)
def test_a_window_narrower_than_the_tolerance_of_the_cut(
    bench: Any, tip: float, moved: float, narrow: bool
) -> None:
    """8 % of slack leave 6 mm, twice the tolerance of a cut up to 300 mm, from 69 mm on."""
    job = bench.job({"route.run": [tip], "route.movement": moved})
    found = job_lengths([job])
    assert (not np.isnan(found.narrow[0])) is narrow
    if narrow:
        assert found.narrow[0] == pytest.approx((tip + moved) * (1 / 0.92 - 1))
        assert found.needed[0] == 6.0


def test_ends_that_may_stand_still_have_the_narrower_window(bench: Any) -> None:
    """With 38 mm of movement 60 mm are enough; if the ends stand still they are not."""
    job = bench.job({"route.run": [60], "route.movement": "unknown"})
    found = job_lengths([job])
    assert found.narrow[0] == pytest.approx(60 * (1 / 0.92 - 1))
    assert found.needed[0] == 6.0
    told = job_lengths([bench.job({"route.run": [60], "route.movement": 38})])
    assert np.isnan(told.narrow[0])


# Clamps


NIPPLE = Nipple(outside_diameter=10, bead="yes", usable_length=30)


def test_of_clamps_of_a_family_the_one_that_holds_it_most_centrally(bench: Any) -> None:
    """The hose measures 18 mm; of equally central ones the first by name."""
    clamps = [
        clamp("A", "worm", 14, 19),
        clamp("Z", "worm", 17, 19),
        clamp("B", "worm", 16, 20),
        clamp("C", "worm", 16, 21),
    ]
    catalogue, _ = bench.shop({}, clamps=clamps)
    (choice,) = clamp_choices(catalogue, 0, NIPPLE, "coolant-heater")
    assert (choice.clamp, choice.range_min, choice.range_max) == ("B", 16, 20)
    assert choice.hose_diameter == pytest.approx(18)


def test_the_family_that_suits_fewest_groups_comes_first_and_two_are_shown(bench: Any) -> None:
    clamps = [clamp("W", "worm"), clamp("S", "smooth-band"), clamp("T", "t-bolt"),
              clamp("L", "lined-worm")]  # fmt: skip
    catalogue, _ = bench.shop({}, clamps=clamps)
    found = clamp_choices(catalogue, 0, NIPPLE, "coolant-heater")
    assert [one.clamp for one in found] == ["T", "L"]


def test_a_band_that_has_no_room_leaves_its_family_to_another(bench: Any) -> None:
    clamps = [clamp("A", "worm", 17, 19, 25), clamp("B", "worm", 16, 20, 24)]
    catalogue, _ = bench.shop({}, clamps=clamps)
    assert [one.clamp for one in clamp_choices(catalogue, 0, NIPPLE, "coolant-heater")] == ["B"]


@pytest.mark.parametrize(
    ("family", "band", "high", "new", "again"),
    [
        ("worm", 8.9, 20, 0.9, 0.7),  # within 1 mm of 7.9 mm
        ("worm", 6.9, 20, 0.9, 0.7),
        ("worm", 9.0, 20, NONE, NONE),
        ("worm", 13.5, 20, 4.5, 3.0),
        ("constant-torque", 15.0, 50.8, 7.3, NONE),
        ("constant-torque", 15.0, 50.9, 11.0, NONE),
        ("smooth-band", 9.0, 20, NONE, NONE),
    ],
)
def test_torque_is_that_published_for_band_and_size(
    bench: Any, family: str, band: float, high: float, new: float, again: float
) -> None:
    catalogue, _ = bench.shop({}, clamps=[clamp("C", family, 16, high, band)])
    (choice,) = clamp_choices(catalogue, 0, NIPPLE, "coolant-heater")
    assert choice.torque_new == pytest.approx(new, nan_ok=True)
    assert choice.torque_again == pytest.approx(again, nan_ok=True)
    assert (choice.source == "no published torque for this clamp") is math.isnan(new)


def test_a_clamp_sits_behind_the_bead_where_there_is_one(bench: Any) -> None:
    catalogue, _ = bench.shop({}, clamps=[clamp("S", "smooth-band")])
    for bead, behind in (("yes", True), ("no", False), ("unknown", False)):
        nipple = replace(NIPPLE, bead=bead)
        (choice,) = clamp_choices(catalogue, 0, nipple, "coolant-heater")
        assert choice.position.startswith("behind the bead") is behind
        assert "6 mm of hose beyond the band" in choice.position


def test_why_a_family_of_the_shop_is_refused(bench: Any) -> None:
    clamps = [clamp("W", "worm"), clamp("S", "smooth-band"), clamp("T", "t-bolt")]
    catalogue, _ = bench.shop({"cover": "VMQ"}, clamps=clamps)
    assert clamps_refused(catalogue, 0, "coolant-heater") == (("worm", "it cuts a soft cover"),)
    assert clamps_refused(catalogue, None, "coolant-heater") == ()
    assert clamps_refused(catalogue, 0, "washer") == ()
    assert clamps_refused(catalogue, 0, "engine-oil-cooler") == (
        ("t-bolt", "not for oil lines"), ("worm", "it cuts a soft cover"),
    )  # fmt: skip


def test_without_a_hose_or_a_measured_nipple_there_is_no_clamp(bench: Any) -> None:
    catalogue, _ = bench.shop({}, clamps=[clamp("S", "smooth-band")])
    job = bench.job({"service": "coolant-heater"})
    assert plan_cut(job, catalogue, 0).clamps_b
    assert plan_cut(job, catalogue).clamps_a == ()
    assert plan_cut(job, None, 0).clamps_a == ()
    assert plan_cut(job, None, 0).clamps_refused == ()
    unmeasured = replace(job, nipple_a=Nipple(engagement=20))
    assert plan_cut(unmeasured, catalogue, 0).clamps_a == ()


# Where a run lies


def run_of(bench: Any, *parts: Any) -> Any:
    return bench.job({"route.run": list(parts)})


def test_a_run_leaves_forward_and_bends_up(bench: Any) -> None:
    """100 mm, 90 deg at 50 mm, 80 mm: mouth B 150 mm forward and 130 mm up."""
    job = run_of(bench, 100, {"bend": 90, "radius": 50}, 80)
    drawn = run_geometry(job, 18.0)
    assert drawn.centreline[0] == pytest.approx((0, 0, 0))
    assert drawn.centreline[-1] == pytest.approx((150, 0, 130))
    turn = 50 * math.sqrt(0.5)
    assert drawn.tightest_at == pytest.approx((100 + turn, 0, 50 - turn), abs=0.05)
    assert drawn.tightest_radius == 50
    assert drawn.tightest_normal == pytest.approx((0, -1, 0))
    assert (drawn.nipple_a.name, drawn.nipple_b.name) == ("A", "B")
    assert drawn.nipple_a.mouth == pytest.approx((0, 0, 0))
    assert drawn.nipple_a.points == pytest.approx((1, 0, 0))
    assert drawn.nipple_b.mouth == pytest.approx((150, 0, 130))
    assert drawn.nipple_b.points == pytest.approx((0, 0, -1))
    assert (drawn.nipple_a.outside_diameter, drawn.nipple_a.engagement) == (10, 25)
    assert (drawn.outside_diameter, drawn.flat, drawn.clips.shape) == (18.0, True, (0, 3))
    steps = np.linalg.norm(np.diff(drawn.centreline, axis=0), axis=1)
    assert 1.9 < steps.max() <= 2.0 + 1e-9


def test_the_plane_of_a_turned_bend(bench: Any) -> None:
    """The second bend, the tightest, turned by 90 deg: from up to one side."""
    job = run_of(bench, 100, {"bend": 90, "radius": 50}, 80,
                 {"bend": 60, "radius": 30, "turn": 90}, 40)  # fmt: skip
    drawn = run_geometry(job, 18.0)
    assert abs(drawn.tightest_normal[0]) == pytest.approx(1)
    assert abs(drawn.centreline[-1][1]) == pytest.approx(30 * 0.5 + 40 * math.sqrt(0.75))
    side = np.sign(drawn.centreline[-1][1])
    assert drawn.tightest_normal == pytest.approx((-side, 0, 0))


@pytest.mark.parametrize("run", [[{"bend": 90, "radius": 50}, 80], [80, {"bend": 90, "radius": 50}],
                                 [{"bend": 90, "radius": 50}]])  # fmt: skip
def test_a_bend_at_an_end_has_its_plane_as_well(bench: Any, run: list[Any]) -> None:
    drawn = run_geometry(run_of(bench, *run), 18.0)
    assert drawn.tightest_normal == pytest.approx((0, -1, 0))


def test_a_straight_run_has_no_tightest_spot(bench: Any) -> None:
    drawn = run_geometry(run_of(bench, 16), 18.0)
    assert np.isnan(drawn.tightest_at).all()
    assert drawn.tightest_at.shape == drawn.tightest_normal.shape == (3,)
    assert np.isnan(drawn.tightest_normal).all()
    assert len(drawn.centreline) == 17
    assert drawn.centreline[-1] == pytest.approx((16, 0, 0))


def test_a_bend_of_no_angle_is_none(bench: Any) -> None:
    job = run_of(bench, 40)
    straight = replace(job, route=replace(job.route, run=(Straight(40.0), Bend(0.0, 50.0))))
    assert Run(straight.route.run, 1.0).length == 40
    drawn = run_geometry(straight, 18.0)
    assert len(drawn.centreline) in (21, 22)


def test_a_run_that_is_not_known_is_not_drawn(bench: Any) -> None:
    with pytest.raises(InputError, match="a measured route"):
        run_geometry(bench.job({"route.run": LEFT_OUT, "route.measured": "300 mm"}), 18.0)
    job = run_of(bench, 40)
    for part in (Straight(NONE), Straight(0.0)):
        with pytest.raises(InputError, match="fully known"):
            run_geometry(replace(job, route=replace(job.route, run=(part,))), 18.0)
    short = replace(job, route=replace(job.route, run=(Straight(0.8),)))
    assert run_geometry(short, 18.0).centreline[-1] == pytest.approx((0.8, 0, 0))


# The plan of a free route


class Shape:
    """A shape as far as a plan reads it."""

    def __init__(self, length: float, radius: float = 50.0, *, end: float = 60.0) -> None:
        self.length, self.tightest_radius, self.tightest_at = length, radius, 30.0
        self.end, self.pose = end, None

    def centreline(self, points: int) -> Any:
        return np.outer(np.linspace(0.0, 1.0, points), (self.length, 0.0, 0.0))


@pytest.fixture(autouse=True)
def made_ends(monkeypatch: pytest.MonkeyPatch) -> Any:
    """At A a shape leaves at 30.06 deg with its end radius, at B at 45.06 deg with one more."""

    def ends(shape: Any) -> Any:
        return (SimpleNamespace(angle=30.06 + shape.length, radius=shape.end),
                SimpleNamespace(angle=45.06 + shape.length, radius=shape.end + 1))  # fmt: skip

    told = SimpleNamespace(curve=None, loads=[])
    monkeypatch.setattr(free_cut, "nipple_ends", ends)
    monkeypatch.setattr(free_lie, "nipple_ends", ends)
    monkeypatch.setattr(free_cut, "curve_of", lambda plan, own: told.curve)
    monkeypatch.setattr(free_cut, "window_notes", lambda own, plan: ["the window"])
    return told


def lie_of(*shapes: Shape, **more: Any) -> free_lie.Lie:
    made: dict[str, Any] = {"moved": (), "others": (), "lead": 10.0, **more}
    length = sum(shape.length for shape in shapes) + 20.0
    return free_lie.Lie(length=length, at_rest=shapes, **made)


def free_job(bench: Any, **changes: Any) -> Any:
    return bench.job({"service": "coolant-heater", "nipple_a.engagement": 20,
                      "nipple_b.engagement": 30, **changes})  # fmt: skip


def free_of(lie: free_lie.Lie | None, route: FreeRoute = ROUTE, **more: Any) -> Any:
    made: dict[str, Any] = {"spans": (240.0,), "cut": 290.0, "stood": 5.0, "clear": 5.0, **more}
    own = SizePlan(40.0, 18.0, 200.0, 260.0, 60.0, 3.0, lie=lie, **made)
    solution = SimpleNamespace(practical=600.0, distance=200.0)
    return SimpleNamespace(
        route=route, sizes=(own,), engagements=(20.0, 30.0), solution=solution, scan=None
    )


def test_the_parts_and_the_window_of_a_free_plan(bench: Any) -> None:
    cut = plan_free_cut(free_job(bench), free_of(lie_of(Shape(220.0))))
    assert cut is not None
    assert [part.length for part in cut.parts] == [240, 20, 30, 0, 0]
    assert (cut.tip, cut.bare, cut.cut, cut.least) == (240, 290, 290, 290)
    assert cut.window == (250, 310)
    assert (cut.tolerance, cut.squareness) == (3.0, float(squareness(10.0)))
    assert (cut.tightest_radius, cut.tightest_at) == (50, 40)
    assert cut.end_angles == (250.1, 265.1)
    assert free_cut._angles(lie_of(Shape(10.0), Shape(20.0))) == (40.1, 65.1)
    assert [part.source for part in cut.parts[1:3]] == ["as stated", "as stated"]
    first = free_of(lie_of(Shape(220.0)))
    first.sizes += (replace(first.sizes[0], lie=None),)
    assert plan_free_cut(free_job(bench), first) is not None
    assert cut.supports == 0
    assert cut.notes == ("Dry-fit before the final trim.", "the window",
                         free_cut.ROLL_SET)  # fmt: skip
    assert plan_free_cut(free_job(bench), free_of(None)) is None


def test_a_free_plan_in_inches_lies_on_a_mark(bench: Any) -> None:
    """290 mm is 11 13/32 in, 289.72 mm: what the tip loses, the trim does not."""
    cut = plan_free_cut(free_job(bench), free_of(lie_of(Shape(220.0))), units="in")
    assert cut is not None
    assert cut.cut == pytest.approx(289.72, abs=0.01)
    assert cut.tip == pytest.approx(239.72, abs=0.01)
    assert cut.bare == pytest.approx(289.72, abs=0.01)
    assert sum(part.length for part in cut.parts) == pytest.approx(cut.cut)
    off = plan_free_cut(free_job(bench), free_of(lie_of(Shape(220.0)), cut=292.0))
    assert off is not None
    assert off.parts[4].length == pytest.approx(2.0)


def test_a_cut_that_may_be_shorter_says_with_what_engagement(bench: Any) -> None:
    """Nipples of unknown length: 25 mm on each, or as little as the rules take."""
    job = bench.job({"service": "coolant-heater", **SHORT_NIPPLES, "nipple_b.engagement": 30})
    spread = 25.0 - least_engagement(job.nipple_a)
    assert free_spread(job) == spread
    cut = plan_free_cut(job, free_of(lie_of(Shape(220.0))))
    assert cut is not None
    assert cut.least == 290 - spread
    assert any("25 mm of hose on nipple A and 30 mm on nipple B" in note for note in cut.notes)
    assert not any("measure that first" in note
                   for note in plan_free_cut(free_job(bench), free_of(lie_of(Shape(9)))).notes)  # type: ignore[union-attr] # fmt: skip


def shape_notes(*shapes: Shape, **more: Any) -> list[str]:
    return free_cut._shape_notes(lie_of(*shapes, **more))


def test_what_is_said_of_the_shape() -> None:
    assert shape_notes(Shape(100.0)) == []
    (moved,) = shape_notes(Shape(9.0, 50.0), Shape(9.0, 47.0), moved=((Shape(9.0, 42.4),) * 2,))
    assert "Tightest bend 47 mm at rest, 42 mm at the worst" in moved
    (other,) = shape_notes(Shape(9.0), others=(Shape(9.0, 38.0), Shape(9.0, 44.0)))
    assert "another way, with a tightest bend of 38 mm" in other
    assert shape_notes(Shape(9.0, 50.0, end=52.6)) == []
    (at_a,) = shape_notes(Shape(9.0, 50.0, end=52.4))
    assert "right at nipple A" in at_a
    (at_b,) = shape_notes(Shape(9.0, 50.0), Shape(9.0, 50.0, end=51.4))
    assert "right at nipple B" in at_b
    assert shape_notes(Shape(9.0, 50.0, end=52.5)) == []


def test_marks_of_clips_are_counted_from_the_cut_end() -> None:
    notes = free_cut._span_notes(lie_of(Shape(100.0), Shape(50.0), Shape(70.0)), 20.0)
    assert notes == [
        "Mark the hose for clip 1 at 130 mm from its end at nipple A.",
        "Mark the hose for clip 2 at 180 mm from its end at nipple A.",
        "If the piece comes out longer or shorter, share the error among all spans.",
    ]
    assert free_cut._span_notes(lie_of(Shape(100.0)), 20.0) == []


@pytest.mark.parametrize(("tip", "round_way"), [(300.0, True), (299.9, False)])
def test_a_long_way_round_is_told_where_something_is_near(tip: float, round_way: bool) -> None:
    near: Any = replace(ROUTE, keep_outs=("something",))  # type: ignore[arg-type]
    plan = free_of(lie_of(Shape(9.0)), near, spans=(tip,))
    assert bool(free_cut._round_notes(plan, plan.sizes[0])) is round_way
    plan = free_of(lie_of(Shape(9.0)), ROUTE, spans=(tip,))
    assert free_cut._round_notes(plan, plan.sizes[0]) == []


def curve(low: float = 280.4, high: float = 305.6) -> Any:
    return SimpleNamespace(stood=(low, high), tape_error=5.0, angle_error=4.0)


def measuring(plan: Any) -> list[str]:
    return free_cut._measuring_notes(plan, plan.sizes[0])


def test_which_errors_a_cut_stands(made_ends: Any) -> None:
    plan = free_of(lie_of(Shape(9.0)))
    made_ends.curve = curve()
    assert measuring(plan) == [
        free_cut.ROLL_SET,
        "Errors of +/-5 mm and +/-4 deg in measuring leave cuts from 280 mm to 306 mm.",
    ]
    made_ends.curve = curve(NONE, NONE)
    assert measuring(plan) == [free_cut.ROLL_SET]
    careful = free_of(lie_of(Shape(9.0)), stood=4.9)
    (_, again) = measuring(careful)
    assert "again, and cut, to +/-2 mm and +/-2 deg: errors of 5 mm leave no length" in again
    made_ends.curve = None
    assert measuring(careful) == [free_cut.ROLL_SET]
    straight = free_of(lie_of(Shape(9.0, math.inf)))
    assert measuring(straight) == []
    assert measuring(free_of(None)) == []


@pytest.mark.parametrize(
    ("tape", "angle", "told"), [(1.0, 5.0, True), (5.0, 1.0, True), (1.1, 1.1, False)]
)
def test_no_smaller_errors_are_counted_than_a_tape_has(
    tape: float, angle: float, told: bool
) -> None:
    plan = free_of(None, replace(ROUTE, tape_error=tape, angle_error=angle))
    assert any("+/-1 mm and an angle to +/-1 deg" in note for note in measuring(plan)) is told


def loads(bench: Any, lie: free_lie.Lie, *, a: str = "metal", b: str = "metal",
          **cells: Any) -> list[str]:  # fmt: skip
    catalogue, _ = bench.shop(cells)
    job = free_job(bench)
    job = replace(job, nipple_a=replace(job.nipple_a, material=a),
                  nipple_b=replace(job.nipple_b, material=b))  # fmt: skip
    return free_cut._load_notes(job, lie, catalogue, 0)


def test_side_loads_on_plastic_nipples(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []

    def made(shape: Any, stiffness: tuple[float, float]) -> Any:
        asked.append((shape, stiffness))
        return SimpleNamespace(side=(1.04, 2.06)), SimpleNamespace(side=(3.04, 4.06))

    monkeypatch.setattr(free_cut, "nipple_loads", made)
    one, two = Shape(20.0), Shape(30.0)
    assert loads(bench, lie_of(one, two)) == []
    assert loads(bench, lie_of(one, two), a="plastic") == [
        "Side load on plastic nipple A: 1.0 to 2.1 N cold, textile left out."
    ]
    assert loads(bench, lie_of(one, two), b="plastic") == [
        "Side load on plastic nipple B: 3.0 to 4.1 N cold, textile left out."
    ]
    assert [shape for shape, _ in asked] == [one, two]
    assert 0 < asked[0][1][0] < asked[0][1][1]
    assert loads(bench, lie_of(one), a="plastic", b="plastic", hardness_shore_a="") == [
        f"Side load on plastic nipple {name} is not known: hardness not stated." for name in "AB"
    ]


@pytest.mark.parametrize(("number", "told"), [(2.0, 1), (1.99, 0)])
def test_a_hose_bent_by_its_weight_says_so(
    bench: Any, monkeypatch: pytest.MonkeyPatch, number: float, told: int
) -> None:
    asked: list[Any] = []

    def weight(*parts: Any) -> float:
        asked.append(parts)
        return number

    monkeypatch.setattr(free_cut, "weight_number_of", weight)
    assert len(loads(bench, lie_of(Shape(220.0)))) == told
    service, bore, outside, stiffness, length = asked[0]
    assert (service, bore, outside, length) == ("coolant-heater", 10, 18, 240)
    assert stiffness > 0


def test_a_free_plan_of_a_hose_has_clamps_and_its_own_bore(bench: Any) -> None:
    catalogue, _ = bench.shop({"reinforcement": "wire", "cover": "VMQ"},
                              clamps=[clamp("S", "smooth-band"), clamp("W", "worm")])  # fmt: skip
    cut = plan_free_cut(free_job(bench), free_of(lie_of(Shape(220.0))), catalogue)
    assert cut is not None
    assert [one.clamp for one in cut.clamps_a] == [one.clamp for one in cut.clamps_b] == ["S"]
    assert cut.clamps_refused == (("worm", "it cuts a soft cover"),)
    assert math.isnan(cut.squareness)
    assert of_runs.WIRE_NOTES[0] in cut.notes
    wide, _ = bench.shop({"bore_mm": 20, "bore_min_mm": 19.8, "bore_max_mm": 20.2,
                          "outside_diameter_mm": 28})  # fmt: skip
    cut = plan_free_cut(free_job(bench), free_of(lie_of(Shape(220.0))), wide)
    assert cut is not None
    assert cut.squareness == float(squareness(20.0))


# A free route planned for every size


def test_plans_as_columns() -> None:
    lie: Any = SimpleNamespace(tightest_radius=55.0, other_radius=48.0)
    cut = SizePlan(40.0, 18.0, 200.0, 260.0, 60.0, 3.0, (100.0, 140.0), 295.0, lie, 4.0, 5.0, 2.0,
                   any_side=False)  # fmt: skip
    none = SizePlan(90.0, 18.0, NONE, NONE, 0.0, 0.0)
    unseen = replace(none, looked=False)
    solution: Any = None
    plan = FreePlan(ROUTE, solution, (25.0, 30.0), (cut, none, unseen), 80.0, 310.0, None)
    wanted: dict[str, list[float]] = {
        "tip": [240, 310, NONE], "cut": [295, NONE, NONE], "width": [60, 0, 0],
        "needed": [7, 1, 1], "longest": [315, NONE, NONE], "tightest": [55, 80, NONE],
        "other": [48, math.inf, math.inf], "room": [4, NONE, NONE], "stood": [5, NONE, NONE],
        "clear": [2, NONE, NONE], "any_side": [0, 1, 1],
    }  # fmt: skip
    assert set(plan.arrays) == set(wanted)
    for name, values in wanted.items():
        assert plan.arrays[name] == pytest.approx(values, nan_ok=True), name


def planned(
    bench: Any, monkeypatch: pytest.MonkeyPatch, hoses: list[Any], *, near: bool = False,
    looked: Any = None,
) -> Any:  # fmt: skip
    """The sizes of which a route was planned."""
    asked: list[Any] = []
    monkeypatch.setattr(free_plan, "_plan", lambda *parts: asked.append(parts))
    free = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "up"}
    job = bench.job({"route": {"free": free}})
    assert job.route.free is not None
    if near:
        route = replace(job.route.free, keep_outs=("something",))
        job = replace(job, route=replace(job.route, free=route))
    _, columns = bench.shop(*hoses)
    plan_free(job, columns, looked)
    (parts,) = asked
    assert parts[1] == (25.0, 25.0)
    assert parts[3] == 5.0
    return parts[2]


def test_the_diameter_counts_only_where_something_is_near(
    bench: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    hoses = [{"least_bend_radius_mm": 40}, {"least_bend_radius_mm": 60}]
    assert planned(bench, monkeypatch, hoses) == ((40.0, None), (60.0, None))
    assert planned(bench, monkeypatch, hoses, near=True) == ((40.0, 18.0), (60.0, 18.0))
    assert planned(bench, monkeypatch, hoses, looked=np.array([False, True])) == (
        None, (60.0, None),
    )  # fmt: skip
    odd = [{"least_bend_radius_mm": 40},
           {"least_bend_radius_mm": "", "bore_mm": 10, "outside_diameter_mm": ""}]  # fmt: skip
    assert planned(bench, monkeypatch, odd, near=True) == ((40.0, 18.0), (None, None))
    assert planned(bench, monkeypatch, odd, looked=np.array([False, True])) == (
        (40.0, None), (None, None),
    )  # fmt: skip


def test_a_free_route_wants_a_radius_and_an_engagement(bench: Any) -> None:
    _, columns = bench.shop({"least_bend_radius_mm": "", "outside_diameter_mm": ""})
    free = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "up"}
    job = bench.job({"route": {"free": free}})
    with pytest.raises(InputError, match="bend radius"):
        plan_free(job, columns)
    none = np.zeros(1)
    nothing: Any = SimpleNamespace(
        sizes=SimpleNamespace(least_bend_radius=none, kink_sure=none, outside_diameter=none)
    )
    with pytest.raises(InputError, match="bend radius"):
        plan_free(job, nothing)
    assert free_plan._key(0.0, 18.0, crowded=True) == (None, 18.0)
    assert free_plan._key(0.8, 18.0, crowded=False) == (0.8, None)
    open_end = replace(job, nipple_b=Nipple())
    assert plan_free(open_end, columns) is None
    with pytest.raises(InputError, match="no engagement"):
        plan_free_radius(open_end, 40.0)
    with pytest.raises(InputError, match="no engagement"):
        plan_free_radius(bench.job({}), 40.0)


def test_a_plan_is_made_once_for_sizes_that_are_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of sizes in the order told, one unknown, one not looked at; radii rise in the solution."""
    asked: dict[str, Any] = {}

    class Solution:
        def __init__(self, route: Any, smallest: float) -> None:
            asked["smallest"] = smallest

        def windows(self, radii: Any) -> Any:
            return [[f"{name} {radius:g}" for radius in radii] for name in ("one", "two")]

        def best(self) -> tuple[float, float]:
            return 80.0, 310.0

    def sizes(solution: Any, scan: Any, each: Any, ends: float, step: float) -> list[str]:
        asked.update(each=each, ends=ends, step=step, scan=scan)
        return [f"plan {radius:g} {outside}" for radius, outside, _ in each]

    monkeypatch.setattr(free_plan, "FreeSolution", Solution)
    monkeypatch.setattr(free_plan, "scan_of", lambda solution, each, ends: (each, ends))
    monkeypatch.setattr(free_plan, "size_plans", sizes)
    keyed = ((60.0, 18.0), (40.0, 16.0), (60.0, 18.0), (None, None), None, (40.0, 18.0))
    found = free_plan._plan.__wrapped__(ROUTE, (25.0, 30.0), keyed, 5.0)
    assert asked["smallest"] == 40.0
    assert asked["each"] == [
        (60.0, 18.0, ["one 60", "two 60"]), (40.0, 16.0, ["one 40", "two 40"]),
        (40.0, 18.0, ["one 40", "two 40"]),
    ]  # fmt: skip
    assert (asked["ends"], asked["step"]) == (55.0, 5.0)
    assert found.scan == ([["one 40", "two 40"], ["one 60", "two 60"]], 55.0)
    unknown, unseen = found.sizes[3:5]
    assert [*found.sizes[:3], found.sizes[5]] == [
        "plan 60 18.0", "plan 40 16.0", "plan 60 18.0", "plan 40 18.0",
    ]  # fmt: skip
    assert (unknown.looked, unseen.looked) == (True, False)
    assert math.isnan(unknown.width)
    assert unknown.tolerance == 0.0
    assert (found.best_radius, found.best_length) == (80.0, 310.0)


# What the rules are told


def told_of(job: Any, plan: Any, hoses: Any) -> Any:
    jobs: Any = SimpleNamespace(change=lambda **more: more)
    return with_free(jobs, plan, job, hoses)


def columns_plan(route: FreeRoute = ROUTE, **more: Any) -> Any:
    lie: Any = SimpleNamespace(tightest_radius=55.0, other_radius=48.0)
    cut = SizePlan(40.0, 18.0, 200.0, 260.0, 60.0, 3.0, (240.0,), 295.0, lie, 4.0, 5.0, 2.0)
    none = SizePlan(90.0, 18.0, NONE, NONE, 0.0, 0.0)
    solution: Any = SimpleNamespace(rings=more.pop("rings", []))
    return FreePlan(route, solution, (25.0, 30.0), (cut, none), 80.0, 310.0, None)


@pytest.fixture
def two(bench: Any) -> Any:
    _, hoses = bench.shop({"least_bend_radius_mm": 40}, {"least_bend_radius_mm": 90})
    return hoses


def free_of_bench(bench: Any, **free: Any) -> Any:
    told = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "up", **free}
    return bench.job({"service": "coolant-heater", "route": {"free": told}})


def test_every_size_is_told_its_own(bench: Any, two: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(free_columns, "weight_number_of", lambda *parts: 1.0)
    told = told_of(free_of_bench(bench), columns_plan(replace(ROUTE, tape_error=3.0)), two)
    wanted: dict[str, list[float]] = {
        "tip_length": [240, 310], "tightest_radius": [55, 80], "cut_length": [295, NONE],
        "longest_length": [315, NONE], "window_width": [60, 0], "window_needed": [7, 1],
        "other_radius": [48, math.inf], "clearance_left": [4, NONE], "error_stood": [5, NONE],
        "error_clear": [2, NONE], "set_any_side": [1, NONE], "error_told": [3, 3],
        "margin_wanted": [0.065, 0.065], "weight_number": [1, NONE],
    }  # fmt: skip
    for name, values in wanted.items():
        assert told[name].shape == (1, 2)
        assert told[name][0] == pytest.approx(values, nan_ok=True), name


def test_when_a_movement_counts_as_known(bench: Any, two: Any) -> None:
    def known(job: Any) -> bool:
        moved = told_of(job, columns_plan(), two)["movement"]
        assert moved.shape == (1, 2)
        return bool((moved == 0.0).all())

    job = free_of_bench(bench)
    said = replace(job, route=replace(job.route, free=replace(ROUTE, movement_said="no")))
    assert not known(said)
    moves = replace(job.route, free=replace(ROUTE, movement_said="yes"))
    assert known(replace(job, route=moves))
    assert known(replace(said, route=replace(said.route, movement=0.0)))
    assert not known(replace(said, route=replace(said.route, movement=1.0)))
    both = {name: replace(getattr(said, name), fixed_to="engine") for name in
            ("nipple_a", "nipple_b")}  # fmt: skip
    assert known(replace(said, **both))
    apart = replace(both["nipple_b"], fixed_to="body")
    assert not known(replace(said, nipple_a=both["nipple_a"], nipple_b=apart))
    assert not known(replace(said, route=replace(said.route, free=None)))


@pytest.mark.parametrize(
    ("route", "twist"),
    [
        (replace(ROUTE, movement=(0.0, 0.0, 3.0)), False),
        (replace(ROUTE, points_b=(0.0, 0.021, -1.0), movement=(0.0, 0.0, 3.0)), True),
        (replace(ROUTE, points_b=(0.0, 0.019, -1.0), movement=(0.0, 0.0, 3.0)), False),
        (replace(ROUTE, points_b=(0.0, 0.5, -1.0)), False),
        (replace(ROUTE, points_b=(0.0, 0.5, -1.0), rocking=Rocking(UP, UP, 2.0)), True),
        (
            replace(ROUTE, clips=(Clip((50.0, 0.0, 50.0), UP),), movement=(3.0, 0.0, 0.0)),
            True,
        ),
    ],
)
def test_twist_wants_more_where_ends_move_out_of_a_plane(route: FreeRoute, twist: bool) -> None:
    assert margin_wanted(route) == pytest.approx(0.095 if twist else 0.065)


@pytest.mark.parametrize("service", ["coolant-heater", "vacuum-control", "charge-air-control"])
def test_the_weight_number_of_a_filled_or_empty_hose(service: str) -> None:
    """w L^3 / EI of 10 x 18 mm at 1200 kg/m3, full of 1100 kg/m3 where it carries liquid."""
    wall = math.pi / 4 * (18**2 - 10**2) * 1200
    liquid = math.pi / 4 * 10**2 * 1100 if service == "coolant-heater" else 0.0
    weight = (wall + liquid) * 9.80665e-9
    number = weight_number_of(service, 10.0, 18.0, 5e4, 300.0)
    assert number == pytest.approx(weight * 300**3 / 5e4)
    assert math.isnan(weight_number_of(service, 10.0, 18.0, 0.0, 300.0))
    assert math.isnan(weight_number_of(service, 10.0, 18.0, NONE, 300.0))
    assert weight_number_of(service, 10.0, 18.0, 0.5, 300.0) > 1e3


def test_which_groups_are_full_of_liquid() -> None:
    columns = service_columns()
    wet = {group for group in columns.group
           if weight_number_of(next(name for name, k in columns.index.items()
                                    if columns.group[k] == group), 10.0, 18.0, 1.0, 1.0)
           > weight_number_of("vacuum-control", 10.0, 18.0, 1.0, 1.0)}  # fmt: skip
    assert wet == {"coolant", "fuel", "diesel", "oil", "steering", "washer"}


def weighed(
    monkeypatch: pytest.MonkeyPatch, numbers: list[float], gap: float, hoses: Any, plan: Any
) -> Any:
    def with_weight(solution: Any, spans: Any, own: Any) -> Any:
        assert spans == (240.0,)
        return np.full(len(own), 51.0), np.full(len(own), gap)

    monkeypatch.setattr(free_columns, "with_weight", with_weight)
    return free_columns._weighed(plan, np.array(numbers), hoses)


def test_weight_counts_beyond_its_limit(monkeypatch: pytest.MonkeyPatch, two: Any) -> None:
    plan = columns_plan()
    found = weighed(monkeypatch, [2.1, NONE], 11.0, two, plan)
    assert found["tightest"].tolist() == [51, 80]
    assert found["room"] == pytest.approx([11.0 - 9.0, NONE], nan_ok=True)
    assert plan.arrays["tightest"].tolist() == [55, 80]
    found = weighed(monkeypatch, [2.1, NONE], 30.0, two, plan)
    assert found["room"][0] == 4.0
    found = weighed(monkeypatch, [2.1, NONE], math.inf, two, plan)
    assert found["room"][0] == 4.0
    light = weighed(monkeypatch, [2.0, NONE], 11.0, two, plan)
    assert light["tightest"].tolist() == [55, 80]
    assert light["room"][0] == 4.0
    flat = columns_plan(replace(ROUTE, oriented=False))
    assert weighed(monkeypatch, [9.0, NONE], 11.0, two, flat) == {}
    assert weighed(monkeypatch, [9.0, NONE], 11.0, two, columns_plan(rings=[1])) == {}


def test_weight_numbers_are_those_of_each_size(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    _, hoses = bench.shop({"least_bend_radius_mm": 40}, {"least_bend_radius_mm": 90})
    asked: list[Any] = []
    monkeypatch.setattr(free_columns, "weight_number_of",
                        lambda *parts: asked.append(parts) or 3.0)  # fmt: skip
    numbers = free_columns._weight_numbers(columns_plan(), free_of_bench(bench), hoses)
    assert numbers == pytest.approx([3.0, NONE], nan_ok=True)
    ((service, bore, outside, stiffness, tip),) = asked
    assert (service, bore, outside, tip) == ("coolant-heater", 10, 18, 240)
    assert stiffness > 0
