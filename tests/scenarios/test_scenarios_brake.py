"""Scenario S29: brake and clutch fluid. No input turns it into a cut.

Judgement of the trade: common practice, no source; invented data.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Ask = Callable[..., Any]
SHELF = ("H06-7.9", "H07-7.9", "H02-7.9", "H13-9.5")
STOPS = {
    "s29_brake": "brake-hydraulics",
    "s29_clutch": "clutch-hydraulics",
    "s29_reservoir": "brake-fluid-reservoir",
}


@pytest.mark.parametrize(("name", "stop"), STOPS.items())
def test_s29_is_stopped(ask: Ask, name: str, stop: str) -> None:
    ask(name, *SHELF).stopped(stop)


def test_s29_ab_says_why(ask: Ask) -> None:
    ask("s29_brake", *SHELF).refers("100 bar", "certified", "crimped", "brake technician")
    ask("s29_clutch", *SHELF).refers("brake fluid", "destroys", "assembly")


def test_s29_c_refers_to_the_part_made_for_it(ask: Ask) -> None:
    ask("s29_reservoir", *SHELF).refers("part made for it", "clean", "made")


@pytest.mark.parametrize("name", STOPS)
@pytest.mark.parametrize(
    "change",
    [
        {"fluids": ["coolant"]},
        {"fluids": []},
        {"duty.pressure_max": "5 kPa", "duty.pressure_min": "0 kPa"},
        {"features.end_fitting": "plain", "features.place": "road-vehicle"},
        {"nipples.outside_diameter": "8 mm", "nipples.bead": "yes", "route.run": ["200 mm"]},
    ],
)
def test_s29_no_input_lifts_the_stop(ask: Ask, name: str, change: dict[str, Any]) -> None:
    ask(name, *SHELF, change=change).stopped(STOPS[name])


@pytest.mark.parametrize(
    "service", ["coolant-heater", "washer", "fuel-return", "brake-servo-vacuum"]
)
def test_s29_brake_fluid_in_another_service_is_stopped(ask: Ask, service: str) -> None:
    ask("s29_reservoir", *SHELF, change={"service": service}).stopped("brake-fluid-reservoir")
