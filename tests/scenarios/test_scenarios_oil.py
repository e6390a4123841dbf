"""Scenarios S24 and S25: transmission cooler, power steering.

Judgement of the trade: common practice, no source; invented data.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Ask = Callable[..., Any]
S24 = ("H01-9.5", "H06-9.5", "H11-9.5")
S25 = ("H01-9.5", "H11-9.5", "H12-9.5")
BEADED = {"nipples.bead": "yes", "nipples.bead_diameter": "10.5 mm"}


def test_s24_coolant_hose_is_refused_by_material(ask: Ask) -> None:
    told = ask("s24", *S24)
    told.rejects("H01-9.5", "fluid")
    assert told.hose("H01-9.5").decided_by == "fluid-liner"


def test_s24_fuel_hose_is_refused_by_heat_and_spikes(ask: Ask) -> None:
    told = ask("s24", *S24)
    assert told.hose("H06-9.5").verdict.word == "reject"
    assert told.hose("H06-9.5").cut is None
    assert {"heat-fluid-steady", "pressure-working"} <= told.refusals("H06-9.5")
    assert told.finding("H06-9.5", "pressure-working").demand == 1200


def test_s24_cooler_hose_suits_but_the_plain_tube_does_not(ask: Ask) -> None:
    told = ask("s24", *S24)
    told.rejects("H11-9.5", "fit")
    assert told.refusals("H11-9.5") == {"fit-bead"}
    assert told.finding("H11-9.5", "fluid-liner").verdict.word == "accept"
    assert told.answer.exit_code == 1
    told.refers("form a bead", "deburr")


def test_s24_says_why_the_bead_matters(ask: Ask) -> None:
    told = ask("s24", *S24)
    told.says("two clamps do not replace a bead", "empties the gearbox in minutes", "level")


def test_s24_flip_beaded_tube(ask: Ask) -> None:
    told = ask("s24", *S24, change=BEADED)
    told.accepts("H11-9.5")
    assert told.hose("H11-9.5").cut.cut == 625
    assert [hose.hose for hose in told.answer.suits] == ["H11-9.5"]


def test_s24_flip_oil_resistance_does_not_lift_heat_and_pressure(ask: Ask) -> None:
    told = ask("s24", *S24, change=BEADED)
    assert told.finding("H06-9.5", "fluid-liner").verdict.word == "accept"
    told.not_offered("H06-9.5")
    assert {"heat-fluid-steady", "pressure-working"} <= told.refusals("H06-9.5")


@pytest.mark.parametrize(("hose", "radius"), [("H12-9.5", 85), ("H11-9.5", 90)])
def test_s25_a_return_hose_is_accepted(ask: Ask, hose: str, radius: float) -> None:
    told = ask("s25_return", *S25)
    told.accepts(hose)
    bend = told.finding(hose, "bend-radius")
    assert (bend.demand, bend.limit) == (100, radius)


def test_s25_a_coolant_hose_is_refused(ask: Ask) -> None:
    ask("s25_return", *S25).rejects("H01-9.5", "fluid")


def test_s25_b_pressure_side_is_stopped(ask: Ask) -> None:
    told = ask("s25_pressure", "H24-9.5", "H11-9.5")
    told.stopped("steering-pressure", "crimped-ends")
    told.refers("hose shop", "crimped, tested assembly", "blow off")


@pytest.mark.parametrize(
    "change",
    [
        {"features.end_fitting": "plain"},
        {"service": "steering-return", "features.end_fitting": "plain"},
        {"service": "steering-return", "duty.pressure_max": "250 kPa"},
        {
            "service": "steering-return",
            "duty.pressure_max": "250 kPa",
            "features.end_fitting": "threaded",
        },
    ],
)
def test_s25_b_no_other_word_lifts_the_stop(ask: Ask, change: dict[str, str]) -> None:
    ask("s25_pressure", "H11-9.5", change=change).stopped()


def test_s25_c_reservoir_to_pump_is_accepted(ask: Ask) -> None:
    told = ask("s25_suction", "H12-15.9")
    told.accepts("H12-15.9")
    suction = told.finding("H12-15.9", "pressure-suction")
    assert (suction.demand, suction.limit) == (-20, -50)
    told.says("whine", "soft hose")


def test_s25_c_flip_deep_suction(ask: Ask) -> None:
    told = ask("s25_suction", "H12-15.9", change={"duty.pressure_min": "-60 kPa"})
    told.rejects("H12-15.9", "pressure")


@pytest.mark.parametrize("service", ["power steering hose", "steering-unknown-side"])
def test_s25_flip_side_not_known(ask: Ask, service: str) -> None:
    told = ask("s25_return", *S25, change={"service": service})
    told.stopped("steering-unknown-side")
    told.refers("crimped or threaded ends mean pressure", "clamp and bead mean return")
