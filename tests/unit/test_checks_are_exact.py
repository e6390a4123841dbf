"""Every check is the rule turned round: at its figure the engine passes, a step beyond it does not.

The figure is read from the words, as somebody at the vehicle reads it, in millimetres and in
inches; a step is the finest that those words can tell.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from hoseselect.answer.report import finding
from hoseselect.domain.finding import Finding
from hoseselect.knowledge.load import table
from hoseselect.quantities.read import read_quantity
from hoseselect.rules.manual import all_rules

SMALL_TUBE = {
    "bore_mm": 7.9,
    "bore_min_mm": 7.7,
    "bore_max_mm": 8.1,
    "outside_diameter_mm": 14.0,
    "least_bend_radius_mm": 60.4,
}
WIDE = {
    "bore_mm": 19.0,
    "bore_min_mm": 18.6,
    "bore_max_mm": 19.4,
    "outside_diameter_mm": 28.0,
    "least_bend_radius_mm": 121.3,
}
PLAIN = {"reinforcement": "none"}
HOSES: tuple[dict[str, Any], ...] = ({}, SMALL_TUBE, WIDE, PLAIN)
Changes = dict[str, Any]


@dataclass(frozen=True)
class Turned:
    """How a check is brought about, kept to the figure, and missed.

    Parameters
    ----------
    unknown : changes of the mild job by which it is asked
    told : changes by which somebody tells a figure [mm], beside those of `unknown`
    towards : +1 where a larger figure misses it, -1 where a smaller one does
    hose : cells of the hose
    roll : cells of the hose that a figure tells, where the roll itself is measured
    """

    unknown: Changes
    told: Callable[[float], Changes]
    towards: int
    hose: dict[str, Any]
    roll: Callable[[float], dict[str, Any]] = lambda figure: {}


def one_end(bore: float) -> Changes:
    """Return changes by which nipple A alone is measured."""
    return {
        "nipples.outside_diameter": "left out",
        "nipple_a.outside_diameter": bore,
        "nipple_b.outside_diameter": "unknown",
        "nipples.bead_diameter": "left out",
    }


def cases() -> dict[str, Callable[[dict[str, Any]], Turned]]:
    """Return for each check that holds a figure how it is turned round, for a hose."""

    def bore(hose: dict[str, Any]) -> float:
        return float(hose.get("bore_mm", 10))

    def b_is(figure: float) -> Changes:
        return {"nipple_b.outside_diameter": figure}

    return {
        "fit-stretch": lambda h: Turned(one_end(bore(h)), b_is, +1, h),
        "fit-loose": lambda h: Turned(one_end(bore(h)), b_is, -1, h),
        "fit-largest-bore": lambda h: Turned(
            one_end(bore(h)),
            lambda figure: b_is(bore(h)),
            +1,
            h,
            lambda figure: {"bore_max_mm": bore(h) + figure},
        ),
        "fit-bead-stretch": lambda h: Turned(
            {"nipples.outside_diameter": bore(h), "nipples.bead_diameter": "left out"},
            lambda figure: {"nipples.bead_diameter": figure},
            +1,
            h,
        ),
        "fit-engagement": lambda h: Turned(
            {
                "nipples.outside_diameter": bore(h),
                "nipples.bead_diameter": bore(h) + 1,
                "nipples.engagement": "left out",
                "nipples.usable_length": "unknown",
            },
            lambda figure: {"nipples.usable_length": figure},
            -1,
            h,
        ),
        "bend-radius": lambda h: Turned(
            {"route.run": [], "route.measured": 300, "route.tightest_radius": "unknown"},
            lambda figure: {"route.tightest_radius": figure},
            -1,
            h,
        ),
        "pressure-unsupported": lambda h: Turned(
            {
                "service": "crankcase-suction",
                "duty.pressure_max": 0,
                "duty.pressure_spike": 0,
                "duty.pressure_min": -60,
                "route.supports": "unknown",
                "route.run": [],
            },
            lambda figure: {"route.run": [900], "route.supports": figure},
            +1,
            {k: v for k, v in h.items() if k != "reinforcement"},
        ),
        "heat-source": lambda h: Turned(
            {"service": "turbo-oil-drain", "fluids": ["engine-oil"]},
            lambda figure: {
                "route.heat_source.distance": figure,
                "route.heat_source.shielded": "no",
            },
            -1,
            h,
        ),
        "route-movement": lambda h: Turned(
            {"route.run": [379], "route.movement": "unknown"},
            lambda figure: {"route.movement": figure},
            +1,
            h,
        ),
    }


MISSED_BY = {"fit-measured": "fit-loose"}
"""Rules that tell what another rule's check, where it is missed, leads to."""
ANSWERS: dict[str, tuple[Changes, Changes, Changes, dict[str, Any]]] = {
    "fluid-cover": (
        {"drips": "unknown"},
        {"drips": []},
        {"drips": ["engine-oil"]},
        {"cover": "EPDM"},
    ),
    "fluid-submerged": (
        {"service": "fuel-return", "fluids": ["petrol-e10"], "features.submerged": "unknown"},
        {"features.submerged": "no"},
        {"features.submerged": "yes"},
        {},
    ),
    "pressure-boost": (
        {
            "service": "crankcase-suction",
            "features.turbo": "yes",
            "features.sees_boost": "unknown",
            "duty.pressure_max": "unknown",
            "duty.pressure_spike": "unknown",
        },
        {"features.sees_boost": "no"},
        {"features.sees_boost": "yes"},
        {},
    ),
    "fit-measured": (
        {"nipples.bead_diameter": "left out", "nipples.measured_on": "unknown"},
        {"nipples.measured_on": "plain"},
        {"nipples.measured_on": "bead"},
        {},
    ),
    "fit-bead": (
        {
            "service": "coolant-heater",
            "nipples.bead": "unknown",
            "nipples.bead_diameter": "left out",
        },
        {"nipples.bead": "yes"},
        {"nipples.bead": "no"},
        {},
    ),
    "route-low-spot": (
        {"service": "crankcase-suction", "route.low_spot": "unknown"},
        {"route.low_spot": "no"},
        {"route.low_spot": "yes"},
        {},
    ),
    "route-fall": (
        {"service": "turbo-oil-drain", "fluids": ["engine-oil"], "route.fall": "unknown"},
        {"route.fall": "yes"},
        {"route.fall": "no"},
        {},
    ),
    "route-insert": (
        {"service": "coolant-heater", "features.insert": "unknown"},
        {"features.insert": "none"},
        {"features.insert": "something"},
        {},
    ),
    "stock-clamp": (
        {**one_end(10.0), "service": "coolant-heater"},
        {"nipple_b.outside_diameter": 10.0},
        {"nipple_b.outside_diameter": 14.0},
        {},
    ),
}
"""Checks of yes or no: how they are asked, what holds them, what misses them, and the hose."""
CLAMPS = [
    {
        "clamp": "W1",
        "family": "lined-worm",
        "range_min_mm": 16,
        "range_max_mm": 20,
        "band_width_mm": 9,
        "price": 1,
    }
]


def found(
    bench: Any, code: str, hose: dict[str, Any], changes: Changes, units: str = "mm"
) -> Finding:
    """Return what a rule says, with its figures in some units."""
    shop = {"clamps": CLAMPS} if code == "stock-clamp" else {}
    _, columns = bench.shop(hose, **shop)
    result = bench.result(code, hose, changes, **shop)
    own: Finding = finding(result, columns, 0, 0, units)
    return own


def test_every_rule_with_a_check_is_turned_round_here() -> None:
    with_check = {rule.code for rule in all_rules() if rule.row["check"]}
    assert with_check == set(cases()) | set(ANSWERS)


FIGURE = re.compile(r"(\d[\d/. ]* (?:mm|in))\b")
TAPE_STEP = {"mm": 1.0, "in": 25.4 / 16}
CALIPER_STEP = {"mm": 0.1, "in": 0.254}
SMALL = 30.0


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("hose", HOSES, ids=["usual", "small", "wide", "plain tube"])
@pytest.mark.parametrize("code", list(cases()))
def test_at_the_figure_of_a_check_it_passes_and_a_step_beyond_it_does_not(
    bench: Any, code: str, hose: dict[str, Any], units: str
) -> None:
    turned = cases()[code](hose)
    asked = found(bench, code, turned.hose, turned.unknown, units)
    assert asked.verdict.word == "conditional"
    assert asked.check, asked.reason
    figure = FIGURE.search(asked.check)
    assert figure, asked.check
    kept = read_quantity(figure[1], "length", "check")
    step = (CALIPER_STEP if kept < SMALL else TAPE_STEP)[units]

    def told(value: float) -> Finding:
        cells = {**turned.hose, **turned.roll(value)}
        return found(bench, code, cells, {**turned.unknown, **turned.told(value)})

    at = told(kept)
    assert at.verdict.suits and not at.check, (asked.check, at.reason)
    assert at.verdict.word == "accept", (asked.check, at.reason)
    beyond = told(kept + turned.towards * step * 1.001)
    assert beyond.verdict > at.verdict, (asked.check, beyond.reason)


@pytest.mark.parametrize("code", ANSWERS)
def test_a_check_of_yes_or_no_passes_one_way_alone(bench: Any, code: str) -> None:
    unknown, held, missed, hose = ANSWERS[code]
    asked = found(bench, code, hose, unknown)
    assert (asked.verdict.word, bool(asked.check)) == ("conditional", True), asked.reason
    kept = found(bench, code, hose, {**unknown, **held})
    assert (kept.verdict.word, kept.check) == ("accept", ""), kept.reason
    other = found(bench, MISSED_BY.get(code, code), hose, {**unknown, **missed})
    assert other.verdict > kept.verdict, other.reason
    assert not other.check


def test_behind_a_shield_the_nearer_distance_passes(bench: Any) -> None:
    changes: Changes = {"service": "turbo-oil-drain", "fluids": ["engine-oil"]}
    asked = found(bench, "heat-source", {}, changes)
    near = FIGURE.findall(asked.check)[1]
    kept = read_quantity(near, "length", "check")
    shield = {"route.heat_source.shielded": "yes"}
    for figure, verdict in ((kept, "accept"), (kept - 1, "reject")):
        told = {**changes, **shield, "route.heat_source.distance": figure}
        assert found(bench, "heat-source", {}, told).verdict.word == verdict


def test_a_household_thing_is_wide_enough_for_the_bend_it_stands_beside(bench: Any) -> None:
    """It pictures the figure and never lowers it: who bends by the thing keeps the figure."""
    things = {row["thing"]: row.number("across_mm") for row in table("household_measures")}
    seen = set()
    for radius in range(8, 260, 3):
        check = found(
            bench,
            "bend-radius",
            {"least_bend_radius_mm": radius},
            {"route.run": [], "route.measured": 300, "route.tightest_radius": "unknown"},
        ).check
        named = re.search(r"\((.+) is R ([\d.]+) mm\)", check)
        if named:
            seen.add(named[1])
            assert things[named[1]] / 2 >= radius
            assert float(named[2]) == things[named[1]] / 2
    assert len(seen) > 5


def test_where_the_best_is_a_condition_the_check_stands_where_it_is_refused(bench: Any) -> None:
    """Any bead is more than a wire helix stretches: what counts is up to where wire drawn back."""
    hose = {"reinforcement": "textile-and-wire", "bore_mm": 13.0, "bore_min_mm": 12.7,
            "bore_max_mm": 13.3, "outside_diameter_mm": 21.0}  # fmt: skip
    job = {"nipples.outside_diameter": 13.0, "nipples.bead_diameter": "left out"}
    check = bench.finding("fit-bead-stretch", hose, job).check
    figure = float(re.search(r"no bead more than ([\d.]+) mm across", check)[1])  # type: ignore[index]
    assert "the wire is drawn back" in check
    for bead, word in ((figure, "conditional"), (figure + 0.1, "reject")):
        assert bench.word("fit-bead-stretch", hose, job | {"nipples.bead_diameter": bead}) == word
