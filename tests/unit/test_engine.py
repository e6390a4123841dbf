"""The engine: every rule on every hose, the worst finding decides, many jobs as each alone."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.report import finding
from hoseselect.domain.verdict import Verdict
from hoseselect.judging import registry
from hoseselect.judging.assume import assume
from hoseselect.judging.columns import YES, JobColumns
from hoseselect.judging.engine import evaluate, judge
from hoseselect.knowledge.errors import KnowledgeError
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules

COOL = {"temperature_continuous_degc": 60, "temperature_short_time_degc": 70}
HOSES = (
    {},
    {"liner": "EPDM", "cover": "EPDM"},
    {**COOL, "working_pressure_clamped_kpa": 50},
    {"temperature_continuous_degc": "", "temperature_short_time_degc": ""},
    {"bore_mm": 12, "bore_min_mm": 11.8, "bore_max_mm": 12.2, "outside_diameter_mm": 20},
)
JOBS: tuple[dict[str, Any], ...] = (
    {},
    {"service": "coolant-heater", "duty.fluid_steady": "unknown", "duty.fluid_peak": "unknown"},
    {"service": "fuel-return", "fluids": ["petrol-e10"], "drips": "unknown"},
    {"nipples.outside_diameter": "unknown", "nipples.bead_diameter": "left out"},
    {"service": "crankcase-suction", "duty.pressure_min": "unknown", "features.turbo": "unknown"},
    {"route.movement": "unknown", "piece": 470, "route.low_spot": "unknown"},
)


def test_every_rule_has_a_row_and_every_row_a_rule() -> None:
    assert [rule.code for rule in all_rules()] == table("rules").column("code")
    assert all(rule.group == rule.code.split("-")[0] for rule in all_rules())


def test_every_rule_tells_its_page_and_its_sentences() -> None:
    for rule in all_rules():
        assert rule.title.endswith(".")
        assert "What it checks" in rule.page
        for word in ("accept", "conditional", "reject", "unknown", "remedy"):
            assert rule.row[word], (rule.code, word)


def test_two_rules_of_one_code_are_refused() -> None:
    with pytest.raises(KnowledgeError):

        @registry.rule()
        def fit_bead(jobs: Any, hoses: Any) -> Any:
            """Plant a second rule of this code."""


@pytest.mark.parametrize("changes", JOBS)
def test_every_finding_is_whole(bench: Any, changes: dict[str, Any]) -> None:
    answer = bench.answer(*HOSES, changes=changes)
    assert len(answer.hoses) == len(HOSES)
    for hose in answer.hoses:
        assert [found.code for found in hose.findings] == [rule.code for rule in all_rules()]
        for found in hose.findings:
            bench.worded(found)
            assert found.unit


@pytest.mark.parametrize("changes", JOBS)
def test_the_worst_finding_decides_and_the_first_of_it_is_named(
    bench: Any, changes: dict[str, Any]
) -> None:
    for hose in bench.answer(*HOSES, changes=changes).hoses:
        worst = max(found.verdict for found in hose.findings)
        assert hose.verdict is worst
        if worst is Verdict.ACCEPT:
            assert hose.decided_by == ""
        else:
            first = next(found.code for found in hose.findings if found.verdict is worst)
            assert hose.decided_by == first == hose.deciding.code


@pytest.mark.parametrize("changes", JOBS)
def test_conditions_are_those_that_stay_once_all_is_found_out_well(
    bench: Any, changes: dict[str, Any]
) -> None:
    well = assume(bench.columns(changes)).favourable
    well = well.change(fluids_known=np.array([[YES]]), drips_known=np.array([[YES]]))
    _, hoses = bench.shop(*HOSES)
    results = evaluate(well, hoses, all_rules())
    for hose in bench.answer(*HOSES, changes=changes).hoses:
        best = [finding(result, hoses, 0, hose.place) for result in results]
        own = [f for f in best if f.verdict is Verdict.CONDITIONAL and not math.isnan(f.demand)]
        assert hose.conditions == len(own)


def test_many_jobs_are_judged_as_each_alone(bench: Any) -> None:
    _, hoses = bench.shop(*HOSES)
    alone = [bench.columns(changes) for changes in JOBS]
    together = judge(JobColumns.stack(alone), hoses, all_rules())
    for row, jobs in enumerate(alone):
        own = judge(jobs, hoses, all_rules())
        assert together.codes[row].tolist() == own.codes[0].tolist()
        assert together.decided_by[row].tolist() == own.decided_by[0].tolist()


def test_findings_of_many_jobs_are_those_of_each_alone(bench: Any) -> None:
    _, hoses = bench.shop(*HOSES)
    alone = [bench.columns(changes) for changes in JOBS]
    together = evaluate(JobColumns.stack(alone), hoses, all_rules())
    for row, jobs in enumerate(alone):
        for own, result in zip(evaluate(jobs, hoses, all_rules()), together, strict=True):
            for size in range(len(HOSES)):
                one, many = finding(own, hoses, 0, size), finding(result, hoses, row, size)
                assert one.as_json() == many.as_json()


def test_taking_and_stacking_jobs_give_back_the_same(bench: Any) -> None:
    stacked = JobColumns.stack([bench.columns(changes) for changes in JOBS])
    assert len(stacked) == len(JOBS)
    again = JobColumns.stack([stacked.take(np.array([k])) for k in range(len(JOBS))])
    for name in JobColumns.__dataclass_fields__:
        np.testing.assert_array_equal(getattr(again, name), getattr(stacked, name))


def test_the_order_of_hoses_in_the_file_changes_nothing(bench: Any) -> None:
    there = {h.description: h.as_json() for h in bench.answer(*map(named, HOSES, range(9))).hoses}
    back = bench.answer(*[named(h, k) for k, h in reversed(list(enumerate(HOSES)))])
    for hose in back.hoses:
        other = there[hose.description]
        assert hose.as_json()["findings"] == other["findings"]


def named(hose: dict[str, Any], number: int) -> dict[str, Any]:
    return {**hose, "description": f"hose {number}"}


def test_what_is_worked_out_before_gives_the_same(bench: Any) -> None:
    _, hoses = bench.shop(*HOSES)
    jobs = bench.columns(JOBS[1])
    anew = judge(jobs, hoses, all_rules())
    before = judge(jobs, hoses, all_rules(), assume(jobs))
    assert anew.codes.tolist() == before.codes.tolist()


def test_hoses_are_ranked_by_verdict_then_stock_then_margin(bench: Any) -> None:
    hoses = (
        {"working_pressure_clamped_kpa": 150, "price_per_m": 1},
        {"working_pressure_clamped_kpa": 2000, "price_per_m": 9},
        {"working_pressure_clamped_kpa": 50, "price_per_m": 0.5},
    )
    rolls = [{"roll": "R1", "hose_size": "H1-1", "length_m": 7, "place": "", "date_made": ""}]

    def order(prefer: str) -> list[str]:
        return [h.hose for h in bench.answer(*hoses, prefer=prefer, rolls=rolls).hoses]

    def unstocked(prefer: str) -> list[str]:
        return [h.hose for h in bench.answer(*hoses, prefer=prefer).hoses]

    assert unstocked("margin") == ["H2-1", "H1-1", "H3-1"]
    assert unstocked("price") == ["H1-1", "H2-1", "H3-1"]
    assert order("margin") == ["H1-1", "H2-1", "H3-1"]
    assert order("price") == ["H1-1", "H2-1", "H3-1"]
    assert order("stock") == ["H1-1", "H2-1", "H3-1"]


def test_the_worst_margin_is_told_and_fit_left_out(bench: Any) -> None:
    hose = bench.answer({"working_pressure_clamped_kpa": 125}).hoses[0]
    assert hose.margin == pytest.approx(0.2)
    figures = [f.margin for f in hose.findings if not f.code.startswith("fit")]
    assert hose.margin == pytest.approx(min(m for m in figures if not math.isnan(m)))


def test_a_hose_that_does_not_suit_gets_no_cut(bench: Any) -> None:
    answer = bench.answer({"working_pressure_clamped_kpa": 50})
    assert answer.hoses[0].cut is None
    assert answer.suits == ()
    assert answer.exit_code == 1
    assert bench.answer({}).exit_code == 0
