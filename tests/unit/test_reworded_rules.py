"""Figures decide, prose tells: every sentence of the rules reworded changes not one figure."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.report import finding, margins
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.engine import evaluate
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules

SENTENCES = (
    "accept",
    "conditional",
    "reject",
    "unknown",
    "remedy",
    "remedy_without_limit",
    "check",
)
FIELD = re.compile(r"\{\w+\}")
HOSES: tuple[dict[str, Any], ...] = (
    {},
    {"working_pressure_clamped_kpa": 90, "least_bend_radius_mm": 300, "roll_length_m": 0.1},
    {"least_bend_radius_mm": "", "suction_limit_cold_kpa": "", "suction_limit_hot_kpa": ""},
    {"liner": "NBR", "cover": "NR", "made_for_clamps": "", "bore_max_mm": ""},
    {"bore_mm": 9, "bore_min_mm": 8.7, "bore_max_mm": 9.3},
    {"bore_mm": 10.6, "bore_min_mm": 10.2, "bore_max_mm": 12},
    {"working_pressure_clamped_kpa": "", "temperature_cold_degc": ""},
)
JOBS: tuple[dict[str, Any], ...] = (
    {},
    {"duty.pressure_min": -60, "duty.pressure_spike": 2400, "piece": 900, "original_bore": 25},
    {"piece": 200, "route.movement": 90, "route.heat_source.distance": 5},
    {"service": "crankcase-suction", "features.insert": "unknown", "features.turbo": "yes"},
    {"duty.fluid_steady": "unknown", "duty.coldest_start": "unknown", "drips": "unknown"},
    {"service": "turbo-oil-drain", "fluids": ["engine-oil"], "route.fall": "no"},
    {"service": "fuel-return", "fluids": ["petrol-e85"], "features.submerged": "unknown"},
)


def figures(bench: Any) -> Iterator[tuple[Any, ...]]:
    """Yield what every rule finds on every made hose for every job, but no sentence."""
    _, hoses = bench.shop(*HOSES)
    for job in JOBS:
        for result in evaluate(bench.columns(job), hoses, all_rules()):
            every = np.arange(len(HOSES))
            told = margins(result, hoses, np.zeros_like(every), every)
            yield result.rule.code, repr(told.tolist())
            for size in range(len(HOSES)):
                found = finding(result, hoses, 0, size)
                yield (
                    *(found.code, found.verdict.word, repr(found.demand), repr(found.limit)),
                    *(repr(found.margin), found.unit, found.source, found.matters, found.assumed),
                )


def answers(bench: Any) -> list[tuple[Any, ...]]:
    """Return the order of the hoses with verdict, deciding rule, margin and cut, for every job."""
    return [
        (hose.hose, hose.verdict, hose.decided_by, repr(hose.margin), hose.cut and hose.cut.cut)
        for job in JOBS
        for hose in bench.answer(*HOSES, changes=job).hoses
    ]


@pytest.fixture
def reword(monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """Return a way to put other words round the figures of every sentence of the rules."""

    def change() -> None:
        for row in table("rules"):
            for name in SENTENCES:
                if row[name]:
                    fields = " ".join(FIELD.findall(row[name]))
                    monkeypatch.setitem(row.cells, name, f"other words {fields}".strip())

    return change


def test_reworded_sentences_change_no_figure(bench: Any, reword: Callable[[], None]) -> None:
    before, order = list(figures(bench)), answers(bench)
    assert {entry[1] for entry in before} >= {verdict.word for verdict in Verdict}
    sentence = bench.finding("pressure-working").reason
    reword()
    assert bench.finding("pressure-working").reason != sentence
    assert list(figures(bench)) == before
    assert answers(bench) == order


@pytest.mark.parametrize("sentence", ["more than {limit}", "", "at most {limit} of {limit} mm"])
def test_no_turn_of_phrase_decides_which_limit_is_quoted(
    bench: Any, monkeypatch: pytest.MonkeyPatch, sentence: str
) -> None:
    before = list(figures(bench))
    for row in table("rules"):
        for name in SENTENCES:
            monkeypatch.setitem(row.cells, name, sentence)
    assert list(figures(bench)) == before


def test_the_column_decides_which_limit_is_quoted(
    bench: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The comparison above sees a difference where there is one."""
    before, order = list(figures(bench)), answers(bench)
    for row in table("rules"):
        monkeypatch.setitem(row.cells, "quotes_caution", "")
    after = list(figures(bench))
    assert {entry[:2] for entry in after if len(entry) > 2} == {
        entry[:2] for entry in before if len(entry) > 2
    }
    assert after != before
    assert answers(bench) != order


def test_what_is_quoted_is_stated_for_every_rule_with_a_caution(bench: Any) -> None:
    words = {verdict.word for verdict in Verdict}
    _, hoses = bench.shop(*HOSES)
    for result in evaluate(bench.columns(), hoses, all_rules()):
        rule, caution = result.rule, result.comparison.caution
        stated = {word for word in rule.row["quotes_caution"].split(";") if word}
        assert stated <= words, rule.code
        assert bool(stated) == (caution is not None), rule.code


def test_the_remedy_without_a_limit_speaks_of_none(bench: Any) -> None:
    for rule in all_rules():
        assert "{limit}" not in rule.row["remedy_without_limit"], rule.code
    found = bench.finding("route-length", {}, {"piece": 300, "route.run": "left out"})
    assert math.isnan(found.limit)
    assert found.remedy == "Cut a new piece; stronger clamps are no cure."
