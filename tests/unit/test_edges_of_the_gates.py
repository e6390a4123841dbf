"""What is asked about at the very edge of a gate, at either end, and what is not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from hoseselect.domain.free_route import FreeRoute
from hoseselect.domain.job import Job, Route
from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.intake import line_gates, route_gates
from hoseselect.intake.gates import least_bead, no_bead_worth_the_name
from hoseselect.intake.plausibility import FINE, implausible, typed_in
from hoseselect.intake.told_stops import told_stops
from hoseselect.intake.usual_movement import with_usual_movement
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit, table
from hoseselect.quantities.conversion import convert

LEVEL = FreeRoute((200.0, 0.0, 0.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0))


def told(gate: Callable[[Job], Any], job: Job) -> list[str]:
    return [key for question in gate(job) for key in question.keys]


def free(job: Job, **more: Any) -> Job:
    own = {name: more.pop(name) for name in ("fall", "low_spot") if name in more}
    return replace(job, route=Route(kind="free", free=replace(LEVEL, **more), **own))


def fixed(job: Job, a: str = "engine", b: str = "body") -> Job:
    ends = (replace(job.nipple_a, fixed_to=a), replace(job.nipple_b, fixed_to=b))
    return replace(job, nipple_a=ends[0], nipple_b=ends[1])


def duty(job: Job, **more: float) -> Job:
    return replace(job, duty=replace(job.duty, **more))


@pytest.mark.parametrize("end", ["nipple_a", "nipple_b"])
@pytest.mark.parametrize(("over", "asked"), [(0.0, True), (0.125, False)])
def test_a_bead_of_the_least_height_is_none(bench: Any, end: str, over: float, asked: bool) -> None:
    own = replace(getattr(bench.job(), end), outside_diameter=50.0)
    own = replace(own, bead_diameter=50.0 + least_bead(own) + over)
    found = told(no_bead_worth_the_name, replace(bench.job(), **{end: own}))
    assert (f"{end}.bead_diameter" in found) is asked


def test_the_pressure_of_a_crankcase_is_no_boost_at_its_highest(bench: Any) -> None:
    job = bench.job({"service": "crankcase-suction", "features.turbo": "yes"})
    job = replace(job, features=replace(job.features, sees_boost="yes"))
    highest = limit("crankcase-pressure-highest")
    gate = line_gates.boost_without_pressure
    assert told(gate, duty(job, pressure_max=highest))
    assert not told(gate, duty(job, pressure_max=highest + 0.1))


def test_no_suction_and_no_pressure_are_none_at_nought(bench: Any) -> None:
    job = bench.job()
    acts = {row["acts"]: row["failure"] for row in table("failures")}
    flat = replace(job, old_hose=replace(job.old_hose, condition=acts["suction"]))
    assert told(line_gates.sucked_flat_without_suction, duty(flat, pressure_min=0.0))
    assert not told(line_gates.sucked_flat_without_suction, duty(flat, pressure_min=-0.1))
    burst = replace(job, old_hose=replace(job.old_hose, condition=acts["pressure"]))
    none = {"pressure_max": 0.0, "pressure_spike": 0.0}
    assert told(line_gates.burst_without_pressure, duty(burst, **none))
    assert not told(line_gates.burst_without_pressure, duty(burst, **none | {"pressure_max": 0.1}))


def test_coolant_that_boils_in_steady_running_alone(bench: Any) -> None:
    job = bench.job({"service": "coolant-heater", "duty.pressure_max": 0})
    hot = duty(job, fluid_steady=125.0, fluid_peak=90.0)
    assert told(line_gates.coolant_above_boiling, hot) == ["duty.fluid_steady", "duty.pressure_max"]


def test_coolant_of_unknown_pressure_boils_at_the_highest_usual_one(bench: Any) -> None:
    job = bench.job({"service": "coolant-heater"})
    row = table("service_duty").row(service="coolant-heater", field="pressure_max")
    low, high = (line_gates._boiling_point(row.number(end)) for end in ("favourable", "adverse"))
    assert low < high
    unknown = {"pressure_max": float("nan"), "fluid_steady": 90.0}
    gate = line_gates.coolant_above_boiling
    assert not told(gate, duty(job, **unknown, fluid_peak=(low + high) / 2))
    assert told(gate, duty(job, **unknown, fluid_peak=high + 1))


@pytest.mark.parametrize(
    ("stated", "asked"), [(100, False), (105, False), (95, False), (106, True), (94, True)]
)
def test_a_bend_beside_a_run_may_differ_by_the_error_of_a_tape(
    bench: Any, stated: float, asked: bool
) -> None:
    run = (Straight(50.0), Bend(1.0, 100.0), Straight(50.0))
    job = replace(bench.job(), route=Route(kind="run", run=run, tightest_radius=stated))
    assert bool(told(route_gates.bend_beside_run, job)) is asked


def test_a_movement_that_is_just_felt_is_one(bench: Any) -> None:
    job = fixed(bench.job())
    gate, felt = route_gates.still_between_engine_and_body, limit("movement-felt")
    for moved, asked in ((felt, False), (felt / 2, True)):
        moving = replace(job, route=replace(job.route, movement=moved))
        assert bool(told(gate, moving)) is asked
    assert not told(gate, free(job, movement=(0.0, 0.0, 8.0)))
    assert told(gate, free(job, movement=(0.0, 0.0, 0.0)))


@pytest.mark.parametrize(
    ("points", "asked"),
    [
        ({"mouth_b": (200.0, 0.0, -80.0)}, False),
        ({"mouth_b": (200.0, 0.0, -80.0), "points_b": (0.0, 0.0, -1.0)}, True),
        ({"mouth_b": (200.0, 0.0, 80.0), "points_b": (0.0, 0.0, 1.0)}, True),
        ({"mouth_b": (200.0, 0.0, -80.0), "points_a": (0.0, 0.0, 1.0)}, True),
        ({"mouth_b": (200.0, 0.0, -80.0), "points_a": (0.0, 0.0, -1.0)}, False),
    ],
)
def test_both_nipples_must_let_a_line_fall(bench: Any, points: dict[str, Any], asked: bool) -> None:
    job = free(bench.job(), fall="yes", **points)
    assert bool(told(route_gates.fall_that_cannot_be, job)) is asked


@pytest.mark.parametrize(("a", "b"), [(-1.0, -1.0), (-1.0, 0.0), (0.0, -1.0), (0.0, 0.0)])
def test_a_hose_hangs_between_two_nipples_that_point_down(bench: Any, a: float, b: float) -> None:
    points = {f"points_{end}": (1.0 + z, 0.0, z) for end, z in (("a", a), ("b", b))}
    asked = told(route_gates.low_spot_that_must_be, free(bench.job(), low_spot="no", **points))
    assert bool(asked) is (a < 0 and b < 0)


def bare(service: str, values: dict[str, Any]) -> bool:
    return bool(implausible(service, typed_in(values)))


def test_how_far_a_bare_pressure_may_lie_outside_what_is_usual() -> None:
    """A figure is believed from where psi would make too much of it, up to 2.5 times the usual."""
    row = table("service_duty").row(service="steering-return", field="pressure_max")
    high, low = row.number("adverse"), row.number("favourable")
    assert min(high, low) > FINE
    top = max(high, low) * limit("unusual-factor")
    assert not bare("steering-return", {"duty": {"pressure_max": top}})
    assert high * limit("bare-pressure-share") > limit("bare-pressure-any-line")
    fits = high * limit("bare-pressure-share") / convert(1.0, "pound_per_square_inch", "kilopascal")
    assert not bare("steering-return", {"duty": {"pressure_max": fits * 1.01}})
    assert bare("steering-return", {"duty": {"pressure_max": fits * 0.99}})


def test_from_where_a_bare_temperature_is_no_heat_of_the_line() -> None:
    row = table("service_duty").row(service="coolant-heater", field="air_peak")
    least = row.number("favourable") - limit("mild-temperature")
    assert not bare("coolant-heater", {"duty": {"air_peak": least}})
    assert bare("coolant-heater", {"duty": {"air_peak": least - 0.1}})


@pytest.mark.parametrize("end", ["nipple_a", "nipple_b", "nipples"])
def test_a_bare_inch_is_asked_about_at_every_nipple(end: str) -> None:
    assert bare("washer", {end: {"outside_diameter": 0.5}})
    assert not bare("washer", {end: {"outside_diameter": 12.7}})


def test_a_movement_that_is_not_known_is_half_the_usual_either_way(bench: Any) -> None:
    half = limit("movement-unknown") / 2
    job = with_usual_movement(free(fixed(bench.job()), movement_said="unknown"))
    assert job.route.free is not None
    assert job.route.free.movement == (half, half, half)


def test_no_movement_that_is_told_stays_none(bench: Any) -> None:
    job = free(fixed(bench.job()), movement_said="no")
    still = replace(job, route=replace(job.route, movement=0.0))
    assert with_usual_movement(still) is still
    assert with_usual_movement(job) is not job


def test_nipples_as_near_as_the_usual_movement_are_asked_about(bench: Any) -> None:
    half = limit("movement-unknown") / 2
    near = free(fixed(bench.job()), movement_said="unknown", mouth_b=(half, 0.0, 0.0))
    with pytest.raises(InputError):
        with_usual_movement(near)
    clear = free(fixed(bench.job()), movement_said="unknown", mouth_b=(half + 0.1, 0.0, 0.0))
    assert with_usual_movement(clear) is not clear


@pytest.mark.parametrize(
    ("key", "typed"), [("end_fitting", "crimped"), ("place", "boat"), ("insert", "moulded-in")]
)
def test_a_stop_that_is_told_is_told_of_every_feature(key: str, typed: str) -> None:
    assert told_stops({"features": {key: typed}}) == {f"features.{key}": typed}
