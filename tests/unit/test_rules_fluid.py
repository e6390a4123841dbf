"""Fluid rules: every rating, unknown liners and covers, claims, heat, what drips, permeation."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import table
from hoseselect.rules.fluid import after_heat, deciding, weakest

HOT_COOLANT = {"service": "coolant-heater", "duty.fluid_steady": 110, "duty.fluid_peak": 110}
PETROL = {"service": "fuel-feed-low-pressure", "fluids": ["petrol-e10"]}
PCV = {"service": "crankcase-suction", "duty.pressure_min": -50}


@pytest.mark.parametrize(
    ("liner", "rating", "verdict"),
    [("FKM", 2, "accept"), ("NBR", 1, "conditional"), ("EPDM", 0, "reject")],
)
def test_each_rating_of_a_liner(bench: Any, liner: str, rating: int, verdict: str) -> None:
    """Petrol with ethanol; the ratings stand in the table of resistance."""
    cell = table("resistance").row(symbol=liner, fluid="petrol-e10")
    assert cell.number("rating") == rating
    found = bench.finding("fluid-liner", {"liner": liner}, PETROL)
    bench.limited("fluid-liner", found, verdict, 2.0, rating, None)
    assert cell.source in found.source
    assert table("fluids").row(fluid="petrol-e10")["name"] in found.reason


def test_the_weakest_constituent_decides(bench: Any) -> None:
    """Crankcase vapour is oil and blow-by; EPDM stands neither."""
    assert bench.word("fluid-liner", {"liner": "EPDM"}, PCV) == "reject"
    demanded = np.array([[True, True, True, False]])
    ratings = np.array([[2, 2, 2, 0], [2, 1, 2, 0], [2, 1, np.nan, 2], [0, np.nan, 1, 2]], float)
    assert weakest(demanded, ratings)[0, :2].tolist() == [2.0, 1.0]
    assert math.isnan(weakest(demanded, ratings)[0, 2])
    assert weakest(demanded, ratings)[0, 3] == 0.0


@pytest.mark.parametrize("liner", ["EPDM|FKM", "FKM|EPDM"])
def test_of_one_liner_or_the_other_the_weakest_decides(bench: Any, liner: str) -> None:
    assert bench.word("fluid-liner", {"liner": liner}, PETROL) == "reject"


def test_an_unnamed_liner_is_unknown(bench: Any) -> None:
    found = bench.finding("fluid-liner", {"liner": "", "marking": "j20-r3"}, PETROL)
    assert found.verdict.word == "unknown"
    assert math.isnan(found.limit)
    bench.worded(found)


def test_a_marking_stands_in_for_a_liner_that_is_not_named(bench: Any) -> None:
    hose = {"liner": "", "marking": "j20-r3"}
    found = bench.finding("fluid-liner", hose, {"service": "coolant-heater"})
    bench.limited("fluid-liner", found, "accept", 2.0, 2.0, None)


def test_a_marking_or_a_statement_never_lifts_a_refusal(bench: Any) -> None:
    hose = {"liner": "EPDM", "marking": "j30-r9", "fluids_claimed": "petrol-e10"}
    assert bench.word("fluid-liner", hose, PETROL) == "reject"


def test_a_statement_lifts_a_limited_rating(bench: Any) -> None:
    assert bench.word("fluid-liner", {"liner": "NBR", "marking": "j30-r7"}, PETROL) == "conditional"
    stated = {"liner": "NBR", "marking": "j30-r7", "fluids_claimed": "petrol-e10"}
    assert bench.word("fluid-liner", stated, PETROL) == "accept"


@pytest.mark.parametrize(
    ("steady", "verdict"), [(79, "conditional"), (80, "conditional"), (81, "reject")]
)
def test_heat_takes_one_step_from_a_rating(bench: Any, steady: float, verdict: str) -> None:
    """NBR in coolant: limited up to 80 degC by the table of resistance."""
    cell = table("resistance").row(symbol="NBR", fluid="coolant")
    assert (cell.number("rating"), cell.number("temperature_max_degc")) == (1, 80)
    changes = {**HOT_COOLANT, "duty.fluid_steady": steady}
    found = bench.finding("fluid-liner", {"liner": "NBR"}, changes)
    assert found.verdict.word == verdict
    assert cell["note"] in found.reason
    bench.worded(found)


def test_heat_lowers_a_rating_and_no_more() -> None:
    fluids = len(service_columns().fluids)
    demanded = np.zeros((1, fluids), dtype=bool)
    demanded[0, 0] = True
    ratings = np.full((1, fluids), 2.0)
    hot = np.full((1, fluids), np.inf)
    hot[0, 0] = 70.0
    for steady, rating in ((70.0, 2.0), (70.1, 1.0), (np.nan, 2.0)):
        at = np.array([[steady]])
        assert after_heat(np.array([[2.0]]), demanded, at, ratings, hot)[0, 0] == rating


@pytest.mark.parametrize(
    ("fluids", "verdict"),
    [
        ("unknown", "conditional"),
        (["petrol-e10"], "accept"),
        (["petrol-e10", "unknown"], "conditional"),
    ],
)
def test_an_assumed_fuel_yields_no_plain_accept(bench: Any, fluids: Any, verdict: str) -> None:
    found = bench.finding("fluid-liner", {"liner": "FKM"}, {**PETROL, "fluids": fluids})
    assert found.verdict.word == verdict
    assert ("assumption" in found.reason) == (verdict == "conditional")


def test_a_liner_that_stands_the_fuel_at_one_end_only_is_unknown(bench: Any) -> None:
    found = bench.finding("fluid-liner", {"liner": "HNBR"}, {**PETROL, "fluids": []})
    assert found.verdict.word == "unknown"
    assert found.reason.startswith("worst case: ")


def test_a_liner_that_stands_no_fuel_of_the_kind_is_refused_whichever_it_is(bench: Any) -> None:
    assert bench.word("fluid-liner", {"liner": "EPDM"}, {**PETROL, "fluids": []}) == "reject"


def test_a_known_fluid_is_judged_beside_an_unknown_one(bench: Any) -> None:
    changes = {"service": "injector-leak-off", "fluids": ["petrol-e85", "unknown"]}
    assert bench.word("fluid-liner", {"liner": "EPDM"}, changes) == "reject"


@pytest.mark.parametrize(
    ("cover", "rating", "verdict"),
    [("FKM", 2, "accept"), ("CR", 1, "conditional"), ("NR", 0, "reject")],
)
def test_a_cover_in_the_open_air(bench: Any, cover: str, rating: int, verdict: str) -> None:
    cell = table("resistance").row(symbol=cover, fluid="air")
    assert cell.number("rating") == rating
    found = bench.finding("fluid-cover", {"cover": cover}, {})
    bench.limited("fluid-cover", found, verdict, 2.0, rating, None)
    assert cell.source in found.source


def test_what_drips_on_a_cover_decides(bench: Any) -> None:
    assert bench.word("fluid-cover", {"cover": "EPDM"}, {}) == "accept"
    found = bench.finding("fluid-cover", {"cover": "EPDM"}, {"drips": ["engine-oil"]})
    assert found.verdict.word == "reject"
    assert "oil" in found.reason
    assert "leak" in found.remedy


@pytest.mark.parametrize(
    ("cover", "verdict"), [("FKM", "conditional"), ("EPDM", "conditional"), ("NR", "reject")]
)
def test_unknown_drips_are_tried_as_engine_oil(bench: Any, cover: str, verdict: str) -> None:
    found = bench.finding("fluid-cover", {"cover": cover}, {"drips": "unknown"})
    assert found.verdict.word == verdict
    if verdict == "conditional":
        assert found.check == "nothing drips on it from above"
    else:
        assert "assumption" in found.reason


def test_an_unnamed_cover_is_unknown(bench: Any) -> None:
    found = bench.finding("fluid-cover", {"cover": ""}, {})
    assert found.verdict.word == "unknown"
    bench.worded(found)


def test_under_a_bare_braid_the_liner_meets_what_drips(bench: Any) -> None:
    drips = {"drips": ["engine-oil"]}
    assert bench.word("fluid-cover", {"cover": "textile", "liner": "NBR"}, drips) != "reject"
    assert bench.word("fluid-cover", {"cover": "textile", "liner": "EPDM"}, drips) == "reject"


def test_the_remedy_does_not_repeat_what_is_wrong_with_the_refused_liner(bench: Any) -> None:
    found = bench.finding("fluid-liner", {"liner": "NBR"}, HOT_COOLANT)
    assert "hardens and cracks" in found.reason
    assert "hardens and cracks" not in found.remedy


def test_a_rating_without_a_hot_limit_is_sure_whatever_the_temperature(bench: Any) -> None:
    unknown = {
        "service": "coolant-heater",
        "duty.fluid_steady": "unknown",
        "duty.fluid_peak": "unknown",
    }
    found = bench.finding("fluid-liner", {"liner": "EPDM"}, unknown)
    assert found.verdict.word == "accept"


def test_inside_the_tank_the_cover_lies_in_fuel_not_in_ozone(bench: Any) -> None:
    found = bench.finding("fluid-cover", {"cover": "NBR"}, {"service": "fuel-in-tank"})
    assert "ozone" not in found.reason


@pytest.mark.parametrize(
    ("hose", "verdict", "rating"),
    [
        ({"liner": "FKM"}, "accept", 2),
        ({"liner": "NBR"}, "conditional", 1),
        ({"liner": "NBR", "marking": "j30-r12"}, "accept", 2),
        ({"liner": "NBR", "marking": "j30-r14"}, "accept", 2),
        ({"liner": "NBR", "marking": "j30-r7"}, "conditional", 1),
    ],
)
def test_fuel_vapour_through_the_wall(
    bench: Any, hose: dict[str, Any], verdict: str, rating: float
) -> None:
    found = bench.finding("fluid-permeation", hose, PETROL)
    bench.limited("fluid-permeation", found, verdict, 2.0, rating, None)


@pytest.mark.parametrize(
    ("marking", "verdict"),
    [("", "unknown"), ("j20-r3", "unknown"), ("j30-r7", "conditional"), ("j30-r12", "accept")],
)
def test_permeation_of_an_unnamed_liner_is_what_its_marking_says(
    bench: Any, marking: str, verdict: str
) -> None:
    """Marked for petrol it holds petrol, but is not marked for letting little of it through."""
    found = bench.finding("fluid-permeation", {"liner": "", "marking": marking}, PETROL)
    assert found.verdict.word == verdict
    bench.worded(found)


@pytest.mark.parametrize("service", ["washer", "fuel-in-tank", "diesel-feed", "crankcase-suction"])
def test_permeation_does_not_matter_elsewhere(bench: Any, service: str) -> None:
    found = bench.finding("fluid-permeation", {"liner": "EPDM"}, {"service": service})
    assert (found.verdict.word, found.reason) == ("accept", "does not matter for this job")


def test_permeation_names_the_source_of_its_cell(bench: Any) -> None:
    cell = table("resistance").row(symbol="NBR", fluid="fuel-vapour")
    assert bench.finding("fluid-permeation", {"liner": "NBR"}, PETROL).source == cell.source


@pytest.mark.parametrize(
    ("service", "lies", "made", "verdict"),
    [
        ("fuel-in-tank", "yes", "yes", "accept"),
        ("fuel-in-tank", "no", "no", "reject"),
        ("fuel-in-tank", "yes", "", "reject"),
        ("fuel-return", "yes", "yes", "accept"),
        ("fuel-return", "yes", "no", "reject"),
        ("fuel-return", "no", "no", "accept"),
        ("diesel-feed", "yes", "no", "reject"),
        ("fuel-return", "unknown", "no", "conditional"),
    ],
)
def test_hose_under_fuel(bench: Any, service: str, lies: str, made: str, verdict: str) -> None:
    changes = {"service": service, "features.submerged": lies}
    found = bench.finding("fluid-submerged", {"submersible": made}, changes)
    assert found.verdict.word == verdict
    assert math.isnan(found.margin)
    bench.worded(found)


@pytest.mark.parametrize("service", ["washer", "coolant-heater", "atf-cooler"])
def test_where_no_fuel_is_it_counts_only_where_it_is_said(bench: Any, service: str) -> None:
    for said, verdict in (("unknown", "accept"), ("no", "accept"), ("yes", "reject")):
        changes = {"service": service, "features.submerged": said}
        found = bench.finding("fluid-submerged", {"submersible": "no"}, changes)
        assert found.verdict.word == verdict
        assert (found.reason == "does not matter for this job") == (verdict == "accept")


def test_hose_made_to_lie_in_fuel_is_told_what_to_find_out(bench: Any) -> None:
    changes = {"service": "fuel-return", "features.submerged": "unknown"}
    found = bench.finding("fluid-submerged", {"submersible": "yes"}, changes)
    assert found.verdict.suits
    assert "Use only hose" not in found.remedy


def test_the_deciding_fluids_are_those_with_the_weakest_rating() -> None:
    fluids = service_columns().fluids
    demanded = np.zeros(len(fluids), dtype=bool)
    demanded[:3] = True
    ratings = np.full(len(fluids), 2.0)
    ratings[1] = 0.0
    assert deciding(demanded, ratings, 0.0) == [fluids[1]]
    assert deciding(demanded, ratings, 2.0) == [fluids[0], fluids[2]]
    ratings[2] = np.nan
    assert deciding(demanded, ratings, math.nan) == [fluids[2]]


@pytest.mark.parametrize(
    ("hose", "fluids", "verdict"),
    [
        ({}, ["engine oil"], "accept"),
        ({"not_for": "oil"}, ["engine oil"], "reject"),
        ({"not_for": "oil;vapour"}, ["petrol"], "accept"),
        ({"not_for": "vapour"}, ["crankcase vapour"], "reject"),
        ({"not_for": "petrol"}, ["petrol-e10"], "reject"),
        ({"only_for": "dry-air"}, ["engine oil"], "reject"),
        ({"only_for": "dry-air;washer-fluid"}, [], "accept"),
    ],
)
def test_what_the_maker_excludes(
    bench: Any, hose: dict[str, Any], fluids: list[str], verdict: str
) -> None:
    fuel = {"service": "fuel-return"} if "petrol" in "".join(fluids) else {}
    found = bench.finding("fluid-not-for", hose, {"fluids": fluids, **fuel})
    assert found.verdict.word == verdict
    bench.worded(found)


@pytest.mark.parametrize(
    ("hose", "verdict", "ground"),
    [
        ({"liner": "AEM"}, "accept", "published"),
        ({"liner": "PA"}, "conditional", "from memory: ask the maker"),
        ({"liner": "PA", "fluids_claimed": "engine-oil"}, "accept", "on the maker's claim"),
        ({"liner": "", "marking": "j1019"}, "accept", "by its marking"),
        ({"liner": "EPDM", "fluids_claimed": "engine-oil"}, "reject", ""),
        ({"liner": "EPDM", "marking": "j1019"}, "reject", ""),
    ],
)
def test_the_ground_that_a_rating_stands_on(
    bench: Any, hose: dict[str, Any], verdict: str, ground: str
) -> None:
    found = bench.finding("fluid-liner", hose, {"service": "engine-oil-cooler"})
    assert found.verdict.word == verdict
    assert ground in found.reason


def test_a_claim_does_not_lift_a_rating_above_its_temperature(bench: Any) -> None:
    """NBR in coolant holds up to 80 degC within limits; the maker's claim is for that too."""
    hose = {"liner": "NBR", "fluids_claimed": "coolant"}
    for steady, verdict in ((80, "accept"), (110, "reject")):
        changes = {"service": "coolant-heater", "fluids": ["coolant"]}
        changes |= {"duty.fluid_steady": steady, "duty.fluid_peak": steady}
        assert bench.finding("fluid-liner", hose, changes).verdict.word == verdict
