"""Scenarios S01 to S07: crankcase ventilation.

Judgement of the trade: common practice, no source; invented data.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Ask = Callable[..., Any]
S01 = ("H01-12.7", "H14-13", "H05-8")
S02 = ("H01-15.9", "H15-15.9", "H19-15.9")
S03 = ("H03-19", "H20-19", "H14-19")
S05 = ("H14-16", "H15-15.9")


def bend(angle: float, radius: float) -> dict[str, str]:
    return {"bend": f"{angle} deg", "radius": f"{radius} mm"}


def test_s01_crankcase_hose_is_accepted(ask: Ask) -> None:
    told = ask("s01", *S01)
    told.accepts("H14-13")
    assert told.answer.exit_code == 0
    assert told.finding("H14-13", "heat-air-steady").demand == 115
    assert told.finding("H14-13", "heat-air-steady").limit == 150
    assert told.finding("H14-13", "pressure-suction").limit == -85
    assert told.finding("H14-13", "bend-radius").limit == 80
    assert told.finding("H14-13", "fit-stretch").demand == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("hose", ["H01-12.7", "H05-8"])
def test_s01_others_are_refused_by_material_first(ask: Ask, hose: str) -> None:
    told = ask("s01", *S01)
    told.rejects(hose, "fluid")
    assert told.hose(hose).decided_by == "fluid-liner"


def test_s01_says_what_to_look_at(ask: Ask) -> None:
    ask("s01", *S01).says("arrow towards the", "falls back to the engine", "hot idle", "trims")


def test_s01_flip_bend_of_70(ask: Ask) -> None:
    told = ask("s01", *S01, change={"route.run": ["60 mm", bend(90, 70), "180 mm"]})
    told.rejects("H14-13", "bend")
    assert told.refusals("H14-13") == {"bend-radius"}
    assert told.finding("H14-13", "bend-radius").demand == 70
    assert told.finding("H14-13", "bend-radius").limit == 80
    assert told.answer.exit_code == 1
    told.refers("formed")


def test_s02_coolant_hose_is_refused_by_material_alone(ask: Ask) -> None:
    told = ask("s02", *S02)
    told.rejects("H01-15.9", "fluid")
    passed = ("heat-fluid-steady", "heat-air-steady", "bend-radius", "fit-stretch", "fit-loose")
    assert {told.finding("H01-15.9", code).verdict.word for code in passed} == {"accept"}
    assert told.finding("H01-15.9", "fit-stretch").demand == pytest.approx(0.6, abs=0.05)


def test_s02_unknown_hose_is_not_offered(ask: Ask) -> None:
    told = ask("s02", *S02)
    told.not_offered("H19-15.9")
    assert told.hose("H19-15.9").verdict.word == "reject"


def test_s02_oil_hose_is_accepted_with_its_margins(ask: Ask) -> None:
    told = ask("s02", *S02)
    told.accepts("H15-15.9")
    fluid = told.finding("H15-15.9", "heat-fluid-steady")
    air = told.finding("H15-15.9", "heat-air-steady")
    assert fluid.limit - fluid.demand == 0
    assert fluid.margin == 0
    assert air.limit - air.demand == 5
    assert told.hose("H15-15.9").margin == 0


def test_s02_flip_hotter_air(ask: Ask) -> None:
    hot = {"duty.air_steady": "120 degC", "duty.air_peak": "120 degC"}
    told = ask("s02", *S02, change=hot)
    told.rejects("H15-15.9", "heat")
    assert told.answer.suits == ()
    told.refers("order hose", "120 degc")
    ask("s02", *S02, "H14-16", change=hot).accepts("H14-16")


def test_s03_plain_silicone_is_refused_by_material_not_heat(ask: Ask) -> None:
    told = ask("s03", *S03)
    told.rejects("H03-19", "fluid")
    assert not {code for code in told.refusals("H03-19") if code.startswith("heat")}


@pytest.mark.parametrize("hose", ["H14-19", "H20-19"])
def test_s03_oil_proof_liners_are_accepted(ask: Ask, hose: str) -> None:
    ask("s03", *S03).accepts(hose)


@pytest.mark.parametrize(
    ("service", "fluid"), [("charge-air-control", "dry air"), ("coolant-heater", "coolant")]
)
def test_s03_flip_dry_charge_air_or_coolant(ask: Ask, service: str, fluid: str) -> None:
    """Dry must be said: charge air carries oil mist, on which silicone is conditional."""
    pressed = {"duty.pressure_min": "0 kPa", "duty.pressure_max": "150 kPa"}
    ask("s03", *S03, change={"service": service, "fluids": [fluid], **pressed}).accepts("H03-19")
    ask("s03", *S03, change=pressed).rejects("H03-19", "fluid")


def test_s03_flip_charge_air_with_oil_mist(ask: Ask) -> None:
    pressed = {"duty.pressure_min": "0 kPa", "duty.pressure_max": "150 kPa"}
    change = {"service": "charge-air-control", "fluids": ["charge air"], **pressed}
    ask("s03", *S03, change=change).conditional("H03-19", "fluid-liner")


def test_s05_boosted_line_is_conditional(ask: Ask) -> None:
    told = ask("s05", *S05)
    told.conditional("H14-16", "marking-proof")
    radius = told.finding("H14-16", "bend-radius")
    assert (radius.demand, radius.limit, radius.verdict.word) == (100, 100, "accept")
    pressure = told.finding("H14-16", "pressure-working")
    assert (pressure.demand, pressure.limit) == (150, 300)
    assert told.finding("H14-16", "pressure-suction").limit == -85


def test_s05_conditions_are_named(ask: Ask) -> None:
    told = ask("s05", *S05)
    cut = told.hose("H14-16").cut
    for clamps in (cut.clamps_a, cut.clamps_b):
        assert clamps
        assert all("behind the bead" in clamp.position for clamp in clamps)
    assert "check valve" in told.finding("H14-16", "marking-proof").reason
    told.says("arrow", "boost reaches the crankcase")


def test_s05_oil_hose_fails_heat(ask: Ask) -> None:
    ask("s05", *S05).rejects("H15-15.9", "heat")


NO_BEAD = {"nipple_b.bead": "no", "nipple_b.bead_diameter": "unknown"}


def test_s05_flip_no_bead_on_the_manifold(ask: Ask) -> None:
    told = ask("s05", *S05, change=NO_BEAD)
    told.rejects("H14-16", "fit")
    assert told.refusals("H14-16") == {"fit-bead"}
    told.refers("bead")


def test_s05_flip_no_bead_stands_against_a_bead_diameter_for_both_ends(ask: Ask) -> None:
    told = ask("s05", *S05, change={"nipple_b.bead": "no"})
    assert told.job.nipple_b.bead == "no"
    assert told.job.nipple_a.bead == "yes"
    told.rejects("H14-16", "fit")


SUCTION_ONLY = {"duty.pressure_max": "unknown", "features.sees_boost": "unknown"}


def test_s05_flip_a_line_made_for_boost_of_which_suction_alone_is_told(ask: Ask) -> None:
    told = ask("s05", *S05, change={"service": "crankcase-boosted", **SUCTION_ONLY})
    told.not_offered("H14-16")
    assert told.hose("H14-16").verdict.word == "unknown"
    assert told.answer.exit_code == 1
    told.asks("features.sees_boost")


def test_s05_flip_suction_only_on_a_turbocharged_engine(ask: Ask) -> None:
    """Offered only if somebody sees that no boost reaches the line; told yes, it is not."""
    suction = {"service": "crankcase-suction", **SUCTION_ONLY}
    told = ask("s05", *S05, change=suction)
    assert told.hose("H14-16").verdict.word == "conditional"
    assert "sees no boost" in told.finding("H14-16", "pressure-boost").check
    assert any("sees no boost" in check for check in told.answer.summary.checks)
    sees = ask("s05", *S05, change={**suction, "features.sees_boost": "yes"})
    sees.not_offered("H14-16")


@pytest.mark.parametrize("service", ["crankcase-boosted", "crankcase-suction"])
def test_s05_flip_boost_without_a_figure(ask: Ask, service: str) -> None:
    told = ask("s05", *S05, change={"service": service, "duty.pressure_max": "unknown"})
    told.not_offered("H14-16")
    told.asks("duty.pressure_max")


def test_s07_old_hose_is_not_used_again(ask: Ask) -> None:
    told = ask("s07", "H14-16")
    assert told.answer.old_hose[0].startswith("Do not fit the old hose again")
    told.says("splice", "narrows the bore", "drawn into")


def test_s07_straight_hose_is_refused_by_route(ask: Ask) -> None:
    told = ask("s07", "H14-16")
    told.rejects("H14-16", "bend")
    assert told.refusals("H14-16") == {"bend-radius"}
    radius = told.finding("H14-16", "bend-radius")
    assert (radius.demand, radius.limit) == (30, 100)
    told.refers("formed", "two short straight pieces", "rigid elbow")


def test_s07_flip_room_for_the_bends(ask: Ask) -> None:
    wide = ["40 mm", bend(90, 105), "70 mm", bend(60, 105), "45 mm"]
    told = ask("s07", "H14-16", change={"route.run": wide})
    told.conditional("H14-16", "heat-source")  # the old one went brittle: how far is what is hot?
    told = ask("s07", "H14-16", change={"route.run": wide, "route.heat_source.distance": "300 mm"})
    told.accepts("H14-16")
    assert told.answer.old_hose[0].startswith("Do not fit the old hose again")
