"""Scenarios S17 and S27: control vacuum, clear tube, washer.

Judgement of the trade: common practice, no source; invented data.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Ask = Callable[..., Any]
S17 = ("H05-3.5", "H17-3.5", "H16-4")
WASHER = ("H16-4", "H17-4")


@pytest.mark.parametrize("hose", ["H05-3.5", "H17-3.5"])
def test_s17_plain_tube_on_dry_vacuum_is_accepted(ask: Ask, hose: str) -> None:
    told = ask("s17", *S17)
    told.accepts(hose)
    assert told.finding(hose, "fit-stretch").demand == pytest.approx(20, abs=0.05)
    suction = told.finding(hose, "pressure-suction")
    assert (suction.demand, suction.limit) == (-70, -90)


def test_s17_clear_tube_is_refused_by_heat(ask: Ask) -> None:
    told = ask("s17", *S17)
    told.rejects("H16-4", "heat")
    air = told.finding("H16-4", "heat-air-steady")
    assert (air.demand, air.limit, air.verdict.word) == (90, 60, "reject")


@pytest.mark.parametrize("hose", ["H05-3.5", "H17-3.5"])
def test_s17_flip_port_wetted_by_petrol_vapour(ask: Ask, hose: str) -> None:
    told = ask("s17", *S17, change={"service": "fuel pressure regulator vacuum hose"})
    told.rejects(hose, "fluid")
    assert told.answer.exit_code == 1
    told.refers("order hose", "FKM", "4.2 mm")


def test_s17_flip_fuel_vapour_hose_stands_it(ask: Ask) -> None:
    wetted = {
        "service": "vacuum-fuel-wetted",
        "nipples.outside_diameter": "6.4 mm",
        "route.supports": "300 mm",
    }
    ask("s17", "H07-6.4", change=wetted).accepts("H07-6.4")


def test_s27_a_petrol_in_clear_tube_is_refused(ask: Ask) -> None:
    told = ask("s27_petrol", "H16-6")
    told.rejects("H16-6", "fluid")
    assert told.hose("H16-6").decided_by == "fluid-liner"


def test_s27_a_says_that_clear_tube_hardens(ask: Ask) -> None:
    assert "hardens" in ask("s27_petrol", "H16-6").finding("H16-6", "fluid-liner").reason


def test_s27_b_hot_breather_in_clear_tube_is_refused(ask: Ask) -> None:
    told = ask("s27_breather", "H16-8")
    told.rejects("H16-8", "fluid", "heat")
    assert told.finding("H16-8", "heat-fluid-steady").limit == 60


@pytest.mark.parametrize("hose", WASHER)
def test_s27_c_washer_tube_is_accepted(ask: Ask, hose: str) -> None:
    ask("s27_washer", *WASHER).accepts(hose)


def test_s27_c_rubber_is_preferred(ask: Ask) -> None:
    told = ask("s27_washer", *WASHER)
    assert [hose.hose for hose in told.answer.suits] == ["H17-4", "H16-4"]


def test_s27_c_clear_tube_is_at_its_edge(ask: Ask) -> None:
    cold = ask("s27_washer", *WASHER).finding("H16-4", "heat-cold")
    assert (cold.demand, cold.limit, cold.verdict.word) == (-5, -5, "accept")


def test_s27_c_flip_frost(ask: Ask) -> None:
    told = ask("s27_washer", *WASHER, change={"duty.coldest_start": "-25 degC"})
    told.rejects("H16-4", "heat")
    assert told.refusals("H16-4") == {"heat-cold"}
    told.accepts("H17-4")


def test_s27_c_flip_across_the_engine(ask: Ask) -> None:
    hot = {"duty.air_steady": "80 degC", "duty.air_peak": "80 degC"}
    told = ask("s27_washer", *WASHER, change=hot)
    told.rejects("H16-4", "heat")
    assert told.finding("H16-4", "heat-air-steady").limit == 60
    told.accepts("H17-4")
