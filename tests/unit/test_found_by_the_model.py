"""What the executable model (`tests/model`) found in the engine, one test for each."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from bench_parts import clamp

from hoseselect.domain.job import Usual
from hoseselect.domain.verdict import Verdict
from hoseselect.intake.read_job import read_job
from hoseselect.judging.assume import assume
from hoseselect.judging.job_columns import job_columns
from hoseselect.judging.usual import MILDER

CLAMP = clamp("band", "smooth-band", 12, 30)


@pytest.mark.parametrize(
    ("said", "verdict"), [("yes", "reject"), ("no", "accept"), ("unknown", "accept")]
)
def test_a_line_that_is_said_to_lie_in_fuel_wants_hose_for_it_whatever_the_line(
    bench: Any, said: str, verdict: str
) -> None:
    changes = {"service": "axle-breather", "features.submerged": said}
    assert bench.word("fluid-submerged", {}, changes) == verdict


def test_a_piece_that_is_cut_already_needs_no_roll(bench: Any) -> None:
    long = {"route.run": ["2500 mm"], "piece": 2600}
    assert bench.word("stock-roll", {"roll_length_m": 1}, long) == "accept"
    assert bench.word("stock-roll", {"roll_length_m": 1}, {**long, "piece": "unknown"}) == "reject"


def test_a_line_under_no_pressure_needs_no_reinforcement_that_is_stated(bench: Any) -> None:
    hot = {"service": "engine-oil-cooler", "duty.fluid_steady": 90, "duty.fluid_peak": 100}
    for highest, verdict in ((0, "accept"), (300, "unknown")):
        changes = {**hot, "duty.pressure_max": highest, "duty.pressure_spike": highest}
        assert bench.word("pressure-reinforcement", {"reinforcement": ""}, changes) == verdict


@pytest.mark.parametrize("outside", [16, ""])
def test_a_straight_run_bends_no_hose(bench: Any, outside: Any) -> None:
    hose = {"least_bend_radius_mm": "", "outside_diameter_mm": outside}
    assert bench.word("bend-radius", hose, {"route.run": ["300 mm"]}) == "accept"


@pytest.mark.parametrize(
    ("suction", "verdict"), [(-15, "conditional"), (-20, "conditional"), (-21, "reject")]
)
def test_an_estimate_goes_no_further_than_the_suction_that_is_stated_cold(
    bench: Any, suction: float, verdict: str
) -> None:
    hot = {"duty.fluid_steady": 90, "duty.fluid_peak": 100, "duty.pressure_min": suction}
    hose = {"suction_limit_hot_kpa": "", "suction_limit_cold_kpa": -20, "outside_diameter_mm": 18}
    assert bench.word("pressure-suction", hose, hot) == verdict
    assert bench.word("pressure-suction", {**hose, "hardness_shore_a": ""}, hot) == (
        "reject" if verdict == "reject" else "unknown"
    )


def test_a_drain_of_which_nothing_is_told_suits_if_nothing_drips_on_it(bench: Any) -> None:
    """What flows is not told either, and has no say in what the cover stands."""
    changes = {"service": "drain", "fluids": [], "drips": ["unknown"]}
    found = bench.finding("fluid-cover", {"cover": "EPDM"}, changes)
    assert found.verdict.word == "conditional"
    assert found.check == "nothing drips on it from above"


def test_what_lies_round_a_hose_in_the_tank_is_not_told_with_what_flows(bench: Any) -> None:
    changes = {"service": "fuel-in-tank", "fluids": [], "drips": []}
    assert bench.word("fluid-cover", {"cover": "EPDM"}, changes) == "reject"
    assert bench.word("fluid-cover", {"cover": "FVMQ"}, changes) in ("conditional", "unknown")


@pytest.mark.parametrize(
    ("fluids", "verdict"),
    [([], "accept"), (["unknown"], "accept"), (["coolant", "unknown"], "conditional")],
)
def test_a_fluid_beside_others_that_nobody_names_gives_no_plain_accept(
    bench: Any, fluids: list[str], verdict: str
) -> None:
    changes = {"service": "coolant-heater", "fluids": fluids}
    assert bench.word("fluid-liner", {"fluids_claimed": "coolant"}, changes) == verdict


@pytest.mark.parametrize("cap", [25.0, 110.0, 200.0])
def test_the_caps_of_a_shop_stand_for_the_harsher_end_alone(cap: float) -> None:
    def ends(usual: Usual) -> list[float]:
        filled = assume(job_columns([replace(read_job({"service": "radiator"}), usual=usual)]))
        return [float(end.pressure_max[0, 0]) for end in (filled.favourable, filled.adverse)]

    favourable, adverse = ends(Usual(cap_pressure=cap))
    assert favourable == min(ends(Usual())[0], adverse - MILDER)


@pytest.mark.parametrize(
    ("fluids", "verdict"),
    [(["petrol-e10"], "accept"), (["petrol-e85"], "reject"), (["petrol-e100"], "reject")],
)
def test_a_hose_that_is_not_for_a_harsher_blend_may_be_for_a_milder_one(
    bench: Any, fluids: list[str], verdict: str
) -> None:
    changes = {"service": "fuel-return", "fluids": fluids}
    assert bench.word("fluid-not-for", {"not_for": "petrol-e85"}, changes) == verdict


@pytest.mark.parametrize(("usable", "verdict"), [(14, "reject"), (15, "accept")])
def test_a_clamp_of_no_stated_width_closes_and_is_as_wide_as_the_widest(
    bench: Any, usable: float, verdict: str
) -> None:
    unstated = {**CLAMP, "clamp": "other", "range_min_mm": 10, "band_width_mm": ""}
    far = {**CLAMP, "clamp": "far", "range_min_mm": 40, "range_max_mm": 50}
    nipples = {"nipples.usable_length": usable, "nipples.engagement": "left out"}
    ends = {**nipples, "service": "coolant-heater"}
    for clamps in ([unstated, far], [unstated, CLAMP]):
        assert bench.word("stock-clamp", {}, ends, clamps=clamps) == "accept"
        assert bench.word("fit-engagement", {}, ends, clamps=clamps) == verdict


def test_heat_turns_no_refusal_of_a_liner_into_something_unknown(bench: Any) -> None:
    """Natural rubber or another: refused in oil, whatever else is not known of the coolant."""
    changes = {"service": "coolant-heater", "fluids": ["coolant", "engine-oil"]}
    for steady in (70, 100):
        duty = {"duty.fluid_steady": steady, "duty.fluid_peak": steady}
        assert bench.word("fluid-liner", {"liner": "NR|CO"}, {**changes, **duty}) == "reject"


def test_air_that_is_named_in_the_tank_is_not_left_out(bench: Any) -> None:
    changes = {"service": "fuel-in-tank", "fluids": ["petrol-e10", "air"], "drips": []}
    assert bench.word("fluid-cover", {"cover": "NBR"}, changes) == "reject"


def test_verdicts_that_differ_between_the_ends_are_in_doubt_though_no_figure_does(
    bench: Any,
) -> None:
    """A nipple measured on its bead is 1 to 3 mm less: at one end only it hints at this hose."""
    hose = {"bore_mm": 32, "bore_min_mm": 31.4, "bore_max_mm": 32.6, "outside_diameter_mm": 42}
    other = {"outside_diameter": "35.28 mm", "bead": "yes", "measured_on": "bead"}
    changes = {"service": "radiator", "nipples": {"bead": "no"}, "nipple_b": other}
    result = bench.result("fit-stretch", hose, changes)
    ends = result.end_codes[[result.place[0], result.other_place[0]], 0]
    assert ends.tolist() == [Verdict.CONDITIONAL, Verdict.UNKNOWN]
    assert bool(np.all(result.doubted(0)))
    assert bench.word("fit-stretch", hose, changes) == "unknown"


@pytest.mark.parametrize(("nipple", "verdict"), [(5.5, "unknown"), (5.51, "reject")])
def test_one_nipple_at_the_very_limit_says_nothing_of_the_other(
    bench: Any, nipple: float, verdict: str
) -> None:
    """5.5 mm in a bore of 5 mm is 10 %, though 100 * (5.5 / 5 - 1) is a hair more."""
    hose = {"bore_mm": 5, "bore_min_mm": 4.8, "bore_max_mm": 5.2, "outside_diameter_mm": 11}
    changes = {
        "nipples": {"outside_diameter": "unknown", "bead": "yes"},
        "nipple_b": {"outside_diameter": nipple},
    }
    assert 100 * (5.5 / 5 - 1) > 10
    assert bench.word("fit-stretch", {**hose, "reinforcement": "textile"}, changes) == verdict


@pytest.mark.parametrize("fluids", [["engine-oil"], ["two-stroke-mix"]])
@pytest.mark.parametrize(
    ("service", "refused"), [("fuel-vapour-purge", True), ("fuel-return", False)]
)
def test_oil_comes_along_with_liquid_fuel_and_not_with_its_vapour(
    bench: Any, fluids: list[str], service: str, refused: bool
) -> None:
    changes = {"service": service, "fluids": fluids, "duty.pressure_max": 50}
    hose = {"marking": "j30-r12", "family": ""}
    found = bench.word("marking-family", hose, {**changes, "duty.pressure_spike": 50})
    assert (found == "reject") == refused
