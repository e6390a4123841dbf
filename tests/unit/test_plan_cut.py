"""The cut plan: parts of the sum, rounding up, window, clamps, clips, what is not known."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from bench_parts import clamp

from hoseselect.cutplan.clamp_choice import clamp_choices, clamps_refused
from hoseselect.cutplan.lengths import engagement, round_up, workshop_step
from hoseselect.cutplan.plan_cut import job_lengths, longest_length, plan_cut, supports
from hoseselect.domain.job import Nipple
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit, limit_source

LEFT_OUT = "left out"


def test_the_sum_of_the_parts(bench: Any) -> None:
    """100 + 60 deg at 200 mm + 100, 25 mm on each nipple, 12 mm of movement, rounded up to 5."""
    plan = plan_cut(bench.job({"route.movement": 12}))
    tip = 200 + math.radians(60) * 200
    assert plan.tip == pytest.approx(tip)
    assert plan.bare == pytest.approx(tip + 50)
    assert plan.cut == 475
    names = ["tip to tip", "engagement A", "engagement B", "movement", "trim (rounding up)"]
    assert [part.name for part in plan.parts] == names
    assert [part.length for part in plan.parts[:4]] == pytest.approx([tip, 25, 25, 12])
    assert sum(part.length for part in plan.parts) == pytest.approx(plan.cut)
    assert 0 <= plan.parts[4].length < 5
    assert all(part.source for part in plan.parts)
    assert plan.window[0] == pytest.approx(tip + 62)
    assert plan.tightest_radius == 200


@pytest.mark.parametrize(
    ("length", "step", "cut"),
    [
        (450, 5, 450),
        (450.0000001, 5, 450),
        (450.1, 5, 455),
        (449.9, 5, 450),
        (0, 5, 0),
        (6.35, 6.35, 6.35),
    ],
)
def test_a_cut_is_rounded_up_never_down(length: float, step: float, cut: float) -> None:
    assert round_up(np.array(length), step) == pytest.approx(cut)


def test_an_unknown_length_stays_unknown() -> None:
    assert np.isnan(round_up(np.array(math.nan), 5))


def test_inches_have_their_own_step(bench: Any) -> None:
    assert workshop_step("in") == pytest.approx(6.35)
    cut = plan_cut(bench.job({"route.run": [401]}), units="in").cut
    assert cut == pytest.approx(math.ceil(451 / 6.35) * 6.35)
    assert job_lengths([bench.job({"route.run": [401]})], "mm").cut[0] == 455


@pytest.mark.parametrize(
    ("nipple", "length", "source"),
    [
        (Nipple(outside_diameter=10, engagement=22), 22, "as stated"),
        (Nipple(outside_diameter=10), 25, "engagement-small"),
        (Nipple(outside_diameter=19), 25, "engagement-small"),
        (Nipple(outside_diameter=19.05), 25, "engagement-small"),
        (Nipple(outside_diameter=19.5), 35, "engagement-large"),
        (Nipple(outside_diameter=10, usable_length=15), 15, "usable length as stated"),
        (Nipple(outside_diameter=10, usable_length=30), 25, "engagement-small"),
        (Nipple(outside_diameter=30, usable_length=30), 30, "usable length as stated"),
        (Nipple(), math.nan, "nipple not measured"),
    ],
)
def test_engagement(nipple: Nipple, length: float, source: str) -> None:
    found = engagement(nipple)
    wanted = limit_source(source) if source.startswith("engagement") else source
    assert found == (pytest.approx(length, nan_ok=True), wanted)


@pytest.mark.parametrize(
    ("name", "other"),
    [
        ("engagement-small", 40),
        ("workshop-step", 40),
        ("movement-unknown", 90),
        ("engagement-small-bore", 8),
    ],
)
def test_the_plan_takes_its_figures_from_the_table(
    bench: Any, change_limit: Callable[[str, float], None], name: str, other: float
) -> None:
    changes = {
        "nipples.engagement": LEFT_OUT,
        "nipples.usable_length": LEFT_OUT,
        "route.movement": "unknown",
    }
    before = plan_cut(bench.job(changes)).cut
    change_limit(name, other)
    assert plan_cut(bench.job(changes)).cut != before


def test_unknown_movement_is_allowed_for_and_said(bench: Any) -> None:
    plan = plan_cut(bench.job({"route.movement": "unknown"}))
    assert plan.parts[3].length == limit("movement-unknown")
    assert plan.parts[3].source == limit_source("movement-unknown")
    assert any("not known" in note for note in plan.notes)
    still = plan_cut(bench.job({}))
    assert not any("not known" in note or "extremes" in note for note in still.notes)


def test_ends_on_one_body_do_not_move(bench: Any) -> None:
    changes = {"route.movement": "unknown", "nipples.fixed_to": "body"}
    part = plan_cut(bench.job(changes)).parts[3]
    assert (part.length, part.source) == (0, "both ends on the body")
    apart = {
        "route.movement": "unknown",
        "nipple_a.fixed_to": "body",
        "nipple_b.fixed_to": "engine",
    }
    assert plan_cut(bench.job(apart)).parts[3].length == limit("movement-unknown")


def test_movement_is_to_be_tried_by_hand(bench: Any) -> None:
    assert any("both extremes" in note for note in plan_cut(bench.job({"route.movement": 5})).notes)


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({"route.run": []}, "tip to tip"),
        (
            {
                "nipple_b.outside_diameter": "unknown",
                "nipple_b.usable_length": LEFT_OUT,
                "nipples.engagement": LEFT_OUT,
                "nipples.bead_diameter": LEFT_OUT,
                "nipples.usable_length": LEFT_OUT,
            },
            "engagement B",
        ),
        ({"service": "brake-hydraulics"}, "job"),
    ],
)
def test_no_plan_without_a_part_or_on_a_stop(
    bench: Any, changes: dict[str, Any], place: str
) -> None:
    with pytest.raises(InputError) as caught:
        plan_cut(bench.job(changes))
    assert str(caught.value).startswith(f"{place}: found")


def test_the_window_ends_where_the_slack_does(bench: Any) -> None:
    plan = plan_cut(bench.job({"route.run": [460], "route.movement": 0}))
    assert plan.window == pytest.approx((510, 460 / (1 - limit("slack-max-share")) + 50))
    parts = (np.array(part.length) for part in plan.parts[:4])
    assert longest_length(*parts) == pytest.approx(550)


@pytest.mark.parametrize(
    ("tip", "suction", "service", "spacing", "clips"),
    [
        (610, 0, "coolant-heater", 610, 0),
        (611, 0, "coolant-heater", 610, 1),
        (1220, 0, "coolant-heater", 610, 1),
        (1221, 0, "coolant-heater", 610, 2),
        (457, -33.9, "crankcase-suction", 457, 0),
        (458, -33.9, "crankcase-suction", 457, 1),
        (600, -33.8, "crankcase-suction", 610, 0),
        (600, -60, "vacuum-control", 610, 0),
        (0, 0, "washer", 610, 0),
    ],
)
def test_clips(
    bench: Any, tip: float, suction: float, service: str, spacing: float, clips: int
) -> None:
    job = bench.job({"service": service, "duty.pressure_min": suction})
    assert supports(job, tip) == (spacing, clips)


def test_clips_where_the_suction_is_not_known(bench: Any) -> None:
    """The rule assumes the deepest suction of the service; the plan must not ask for less."""
    job = bench.job({"service": "crankcase-suction", "duty.pressure_min": "unknown"})
    assert supports(job, 600) == (457, 1)


def test_clamps_close_on_the_hose_where_it_sits(bench: Any) -> None:
    clamps = [
        clamp("W-12-22", "worm", 12, 22),
        clamp("W-16-27", "worm", 16, 27),
        clamp("S-16-20", "smooth-band", 16, 20),
        clamp("S-20-30", "smooth-band", 20, 30),
        clamp("E-17-19", "ear", 17, 19),
    ]
    catalogue, _ = bench.shop({}, clamps=clamps)
    job = bench.job({"service": "coolant-heater"})
    plan = plan_cut(job, catalogue, 0)
    assert plan.clamps_a
    assert [c.clamp for c in plan.clamps_a] == [c.clamp for c in plan.clamps_b]
    for choice in plan.clamps_a:
        assert choice.hose_diameter == pytest.approx(18)
        assert choice.range_min <= 18 <= choice.range_max
        assert "behind the bead" in choice.position
        assert choice.number == 1
    families = [choice.family for choice in plan.clamps_a]
    assert len(set(families)) == len(families) <= 2
    assert clamps_refused(catalogue, 0, "fuel-return") == (("worm", "not for fuel lines"),)


def test_a_band_that_has_no_room_on_the_nipple_is_not_chosen(bench: Any) -> None:
    catalogue, _ = bench.shop({}, clamps=[clamp("S", "smooth-band", 16, 20, band=12)])
    nipple = Nipple(outside_diameter=10, bead="yes", usable_length=18)
    assert clamp_choices(catalogue, 0, nipple, "coolant-heater")
    nipple = Nipple(outside_diameter=10, bead="yes", usable_length=17.9)
    assert clamp_choices(catalogue, 0, nipple, "coolant-heater") == ()


def test_a_short_engagement_leaves_no_room_for_the_band_either(bench: Any) -> None:
    """30 mm of nipple of which the hose covers 12: band 12 and tail 6 want 18."""
    catalogue, _ = bench.shop({}, clamps=[clamp("S", "smooth-band", 16, 20, band=12)])
    nipple = Nipple(outside_diameter=10, bead="yes", usable_length=30, engagement=12)
    assert clamp_choices(catalogue, 0, nipple, "coolant-heater") == ()


def test_a_soft_cover_takes_no_perforated_band(bench: Any) -> None:
    clamps = [clamp("W", "worm", 12, 22), clamp("S", "smooth-band", 16, 20)]
    catalogue, _ = bench.shop({"cover": "VMQ"}, clamps=clamps)
    plan = plan_cut(bench.job({"service": "coolant-heater"}), catalogue, 0)
    assert [c.family for c in plan.clamps_a] == ["smooth-band"]
    assert ("worm", "it cuts a soft cover") in plan.clamps_refused


def test_one_clamp_at_each_end_of_the_vent_beside_the_filler(bench: Any) -> None:
    catalogue, _ = bench.shop({}, clamps=[clamp("S", "smooth-band", 16, 20)])
    job = bench.job({"service": "fuel-filler-and-vent"})
    assert [c.number for c in plan_cut(job, catalogue, 0).clamps_a] == [1]


def test_a_control_line_has_no_clamps(bench: Any) -> None:
    catalogue, _ = bench.shop({}, clamps=[clamp("S", "smooth-band", 16, 20)])
    plan = plan_cut(bench.job({"service": "washer"}), catalogue, 0)
    assert plan.clamps_a == plan.clamps_b == plan.clamps_refused == ()


def test_a_plan_is_json_without_nan(bench: Any) -> None:
    plan = plan_cut(bench.job({"route.run": [100]}))
    text = json.dumps(plan.as_json(), allow_nan=False)
    assert json.loads(text)["tightest_radius_mm"] is None
    assert json.loads(text)["cut_mm"] == 150


@pytest.mark.parametrize("measured", [20.0, 31.0, 40.0, 60.0, 120.0, 400.0])
def test_ends_of_which_nobody_knows_how_they_move_may_stand_still(measured: float) -> None:
    """A window that is too narrow for ends that stand still is so for ends nobody looked at."""
    told = {"service": "PCV hose", "nipples": {"outside_diameter": "3.2 mm"}}
    jobs = [
        read_job({**told, "route": {"measured": f"{measured} mm", **more}})
        for more in ({}, {"movement": "0 mm"})
    ]
    unknown, still = job_lengths(jobs).narrow
    assert np.isnan(unknown) <= np.isnan(still)
