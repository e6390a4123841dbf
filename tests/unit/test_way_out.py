"""The way out where nothing suits: what to order, and what to do at the vehicle."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.fittings import own_ends_differ
from hoseselect.answer.way_out import ADVICE, BEND, suitable_liners
from hoseselect.judging.services import fluid_mask
from hoseselect.rules.manual import all_rules

LEFT_OUT = "left out"
COOLANT = {"service": "coolant-heater"}


def test_there_is_no_way_out_to_take_where_something_suits(bench: Any) -> None:
    assert bench.answer({}).way_out == ()


def test_every_advice_belongs_to_a_rule() -> None:
    assert set(ADVICE) <= {rule.code for rule in all_rules()}


def test_the_order_names_what_the_job_asks(bench: Any) -> None:
    changes = {**COOLANT, "duty.fluid_steady": 110, "duty.fluid_peak": 115, "duty.pressure_min": -5}
    order = bench.answer({"liner": "NBR"}, changes=changes).way_out[0]
    for words in (
        "EPDM",
        "bore for a 10 mm nipple",
        "at least 110 degC for hours",
        "at least 100 kPa with clamps",
        "good for 5 kPa of suction, hot",
        "least bend radius at most R 200 mm",
    ):
        assert words in order
    assert "NBR" not in order.replace("HNBR", "")
    assert "marked" not in order
    assert "nan" not in order


def test_the_order_names_the_marking_where_one_is_demanded(bench: Any) -> None:
    changes = {"service": "fuel-injection-feed", "fluids": ["petrol-e10"]}
    order = bench.answer({"liner": "NBR"}, changes=changes).way_out[0]
    assert "marked" in order
    assert "SAE J30 R9" in order
    assert "R7" not in order


def test_the_order_leaves_out_what_is_not_known(bench: Any) -> None:
    changes = {
        **COOLANT,
        "nipples.outside_diameter": "unknown",
        "nipples.bead_diameter": LEFT_OUT,
        "route.run": [100],
    }
    order = bench.answer({"liner": "NBR", "cover": "NR"}, changes=changes).way_out[0]
    assert "nipple" not in order
    assert "bend radius" not in order
    assert "unknown" not in order
    assert "inf" not in order


@pytest.mark.parametrize(
    ("code", "hose", "changes"),
    [
        ("fit-bead", {}, {**COOLANT, "nipples.bead": "no", "nipples.bead_diameter": LEFT_OUT}),
        (
            "heat-air-steady",
            {"temperature_continuous_degc": 100, "temperature_short_time_degc": 130},
            {"duty.air_steady": 120, "duty.air_peak": 125},
        ),
        ("heat-source", {}, {"route.heat_source.distance": 40}),
        ("route-length", {}, {"piece": 300}),
        (
            "route-fall",
            {"temperature_continuous_degc": 250, "temperature_short_time_degc": 250},
            {"service": "drain", "route.fall": "no"},
        ),
    ],
)
def test_what_alone_stands_in_the_way_is_said(
    bench: Any, code: str, hose: dict[str, Any], changes: dict[str, Any]
) -> None:
    answer = bench.answer(hose, changes=changes)
    refused = {f.code for f in answer.hoses[0].findings if f.verdict.word == "reject"}
    assert refused == {code}
    assert ADVICE[code] in answer.way_out


def test_a_clamp_is_to_be_ordered_where_none_closes(bench: Any) -> None:
    clamps = [
        {
            "clamp": "C1",
            "family": "smooth-band",
            "range_min_mm": 40,
            "range_max_mm": 60,
            "band_width_mm": 9,
            "price": 1,
        }
    ]
    answer = bench.answer({}, changes=COOLANT, clamps=clamps)
    assert ADVICE["stock-clamp"] in answer.way_out


def test_advice_that_alone_would_not_help_is_not_given(bench: Any) -> None:
    changes = {**COOLANT, "nipples.bead": "no", "nipples.bead_diameter": LEFT_OUT}
    answer = bench.answer({"liner": "NBR", "cover": "NR"}, changes=changes)
    assert ADVICE["fit-bead"] not in answer.way_out


def fitting(name: str, kind: str, a: float, b: float, suits: str = "coolant") -> dict[str, Any]:
    return {
        "fitting": name,
        "kind": kind,
        "nipple_a_mm": a,
        "nipple_b_mm": b,
        "angle_deg": 90 if kind == "elbow" else 0,
        "centreline_radius_mm": 12 if kind == "elbow" else "",
        "material": "brass",
        "suits": suits,
        "remark": "invented",
        "price": 2,
    }


def test_nipples_that_differ_want_a_reducer(bench: Any) -> None:
    fittings = [fitting("R-10-16", "reducer", 16, 10), fitting("R-10-19", "reducer", 10, 19)]
    changes = {**COOLANT, "nipple_b.outside_diameter": 16, "nipple_b.bead_diameter": 17}
    said = " ".join(bench.answer({}, changes=changes, fittings=fittings).way_out)
    assert "The nipples differ (10 and 16 mm)" in said
    assert "R-10-16" in said
    assert "R-10-19" not in said


@pytest.mark.parametrize(
    ("a", "b", "differ"),
    [(10, 10.5, False), (10, 10.6, True), ("unknown", 16, False), (16, 10, True)],
)
def test_when_nipples_differ(bench: Any, a: Any, b: Any, differ: bool) -> None:
    changes = {
        "nipples.bead_diameter": LEFT_OUT,
        "nipple_a.outside_diameter": a,
        "nipple_b.outside_diameter": b,
    }
    assert own_ends_differ(bench.job(changes)) == differ


def test_a_bend_that_is_too_tight_wants_a_formed_hose_or_an_elbow(bench: Any) -> None:
    fittings = [
        fitting("E-10", "elbow", 10, 10),
        fitting("E-16", "elbow", 16, 16),
        fitting("E-10-fuel", "elbow", 10, 10, "fuel"),
    ]
    answer = bench.answer({"least_bend_radius_mm": 250}, changes=COOLANT, fittings=fittings)
    said = " ".join(answer.way_out)
    assert BEND in answer.way_out
    assert "E-10 (90 deg, brass)" in said
    assert "E-16" not in said
    assert "E-10-fuel" not in said


def test_no_elbow_is_offered_where_the_wall_is_wrong_too(bench: Any) -> None:
    answer = bench.answer({"least_bend_radius_mm": 250, "cover": "NR"}, changes=COOLANT)
    assert BEND not in answer.way_out


def test_liners_for_a_mixture_suit_every_part_of_it() -> None:
    oil, coolant = fluid_mask(("engine-oil",)), fluid_mask(("coolant",))
    both = set(suitable_liners(oil | coolant))
    assert both == set(suitable_liners(oil)) & set(suitable_liners(coolant))
    assert "EPDM" in suitable_liners(coolant)
    assert "EPDM" not in suitable_liners(oil)
    assert suitable_liners(np.zeros_like(oil)) == ()


def test_a_stopped_job_is_sent_to_who_can_help(bench: Any) -> None:
    said = bench.answer({}, changes={"service": "brake-hydraulics"}).way_out
    assert len(said) == 1
    assert ": " in said[0]


def test_no_hose_is_ordered_that_nobody_makes(bench: Any) -> None:
    """A bend of 20 mm on a 10 mm nipple wants a formed part, not a hose of that least radius."""
    changes = {**COOLANT, "route.run": [100, {"bend": 90, "radius": 20}, 100]}
    way_out = bench.answer({}, changes=changes).way_out
    assert "least bend radius" not in way_out[0]
    assert BEND in way_out


U_TURN = {"offset": "forward 200 mm", "nipple_a_points": "up", "nipple_b_points": "up"}
ELBOW = {"offset": "forward 120 mm; up 80 mm", "nipple_a_points": "up", "nipple_b_points": "back",
         "lead": "0 mm"}  # fmt: skip
THIN = {"bore_mm": 6, "bore_min_mm": 5.8, "bore_max_mm": 6.2, "outside_diameter_mm": 12}
OPPOSED = {"offset": "forward 300 mm", "nipple_a_points": "forward", "nipple_b_points": "back"}


def on_free(bench: Any, free: dict[str, Any], *hoses: dict[str, Any]) -> tuple[str, ...]:
    found: tuple[str, ...] = bench.answer(
        *hoses, changes={**COOLANT, "route": {"free": free}}
    ).way_out
    return found


def test_the_order_of_a_free_route_names_the_radius_that_the_route_takes(bench: Any) -> None:
    """Best radius 100 mm, at one length alone: a hose that can be cut must bend a little more.

    It stands the errors of careful measuring besides; one of a few millimetres more does not.
    """
    order = on_free(bench, U_TURN, {"least_bend_radius_mm": 140})[0]
    radius = float(re.search(r"least bend radius at most R (\d+) mm", order)[1])  # type: ignore[index]
    assert 90 <= radius < 99
    assert "reject" not in said_of_bend(bench, radius)
    assert "reject" in said_of_bend(bench, radius + 3)


def said_of_bend(bench: Any, radius: float) -> set[str]:
    """Return what is said of the bend of a U-turn for one least radius."""
    changes = {**COOLANT, "route": {"free": U_TURN}}
    hose = bench.answer({"least_bend_radius_mm": radius}, changes=changes).hoses[0]
    return {f.verdict.word for f in hose.findings if f.code.startswith("bend-")}


def test_the_turn_is_that_of_the_bore_that_fits(bench: Any) -> None:
    """A thin hose with a small radius does not go on these nipples: no word of it."""
    thin = {"least_bend_radius_mm": 64, **THIN}
    said = " ".join(on_free(bench, ELBOW, {"least_bend_radius_mm": 75}, thin))
    assert "for the hoses that fit and would stand the rest" in said
    assert "a radius of 72 mm" in said
    assert " 64 mm" not in said
    assert "a hose of 75 mm least radius fits" in said


def test_no_hose_that_fits_no_word_of_the_route(bench: Any) -> None:
    said = " ".join(on_free(bench, U_TURN, {"least_bend_radius_mm": 140, **THIN}))
    assert "would stand the rest" not in said


def test_a_straight_route_has_no_infinite_radius(bench: Any) -> None:
    said = " ".join(on_free(bench, OPPOSED, {"least_bend_radius_mm": 900, "liner": "NBR"}))
    assert "inf" not in said
    assert "nan" not in said


def test_a_refused_route_names_the_nipple_that_points_away(bench: Any) -> None:
    wrong = {**U_TURN, "nipple_a_points": "back", "nipple_b_points": "back"}
    said = " ".join(on_free(bench, wrong, {"least_bend_radius_mm": 90}))
    assert "Nipple A points away from nipple B" in said
