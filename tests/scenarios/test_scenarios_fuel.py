"""Scenarios S18 and S20: injection supply, high-pressure injection.

Judgement of the trade: common practice, no source; invented data.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Ask = Callable[..., Any]
S18 = ("H06-7.9", "H07-7.9", "H19-7.9")
CARBURETTOR = {
    "service": "carburettor feed",
    "duty.pressure_max": "30 kPa",
    "duty.air_steady": "85 degC",
    "duty.air_peak": "85 degC",
}


def test_s18_low_pressure_hose_is_refused(ask: Ask) -> None:
    told = ask("s18", *S18)
    assert told.hose("H06-7.9").verdict.word == "reject"
    assert told.hose("H06-7.9").cut is None
    pressure = told.finding("H06-7.9", "pressure-working")
    assert (pressure.demand, pressure.limit, pressure.verdict.word) == (400, 345, "reject")


def test_s18_unmarked_hose_is_not_offered(ask: Ask) -> None:
    told = ask("s18", *S18)
    told.not_offered("H19-7.9")
    assert told.hose("H19-7.9").verdict.word == "reject"
    assert "marking-identity" in told.refusals("H19-7.9")


def test_s18_injection_hose_is_accepted(ask: Ask) -> None:
    told = ask("s18", *S18)
    told.accepts("H07-7.9")
    radius = told.finding("H07-7.9", "bend-radius")
    assert (radius.demand, radius.limit) == (90, 70)
    pressure = told.finding("H07-7.9", "pressure-working")
    assert (pressure.demand, pressure.limit) == (400, 690)


def test_s18_clamps_have_a_smooth_band(ask: Ask) -> None:
    cut = ask("s18", *S18).hose("H07-7.9").cut
    for clamps in (cut.clamps_a, cut.clamps_b):
        assert "smooth-band" in {clamp.family for clamp in clamps}
        assert "worm" not in {clamp.family for clamp in clamps}
    assert "worm" in {family for family, _ in cut.clamps_refused}


def test_s18_says_how_to_be_safe(ask: Ask) -> None:
    told = ask("s18", *S18)
    told.says("relieve the pressure", "battery", "extinguisher", "key on", "idle", "hot")
    order = [remark.stage for remark in told.answer.cautions]
    assert order == sorted(order, key=["before", "during", "after"].index)


def test_s18_flip_quick_connects(ask: Ask) -> None:
    told = ask("s18", *S18, change={"features.end_fitting": "quick-connect"})
    told.stopped("quick-connect-tube")
    told.refers("assembly")


def test_s18_flip_carburettor_feed(ask: Ask) -> None:
    told = ask("s18", *S18, change=CARBURETTOR)
    assert told.hose("H06-7.9").verdict.suits
    told.accepts("H07-7.9")
    assert [hose.hose for hose in told.answer.suits] == ["H07-7.9", "H06-7.9"]
    told.not_offered("H19-7.9")


@pytest.mark.parametrize("name", ["s20_rail", "s20_common_rail"])
def test_s20_high_pressure_injection_is_stopped(ask: Ask, name: str) -> None:
    told = ask(name)
    told.stopped("high-pressure-injection")
    told.says("never feel for the leak", "skin")


@pytest.mark.parametrize(
    ("name", "service"),
    [
        ("s20_rail", "fuel-injection-feed"),
        ("s20_rail", "fuel-feed-low-pressure"),
        ("s20_rail", "fuel-return"),
        ("s20_common_rail", "diesel-feed"),
        ("s20_common_rail", "diesel-return"),
        ("s20_common_rail", "injector-leak-off"),
    ],
)
def test_s20_another_name_does_not_lift_the_stop(ask: Ask, name: str, service: str) -> None:
    ask(name, change={"service": service}).stopped("high-pressure-injection")


@pytest.mark.parametrize(
    ("name", "service", "hose"),
    [("s20_rail", "fuel-return", "H07-6.4"), ("s20_common_rail", "diesel-return", "H10-7.9")],
)
def test_s20_flip_return_from_the_pump(ask: Ask, name: str, service: str, hose: str) -> None:
    nipple = {"H07-6.4": 6.4, "H10-7.9": 8.0}[hose]
    change = {
        "service": service,
        "duty.pressure_max": "60 kPa",
        "nipples.outside_diameter": f"{nipple} mm",
        "nipples.bead_diameter": f"{nipple + 1} mm",
    }
    told = ask(name, hose, change=change)
    assert told.answer.stops == ()
    told.accepts(hose)


@pytest.mark.parametrize(
    ("name", "service", "pressure"),
    [("s20_rail", "fuel-injection-feed", 500), ("s20_common_rail", "diesel-feed", 30)],
)
def test_s20_low_pressure_feed_is_another_question(
    ask: Ask, name: str, service: str, pressure: float
) -> None:
    told = ask(name, change={"service": service, "duty.pressure_max": f"{pressure} kPa"})
    assert told.answer.stops == ()
    assert told.answer.hoses
