"""What is assumed: both ends of every range, and what may come of it."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest

from hoseselect.judging.assume import assume, duty_range, gentle_columns, of_both_ends
from hoseselect.judging.services import fluid_mask, service_columns
from hoseselect.knowledge.load import limit, table

A, C, U, R = 0, 1, 2, 3
LEFT_OUT = "left out"


def mixed(adverse: int, favourable: int, *, doubted: bool = True, hard: bool = True) -> int:
    cells = [np.array([[value]]) for value in (adverse, favourable, doubted, hard)]
    return int(of_both_ends(*cells)[0, 0])


@pytest.mark.parametrize(
    ("adverse", "favourable", "hard", "gentle"),
    [
        (A, A, C, C),
        (C, A, C, C),
        (C, C, C, C),
        (U, A, U, C),
        (U, C, U, C),
        (U, U, U, U),
        (R, A, U, C),
        (R, C, U, C),
        (R, U, U, U),
        (R, R, R, R),
    ],
)
def test_two_ends_make_one_verdict(adverse: int, favourable: int, hard: int, gentle: int) -> None:
    for pair in ((adverse, favourable), (favourable, adverse)):
        assert mixed(*pair) == hard
        assert mixed(*pair, hard=False) == gentle


def test_without_doubt_the_stated_figures_hold() -> None:
    for adverse, favourable in itertools.product(range(4), repeat=2):
        assert mixed(adverse, favourable, doubted=False) == adverse


def test_doubt_never_makes_a_plain_accept_nor_hides_a_sure_refusal() -> None:
    for adverse, favourable, hard in itertools.product(range(4), range(4), (True, False)):
        found = mixed(adverse, favourable, hard=hard)
        assert found != A
        assert (found == R) == (adverse == favourable == R)


def test_a_job_that_states_all_is_left_alone(bench: Any) -> None:
    jobs = bench.columns({"duty.pressure_spike": 100})
    filled = assume(jobs)
    assert set(filled.doubted) <= {"pressure_spike"}
    for name in ("fluid_steady", "pressure_max", "nipple_a", "movement", "bead_a"):
        np.testing.assert_array_equal(getattr(filled.adverse, name), getattr(jobs, name))


@pytest.mark.parametrize(
    "field",
    ["fluid_steady", "air_steady", "coldest_start", "pressure_min", "pressure_max"],
)
def test_a_duty_is_filled_from_the_table(bench: Any, field: str) -> None:
    partner = {"fluid_steady": "fluid_peak", "air_steady": "air_peak"}.get(field, field)
    changes = {"service": "fuel-return", f"duty.{field}": "unknown", f"duty.{partner}": "unknown"}
    filled = assume(bench.columns(changes | {"duty.pressure_spike": "unknown"}))
    row = table("service_duty").row(service="fuel-return", field=field)
    assert getattr(filled.adverse, field)[0, 0] == row.number("adverse")
    assert getattr(filled.favourable, field)[0, 0] == row.number("favourable")
    assert filled.doubted[field][0, 0]


def test_every_service_has_both_ends_of_every_duty() -> None:
    for field in ("fluid_steady", "fluid_peak", "air_steady", "air_peak", "coldest_start"):
        favourable, adverse = duty_range(field)
        assert not np.isnan(favourable).any()
        assert not np.isnan(adverse).any()
        worse = adverse <= favourable if field == "coldest_start" else adverse >= favourable
        assert worse.all()
    for field, sign in (("pressure_min", -1), ("pressure_max", 1)):
        favourable, adverse = duty_range(field)
        assert ((adverse - favourable) * sign >= 0).all()


@pytest.mark.parametrize(
    ("turbo", "sees", "filled"),
    [
        ("yes", "unknown", True),  # somebody must see that no boost reaches the line
        ("yes", "yes", False),
        ("unknown", "yes", False),
        ("no", "unknown", True),
        ("yes", "no", True),
    ],
)
def test_boost_is_never_assumed(bench: Any, turbo: str, sees: str, filled: bool) -> None:
    changes = {
        "service": "crankcase-suction",
        "features.turbo": turbo,
        "features.sees_boost": sees,
        "duty.pressure_max": "unknown",
        "duty.pressure_spike": "unknown",
        "duty.pressure_min": -50,
    }
    found = assume(bench.columns(changes)).adverse.pressure_max[0, 0]
    assert np.isnan(found) != filled


def test_of_a_default_fluid_only_what_every_kind_of_it_holds_flows_in_any_case(bench: Any) -> None:
    filled = assume(bench.columns({"service": "diesel-feed", "fluids": []}))
    diesel, ester = (service_columns().fluid_index[name] for name in ("diesel", "diesel-b7"))
    assert filled.adverse.fluids[0, [diesel, ester]].all()
    assert filled.favourable.fluids[0, [diesel, ester]].tolist() == [True, False]
    assert filled.doubted["fluids"][0, 0]


def test_a_fluid_of_another_family_leaves_the_default_in_place(bench: Any) -> None:
    filled = assume(bench.columns({"service": "diesel-feed", "fluids": ["coolant"]}))
    assert filled.adverse.fluids[0, service_columns().fluid_index["diesel"]]
    assert filled.adverse.fluids[0, service_columns().fluid_index["coolant"]]


def test_what_always_flows_flows_at_both_ends(bench: Any) -> None:
    filled = assume(bench.columns({"service": "crankcase-breather"}))
    vapour = fluid_mask(("crankcase-vapour",))
    for end in (filled.adverse, filled.favourable):
        assert end.fluids[0][vapour].all()
    assert "fluids" not in filled.doubted


def test_drips_are_tried_with_and_without_engine_oil(bench: Any) -> None:
    filled = assume(bench.columns({"drips": ["coolant", "unknown"]}))
    oil, coolant = (service_columns().fluid_index[name] for name in ("engine-oil", "coolant"))
    assert filled.adverse.drips[0, [oil, coolant]].tolist() == [True, True]
    assert filled.favourable.drips[0, [oil, coolant]].tolist() == [False, True]


def test_an_unmeasured_bead_lies_a_little_over_the_plain_part(bench: Any) -> None:
    filled = assume(bench.columns({"nipples.bead_diameter": LEFT_OUT}))
    assert filled.adverse.bead_a[0, 0] == 10 + limit("bead-over-nipple-max")
    assert filled.favourable.bead_b[0, 0] == 10 + limit("bead-over-nipple-min")
    assert filled.adverse.nipple_a[0, 0] == filled.favourable.nipple_a[0, 0] == 10


def test_a_nipple_measured_on_its_bead_is_smaller(bench: Any) -> None:
    changes = {"nipples.bead_diameter": LEFT_OUT, "nipples.measured_on": "bead"}
    filled = assume(bench.columns(changes))
    ends = {filled.adverse.nipple_a[0, 0], filled.favourable.nipple_a[0, 0]}
    assert ends == {10 - limit("bead-over-nipple-max"), 10 - limit("bead-over-nipple-min")}
    assert filled.adverse.bead_a[0, 0] == filled.favourable.bead_a[0, 0] == 10


def test_an_unknown_nipple_stays_unknown(bench: Any) -> None:
    changes = {"nipples.outside_diameter": "unknown", "nipples.bead_diameter": LEFT_OUT}
    filled = assume(bench.columns(changes))
    for end in (filled.adverse, filled.favourable):
        assert np.isnan(end.nipple_a[0, 0])


def test_an_unknown_bend_stays_unknown(bench: Any) -> None:
    filled = assume(bench.columns({"route.run": []}))
    for end in (filled.adverse, filled.favourable):
        assert np.isnan(end.tightest_radius[0, 0])
        assert np.isnan(end.tip_length[0, 0])


def test_the_adverse_movement_is_that_of_the_table_of_limits() -> None:
    row = table("questions").row(input="route.movement")
    assert row.number("adverse") == limit("movement-unknown")


def test_gentle_doubts_are_those_a_person_can_see_to() -> None:
    seen_to = {"drips", "movement", "low_spot", "usable_a", "has_bead_a", "measured_on_b"}
    assert seen_to <= gentle_columns()
    assert not gentle_columns() & {"fluids", "fluid_steady", "pressure_max", "nipple_a"}


@pytest.mark.parametrize("fluids", ["unknown", []])
def test_a_hose_for_an_unknown_fuel_is_no_plain_accept(bench: Any, fluids: Any) -> None:
    changes = {"service": "fuel-return", "fluids": fluids, "duty.pressure_spike": 100}
    hose = {"liner": "FKM", "marking": "j30-r9"}
    assert bench.answer(hose, changes=changes).hoses[0].verdict.word != "accept"
