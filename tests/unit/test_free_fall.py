"""Fall and low spot of a free route: which end is high, where liquid stands, what was said."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from hoseselect.application.cut import CutResult, cut_for_radius
from hoseselect.cutplan.free_fall import fall_refused, low_place
from hoseselect.intake.read_job import read_job
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.mechanics.rod import low_spot

DOWN = {"offset": "forward 120 mm, down 150 mm", "nipple_a_points": "down",
        "nipple_b_points": "back"}  # fmt: skip
HANGS = {"offset": "forward 200 mm, down 20 mm", "nipple_a_points": "forward and 60 deg down",
         "nipple_b_points": "back"}  # fmt: skip
BOWS = {"offset": "forward 200 mm, left 40 mm", "nipple_a_points": "forward",
         "nipple_b_points": "back"}  # fmt: skip
WIRE = {"wire": ["90 mm", {"bend": "60 deg", "radius": "90 mm"}, "90 mm"]}


def cut(free: dict[str, Any], service: str = "turbo-oil-drain", **route: Any) -> CutResult:
    nipples = {"outside_diameter": 10, "engagement": 25, "fixed_to": "engine"}
    job = read_job({"service": service, "nipples": nipples, "route": {"free": free, **route}})
    return cut_for_radius(40.0, job, "mm")


def notes(result: CutResult) -> str:
    assert result.plan is not None, result.reasons
    return " ".join(result.plan.notes)


def test_the_lowest_point_of_the_deepest_low_spot() -> None:
    """Two sags: 3 deep in the first, 5 below the rim of 8 in the second."""
    found = low_spot(np.array([10.0, 6.0, 9.0, 3.0, 8.0]))
    assert (found.place, found.depth) == (3, 5.0)
    assert low_spot(np.array([9.0, 5.0, 1.0])).depth == 0


def test_the_higher_nipple_is_named_with_what_must_stand_there() -> None:
    assert (
        "falls all the way from nipple A, 150 mm higher, to nipple B: A must be at the"
        " turbocharger, B at the sump" in notes(cut(DOWN))
    )
    up = {"offset": "back 120 mm, up 150 mm", "nipple_a_points": "back",
          "nipple_b_points": "down"}  # fmt: skip
    assert "B must be at the turbocharger" in notes(cut(up))


def test_every_line_that_must_fall_says_between_which_parts() -> None:
    services = service_columns()
    wanted = {name for name, k in services.index.items() if services.fall_required[k]}
    assert {row["service"] for row in table("service_fall")} == wanted


def test_a_low_spot_is_located() -> None:
    result = cut(HANGS, "crankcase-breather")
    said = notes(result)
    assert result.free is not None
    lie = result.free.sizes[0].lie
    assert lie is not None
    low = low_place(result.free.route, lie)
    assert low is not None
    assert low.nipple == "B"
    assert low.below == pytest.approx(-20 - lie.centreline[:, 2].min())
    assert low.depth == pytest.approx(low.below, abs=0.1)
    assert 0 < low.along < lie.length
    assert f"Low spot {low.below:.0f} mm below nipple B, {low.along:.0f} mm from nipple A" in said
    shape = lie.at_rest[0]
    share = (low.along - lie.lead) / shape.length
    assert shape.tangents_at(1001)[round(share * 1000)][2] == pytest.approx(0, abs=0.03)


def test_a_low_spot_that_does_not_matter_is_not_told() -> None:
    assert "Low spot" not in notes(cut(HANGS, "coolant-heater"))


def test_a_drain_that_does_not_fall_is_not_cut() -> None:
    result = cut(HANGS)
    assert result.plan is None
    assert result.reasons[0].startswith("route-fall: it does not fall all the way: liquid stands")


def test_a_level_line_is_no_fall_unless_somebody_saw_it_fall() -> None:
    """Both mouths within the error of the tape: nobody knows which is the higher one."""
    result = cut(DOWN)
    assert result.free is not None
    lie, route = result.free.sizes[0].lie, replace(result.free.route, mouth_b=(120.0, 0.0, -4.0))
    assert lie is not None
    assert "level within the 5 mm error" in fall_refused(result.job, route, lie)
    seen = replace(result.job, route=replace(result.job.route, fall="yes"))
    assert fall_refused(seen, route, lie) == ""


def test_a_line_that_may_also_hang_has_a_low_spot(bench: Any) -> None:
    """The slack hose bows up; mirrored it bows down, and nobody says which way it goes."""
    changes = {"service": "crankcase-breather", "route": {"free": BOWS}, "duty.coldest_start": -20}
    answer = bench.answer({"least_bend_radius_mm": 40}, changes=changes)
    found = {f.code: f.verdict.word for f in answer.hoses[0].findings}
    assert found["route-low-spot"] == "conditional"


def test_a_stated_no_wins() -> None:
    assert cut(DOWN).plan is not None
    assert cut(DOWN, fall="no").reasons[0].startswith("route-fall")


def test_a_stated_yes_against_a_solved_low_spot_is_asked_about(bench: Any) -> None:
    route = {"free": HANGS, "fall": "yes"}
    with pytest.raises(InputError, match="fall = yes"):
        bench.answer({}, changes={"service": "turbo-oil-drain", "route": route})


def test_a_stated_no_low_spot_against_a_solved_one_is_asked_about(bench: Any) -> None:
    changes = {"service": "crankcase-breather", "route": {"free": HANGS, "low_spot": "no"}}
    with pytest.raises(InputError, match="liquid stands"):
        bench.answer({"least_bend_radius_mm": 40}, changes=changes)
    plain = {**changes, "service": "coolant-heater"}
    assert bench.answer({"least_bend_radius_mm": 40}, changes=plain).hoses


def test_a_wire_without_up_leaves_fall_and_low_spot_to_be_seen(bench: Any) -> None:
    def words(**more: Any) -> dict[str, str]:
        changes = {"service": "turbo-oil-drain", "route": {"free": WIRE, **more},
                   "duty.coldest_start": -20}  # fmt: skip
        answer = bench.answer({"least_bend_radius_mm": 40}, changes=changes)
        return {f.code: f.verdict.word for f in answer.hoses[0].findings}

    assert "not known: look whether it falls" in notes(cut(WIRE))
    unknown = words()
    assert unknown["route-fall"] != "accept"
    assert unknown["route-low-spot"] != "accept"
    told = words(fall="yes", low_spot="no")
    assert (told["route-fall"], told["route-low-spot"]) == ("accept", "accept")
    assert words(fall="no")["route-fall"] == "reject"
    down = {**WIRE, "nipple_a_points": "down", "wire_bends": "forward"}
    assert "from nipple A" in notes(cut(down))


def test_nothing_stands_where_it_falls() -> None:
    result = cut(DOWN)
    assert result.free is not None
    lie = result.free.sizes[0].lie
    assert lie is not None
    assert low_place(result.free.route, lie) is None
    assert math.isclose(lie.centreline[-1, 2], -150)
