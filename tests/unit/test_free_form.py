"""The form of a free route: every way to describe it, and one sentence for every fault."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from hoseselect.domain.free_route import FreeRoute
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit

OFFSET = {
    "offset": {"forward": "120 mm", "up": "80 mm"},
    "nipple_a_points": "up",
    "nipple_b_points": "back",
}


def free(**changes: Any) -> FreeRoute:
    """Return the free route of a job with an offset, changed."""
    return whole({**OFFSET, **changes})


def whole(values: dict[str, Any]) -> FreeRoute:
    route = read_job({"service": "PCV hose", "route": {"free": values}}).route.free
    assert route is not None
    return route


def test_offset_and_words() -> None:
    route = free()
    assert route.mouth_b == (120, 0, 80)
    assert route.points_a == (0, 0, 1)
    assert route.points_b == (-1, 0, 0)
    assert route.movement == (0, 0, 0)
    assert (route.keep_outs, route.clips) == ((), ())
    assert (route.tape_error, route.angle_error) == (limit("tape-error"), limit("angle-error"))


@pytest.mark.parametrize(("told", "counted"), [(0, 1.0), (0.4, 1.0), (1, 1.0), (1.5, 1.5)])
def test_no_error_is_counted_smaller_than_it_can_be_read(told: float, counted: float) -> None:
    route = free(tape_error=f"{told} mm", angle_error=f"{told} deg")
    assert (route.tape_error, route.angle_error) == (counted, counted)


@pytest.mark.parametrize(("clips", "kind"), [([], "free"), ([{"at": "forward 50 mm"}], "clipped")])
def test_the_kind_of_route(clips: list[Any], kind: str) -> None:
    values = {"service": "PCV hose", "route": {"free": {**OFFSET, "clip": clips}}}
    assert read_job(values).route.kind == kind


def test_the_flat_case_measures_from_the_line_between_the_mouths() -> None:
    route = whole({"flat": {"distance": "200 mm", "angle_a": 30, "angle_b": -60}})
    half, root = 0.5, math.sqrt(3) / 2
    assert route.mouth_b == (200, 0, 0)
    assert route.points_a == pytest.approx((root, 0, half))
    assert route.points_b == pytest.approx((-half, 0, -root))


def test_the_flat_case_equals_offset_and_words() -> None:
    flat = whole({"flat": {"distance": 200, "angle_a": 90, "angle_b": 45}})
    words = free(
        offset={"forward": 200}, nipple_a_points="up", nipple_b_points="back and 45 deg up"
    )
    for name in ("mouth_b", "points_a", "points_b"):
        assert getattr(flat, name) == pytest.approx(getattr(words, name))


def test_a_straight_wire_runs_forward() -> None:
    route = whole({"wire": ["150 mm"]})
    assert route.mouth_b == pytest.approx((150, 0, 0))
    assert route.points_a == pytest.approx((1, 0, 0))
    assert route.points_b == pytest.approx((-1, 0, 0))


def test_a_bent_wire_bends_up_first() -> None:
    """100 forward, a quarter turn of 50 upwards, 100 up; B points back down the wire."""
    route = whole({"wire": [100, {"bend": "90 deg", "radius": 50}, 100]})
    assert route.mouth_b == pytest.approx((150, 0, 150))
    assert route.points_a == pytest.approx((1, 0, 0))
    assert route.points_b == pytest.approx((0, 0, -1), abs=1e-12)


@pytest.mark.parametrize(
    ("turn", "mouth", "arrival"),
    [
        (0, (100, 0, 300), (-1, 0, 0)),
        (180, (200, 0, 300), (1, 0, 0)),
        (90, (150, -50, 300), (0, -1, 0)),
        (-90, (150, 50, 300), (0, 1, 0)),
    ],
)
def test_turns_of_the_plane(
    turn: float, mouth: tuple[float, ...], arrival: tuple[float, ...]
) -> None:
    """The second quarter turn leaves the plane of the first; seen along the wire, clockwise."""
    wire = [100, {"bend": 90, "radius": 50}, 200, {"bend": 90, "radius": 50, "turn": turn}]
    route = whole({"wire": wire})
    assert route.points_b == pytest.approx(tuple(-x for x in arrival), abs=1e-12)
    assert route.mouth_b == pytest.approx(mouth, abs=1e-9)


def test_a_wire_and_its_offset_describe_the_same_route() -> None:
    wire = whole({"wire": ["60 mm", {"bend": 90, "radius": 40}, "60 mm"]})
    words = free(
        offset={"forward": 100, "up": 100}, nipple_a_points="forward", nipple_b_points="down"
    )
    for name in ("mouth_b", "points_a", "points_b"):
        assert getattr(wire, name) == pytest.approx(getattr(words, name), abs=1e-9)


BENT = ["60 mm", {"bend": 90, "radius": 40}, "60 mm"]


def test_a_wire_of_which_nobody_said_how_it_lies_is_not_oriented() -> None:
    assert not whole({"wire": BENT}).oriented
    assert not whole({"wire": ["150 mm"]}).oriented
    assert free().oriented
    assert whole({"flat": {"distance": 200, "angle_a": 90, "angle_b": 45}}).oriented


def test_a_wire_lies_as_nipple_a_and_its_first_bend_say() -> None:
    """Out of A to the rear, then to the left: 100 mm each way."""
    route = whole({"wire": BENT, "nipple_a_points": "back", "wire_bends": "left"})
    assert route.oriented
    assert route.points_a == (-1, 0, 0)
    assert route.mouth_b == pytest.approx((-100, 100, 0))
    assert route.points_b == pytest.approx((0, -1, 0), abs=1e-12)


def test_the_side_of_the_first_bend_is_told_roughly() -> None:
    """Only what is square to the wire counts: "up" where the wire leaves 30 deg upwards."""
    route = whole({"wire": BENT, "nipple_a_points": "forward and 30 deg up", "wire_bends": "up"})
    forward, back = math.cos(math.radians(30)) * 100, -0.5 * 100
    assert route.mouth_b == pytest.approx((forward + back, 0, -back + forward), abs=1e-9)


def test_a_turn_of_the_wire_is_clockwise_seen_from_a() -> None:
    """Leaving to the rear and bending up first, clockwise from up is to the left."""
    wire = [100, {"bend": 90, "radius": 50}, 200, {"bend": 90, "radius": 50, "turn": 90}]
    route = whole({"wire": wire, "nipple_a_points": "back", "wire_bends": "up"})
    assert route.points_b == pytest.approx((0, -1, 0), abs=1e-12)


def test_a_straight_wire_needs_no_side() -> None:
    route = whole({"wire": ["150 mm"], "nipple_a_points": "up"})
    assert route.oriented
    assert route.mouth_b == pytest.approx((0, 0, 150))


@pytest.mark.parametrize(
    ("more", "asked"),
    [
        ({"keep_out": [{"name": "x", "ball": "up 90 mm", "diameter": 9}]}, "keep_out"),
        ({"clip": [{"at": "up 90 mm"}]}, "clip"),
        ({"movement": "up 5 mm"}, "movement"),
        ({"nipple_a_points": "forward"}, "wire_bends"),
        ({"wire_bends": "up"}, "nipple_a_points"),
        ({"nipple_b_points": "up"}, "nipple B points"),
        ({"nipple_a_points": "up", "wire_bends": "up"}, "the same or the opposite"),
    ],
)
def test_a_wire_is_asked_how_it_lies(more: dict[str, Any], asked: str) -> None:
    with pytest.raises(InputError, match=asked):
        whole({"wire": BENT, **more})


def test_clips_hold_or_slide() -> None:
    route = free(clip=[
        {"at": {"up": 60}, "along": "forward and 45 deg up"},
        {"at": "forward 60 mm; up 90 mm"},
    ])  # fmt: skip
    assert route.clips[0].along == pytest.approx((math.sqrt(0.5), 0, math.sqrt(0.5)))
    assert route.clips[1].along is None
    assert route.clips[1].place == (60, 0, 90)


def test_keep_outs_of_every_kind() -> None:
    route = free(keep_out=[
        {"name": "pulley", "ball": "forward 50 mm", "diameter": "60 mm"},
        {"name": "pipe", "rod": ["up 10 mm", "forward 90 mm"], "diameter": 20, "clearance": 4},
        {"name": "tray", "box": "down 40 mm", "size": "forward 90 mm; left 30 mm; up 10 mm"},
    ])  # fmt: skip
    ball, rod, box = route.keep_outs
    assert (ball.kind, ball.size[0], ball.clearance) == ("ball", 60, limit("keep-out-clearance"))
    assert (rod.kind, rod.places, rod.clearance) == ("rod", ((0, 0, 10), (90, 0, 0)), 4)
    assert (box.kind, box.places, box.size) == ("box", ((0, 0, -40),), (90, 30, 10))
    assert [k.growth for k in route.keep_outs] == [0, 0, 0]


@pytest.mark.parametrize("hot", [True, "yes", "unknown"])
def test_a_heat_source_wants_more_room(hot: Any) -> None:
    (part,) = free(
        keep_out=[{"name": "exhaust", "ball": "down 90 mm", "diameter": 50, "hot": hot}]
    ).keep_outs
    assert part.hot
    assert part.clearance == limit("heat-source-clearance")
    assert part.growth == limit("heat-source-growth")


def test_what_is_stated_of_a_heat_source_counts() -> None:
    part = free(
        keep_out=[{
            "name": "exhaust", "ball": "down 90 mm", "diameter": 50, "hot": "yes",
            "clearance": 60, "growth": 4, "shake": 6,
        }]
    ).keep_outs[0]  # fmt: skip
    assert (part.clearance, part.growth, part.shake) == (60, 4, 6)


def test_an_unknown_error_of_measuring_is_the_usual_one() -> None:
    assert free(tape_error="unknown", angle_error="unknown") == free()


BALL = {"name": "x", "ball": "forward 50 mm", "diameter": 10}
FAULTS: dict[str, dict[str, Any]] = {
    "nothing": {},
    "no directions": {"offset": "forward 90 mm"},
    "one direction": {"offset": "forward 90 mm", "nipple_a_points": "up"},
    "two descriptions": {**OFFSET, "flat": {"distance": 90, "angle_a": 3, "angle_b": 3}},
    "directions beside flat": {
        "flat": {"distance": 90, "angle_a": 3, "angle_b": 3}, "nipple_a_points": "up",
    },
    "one place": {**OFFSET, "offset": {"forward": 0}},
    "unknown offset": {**OFFSET, "offset": {"forward": "unknown"}},
    "unknown direction": {**OFFSET, "nipple_a_points": "unknown"},
    "unknown turn": {**OFFSET, "nipple_b_points": "up and unknown left"},
    "unknown distance": {"flat": {"distance": "unknown", "angle_a": 3, "angle_b": 3}},
    "unknown angle": {"flat": {"distance": 90, "angle_a": "unknown", "angle_b": 3}},
    "no distance": {"flat": {"distance": 0, "angle_a": 3, "angle_b": 3}},
    "flat is no table": {"flat": 3},
    "no wire": {"wire": []},
    "wire of nothing": {"wire": ["0 mm"]},
    "wire as text": {"wire": "as it lies"},
    "unknown straight": {"wire": ["unknown"]},
    "negative straight": {"wire": [-5]},
    "a word for a straight": {"wire": ["x"]},
    "a truth for a straight": {"wire": [True]},
    "bend without radius": {"wire": [100, {"bend": 90}]},
    "bend of unknown radius": {"wire": [100, {"bend": 90, "radius": "unknown"}]},
    "misspelt key of a bend": {"wire": [100, {"bend": 90, "radius": 50, "trun": 3}]},
    "wire that ends where it began": {"wire": [{"bend": 360, "radius": 50}]},
    "unknown movement": {**OFFSET, "movement": {"up": "unknown"}},
    "movement onto nipple A": {**OFFSET, "movement": "forward 120 mm; up 80 mm"},
    "negative tape error": {**OFFSET, "tape_error": -1},
    "wild angle error": {**OFFSET, "angle_error": 90},
    "keep-out without name": {**OFFSET, "keep_out": [{"ball": "up 3 mm", "diameter": 3}]},
    "keep-out of no kind": {**OFFSET, "keep_out": [{"name": "x"}]},
    "keep-out of two kinds": {**OFFSET, "keep_out": [{**BALL, "box": "up 3 mm"}]},
    "ball of no diameter": {**OFFSET, "keep_out": [{"name": "x", "ball": "up 3 mm"}]},
    "box of no size": {**OFFSET, "keep_out": [{"name": "x", "box": "up 3 mm"}]},
    "rod with one end": {**OFFSET, "keep_out": [{**BALL, "ball": None, "rod": ["up 3 mm"]}]},
    "unknown shake": {**OFFSET, "keep_out": [{**BALL, "shake": "unknown"}]},
    "hot or not": {**OFFSET, "keep_out": [{**BALL, "hot": "maybe"}]},
    "clip without a place": {**OFFSET, "clip": [{"along": "up"}]},
    "clip at the mouth": {**OFFSET, "clip": [{"at": "forward 120 mm; up 80 mm"}]},
    "clip of an unknown direction": {**OFFSET, "clip": [{"at": "up 50 mm", "along": "unknown"}]},
    "a key that is none": {**OFFSET, "colour": "red"},
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_every_fault_gives_one_clear_sentence(name: str) -> None:
    with pytest.raises(InputError) as told:
        whole(FAULTS[name])
    sentence = str(told.value)
    assert sentence.count("\n") == 0, sentence
    assert sentence.startswith("job: route.free"), sentence
    assert "found " in sentence
    assert "; expected " in sentence
    for noise in ("WireBend", "function-", "validate", "nan", "Traceback", "pydantic"):
        assert noise not in sentence


@pytest.mark.parametrize(
    "beside", [{"run": ["60 mm"]}, {"measured": "300 mm"}, {"run": [9], "measured": 3}]
)
def test_a_free_route_stands_alone(beside: dict[str, Any]) -> None:
    with pytest.raises(InputError, match="one description of the route"):
        read_job({"service": "PCV hose", "route": {"free": OFFSET, **beside}})


@pytest.mark.parametrize(
    "points", ["up", "forward and 33 deg left", "back, 20 deg up, 70 deg left"]
)
def test_directions_are_unit_vectors(points: str) -> None:
    assert np.linalg.norm(free(nipple_a_points=points).points_a) == pytest.approx(1)


@pytest.mark.parametrize(
    ("name", "told", "hot"),
    [
        ("exhaust manifold", {}, True), ("turbo housing", {}, True), ("Downpipe", {}, True),
        ("catalyst", {}, True), ("EGR cooler", {}, True), ("air box", {}, False),
        ("battery tray", {}, False), ("exhaust", {"hot": "no"}, False),
        ("pump", {"hot": "yes"}, True), ("pump", {"hot": "unknown"}, True),
        ("left_exhaust_manifold", {}, True), ("cat_converter", {}, True), ("tail pipe", {}, True),
        ("down-pipe", {}, True), ("heat-shield", {}, True), ("hot side", {}, True),
        ("catch tank", {}, False), ("header tank", {}, False), ("intake silencer", {}, False),
        ("hot wire air flow meter", {}, False), ("photo cell", {}, False), ("headers", {}, True),
    ],
)  # fmt: skip
def test_what_is_named_as_hot_is_hot_unless_somebody_says_it_is_not(
    name: str, told: dict[str, str], hot: bool
) -> None:
    keep_out = {"name": name, "ball": "down 80 mm", "diameter": "50 mm", **told}
    (found,) = free(keep_out=[keep_out]).keep_outs
    assert found.hot is hot


@pytest.mark.parametrize(
    "size", ["forward 90 mm; left 30 mm", "up 10 mm", "forward 0 mm; left 3 mm; up 9 mm"]
)
def test_a_box_has_three_edges(size: str) -> None:
    with pytest.raises(InputError, match="edge that is missing or nothing"):
        free(keep_out=[{"name": "tray", "box": "down 40 mm", "size": size}])
