"""Findings in words: figures, margins, sentences on assumptions, remedies."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.report import finding, margins
from hoseselect.answer.sentences import figure
from hoseselect.domain.finding import number_or_null
from hoseselect.judging.assume import assume
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import run_rule
from hoseselect.rules.manual import all_rules


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (-0.0, "0"),
        (5.0, "5"),
        (12.5, "12.5"),
        (0.123456, "0.1235"),
        (1234.56, "1235"),
        (-1234.56, "-1235"),
        (9999.6, "10000"),
        (10_000.0, "10000"),
        (123_456.7, "123457"),
        (2e-5, "0"),
        (math.nan, "unknown"),
        (math.inf, "unlimited"),
    ],
)
def test_a_figure_has_few_digits_and_no_exponent(value: float, text: str) -> None:
    assert figure(value) == text


@pytest.mark.parametrize(
    ("value", "plain"),
    [(1.23456789, 1.234568), (math.nan, None), (math.inf, None), (-math.inf, None), (0.0, 0.0)],
)
def test_a_number_for_json(value: float, plain: float | None) -> None:
    assert number_or_null(value) == plain


@pytest.mark.parametrize("pressure", [100, "unknown"])
def test_a_finding_is_json_without_nan(bench: Any, pressure: Any) -> None:
    changes = {"service": "coolant-heater", "duty.pressure_max": pressure}
    changes["duty.pressure_spike"] = "unknown"
    for hose in bench.answer({"working_pressure_clamped_kpa": ""}, changes=changes).hoses:
        text = json.dumps([f.as_json() for f in hose.findings], allow_nan=False)
        assert "NaN" not in text


def test_margins_of_a_table_are_those_of_its_findings(bench: Any) -> None:
    hoses_made = ({}, {"working_pressure_clamped_kpa": 90}, {"liner": "EPDM"})
    _, hoses = bench.shop(*hoses_made)
    jobs = bench.columns({"duty.pressure_min": -40, "piece": 455, "original_bore": 11})
    filled = assume(jobs)
    for rule in all_rules():
        result = run_rule(rule, DistinctJobs(filled), hoses)
        sizes = np.arange(len(hoses_made))
        across = margins(result, hoses, np.zeros_like(sizes), sizes)
        for size in range(len(hoses_made)):
            own = finding(result, hoses, 0, size).margin
            if math.isnan(across[size]):
                continue
            assert across[size] == pytest.approx(own), rule.code


def test_margins_are_measured_against_the_limit_or_room_temperature(bench: Any) -> None:
    assert (
        bench.finding("pressure-working", {"working_pressure_clamped_kpa": 400}, {}).margin == 0.75
    )
    hose = {"temperature_continuous_degc": 123}
    found = bench.finding("heat-fluid-steady", hose, {"duty.fluid_steady": 48})
    assert found.margin == pytest.approx(0.75)
    found = bench.finding("heat-cold", {"temperature_cold_degc": -37}, {"duty.coldest_start": -7})
    assert found.margin == pytest.approx(0.5)


def test_margins_have_the_sign_of_the_verdict(bench: Any) -> None:
    """Positive or zero where a plain limit accepts, negative where it refuses."""
    changes = {"duty.pressure_min": -40, "route.heat_source.distance": 80, "piece": 455}
    weak = {"working_pressure_clamped_kpa": 90, "least_bend_radius_mm": 300, "roll_length_m": 0.1}
    for hose in ({}, weak):
        for found in bench.answer(hose, changes=changes).hoses[0].findings:
            if math.isnan(found.margin):
                continue
            if found.verdict.word == "accept":
                assert found.margin >= -1e-9, found.code
            if found.verdict.word == "reject":
                assert found.margin < 0, found.code


def test_a_finding_on_an_assumption_says_so(bench: Any) -> None:
    changes = {"duty.coldest_start": "unknown"}
    found = bench.finding("heat-cold", {"temperature_cold_degc": -45}, changes)
    assert found.reason.endswith("(on an assumption)")
    found = bench.finding("heat-cold", {"temperature_cold_degc": -20}, changes)
    assert found.reason.startswith("worst case: ")
    assert "assumption" not in bench.finding("heat-cold", {}, {}).reason


def test_where_only_an_assumption_stands_in_the_way_it_is_to_be_found_out(bench: Any) -> None:
    changes = {"duty.coldest_start": "unknown"}
    found = bench.finding("heat-cold", {"temperature_cold_degc": -45}, changes)
    assert "lower cold limit" not in found.remedy
    found = bench.finding("heat-cold", {"temperature_cold_degc": -5}, changes)
    assert "lower cold limit" in found.remedy


def test_a_rule_that_does_not_apply_has_no_figures(bench: Any) -> None:
    found = bench.finding("marking-pressure", {}, {})
    assert found.reason == "does not matter for this job"
    assert np.isnan([found.demand, found.limit, found.margin]).all()
    assert found.remedy == ""


def test_the_unknown_band_of_an_estimate_quotes_its_sure_end(bench: Any) -> None:
    hose = {"least_bend_radius_mm": "", "outside_diameter_mm": 12, "reinforcement": "none"}
    changes = {"route.run": [100, {"bend": 60, "radius": 60}, 100]}
    found = bench.finding("bend-radius", hose, changes)
    assert found.verdict.word == "unknown"
    assert found.limit == pytest.approx(66)
    assert found.margin < 0
