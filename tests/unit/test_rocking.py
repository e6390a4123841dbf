"""A body that rocks: its axis, the three words of a bench, and what moves with which part."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoseselect.domain.free_route import FreeRoute, Rocking
from hoseselect.domain.job import Job
from hoseselect.files.sheet_line import SheetLine
from hoseselect.intake.job_headings import column_uses
from hoseselect.intake.parts import moves_with_b
from hoseselect.intake.read_job import read_job
from hoseselect.intake.rocking import LARGEST_TURN, RocksAt, read_rocking
from hoseselect.intake.sheet_reader import SheetReader
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import placements

ARM = limit("rocking-arm")
OFFSET = {
    "offset": "forward 120 mm; up 80 mm",
    "nipple_a_points": "up",
    "nipple_b_points": "back",
}
MOUTH = np.array([120.0, 0.0, 80.0])
BALL = {"name": "pump", "ball": "forward 60 mm; down 90 mm", "diameter": "20 mm"}
CLIP = {"at": "forward 50 mm; up 70 mm", "along": "forward and 45 deg up"}


def whole(values: dict[str, Any], a: str = "unknown", b: str = "unknown") -> FreeRoute:
    told = {"nipple_a": {"fixed_to": a}, "nipple_b": {"fixed_to": b}}
    route = read_job({"service": "PCV hose", **told, "route": {"free": values}}).route.free
    assert route is not None
    return route


def free(**changes: Any) -> FreeRoute:
    return whole({**OFFSET, **changes})


def reached(rocking: Rocking, point: Any) -> list[Any]:
    """Return by how far a point moves at either turn."""
    _, *turned = placements(
        np.zeros(3), np.array(rocking.place), np.array(rocking.axis), rocking.angle
    )
    return [one.point(point) - point for one in turned]


def test_an_axis_a_place_and_an_angle() -> None:
    route = free(rocking={"axis": "left", "at": "back 40 mm, down 250 mm", "angle": "2 deg"})
    assert route.rocking == Rocking((-40, 0, -250), (0, 1, 0), 2)
    assert route.movement_said == "yes"
    assert route.movement == (0, 0, 0)


@pytest.mark.parametrize(
    ("words", "axis", "place"),
    [
        ("rocks sideways, 8 mm at B", (1, 0, 0), (120, 0, 80 - ARM)),
        ("rocks sideways by 8 mm at nipple B", (1, 0, 0), (120, 0, 80 - ARM)),
        ("Rocks side to side 8 mm.", (1, 0, 0), (120, 0, 80 - ARM)),
        ("rocks 8 mm sideways at B, either way", (1, 0, 0), (120, 0, 80 - ARM)),
        ("rocks forward and back 8 mm at B", (0, 1, 0), (120, 0, 80 - ARM)),
        ("rocking fore and aft, 0.8 cm at b", (0, 1, 0), (120, 0, 80 - ARM)),
        ("rocks sideways 8 mm at A", (1, 0, 0), (0, 0, -ARM)),
        ("twists 8 mm at B", (0, 0, 1), (120, ARM, 80)),
        ("turns, 8 mm at nipple A", (0, 0, 1), (0, ARM, 0)),
    ],
)
def test_the_words_of_a_bench(words: str, axis: Any, place: Any) -> None:
    rocking = free(rocking=words).rocking
    assert rocking is not None
    assert rocking.axis == axis
    assert rocking.place == pytest.approx(place)
    assert math.sin(math.radians(rocking.angle)) * ARM == pytest.approx(8)


@pytest.mark.parametrize(
    ("words", "way"),
    [
        ("rocks sideways", (0, 1, 0)),
        ("rocks forward and back", (1, 0, 0)),
        ("twists", (1, 0, 0)),
    ],
)
def test_a_nipple_moves_as_far_as_was_said_and_the_way_that_was_said(words: str, way: Any) -> None:
    """A body that twists takes B, which lies forward of A, to A and away from it."""
    rocking = free(rocking=f"{words} 8 mm at B").rocking
    assert rocking is not None
    moved = reached(rocking, MOUTH)
    assert sorted(float(shift @ np.array(way)) for shift in moved) == pytest.approx([-8, 8])
    for shift in moved:  # the rest of an arc about an arm of 300 mm
        assert np.linalg.norm(shift - (shift @ np.array(way)) * np.array(way)) < 0.12


@given(forward=st.integers(-300, 300), left=st.integers(-300, 300), far=st.integers(1, 60))
def test_a_twist_takes_nipple_b_along_the_line_to_a(forward: int, left: int, far: int) -> None:
    mouth = (float(forward), float(left), 150.0)
    rocking = RocksAt((0.0, 0.0, 1.0), float(far), "B").about(mouth)
    assert math.dist(rocking.place, mouth) == pytest.approx(ARM)
    level = math.hypot(forward, left)
    if level:
        away = [
            float(s[:2] @ np.array(mouth[:2])) / level for s in reached(rocking, np.array(mouth))
        ]
        assert sorted(away) == pytest.approx([-far, far])


WORDS = st.sampled_from(["rocks sideways", "rocks forward and back", "twists"])


@given(words=WORDS, far=st.floats(0.01, 100), end=st.sampled_from("AB"))
def test_what_is_written_is_read_again(words: str, far: float, end: str) -> None:
    told = read_rocking(f"{words}, {far!r} mm at {end}")
    assert isinstance(told, RocksAt)
    assert (told.far, told.end) == (pytest.approx(far), end)
    assert told == read_rocking(f"{words} {far!r} mm at nipple {end.lower()}")


@pytest.mark.parametrize("words", ["rocks sideways, 8 mm at B", "Twists 8 mm at B"])
def test_a_movement_that_rocks_is_rocking(words: str) -> None:
    assert free(movement=words) == free(rocking=words)


def test_movement_and_rocking_go_together() -> None:
    route = free(movement="up 5 mm", rocking="twists 4 mm at B")
    assert route.movement == (0, 0, 5)
    assert route.rocking is not None


@pytest.mark.parametrize("words", ["none", "does not rock", "rocks sideways 0 mm at B"])
def test_what_does_not_rock_is_no_word_of_the_movement(words: str) -> None:
    assert free(rocking=words) == free()


@pytest.mark.parametrize("told", ["unknown", "?"])
def test_an_unknown_rocking_counts_as_the_usual_movement_at_least(told: str) -> None:
    half = limit("movement-unknown") / 2
    route = free(rocking=told, movement="up 30 mm")
    assert route.movement_said == "unknown"
    assert route.movement == (half, half, 30)


AXIS = {"axis": "forward", "at": "down 300 mm", "angle": "2 deg"}
FAULTS: dict[str, tuple[Any, str]] = {
    "no way": ("rocks 8 mm at B", '"rocks sideways", "rocks forward and back" or "twists"'),
    "another way": ("rocks up and down 8 mm at B", '"twists"'),
    "both ways": ("rocks sideways and fore and aft 8 mm", '"twists"'),
    "no figure": ("rocks sideways", "8 mm at B"),
    "unknown figure": ("rocks sideways unknown", "8 mm at B"),
    "an angle for a length": ("twists 2 deg at B", "8 mm at B"),
    "another place": ("rocks sideways 8 mm at the mount", "8 mm at B"),
    "both ends": ("twists 8 mm at A at B", "8 mm at B"),
    "negative": ("twists -8 mm at B", "8 mm at B"),
    "too far": ("twists 400 mm at B", "at most 103 mm"),
    "another word": ("shakes 8 mm at B", '"twists"'),
    "a figure": (8, '"twists"'),
    "a list": (["twists"], '"twists"'),
    "too large a turn": ({**AXIS, "angle": "21 deg"}, "angle"),
    "negative turn": ({**AXIS, "angle": "-2 deg"}, "angle"),
    "unknown turn": ({**AXIS, "angle": "unknown"}, "an angle"),
    "no axis": ({"at": "down 300 mm", "angle": "2 deg"}, "axis"),
    "unknown axis": ({**AXIS, "axis": "askew"}, "forward"),
    "misspelt key": ({**AXIS, "angel": "2 deg"}, "axis"),
}


@pytest.mark.parametrize("name", FAULTS)
def test_every_fault_gives_one_clear_sentence(name: str) -> None:
    told, words = FAULTS[name]
    with pytest.raises(InputError) as fault:
        free(rocking=told)
    sentence = str(fault.value)
    assert words in sentence
    assert sentence.startswith("job: route.free.rocking"), sentence
    assert sentence.count("\n") == 0
    for noise in ("RockingForm", "function-", "validate", "nan", "Traceback", "pydantic"):
        assert noise not in sentence


def test_the_largest_turn_is_allowed() -> None:
    rocking = free(rocking={**AXIS, "angle": LARGEST_TURN}).rocking
    assert rocking is not None
    assert rocking.angle == LARGEST_TURN


def test_a_movement_that_rocks_beside_rocking_is_asked_about() -> None:
    with pytest.raises(InputError, match="one of the two"):
        free(movement="twists 8 mm at B", rocking="twists 8 mm at B")


def test_rocking_that_brings_nipple_b_to_nipple_a_is_refused() -> None:
    """20 deg about an axis a metre away are 347 mm; without the turn B is nowhere near A."""
    far = {"offset": "left 347 mm", "nipple_a_points": "up", "nipple_b_points": "up"}
    turn = {"axis": "up", "at": "forward 985 mm, left 173 mm", "angle": "20 deg"}
    with pytest.raises(InputError, match="brings nipple B to nipple A"):
        whole({**far, "rocking": turn, "movement": "forward 2 mm, left 2 mm"})
    assert whole({**far, "rocking": {**turn, "angle": "10 deg"}}).rocking is not None


def test_rocking_beside_a_wire_wants_to_know_how_it_lies() -> None:
    with pytest.raises(InputError, match="nipple_a_points"):
        whole({"wire": ["200 mm"], "rocking": "twists 8 mm at B"})
    route = whole({"wire": ["200 mm"], "nipple_a_points": "up", "rocking": "twists 8 mm at B"})
    assert route.rocking == Rocking((0, ARM, 200), (0, 0, 1), pytest.approx(1.528, abs=1e-3))


def test_rocking_is_a_movement_between_engine_and_body() -> None:
    assert whole({**OFFSET, "rocking": "twists 8 mm at B"}, "body", "engine").movement_said == "yes"
    with pytest.raises(InputError, match=r"route\.free\.rocking"):
        whole({**OFFSET, "rocking": {**AXIS, "angle": "0.1 deg"}}, "body", "engine")


@pytest.mark.parametrize(
    ("part", "a", "b", "moves"),
    [
        ("A", "unknown", "unknown", False),
        ("B", "unknown", "unknown", True),
        ("unknown", "body", "engine", None),
        ("engine", "body", "engine", True),
        ("body", "body", "engine", False),
        ("engine", "body", "unknown", True),
        ("body", "body", "unknown", False),
        ("engine", "unknown", "engine", True),
        ("body", "unknown", "engine", None),
        ("body", "unknown", "unknown", None),
        ("B", "engine", "engine", False),
        ("body", "engine", "engine", True),
        ("engine", "engine", "engine", False),
    ],
)
def test_what_moves_against_nipple_a(part: Any, a: Any, b: Any, moves: bool | None) -> None:
    assert moves_with_b(part, a, b) is moves
    route = whole({**OFFSET, "movement": "up 8 mm", "keep_out": [{**BALL, "fixed_to": part}]}, a, b)
    assert route.keep_outs[0].moves is moves
    assert route.mouth_moves is not (a == b != "unknown")


@pytest.mark.parametrize("part", ["a", "nipple A", "Nipple_A"])
def test_a_nipple_stands_for_its_part(part: str) -> None:
    route = free(movement="up 8 mm", keep_out=[{**BALL, "fixed_to": part}])
    assert route.keep_outs[0].moves is False


@pytest.mark.parametrize("part", ["the floor", 3, ["A"]])
def test_another_part_is_asked_about(part: Any) -> None:
    with pytest.raises(InputError, match="engine"):
        free(keep_out=[{**BALL, "fixed_to": part}])


def test_where_nothing_moves_nothing_is_asked() -> None:
    route = free(clip=[CLIP], keep_out=[BALL])
    assert route.clips[0].moves is False
    assert route.keep_outs[0].moves is False


@pytest.mark.parametrize(
    ("moving", "a", "b"),
    [
        ({"movement": "up 8 mm"}, "unknown", "unknown"),
        ({"rocking": "twists 8 mm at B"}, "unknown", "unknown"),
        ({"movement": "unknown"}, "unknown", "unknown"),
        ({}, "engine", "body"),
        ({"movement": "up 8 mm"}, "engine", "engine"),
    ],
)
def test_a_clip_is_asked_with_what_it_moves(moving: dict[str, Any], a: str, b: str) -> None:
    with pytest.raises(InputError, match="clip 2 on a route that moves") as fault:
        second = {"at": "forward 80 mm; up 85 mm"}
        whole({**OFFSET, **moving, "clip": [{**CLIP, "fixed_to": "A"}, second]}, a, b)
    assert "clip 1" not in str(fault.value)
    assert fault.value.keys[0] == "route.free.clip.fixed_to"
    told = whole({**OFFSET, **moving, "clip": [{**CLIP, "fixed_to": "A"}]}, a, b)
    assert told.clips[0].moves is False


def test_a_clip_on_a_named_part_wants_the_part_of_a_nipple() -> None:
    moved = {**OFFSET, "movement": "up 8 mm", "clip": [{**CLIP, "fixed_to": "engine"}]}
    with pytest.raises(InputError, match=r"nipple_a\.fixed_to"):
        whole(moved)
    assert whole(moved, "body", "engine").clips[0].moves is True


@pytest.mark.parametrize(
    ("offset", "clips", "lead"),
    [
        ("forward 400 mm", [], limit("free-lead")),
        ("forward 60 mm", [], 6),
        ("forward 400 mm", ["forward 40 mm"], 4),
        ("forward 400 mm", ["forward 200 mm", "forward 370 mm"], 3),
    ],
)
def test_the_usual_lead(offset: str, clips: list[str], lead: float) -> None:
    route = free(offset=offset, clip=[{"at": place} for place in clips])
    assert route.lead == pytest.approx(lead)


@pytest.mark.parametrize(("told", "lead"), [("0 mm", 0), ("25 mm", 25), ("unknown", 10)])
def test_a_lead_that_is_told(told: str, lead: float) -> None:
    assert free(lead=told).lead == lead


def test_a_lead_of_more_than_half_the_way_is_refused() -> None:
    with pytest.raises(InputError, match="at most 72 mm"):
        free(lead="73 mm")
    with pytest.raises(InputError, match=r"lead: found"):
        free(lead="-1 mm")


def test_rocking_stands_in_one_cell() -> None:
    keys = ["service", *(f"route.free.{key}" for key in (*OFFSET, "rocking", "lead"))]
    cells = ["PCV hose", *OFFSET.values(), "rocks sideways, 8 mm at B", "12 mm"]
    job = SheetReader(column_uses(keys, [""] * len(keys), 1)).read(SheetLine(2, cells))
    assert isinstance(job, Job)
    assert job.route.free == free(rocking="rocks sideways, 8 mm at B", lead="12 mm")
