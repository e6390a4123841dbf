"""Where a cut length, a window or a plan of rolls is just still right, and just no more."""

from __future__ import annotations

from collections import Counter
from time import monotonic
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.fittings import reducers_for
from hoseselect.answer.free_reasons import free_reasons
from hoseselect.answer.two_pieces import halves
from hoseselect.application import cut as application_cut
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan import best_on_route
from hoseselect.cutplan.plan_cut import cut_to, job_lengths, plan_cut
from hoseselect.cutplan.route_geometry import STEPS, run_geometry
from hoseselect.intake.read_job import read_job
from hoseselect.judging.assume import duty_range, heat_source_asked
from hoseselect.judging.job_columns import movement
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.flow import loss_ratio
from hoseselect.quantities.figure_text import format_quantity
from hoseselect.quantities.read import read_quantity
from hoseselect.rolls import cutting_stock
from hoseselect.rolls.cutting_exchange import _likely, _with_missing
from hoseselect.rolls.cutting_patterns import CuttingProblem, Pattern
from hoseselect.rules.stock import roll_to_take
from hoseselect.rules.stop import stops


def test_a_cut_that_ends_with_the_window_is_rounded_to_the_step() -> None:
    totals, longest = np.array([98.0, 98.0]), np.array([100.0, 99.9])
    assert cut_to(totals, longest, 5.0).tolist() == [100.0, 98.0]


def test_the_window_holds_the_cut_on_the_shortest_run(bench: Any) -> None:
    changes = {"route.run": [1.3], "nipples.engagement": 20.4}
    plan = plan_cut(bench.job(changes))
    assert plan.cut == 43
    assert plan.cut <= plan.window[1]


def test_a_piece_of_the_length_to_cut_is_not_too_long(bench: Any) -> None:
    """The longest is told for ends that stand still; the movement is added with its slack."""
    moved = 2.0
    changes = {"route.run": [1.3], "route.movement": moved, "nipples.engagement": 20.4}
    lengths = job_lengths([bench.job(changes)])
    assert lengths.cut[0] == 45
    assert lengths.longest[0] + moved / (1 - limit("slack-max-share")) == pytest.approx(45)


def test_clips_are_set_for_the_deepest_suction_that_may_be(bench: Any) -> None:
    places = {
        name
        for name, place in service_columns().index.items()
        if -duty_range("pressure_min")[1][place] >= limit("suction-unsupported-from")
        and -duty_range("pressure_min")[0][place] < limit("suction-unsupported-from")
        and service_columns().group[place] != "vacuum"
    }
    assert places
    for name in places & {"crankcase-suction", "crankcase-breather", "fuel-vapour-purge"}:
        changes = {"service": name, "duty.pressure_min": "unknown"}
        spacing = plan_cut(bench.job(changes)).support_spacing
        assert spacing == limit("suction-unsupported-max")


def reasons(bench: Any, other_radius: float = np.inf, **plan: Any) -> tuple[str, ...]:
    """Return why a made plan of a hose for bends of 60 mm gives no length."""
    lie = SimpleNamespace(tightest_radius=60.0, other_radius=other_radius, length=300.0)
    made: dict[str, Any] = {"room": np.nan, "stood": 5.0, "outside": 10.0, **plan}
    own = SimpleNamespace(lie=lie, radius=60.0, width=20.0, needed=7.0, **made)
    route = SimpleNamespace(keep_outs=(), tape_error=5.0)
    whole: Any = SimpleNamespace(sizes=[own], best_radius=60.0, best_length=300.0, route=route)
    return free_reasons(bench.job(), whole, "mm")


def test_another_shape_just_as_wide_as_wanted_is_no_reason(bench: Any) -> None:
    assert not reasons(bench, other_radius=60.0)
    (told,) = reasons(bench, other_radius=59.9)
    assert "bend-second-shape" in told


@pytest.mark.parametrize(("room", "told"), [(np.nan, 0), (0.0, 0), (-0.1, 1)])
def test_a_gap_just_as_wide_as_wanted_is_no_reason(
    bench: Any, monkeypatch: pytest.MonkeyPatch, room: float, told: int
) -> None:
    monkeypatch.setattr(best_on_route, "least_gap_of", lambda *_: None)
    found = reasons(bench, room=room)
    assert len(found) == told
    assert all(text.startswith("route-clearance") for text in found)


@pytest.mark.parametrize(("stood", "told"), [(5.0, 0), (2.0, 0), (0.0, 1)])
def test_a_cut_that_stands_the_errors_of_a_careful_tape_is_given(
    bench: Any, stood: float, told: int
) -> None:
    found = reasons(bench, stood=stood)
    assert len(found) == told
    assert all(text.startswith("bend-measuring") for text in found)


@pytest.mark.parametrize("radius", [0.0, -1.0])
def test_a_free_route_wants_a_radius(bench: Any, radius: float) -> None:
    with pytest.raises(InputError, match="--radius"):
        application_cut._free_cut(radius, bench.job(), "mm", 10.0, (), None)


def test_a_short_bend_is_drawn_in_steps_enough(bench: Any) -> None:
    """A bend of 8 mm length among straights of 200 mm."""
    run = [200, {"bend": 30, "radius": 8 / np.deg2rad(30)}, 200]
    drawn = run_geometry(bench.job({"route.run": run}), 18.0).centreline
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(drawn, axis=0), axis=1))])
    assert ((along > 199.9) & (along < 208.1)).sum() >= STEPS


def test_a_metering_bore_below_a_millimetre_is_compared() -> None:
    assert loss_ratio(0.8, 0.8).high == pytest.approx(1)
    assert np.isnan(loss_ratio(0.8, 0.0).high)


def test_a_sixteenth_is_a_fraction_and_less_is_a_decimal() -> None:
    assert format_quantity(25.4 / 16, "length", "in") == "1/16 in"
    assert format_quantity(25.4 / 20, "length", "in") == "0.05 in"


@pytest.mark.parametrize("text", ["0.5 inHg", "0.5 torr", "1 inHg"])
def test_a_small_column_of_mercury_is_asked_about_too(text: str) -> None:
    with pytest.raises(InputError, match="vacuum"):
        read_quantity(text, "pressure", "")


def test_a_whole_fraction_after_a_whole_number_is_asked_about() -> None:
    with pytest.raises(InputError):
        read_quantity("1 4/4 in", "length", "")
    with pytest.raises(InputError):
        read_quantity("3/10", "length", "")


def problem(**more: Any) -> CuttingProblem:
    made: dict[str, Any] = {
        "widths": (100, 300),
        "demand": (1, 1),
        "lengths": (1000,),
        "room": (1000,),
        "supply": (2,),
        "new": (False,),
        "worth_keeping": np.inf,
    }
    return CuttingProblem(**{**made, **more})


def test_a_missing_piece_is_cut_from_the_roll_that_is_open() -> None:
    opened = Pattern(0, (0, 1))
    found = _with_missing(problem(supply=(1,)), Counter([opened]))
    assert found == Counter([Pattern(0, (1, 1))])


def test_at_each_mark_three_sums_are_looked_at() -> None:
    """The sum below and the two from there on: nothing beyond can be better."""
    likely = _likely(problem(), Pattern(0, (0, 1)), Pattern(0, (1, 0)), np.arange(0, 40), 20)
    assert likely == [0, 1, 9, 10, 11, 19, 20, 21]


def test_plain_plans_have_a_share_of_the_time(monkeypatch: pytest.MonkeyPatch) -> None:
    given: list[float] = []
    plain = cutting_stock._plain_plan

    def noted(own: CuttingProblem, until: float) -> Any:
        given.append(until)
        return plain(own, until)

    monkeypatch.setattr(cutting_stock, "_plain_plan", noted)
    start = monotonic()
    cutting_stock._first_plan(problem(), start + 100.0)
    assert start < given[0] < start + 100.0


UNEQUAL = {
    "service": "coolant-heater",
    "nipples.outside_diameter": "left out",
    "nipples.engagement": "left out",
    "nipples.usable_length": "left out",
    "nipples.bead_diameter": "left out",
    "nipple_a.outside_diameter": 10,
    "nipple_b.outside_diameter": 10.8,
    "nipple_a.engagement": 22,
    "nipple_b.engagement": 31,
}
"""A line whose nipples differ in diameter and in length."""


def test_each_end_has_its_own_engagement(bench: Any) -> None:
    job = bench.job(UNEQUAL)
    parts = {part.name: part.length for part in plan_cut(job).parts}
    assert (parts["engagement A"], parts["engagement B"]) == (22, 31)
    assert job_lengths([job]).bare[0] == pytest.approx(parts["tip to tip"] + 22 + 31)


def test_each_end_has_its_own_clamp(bench: Any) -> None:
    """Hose of 18 mm measures 18.5 mm on the larger nipple."""
    clamps = [
        {"clamp": name, "family": "smooth-band", "range_min_mm": low, "range_max_mm": high,
         "band_width_mm": 9, "price": 1}
        for name, low, high in (("narrow", 17, 18.2), ("wide", 18.3, 19))
    ]  # fmt: skip
    catalogue, _ = bench.shop({}, clamps=clamps)
    plan = plan_cut(bench.job(UNEQUAL), catalogue, 0)
    assert [choice.clamp for choice in plan.clamps_a] == ["narrow"]
    assert [choice.clamp for choice in plan.clamps_b] == ["wide"]


def test_both_pieces_beside_a_reducer_move_as_the_line_does(bench: Any) -> None:
    ends = {"nipple_a.outside_diameter": 16, "nipple_b.outside_diameter": 13}
    for fixed, moved in ({"nipples.fixed_to": "engine"}, 0), ({"route.movement": 12}, 12):
        job = bench.job({**UNEQUAL, **ends, "route.movement": "left out", **fixed})
        parted = halves(job, read_catalogue(find_catalogue(None, {})))
        assert parted is not None
        assert [movement(piece) for piece in parted.jobs] == [moved, moved]


def test_a_roll_just_long_enough_is_long_enough() -> None:
    rolls: Any = SimpleNamespace(
        size_index=np.array([0, 0]),
        name=np.array(["R1", "R2"]),
        length=np.array([500.0, 900.0]),
        age=np.array([1.0, 1.0]),
        keeps=np.array([7.0, 7.0]),
        keeps_at_most=np.array([9.0, 9.0]),
    )
    assert [roll_to_take(rolls, 0, cut) for cut in (500.0, 500.1, 900.1)] == [0, 1, -1]


def test_an_injection_feed_of_unknown_pressure_is_a_stop() -> None:
    for duty, stopped in (({}, True), ({"pressure_max": "350 kPa"}, False)):
        job = read_job({"service": "fuel-injection-feed", "fluids": ["petrol"], "duty": duty})
        assert ("injection-pressure-unknown" in {stop.code for stop in stops(job)}) is stopped


def test_a_hot_line_of_unknown_peak_is_asked_about_what_is_near() -> None:
    index = service_columns().index
    no = np.zeros((1, 1), dtype=bool)
    for name, asked in (("turbo-oil-drain", True), ("washer", False)):
        service = np.array([[index[name]]])
        assert heat_source_asked(service, np.array([[np.nan]]), no, no)[0, 0] == asked
    washer = np.array([[index["washer"]]])
    assert heat_source_asked(washer, np.array([[180.0]]), no, no)[0, 0]


def test_a_clamp_that_does_not_close_on_the_hose_is_none(bench: Any) -> None:
    clamps = [
        {"clamp": "wide", "family": "smooth-band", "range_min_mm": 20, "range_max_mm": 30,
         "band_width_mm": 9, "price": 1}
    ]  # fmt: skip
    catalogue, _ = bench.shop({}, clamps=clamps)
    assert plan_cut(bench.job({"service": "coolant-heater"}), catalogue, 0).clamps_a == ()


def test_a_reducer_for_coolant_joins_no_oil_line(bench: Any) -> None:
    fittings = [
        {"fitting": "R", "kind": "reducer", "nipple_a_mm": 16, "nipple_b_mm": 13, "angle_deg": 0,
         "centreline_radius_mm": "", "length_mm": 60, "material": "aluminium", "suits": "coolant",
         "remark": "invented", "price": 1}
    ]  # fmt: skip
    catalogue, _ = bench.shop({}, fittings=fittings)
    ends = {"nipple_a.outside_diameter": 16, "nipple_b.outside_diameter": 13}
    for service, found in (("coolant-heater", 0), ("engine-oil-cooler", None)):
        job = bench.job({**UNEQUAL, **ends, "service": service})
        assert next(iter(reducers_for(job, catalogue)), None) == found
