"""Rules at the edge of what they judge: which lines, which answers, from which figure on."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from bench_parts import view

from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import NO, UNKNOWN, YES
from hoseselect.judging.comparison import verdicts
from hoseselect.judging.services import service_columns
from hoseselect.rules.boost import boosted
from hoseselect.rules.fit import larger_bead
from hoseselect.rules.fluid import after_heat
from hoseselect.rules.manual import all_rules
from hoseselect.rules.stock import roll_to_take, stock_age

RETURN_HOSE = {"marking": "j30-r7", "print_line": "SAE 30R7", "liner": "FKM", "family": ""}


@pytest.mark.parametrize(
    ("service", "sees", "stated", "found"),
    [
        ("crankcase-suction", YES, NO, True),
        ("crankcase-suction", UNKNOWN, YES, True),
        ("crankcase-suction", UNKNOWN, NO, False),
        ("vacuum-control", YES, NO, True),
        ("vacuum-control", NO, YES, True),
        ("vacuum-pump-servo", YES, NO, True),
        ("oil-separator-drain", NO, YES, True),
        ("crankcase-boosted", NO, NO, True),
        ("coolant-heater", YES, YES, False),
    ],
)
def test_which_lines_see_boost(
    bench: Any, service: str, sees: int, stated: int, found: bool
) -> None:
    one = np.ones((1, 1), dtype=int)
    jobs = bench.columns().change(
        service=one * service_columns().index[service],
        sees_boost=one * sees,
        boost_stated=one * stated,
    )
    assert boosted(view(jobs))[0, 0] == found


@pytest.mark.parametrize("end", ["a", "b"])
def test_a_line_that_sees_boost_wants_a_bead_at_both_ends(bench: Any, end: str) -> None:
    changes = {
        "service": "vacuum-control",
        "features.turbo": "yes",
        "features.sees_boost": "yes",
        "duty.pressure_max": 150,
        "duty.pressure_spike": 150,
        "nipples.bead": "yes",
        f"nipple_{end}.bead": "no",
        "nipples.bead_diameter": "left out",
    }
    assert bench.word("fit-bead", {}, changes) == "reject"


@pytest.mark.parametrize("end", ["a", "b"])
def test_a_bump_is_measured_against_its_own_nipple(bench: Any, end: str) -> None:
    """A nipple of 10 mm with a bead of 10.35 mm beside one of 9 mm with a bead of 11 mm."""
    other = "b" if end == "a" else "a"
    changes = {
        "service": "coolant-heater",
        "nipples.outside_diameter": "left out",
        "nipples.bead_diameter": "left out",
        f"nipple_{end}.outside_diameter": 10,
        f"nipple_{end}.bead_diameter": 10.35,
        f"nipple_{other}.outside_diameter": 9,
        f"nipple_{other}.bead_diameter": 11,
    }
    assert bench.word("fit-bead", {}, changes) == "reject"


def test_where_a_bead_is_demanded_it_counts_until_none_is_seen(bench: Any) -> None:
    one = np.ones((1, 1), dtype=int)
    jobs = bench.columns({"service": "coolant-heater"})
    for has, over in ((UNKNOWN, 13.0), (YES, 13.0)):
        told = jobs.change(has_bead_a=one * has, has_bead_b=one * has, bead_a=one * 13.0,
                           bead_b=one * 13.0)  # fmt: skip
        assert larger_bead(view(told))[0][0, 0] == over
    plain = service_columns().index["washer"]
    free = jobs.change(has_bead_a=one * UNKNOWN, has_bead_b=one * UNKNOWN, service=one * plain)
    assert larger_bead(view(free))[0][0, 0] == 10


def test_heat_makes_no_rating_of_one_that_is_not_known() -> None:
    cold = np.array([[np.nan]])
    found = after_heat(
        cold,
        np.array([[True, True]]),
        np.array([[80.0]]),
        np.array([[2.0, np.nan]]),
        np.array([[100.0, np.inf]]),
    )
    assert np.isnan(found[0, 0])


def test_hose_in_a_tank_meets_the_fuel_outside_too(bench: Any) -> None:
    hose = {"liner": "FKM", "cover": "EPDM", "submersible": "yes", "marking": "j30-r10"}
    changes = {"service": "fuel-in-tank", "fluids": ["petrol-e10"]}
    assert bench.word("fluid-cover", hose, changes) == "reject"
    changes["service"] = "fuel-return"
    assert bench.word("fluid-cover", hose, changes) != "reject"


@pytest.mark.parametrize("code", ["marking-family", "marking-required"])
@pytest.mark.parametrize(("pressure", "word"), [(250, "accept"), (251, "reject")])
def test_petrol_under_injection_pressure_is_an_injection_feed(
    bench: Any, code: str, pressure: float, word: str
) -> None:
    """A return line usually sees up to 100 kPa, a feed at least 250 kPa."""
    changes = {"service": "fuel-return", "duty.pressure_max": pressure}
    changes |= {"duty.pressure_spike": pressure, "fluids": ["petrol"]}
    assert bench.word(code, RETURN_HOSE, changes) == word


@pytest.mark.parametrize("pressure", [0, 300])
def test_a_line_under_pressure_stays_what_it_was_as_well(bench: Any, pressure: float) -> None:
    """Diesel hose, refused in the drain of an oil separator, is not freed by a high pressure."""
    changes = {"service": "oil-separator-drain", "fluids": ["crankcase-vapour"]}
    changes |= {"duty.pressure_max": pressure, "duty.pressure_spike": pressure}
    assert bench.word("marking-required", {"marking": "j30-r13"}, changes) == "reject"


def test_from_which_pressure_on_a_line_is_another_one() -> None:
    services = service_columns()
    found = {name: services.pressure_from[services.index[name]] for name in services.names}
    assert found["fuel-return"] == 250
    assert found["steering-suction"] == 50
    assert found["injector-leak-off"] == 100
    assert found["coolant-heater"] == np.inf


def test_a_hose_for_the_line_may_not_serve_for_what_flows_there(bench: Any) -> None:
    found = bench.finding("marking-family", {"family": "washer"}, {"fluids": ["coolant"]})
    assert found.verdict.word == "reject"
    assert "no line for what flows here" in found.reason
    assert bench.word("marking-family", {"family": "washer;coolant"}, {"fluids": ["coolant"]}) == (
        "accept"
    )


def test_liquid_fuel_in_another_line_wants_somebody_who_vouches_for_it(bench: Any) -> None:
    """A family alone does not: it says nothing of this hose."""
    jobs = bench.columns({"service": "washer"})
    fuel = np.flatnonzero(service_columns().liquid_fuel)[0]
    flowing = jobs.fluids.copy()
    flowing[:, fuel] = True
    rule = next(rule for rule in all_rules() if rule.code == "marking-family")
    _, hoses = bench.shop({"family": "washer;fuel", "fluids_claimed": "washer-fluid"})
    found = verdicts(rule.function(view(jobs.change(fluids=flowing)), hoses))
    assert found[0, 0] == Verdict.REJECT


HOT = {"service": "coolant-heater", "duty.fluid_steady": 95, "duty.fluid_peak": 105}


def test_hose_of_which_nobody_says_what_reinforces_it_does_not_pass_on_a_hot_line(
    bench: Any,
) -> None:
    assert bench.word("pressure-reinforcement", {"reinforcement": ""}, HOT) == "unknown"
    assert bench.word("pressure-reinforcement", {}, HOT) == "accept"


def test_plain_tube_does_not_pass_on_a_cool_line_that_sees_boost(bench: Any) -> None:
    boost = {
        "service": "vacuum-control",
        "features.turbo": "yes",
        "features.sees_boost": "yes",
        "duty.pressure_max": 150,
        "duty.pressure_spike": 150,
    }
    assert bench.word("pressure-reinforcement", {"reinforcement": "none"}, boost) == "reject"
    assert bench.word("pressure-reinforcement", {}, boost) == "accept"


def test_something_in_the_old_hose_matters_on_any_line(bench: Any) -> None:
    told = {"features.insert": "something", "service": "steering-return"}
    assert bench.word("route-insert", {}, told) == "unknown"


def test_a_suction_that_a_plain_wall_cannot_bear_is_no_plain_accept(bench: Any) -> None:
    """12.7 x 14.7 mm of plain rubber, said to stand -90 kPa hot."""
    tube = {
        "reinforcement": "none",
        "bore_mm": 12.7,
        "bore_min_mm": "",
        "bore_max_mm": "",
        "outside_diameter_mm": 14.7,
        "suction_limit_cold_kpa": -90,
        "suction_limit_hot_kpa": -90,
    }
    suction = {"duty.pressure_min": -60, "duty.fluid_peak": 110, "duty.fluid_steady": 100}
    assert bench.word("pressure-suction", tube, suction) == "conditional"
    assert bench.word("pressure-suction", tube | {"reinforcement": "textile"}, suction) == "accept"


@pytest.mark.parametrize(("stated", "word"), [(5, "unknown"), (19, "accept")])
def test_a_bend_that_is_too_good_to_be_true_is_no_plain_accept(
    bench: Any, stated: float, word: str
) -> None:
    """Hose of 18 mm outside said to bend round 5 mm, on a bend of 20 mm."""
    bend = {"route.run": [100, {"bend": 60, "radius": 20}, 100]}
    hose = {"least_bend_radius_mm": stated, "reinforcement": "wire"}
    assert bench.word("bend-radius", hose, bend) == word


def test_a_distance_to_something_hot_is_asked_for_on_a_hot_line(bench: Any) -> None:
    assert bench.word("heat-source", {}, {"service": "turbo-oil-drain"}) == "conditional"
    assert bench.word("heat-source", {}, {"service": "washer"}) == "accept"


@pytest.mark.parametrize(
    ("told", "word"),
    [
        ({"features.print_lost": "yes"}, "conditional"),
        ({"features.print_lost": "yes", "piece": 500}, "reject"),
        ({"features.print_lost": "unknown", "piece": 500}, "reject"),
        ({"features.print_lost": "no", "piece": 500}, "accept"),
    ],
)
def test_a_piece_that_is_cut_already_and_bears_no_print(
    bench: Any, told: dict[str, Any], word: str
) -> None:
    assert bench.word("marking-print", {}, told) == word


def test_a_pressure_of_which_nothing_is_known_is_no_pass(bench: Any) -> None:
    nothing = np.full((1, 1), np.nan)
    jobs = bench.columns().change(pressure_max=nothing, pressure_spike=nothing)
    _, hoses = bench.shop({})
    for code in ("pressure-working", "pressure-reinforcement"):
        rule = next(rule for rule in all_rules() if rule.code == code)
        hot = jobs.change(service=jobs.service * 0 + service_columns().index["coolant-heater"],
                          fluid_peak=jobs.fluid_peak * 0 + 110)  # fmt: skip
        made = rule.function(view(hot) if rule.of is None else rule.of(view(hot)), hoses)
        plain = verdicts(made)[0, 0]
        assert plain == (Verdict.UNKNOWN if code == "pressure-working" else Verdict.ACCEPT)
    _, tube = bench.shop({"reinforcement": "none"})
    assert rule.of is not None
    assert verdicts(rule.function(rule.of(view(hot)), tube))[0, 0] == Verdict.REJECT


@pytest.mark.parametrize("end", ["a", "b"])
def test_a_clamp_for_one_end_is_none_for_an_end_that_is_not_measured(bench: Any, end: str) -> None:
    clamps = [
        {"clamp": "C", "family": "smooth-band", "range_min_mm": 16, "range_max_mm": 20,
         "band_width_mm": 9, "price": 1}
    ]  # fmt: skip
    changes = {
        "service": "coolant-heater",
        "nipples.outside_diameter": "left out",
        "nipples.bead_diameter": "left out",
        "nipple_a.outside_diameter": 10,
        "nipple_b.outside_diameter": 10,
    }
    assert bench.word("stock-clamp", {}, changes, clamps=clamps) == "accept"
    changes[f"nipple_{end}.outside_diameter"] = "unknown"
    assert bench.word("stock-clamp", {}, changes, clamps=clamps) == "conditional"


@pytest.mark.parametrize(
    ("a", "b", "found"),
    [(NO, UNKNOWN, 0), (UNKNOWN, NO, 0), (YES, NO, 0), (YES, YES, 1), (YES, UNKNOWN, np.nan)],
)
def test_one_nipple_without_a_bead_is_enough(bench: Any, a: int, b: int, found: float) -> None:
    one = np.ones((1, 1), dtype=int)
    jobs = bench.columns(HOT).change(has_bead_a=one * a, has_bead_b=one * b)
    rule = next(rule for rule in all_rules() if rule.code == "fit-bead")
    _, hoses = bench.shop({})
    np.testing.assert_equal(rule.function(view(jobs), hoses).demand[0, 0], found)


@pytest.mark.parametrize(
    ("ages", "taken"),
    [
        ((8, 1), 1),
        ((1, 8), 0),
        ((7, 1), 0),
        ((11, 8), 1),
        ((11, 12), 0),
        ((np.nan, 8), 0),
    ],
)
def test_a_roll_that_is_too_old_is_taken_after_one_that_is_not(
    ages: tuple[float, float], taken: int
) -> None:
    """Of two alike the first by name; rolls that keep 7 years, and 10 where they are looked at."""
    rolls = SimpleNamespace(
        size_index=np.array([0, 0]),
        length=np.array([5000.0, 5000.0]),
        age=np.array(ages, dtype=float),
        keeps=np.array([7.0, 7.0]),
        keeps_at_most=np.array([10.0, 10.0]),
        name=np.array(["A", "B"]),
    )
    assert roll_to_take(rolls, 0, 400.0) == taken  # type: ignore[arg-type]


@pytest.mark.parametrize(("cut", "taken"), [(5000.0, 0), (5000.1, -1), (np.nan, 0)])
def test_a_roll_that_is_just_long_enough_is_taken(cut: float, taken: int) -> None:
    one = np.array([5000.0])
    rolls = SimpleNamespace(
        size_index=np.array([0]), length=one, age=one * 0, keeps=one, keeps_at_most=one
    )
    rolls.name = np.array(["A"])
    assert roll_to_take(rolls, 0, cut) == taken  # type: ignore[arg-type]


@pytest.mark.parametrize(("length", "age"), [(5000.0, 8.0), (4999.9, np.nan)])
def test_the_age_counts_of_a_roll_that_is_just_long_enough(length: float, age: float) -> None:
    rolls = SimpleNamespace(
        size_index=np.array([0]),
        length=np.array([length]),
        age=np.array([8.0]),
        keeps=np.array([7.0]),
        keeps_at_most=np.array([10.0]),
    )
    jobs, hoses = SimpleNamespace(cut_length=np.full((1, 1), 5000.0)), SimpleNamespace(rolls=rolls)
    hoses.sizes = [0]
    found = stock_age(jobs, hoses).demand  # type: ignore[arg-type]
    assert np.array_equal(found, [[age]], equal_nan=True)
